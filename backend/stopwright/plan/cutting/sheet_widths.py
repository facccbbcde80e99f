"""Strips that hold one width only, as two problems of lengths: pieces into strips, then strips into sheets.

Where no piece may be turned and every sheet is ripped the same way first, a width needs so many strips whatever else
is cut. Any layout has at least these strips, and any layout of them will do: fewest strips a width, then fewest sheets
for all strips, is the optimum where the sheets are all of one length, and a bound where they are not.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from stopwright.plan.cutting.lengthwise import Lengthwise, LengthwisePlan
from stopwright.plan.cutting.sheet_fill import Cutting, Pattern
from stopwright.plan.cutting.sheet_repack import Packing
from stopwright.plan.effort import Effort, EitherEffort, Steps

_STEPS = 300  # relaxations of one problem of lengths at most: most are proven by the first

Lie = tuple[int, int, int, bool]
"""One way a type may lie: along the strip, the type, across the strip, whether it is turned."""


@dataclass(frozen=True)
class Widths:
    """A problem of exact strips, every sheet ripped the same way first, seen as strips of its widths.

    `of_width` has every way a piece may lie by its width, widest first, the longest piece first within one. A sheet
    counts as being as long as the longest.
    """

    cutting: Cutting
    of_width: Mapping[int, Sequence[Lie]]
    longest: int
    kinds: Sequence[int]
    rooms: Sequence[int]
    alike: bool

    def stack(self, counts: Mapping[int, int], effort: Effort | None) -> LengthwisePlan:
        """So many strips of each width, at least one, on the fewest sheets; sizes and kinds are numbered as here."""
        available = [self.cutting.kinds[k].on_hand for k in self.kinds]
        return _lengthwise(list(counts), list(counts.values()), self.rooms, available, effort)

    def packing(self, strips: Mapping[int, Sequence[Sequence[Lie]]], effort: Effort | None) -> Packing | None:
        """These strips, by their width, on the fewest sheets found; pieces above what is wanted are left out.

        None where sheets are of several lengths, have zones, lie on the shelf or are too few.
        """
        if not self.alike:
            return None
        stack = self.stack({width: len(of) for width, of in strips.items()}, effort)
        if any(stack.unmet):
            return None
        left, widths = list(self.cutting.demand), list(strips)
        waiting = {width: sorted(of, key=lambda s: (-sum(lie[0] for lie in s), s)) for width, of in strips.items()}
        sheets = [
            (way.kind, [widths[i] for i, n in way.counts for _ in range(n)])
            for way in stack.ways
            for _ in range(way.times)
        ]
        patterns = []
        # Fullest strips onto the fullest sheets, so that the shortest lie together and leave the most.
        for kind, sheet in sorted(sheets, key=lambda one: (-sum(one[1]), one)):
            placed, y = [], 0
            for width in sheet:
                x = 0
                for along, t, across, turned in waiting[width].pop(0):
                    if left[t]:
                        left[t] -= 1
                        placed.append((t, x, y, along, across, turned))
                        x += along
                y += width
            if placed:
                patterns.append(Pattern(self.kinds[kind], self.cutting.flips[0], tuple(sorted(placed))))
        return Packing(self.cutting, patterns, [t for t, n in enumerate(left) for _ in range(n)])


def widths_of(cutting: Cutting) -> Widths | None:
    """The problem as strips of its widths; None where strips hold several widths, or sheets are ripped either way."""
    if not cutting.exact or len(cutting.flips) > 1:
        return None
    flipped = cutting.flips[0]
    rooms = [(k.width, k.length) if flipped else (k.length, k.width) for k in cutting.kinds]
    longest, widest = max(along for along, _ in rooms), max(across for _, across in rooms)
    lies = [(a, t, b, turned) for t, ways in enumerate(cutting.ways[flipped]) for a, b, turned in ways]
    lies = sorted((lie for lie in lies if lie[0] <= longest and lie[2] <= widest), key=lambda lie: (-lie[0], lie[1]))
    kinds = sorted(range(len(rooms)), key=lambda k: (-rooms[k][1], k))
    return Widths(
        cutting,
        {width: [lie for lie in lies if lie[2] == width] for width in sorted({lie[2] for lie in lies}, reverse=True)},
        longest,
        kinds,
        [rooms[k][1] for k in kinds],
        all(along == longest for along, _ in rooms) and not any(k.zones or k.prefer for k in cutting.kinds),
    )


def straight(cutting: Cutting) -> Cutting:
    """The same pieces, none of them turned: what holds them holds those that may be turned."""
    return replace(cutting, types=tuple((along, across, False) for along, across, _ in cutting.types))


def lay_straight(widths: Widths, effort: Effort | None) -> tuple[Packing | None, int]:
    """The packing with the fewest sheets found (None: see `Widths.packing`), and a number of sheets none goes below.

    Every piece must lie in one way only.

    >>> from stopwright.plan.cutting.sheet_fill import Kind
    >>> pieces, sheet = ((6, 2, False), (4, 2, False)), Kind(10, 5, None, False, ())
    >>> widths = widths_of(Cutting(pieces, (3, 3), (sheet,), 0, 2, True, (False,)))
    >>> packing, least = lay_straight(widths, None)
    >>> len(packing.patterns), least  # three strips of 6 + 4, of which a sheet holds two
    (2, 2)
    """
    demand = widths.cutting.demand
    rows = {
        width: _lengthwise([lie[0] for lie in lies], [demand[lie[1]] for lie in lies], [widths.longest], [None], effort)
        for width, lies in widths.of_width.items()
    }
    least = widths.stack({width: row.least_possible for width, row in rows.items()}, effort)
    strips = {
        width: [
            [widths.of_width[width][i] for i, n in way.counts for _ in range(n)]
            for way in row.ways
            for _ in range(way.times)
        ]
        for width, row in rows.items()
    }
    return widths.packing(strips, effort), 0 if any(least.unmet) else least.least_possible


def _lengthwise(
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
