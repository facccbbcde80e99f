"""Every fill of a board that is worth enough, where they are few."""

from collections.abc import Sequence

import numpy as np

from stopwright.plan.cutting.fill import SHORT, Fill


def fills_worth(
    sizes: Sequence[int], worth: Sequence[int], most: Sequence[int], room: int, least: int, limit: int
) -> list[Fill] | None:
    """Every fill of `room` that is worth `least` or more; None when they are more than `limit`, or too many to look.

    Piece by piece, a filling goes that cannot come to `least` with the pieces to come. What these are worth at most is
    in a table over the room left; for long boards room and pieces are rounded down in it, so that none is missed.

    >>> fills_worth([5, 4, 3], [5, 4, 3], [1, 2, 2], 9, 8, 10)
    [((0, 1), (1, 1)), ((1, 2),), ((0, 1), (2, 1))]
    """
    unit = -(-room // SHORT)
    ahead = np.zeros((len(sizes) + 1, room // unit + 1), dtype=np.int64)
    for i in range(len(sizes) - 1, -1, -1):
        ahead[i] = ahead[i + 1]
        for n in range(1, min(most[i], room // sizes[i]) + 1):
            with_them = ahead[i, n * sizes[i] // unit :]
            np.maximum(with_them, ahead[i + 1, : len(with_them)] + n * worth[i], out=with_them)
    free, gained = np.array([room]), np.array([0])
    came_from, taken = [], []
    for i, (size, value) in enumerate(zip(sizes, worth, strict=True)):
        before, counts = [], []
        for n in range(min(most[i], room // size) + 1):
            fits = np.flatnonzero(free >= n * size)
            hoped = gained[fits] + n * value + ahead[i + 1, (free[fits] - n * size) // unit]
            before.append(fits[hoped >= least])
            counts.append(np.full(len(before[-1]), n))
        came_from.append(np.concatenate(before))
        taken.append(np.concatenate(counts))
        if len(taken[-1]) > limit:
            return None
        free = free[came_from[-1]] - taken[-1] * size
        gained = gained[came_from[-1]] + taken[-1] * value
    state = np.arange(len(free))
    fills = np.zeros((len(free), len(sizes)), dtype=np.int64)
    for i in range(len(sizes) - 1, -1, -1):
        fills[:, i] = taken[i][state]
        state = came_from[i][state]
    return [tuple((int(i), int(fill[i])) for i in np.flatnonzero(fill)) for fill in fills if fill.any()]
