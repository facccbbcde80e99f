"""The most worthy way to fill one board: a knapsack with a limit on each piece, in whole numbers.

Two ways of the same answer: a table over every length for short boards (Gilmore & Gomory, Operations Research 14,
1966, 1045), and lists of the fillings no other beats for long ones (Nemhauser & Ullmann, Management Science 15,
1969, 494), where a filling goes that cannot come to more than is asked even if the rest filled perfectly.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

SHORT = 3000
"""Boards up to this long are filled by a table."""
_AT_MOST = 6

Fill = tuple[tuple[int, int], ...]
"""(which piece, how many), pieces ascending."""


class Bundle(NamedTuple):
    """Several pieces of one size taken together; bundles of 1, 2, 4 … and a rest make every number up to a limit."""

    piece: int
    pieces: int
    size: int
    worth: int


def worthy_fills(
    sizes: Sequence[int], worth: Sequence[int], most: Sequence[int], room: int, beat: int
) -> tuple[list[Fill], int]:
    """Some fills of `room` worth more than `beat`, the most worthy first, and a worth that no fill exceeds.

    `most` limits how many of each piece one board takes. The greatest worth is exact when it is above `beat`.

    >>> worthy_fills([5, 4, 3], [5, 4, 3], [1, 2, 2], 9, 8)
    ([((0, 1), (1, 1))], 9)
    """
    bundles = _bundles(sizes, worth, most, room)
    if not bundles:
        return [], max(0, beat)
    return (_by_table if room <= SHORT else _by_lists)(bundles, room, beat)


def all_full_fills(sizes: Sequence[int], most: Sequence[int], room: int, limit: int) -> list[Fill] | None:
    """Every fill of `room` that takes not one piece more; None when they are more than `limit`, or too many to look.

    >>> all_full_fills([5, 4], [1, 2], 9, 10)
    [((0, 1), (1, 1)), ((1, 2),)]
    """
    fills: list[Fill] = []
    rest_of = [0] * (len(sizes) + 1)
    for i in range(len(sizes) - 1, -1, -1):
        rest_of[i] = rest_of[i + 1] + sizes[i] * most[i]
    looks = 20 * limit + 1000
    stack: list[tuple[int, int, Fill, int]] = [(0, room, (), room + 1)]  # last: smallest piece there, yet left out
    while stack:
        i, free, counts, spared = stack.pop()
        looks -= 1
        if looks < 0 or len(fills) > limit:
            return None
        if i == len(sizes):
            if counts:
                fills.append(counts)
            continue
        for n in range(min(most[i], free // sizes[i]) + 1):
            now_spared = min(spared, sizes[i]) if n < most[i] else spared
            if free - n * sizes[i] - rest_of[i + 1] < now_spared:  # else a spared piece fits beside all the rest
                stack.append((i + 1, free - n * sizes[i], (*counts, (i, n)) if n else counts, now_spared))
    return fills


def fills_with_little_waste(
    sizes: Sequence[int], most: Sequence[int], room: int, waste: int, limit: int
) -> list[Fill] | None:
    """Every fill that leaves at most `waste` of `room`; None when they are more than `limit`, or too many to look.

    >>> fills_with_little_waste([5, 4], [2, 2], 9, 1, 10)
    [((0, 1), (1, 1)), ((1, 2),)]
    """
    fills: list[Fill] = []
    rest_of = [0] * (len(sizes) + 1)
    for i in range(len(sizes) - 1, -1, -1):
        rest_of[i] = rest_of[i + 1] + sizes[i] * most[i]
    looks = 20 * limit + 1000
    stack: list[tuple[int, int, Fill]] = [(0, room, ())]
    while stack:
        i, free, counts = stack.pop()
        looks -= 1
        if looks < 0 or len(fills) > limit:
            return None
        if i == len(sizes):
            if counts:
                fills.append(counts)
            continue
        least = max(0, -(-(free - rest_of[i + 1] - waste) // sizes[i]))
        stack += [
            (i + 1, free - n * sizes[i], (*counts, (i, n)) if n else counts)
            for n in range(least, min(most[i], free // sizes[i]) + 1)
        ]
    return fills


def _bundles(sizes: Sequence[int], worth: Sequence[int], most: Sequence[int], room: int) -> list[Bundle]:
    bundles: list[Bundle] = []
    for i in sorted(range(len(sizes)), key=lambda i: (-worth[i] / sizes[i], i)):
        left = min(most[i], room // sizes[i]) if worth[i] > 0 else 0
        count = 1
        while left > 0:
            take = min(count, left)
            bundles.append(Bundle(i, take, take * sizes[i], take * worth[i]))
            left -= take
            count *= 2
    return bundles


def _by_table(bundles: Sequence[Bundle], room: int, beat: int) -> tuple[list[Fill], int]:
    best = np.zeros(room + 1, dtype=np.int64)
    taken = np.zeros((len(bundles), room + 1), dtype=np.bool_)
    reached: list[tuple[int, int]] = []  # (worth, last bundle): another fill each time the best rises
    for b, (_, _, size, worth) in enumerate(bundles):
        with_it = best[:-size] + worth
        np.greater(with_it, best[size:], out=taken[b, size:])
        np.maximum(with_it, best[size:], out=best[size:])
        if taken[b, room]:
            reached.append((int(best[room]), b))
    fills: list[Fill] = []
    for value, last in reached[: -_AT_MOST - 1 : -1]:
        if value <= beat:
            break
        counts: dict[int, int] = {}
        at = room
        for b in range(last, -1, -1):
            if taken[b, at]:
                counts[bundles[b].piece] = counts.get(bundles[b].piece, 0) + bundles[b].pieces
                at -= bundles[b].size
        fills.append(tuple(sorted(counts.items())))
    return fills, int(best[room])


def _by_lists(bundles: Sequence[Bundle], room: int, beat: int) -> tuple[list[Fill], int]:
    size = np.zeros(1, dtype=np.int64)
    worth = np.zeros(1, dtype=np.int64)
    came_from: list[npt.NDArray[np.int64]] = []  # per bundle: the state before, or -1 - it where the bundle was taken
    reached: list[tuple[int, int, int]] = []
    rates = [bundle.worth / bundle.size for bundle in bundles[1:]] + [0.0]
    top = 0
    for b, (bundle, rate) in enumerate(zip(bundles, rates, strict=True)):
        before = len(size)
        fits = int(np.searchsorted(size, room - bundle.size, side="right"))
        sizes = np.concatenate((size, size[:fits] + bundle.size))
        worths = np.concatenate((worth, worth[:fits] + bundle.worth))
        order = np.argsort(sizes, kind="stable")
        sizes, worths = sizes[order], worths[order]
        peak = np.maximum.accumulate(worths)
        keep = np.empty(len(order), dtype=np.bool_)
        keep[0] = True
        np.greater(worths[1:], peak[:-1], out=keep[1:])
        hoped = max(beat, int(peak[-1]))
        keep &= worths + (room - sizes) * rate >= hoped - (2 + hoped * 1e-12)
        size, worth = sizes[keep], worths[keep]
        came_from.append(np.where(order < before, order, before - 1 - order)[keep])
        if not len(size):
            break
        if worth[-1] > max(top, beat):
            top = int(worth[-1])
            reached.append((top, b, len(size) - 1))
    fills: list[Fill] = []
    for _, last, state in reached[: -_AT_MOST - 1 : -1]:
        counts: dict[int, int] = {}
        for b in range(last, -1, -1):
            state = int(came_from[b][state])
            if state < 0:
                state = -1 - state
                counts[bundles[b].piece] = counts.get(bundles[b].piece, 0) + bundles[b].pieces
        fills.append(tuple(sorted(counts.items())))
    return fills, max(top, beat)
