"""Planer heights: each set once, as few as the greatest cut allows."""

from itertools import combinations, pairwise

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from stopwright.plan.stations.thickness import joins_at, planing_heights

PARTS = st.lists(
    st.tuples(st.integers(2, 9), st.integers(1, 6)).map(lambda pair: (pair[0] + pair[1], pair[0])),
    min_size=1,
    max_size=4,
)


def serves(parts: list[tuple[int, int]], heights: tuple[int, ...], cut: int) -> bool:
    """Whether every part comes down from rough to finished by these heights, no pass deeper than the cut."""
    for rough, finished in parts:
        passes = [rough, *(h for h in sorted(heights, reverse=True) if finished <= h < rough)]
        if passes[-1] != finished or any(a - b > cut for a, b in pairwise(passes)):
            return False
    return True


@settings(deadline=None, max_examples=150)
@given(PARTS, st.integers(1, 3))
def test_the_heights_serve_every_part_and_are_the_least_there_can_be(parts: list[tuple[int, int]], cut: int) -> None:
    heights = planing_heights(parts, cut)
    assert serves(parts, heights, cut)
    top = max(rough for rough, _ in parts)
    for fewer in range(len(heights)):
        # whole positions are enough: greatest cut and thicknesses are whole
        assert not any(serves(parts, chosen, cut) for chosen in combinations(range(1, top), fewer))


def test_a_part_joins_at_the_first_height_below_its_rough_thickness() -> None:
    heights = planing_heights([(50, 38), (27, 22)], 4)
    # 50 → 38 is 12 = 3 cuts of 4: 46, 42, 38; 27 → 22 is 5 = 2 cuts: 24 and 22
    assert heights == (46, 42, 38, 24, 22)
    assert (joins_at(50, heights), joins_at(27, heights), joins_at(42, heights)) == (46, 24, 38)


def test_heights_lie_on_the_scale() -> None:
    assert planing_heights([(45, 38)], 4, step=1) == (41, 38)
    # 7 in 2 cuts of at most 3.5 cannot be whole: 3 cuts
    assert planing_heights([(450, 380)], 35, step=10) == (420, 400, 380)
    # a scale that shows 3 too little has its marks at 383, 393 …
    assert planing_heights([(450, 383)], 35, step=10, zero=-3) == (423, 403, 383)


def test_marks_further_apart_than_the_greatest_cut_leave_the_heights_between_them() -> None:
    assert planing_heights([(450, 380)], 35, step=40) == (415, 380)


def test_a_height_that_its_scale_is_off_by_is_reckoned_with_as_it_stands() -> None:
    # 386 is read as 390: the next mark up, 420, is 30 from there, and 455 is 35 from that one
    assert planing_heights([(455, 386)], 35, 10, 0, lambda height: round(height, -1)) == (420, 386)
    # brought to 386 by a trial piece it lets the next mark lie no higher than 420, and from there 456 is too far
    assert planing_heights([(456, 386)], 35, 10) == (430, 400, 386)


@settings(deadline=None, max_examples=300)
@given(PARTS, st.integers(1, 5), st.integers(1, 4), st.integers(-3, 3))
def test_on_a_scale_every_pass_is_within_the_greatest_cut_and_the_heights_are_the_fewest(
    parts: list[tuple[int, int]], cut: int, step: int, zero: int
) -> None:
    assume(step <= cut)
    heights = planing_heights(parts, cut, step, zero)
    assert serves(parts, heights, cut)
    finished = {one for _, one in parts}
    assert all(height in finished or (height + zero) % step == 0 for height in heights)
    top = max(rough for rough, _ in parts)
    marks = [mark for mark in range(1, top) if (mark + zero) % step == 0 and mark not in finished]
    for fewer in range(len(heights) - len(finished)):
        assert not any(serves(parts, tuple({*finished, *chosen}), cut) for chosen in combinations(marks, fewer))
