"""What stands when the order is fixed: the fewest settings of all choices, and no place left free for nothing."""

from functools import cache
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopwright.plan.ordering.loading import count_settings, load_axis
from stopwright.plan.ordering.task import bits


def fewest(needs: list[int], holds: int, standing: int) -> int:
    """Every choice tried of what stays for each run."""

    @cache
    def least(at: int, stood: int) -> int:
        if at == len(needs):
            return 0
        others = bits(stood & ~needs[at])
        room = min(holds - needs[at].bit_count(), len(others))
        kept = [needs[at] | sum(1 << one for one in chosen) for chosen in combinations(others, room)]
        return (needs[at] & ~stood).bit_count() + min(least(at + 1, now) for now in kept)

    return least(0, standing)


A, B, C, D = (1 << at for at in range(4))


@pytest.mark.parametrize(
    ("needs", "settings"),
    [
        ([A, B, C, B, C, A], 4),  # B stays when C comes, for it is wanted sooner than A
        ([A, B, C, A, C, B], 4),
        ([A, B, A, B], 2),  # both have a place
    ],
)
def test_what_is_wanted_soonest_stays(needs: list[int], settings: int) -> None:
    assert count_settings(needs, load_axis(needs, 2, 0, {}), 0) == fewest(needs, 2, 0) == settings


def test_what_is_not_wanted_again_stays_too_where_a_place_is_free() -> None:
    assert load_axis([A, B, C, D], 3, 0, {}) == [A, A | B, A | B | C, A | B | D]


@given(st.integers(1, 3), st.data())
def test_no_choice_of_what_stays_sets_less(holds: int, data: st.DataObject) -> None:
    places = st.sets(st.integers(0, 4), min_size=1, max_size=holds).map(lambda chosen: sum(1 << one for one in chosen))
    needs = data.draw(st.lists(places, min_size=1, max_size=8))
    standing = data.draw(st.just(0) | places)
    stands = load_axis(needs, holds, standing, {})
    assert count_settings(needs, stands, standing) == fewest(needs, holds, standing)
    for need, before, now in zip(needs, [standing, *stands], stands, strict=False):
        assert now & need == need and not now & ~(before | need)
        assert now.bit_count() == min(holds, (before | need).bit_count())
