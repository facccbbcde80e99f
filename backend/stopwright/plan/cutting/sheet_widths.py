"""Strips that hold one width only, as two problems of lengths: pieces into strips, then strips into sheets.

Where no piece may be turned and every sheet is ripped the same way first, a width needs so many strips whatever else
is cut. Any layout has at least these strips, and any layout of them will do: fewest strips a width, then fewest sheets
for all strips, is the optimum where the sheets are all alike, and a bound where they are not.
"""

from collections.abc import Sequence
from dataclasses import replace

from stopwright.plan.cutting.lengthwise import Lengthwise, LengthwisePlan
from stopwright.plan.cutting.sheet_fill import Cutting, Pattern
from stopwright.plan.cutting.sheet_repack import Packing
from stopwright.plan.effort import Effort, EitherEffort, Steps

_STEPS = 300  # relaxations of one problem of lengths at most: most are proven by the first


def goes_by_widths(cutting: Cutting) -> bool:
    """Whether every strip holds one width only, and every piece lies in one way."""
    return cutting.exact and len(cutting.flips) == 1 and all(len(ways) == 1 for ways in cutting.ways[0])


def not_turned(cutting: Cutting) -> Cutting:
    """The same pieces, none of them turned: what holds them holds those that may be turned."""
    return replace(cutting, types=tuple((along, across, False) for along, across, _ in cutting.types))


def lay_widths(cutting: Cutting, effort: Effort | None) -> tuple[Packing | None, int]:
    """The packing with the fewest sheets found, and a number of sheets that none goes below.

    The problem must go by widths. Every sheet counts as being as long as the longest; no packing where that is not
    so, where sheets have zones, lie on the shelf or are too few.

    >>> pieces, sheet = ((6, 2, False), (4, 2, False)), Kind(10, 5, None, False, ())
    >>> packing, least = lay_widths(Cutting(pieces, (3, 3), (sheet,), 0, 2, True, (False,)), None)
    >>> len(packing.patterns), least  # three strips of 6 + 4, of which a sheet holds two
    (2, 2)
    """
    flipped = cutting.flips[0]
    lies = [ways[0][:2] for ways in cutting.ways[flipped]]
    rooms = [(k.width, k.length) if flipped else (k.length, k.width) for k in cutting.kinds]
    kinds = sorted(range(len(rooms)), key=lambda k: (-rooms[k][1], k))
    stock = [rooms[k][1] for k in kinds], [cutting.kinds[k].on_hand for k in kinds]
    longest = max(along for along, _ in rooms)
    widths = sorted({across for _, across in lies}, reverse=True)
    of_width = [sorted((t for t, lie in enumerate(lies) if lie[1] == w), key=lambda t: -lies[t][0]) for w in widths]
    lengths = [[lies[t][0] for t in types] for types in of_width]
    rows = [
        _plan(sizes, [cutting.demand[t] for t in types], [longest], [None], effort)
        for sizes, types in zip(lengths, of_width, strict=True)
    ]
    least = _plan(widths, [row.least_possible for row in rows], *stock, effort)
    bound = 0 if any(least.unmet) else least.least_possible
    if any(along < longest for along, _ in rooms) or any(kind.zones or kind.prefer for kind in cutting.kinds):
        return None, bound
    found = least
    if not all(row.proven for row in rows):
        found = _plan(widths, [sum(way.times for way in row.ways) for row in rows], *stock, effort)
    if any(found.unmet):
        return None, bound
    strips = [_fullest_first(row, sizes) for row, sizes in zip(rows, lengths, strict=True)]
    patterns = []
    for kind, sheet in _fullest_first(found, widths):  # so that the shortest strips lie together, and leave the most
        placed, y = [], 0
        for i in sheet:
            x = 0
            for t in (of_width[i][j] for j in strips[i].pop(0)[1]):
                placed.append((t, x, y, *lies[t], False))
                x += lies[t][0]
            y += widths[i]
        patterns.append(Pattern(kinds[kind], flipped, tuple(sorted(placed))))
    return Packing(cutting, patterns, []), bound


def _fullest_first(plan: LengthwisePlan, sizes: Sequence[int]) -> list[tuple[int, list[int]]]:
    """What each length is cut into, after its kind, by the number of the size; the fullest length first."""
    cut = [(way.kind, [i for i, n in way.counts for _ in range(n)]) for way in plan.ways for _ in range(way.times)]
    return sorted(cut, key=lambda one: (-sum(sizes[i] for i in one[1]), one))


def _plan(
    sizes: Sequence[int],
    demands: Sequence[int],
    rooms: Sequence[int],
    available: Sequence[int | None],
    effort: Effort | None,
) -> LengthwisePlan:
    """Sizes, the longest first, so often out of as few rooms as were found."""
    steps = Steps(_STEPS)
    job = Lengthwise(sizes, demands, rooms, available, [False] * len(rooms))
    return job.plan(EitherEffort(effort, steps) if effort else steps, None)
