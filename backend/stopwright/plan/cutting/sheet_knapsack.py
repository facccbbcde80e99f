"""A knapsack over the length or width of a sheet that remembers how each worth came about."""

from collections.abc import Callable, Sequence
from math import gcd

import numpy as np
import numpy.typing as npt

Worths = npt.NDArray[np.int64]
Taken = npt.NDArray[np.bool_]

# A knapsack of more places than this takes longer than a person waits; sizes are then rounded to a coarse grid.
_PLACES = 13_000
_COARSE = 4_000


class Row:
    """Worths of the best filling by the room used, and the steps that led there.

    >>> row = Row(10)
    >>> row.add(size=4, worth=5, most=3, name=0)
    >>> row.add(size=3, worth=4, most=3, name=1)
    >>> int(row.worth[10]), row.taken(10, 0, len(row.steps))  # 4 + 3 + 3
    (13, [(1, 2), (0, 1)])
    """

    def __init__(self, room: int) -> None:
        self.worth: Worths = np.zeros(room + 1, dtype=np.int64)
        self.steps: list[tuple[Taken, int, int, int]] = []  # where it was taken from `step` on, step, name, portion
        self._taking: Worths = np.empty(room + 1, dtype=np.int64)

    def add(self, size: int, worth: int, most: int, name: int) -> None:
        """Allow up to `most` of one thing, in portions of 1, 2, 4 …"""
        portion = 1
        room = len(self.worth) - 1
        most = min(most, room // size if size else most)
        while most > 0:
            portion = min(portion, most)
            step = size * portion
            # In place: fresh memory for every step would cost more than the sums.
            without, taking = self.worth[step:], self._taking[step:]
            np.add(self.worth[: room + 1 - step], worth * portion, out=taking)
            self.steps.append((np.greater(taking, without), step, name, portion))
            np.maximum(taking, without, out=without)
            most -= portion
            portion *= 2

    def forget(self) -> None:
        """Begin with an empty room; the steps so far stay."""
        self.worth.fill(0)

    def taken(self, place: int, start: int, end: int) -> list[tuple[int, int]]:
        """What makes up the worth at `place` after the steps `start` to `end`: (name, count)."""
        out = []
        for taken, step, name, portion in reversed(self.steps[start:end]):
            if place >= step and taken[place - step]:
                out.append((name, portion))
                place -= step
        return out


def grid_for(room: int, sizes: Sequence[int]) -> tuple[int, bool]:
    """The unit in which a knapsack is done, and whether sizes have to be rounded to it."""
    unit = gcd(*sizes) if sizes else room
    if room // unit <= _PLACES:
        return unit, False
    return -(-room // _COARSE), True


def scale_to(unit: int, roomy: bool) -> Callable[[int], int]:
    """Sizes in units, rounded down when the answer is to be an upper bound (`roomy`), else up."""
    return (lambda size: size // unit) if roomy else (lambda size: -(-size // unit))
