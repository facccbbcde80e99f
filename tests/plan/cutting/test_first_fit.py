"""Boards filled one after the other: lengths in whole nanometres are no too large numbers."""

from stopwright.plan.cutting.columns import Pattern
from stopwright.plan.cutting.first_fit import fullest_first
from stopwright.plan.effort import Steps


def test_lengths_that_share_no_coarser_unit_are_weighed_without_running_over() -> None:
    """Three of 728.2 mm fit into 2393.2; the square of such a length in nm, times three, is more than 64 bits hold."""
    found = fullest_first([728_200_000, 131_313_131], [7, 2], [2_393_200_000], [None], [0], Steps(50))
    placed = [sum(times * dict(pattern.counts).get(size, 0) for pattern, times in found) for size in (0, 1)]
    assert placed == [7, 2]
    assert found[0][0] == Pattern(0, ((0, 3), (1, 1)))


def test_small_numbers_are_weighed_as_they_are() -> None:
    assert fullest_first([6, 4], [1, 2], [10], [None], [0], Steps(50)) == [
        (Pattern(0, ((0, 1), (1, 1))), 1),
        (Pattern(0, ((1, 1),)), 1),
    ]
