"""Planer heights: each set once, as few as the greatest cut allows."""

from itertools import combinations, pairwise

from hypothesis import given, settings
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


def test_heights_lie_on_the_scale_where_that_keeps_every_cut_small_enough() -> None:
    assert planing_heights([(45, 38)], 4, step=1) == (41, 38)
    # 7 in 2 cuts of at most 3.5 cannot be whole: the even height stays
    assert planing_heights([(450, 380)], 35, step=10) == (415, 380)
