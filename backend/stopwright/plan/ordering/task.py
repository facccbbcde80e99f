"""The order problem in bits: what each run needs, what an axis holds, what must come before what.

Positions of all axes share one row of bits, axis by axis, the greatest position first. Costs are whole numbers.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

UNKNOWN = 1 << 40  # more than any cost


@dataclass(frozen=True, slots=True)
class Task:
    """Runs to put in order. Runs are told apart by number, axes by number, positions by bit."""

    needs: tuple[tuple[int, ...], ...]  # [run][axis]: positions
    holds: tuple[int, ...]  # [axis]
    weights: tuple[int, ...]  # [axis]: cost of a setting
    areas: tuple[int, ...]  # [axis]: all positions of the axis
    standing: tuple[int, ...]  # [axis]: positions that stand before the first run
    before: tuple[int, ...]  # [run]: the runs that come before it, as bits
    close: tuple[dict[int, int], ...]  # [axis]: position -> positions that cannot stand with it; empty if none
    whole: tuple[int, ...] = field(init=False, repr=False, compare=False)  # [run]: positions of all axes in one row

    def __post_init__(self) -> None:
        object.__setattr__(self, "whole", tuple(union(need) for need in self.needs))

    @property
    def runs(self) -> int:
        """How many runs."""
        return len(self.needs)

    @property
    def crowded(self) -> bool:
        """Whether stops on some axis can stand in each other's way."""
        return any(self.close)

    @property
    def free(self) -> bool:
        """Whether the order may be read backwards: nothing stands at first and nothing must come before."""
        return not any(self.standing) and not any(self.before)

    def part(self, chosen: Sequence[int]) -> "Task":
        """The task of the chosen runs alone; what must come before is kept among them."""
        place = {run: i for i, run in enumerate(chosen)}
        return Task(
            tuple(self.needs[run] for run in chosen),
            self.holds,
            self.weights,
            tuple(union(self.needs[run][axis] for run in chosen) for axis in range(len(self.holds))),
            tuple(
                standing & union(self.needs[run][axis] for run in chosen) for axis, standing in enumerate(self.standing)
            ),
            tuple(sum(1 << place[other] for other in bits(self.before[run]) if other in place) for run in chosen),
            self.close,
        )


def union(masks: Iterable[int]) -> int:
    """All bits of the masks.

    >>> union([1, 4, 5])
    5
    """
    total = 0
    for mask in masks:
        total |= mask
    return total


def bits(mask: int) -> list[int]:
    """The numbers of the bits set, lowest first.

    >>> bits(0b1010)
    [1, 3]
    """
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found
