"""How many sheets are needed whatever the layout: area, and area after dual feasible functions.

A dual feasible function maps sides so that sides which fit into one sheet side together still do. Pieces whose
length and width are mapped by two such functions still pack into one sheet, so their area bounds the number of
sheets. Functions after Fekete & Schepers (Mathematical Methods of Operations Research 60, 2004, 311) and
Carlier, Clautiaux & Moukrim (Computers & Operations Research 34, 2007, 2223).
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from stopwright.plan.cutting.sheet_fill import Cutting

Sides = npt.NDArray[np.float64]

# Each threshold gives three functions; this many of each tell nearly all.
_THRESHOLDS = 80
_MULTIPLES = 24


def least_sheets(cutting: Cutting, demand: Sequence[int] | None = None) -> int:
    """A number of sheets below which no layout, guillotine or not, can place `demand` (all pieces when None).

    Sheets of several sizes count as if all were as long as the longest and as wide as the widest.
    """
    wanted = cutting.demand if demand is None else demand
    if not any(wanted):
        return 0
    long = max(kind.length for kind in cutting.kinds)
    wide = max(kind.width for kind in cutting.kinds)
    lies = [[way for way in ways if way[0] <= long and way[1] <= wide] for ways in cutting.ways[0]]
    sides = [sorted({way[axis] for ways, n in zip(lies, wanted, strict=True) if n for way in ways}) for axis in (0, 1)]
    along = _mapped(sides[0], long, _row(lies, wanted, 0))
    across = _mapped(sides[1], wide, _row(lies, wanted, 1))
    at = [{side: i for i, side in enumerate(axis)} for axis in sides]
    total = np.zeros((len(along), len(across)))
    for ways, n in zip(lies, wanted, strict=True):
        if n:
            mapped = [np.outer(along[:, at[0][way[0]]], across[:, at[1][way[1]]]) for way in ways]
            total += n * (np.minimum(*mapped) if len(mapped) > 1 else mapped[0])
    # A hair is taken off so that a rounding error never claims one sheet more.
    return max(int(np.ceil(total.max() * (1 - 1e-11) - 1e-9)), _by_area(cutting, wanted))


def _by_area(cutting: Cutting, wanted: Sequence[int]) -> int:
    """The fewest sheets of the stock, largest first, that have the area of the pieces."""
    area = sum(n * a for n, a in zip(wanted, cutting.areas, strict=True))
    sheets = 0
    for kind in sorted(cutting.kinds, key=lambda k: -k.length * k.width):
        one = kind.length * kind.width
        enough = -(-area // one)
        if kind.on_hand is None or enough <= kind.on_hand:
            return sheets + enough
        sheets += kind.on_hand
        area -= kind.on_hand * one
    return sheets


def _row(lies: Sequence[Sequence[tuple[int, int, bool]]], wanted: Sequence[int], axis: int) -> Sides:
    """All sides that may have to lie in one row, each as often as there are pieces, shortest first."""
    row = [way[axis] for ways, n in zip(lies, wanted, strict=True) for way in ways for _ in range(n)]
    return np.sort(np.array(row, dtype=np.float64))


def _mapped(sides: Sequence[int], whole: int, row: Sides) -> Sides:
    """Every function applied to every side, one row a function, the whole sheet side being 1."""
    x = np.array(sides, dtype=np.float64)
    out = [x / whole]
    thresholds = sorted({k for side in sides for k in (side, whole - side) if 0 < 2 * k <= whole})
    stride = -(-len(thresholds) // _THRESHOLDS) or 1
    for k in thresholds[::stride]:
        large, small = x > whole - k, x < k
        out.append(np.where(large, 1.0, np.where(small, 0.0, x / whole)))
        folds = whole // k
        over = 2 * (folds - np.floor((whole - x) / k))
        out.append(np.where(2 * x > whole, over, np.where(2 * x == whole, folds, 2 * np.floor(x / k))) / (2 * folds))
        inside = row[(row >= k) & (2 * row <= whole)]
        if len(inside):
            filled = np.cumsum(inside)
            most = np.searchsorted(filled, whole, side="right")
            beside = np.searchsorted(filled, whole - x, side="right")
            count = np.where(2 * x > whole, most - beside, np.where(small, 0, 1))
            if most:
                out.append(count / most)
    for k in range(1, _MULTIPLES):
        times = (k + 1) * x
        even = np.mod(times, whole) == 0
        out.append(np.where(even, x / whole, np.floor(times / whole) / k))
    return np.unique(np.array(out), axis=0)
