"""The same ways of cutting, pieces exchanged between them so that what is left is in few, long offcuts."""

from collections.abc import Sequence
from itertools import combinations

from stopwright.plan.cutting.fill import worthy_fills
from stopwright.plan.cutting.ways import Way, merged
from stopwright.plan.effort import Effort


def longer_offcuts(ways: Sequence[Way], sizes: Sequence[int], rooms: Sequence[int], effort: Effort) -> list[Way]:
    """Ways for the same pieces from the same boards, no more of them, with the rests gathered in as few as possible.

    Any two ways used equally often share out their pieces anew: one is filled as full as it can be, the other
    keeps the long rest; again and again while a rest gets longer (the sum of the squares of the rests grows).

    >>> longer_offcuts([Way(0, ((0, 1), (1, 1)), 1), Way(0, ((0, 1),), 1)], [5, 4], [10], lambda: False)
    [Way(kind=0, counts=((0, 2),), times=1), Way(kind=0, counts=((1, 1),), times=1)]
    """
    best = list(ways)
    gained = True
    while gained:
        gained = False
        for a, b in combinations(range(len(best)), 2):
            if best[a].times != best[b].times or 0 in (_rest(best[a], sizes, rooms), _rest(best[b], sizes, rooms)):
                continue
            if effort():
                return merged(best)
            if (pair := _shared_out(best[a], best[b], sizes, rooms)) is not None:
                best[a], best[b] = pair
                gained = True
    return merged(best)


def _rest(way: Way, sizes: Sequence[int], rooms: Sequence[int]) -> int:
    return rooms[way.kind] - sum(sizes[i] * n for i, n in way.counts)


def _shared_out(one: Way, other: Way, sizes: Sequence[int], rooms: Sequence[int]) -> tuple[Way, Way] | None:
    """The two ways with one of them fuller than either was, if that can be and the rest fits the other board."""
    pieces: dict[int, int] = dict(one.counts)
    for i, n in other.counts:
        pieces[i] = pieces.get(i, 0) + n
    order = sorted(pieces)
    lengths = [sizes[i] for i in order]
    together = sum(sizes[i] * n for i, n in pieces.items())
    squares_now = _rest(one, sizes, rooms) ** 2 + _rest(other, sizes, rooms) ** 2
    best: tuple[int, tuple[Way, Way]] | None = None
    for fuller, emptier in ((one, other), (other, one)):
        fills, _ = worthy_fills(lengths, lengths, [pieces[i] for i in order], rooms[fuller.kind], 0)
        full = {order[i]: n for i, n in fills[0]}
        filled = sum(sizes[i] * n for i, n in full.items())
        left = rooms[emptier.kind] - (together - filled)
        squares = (rooms[fuller.kind] - filled) ** 2 + left**2
        if left < 0 or squares <= max(squares_now, best[0] if best else 0):
            continue
        remaining = tuple((i, pieces[i] - full.get(i, 0)) for i in order if pieces[i] > full.get(i, 0))
        if not remaining:
            continue
        pair = fuller._replace(counts=tuple(sorted(full.items()))), emptier._replace(counts=remaining)
        best = squares, pair
    return best[1] if best else None
