"""Two-stage layouts by column generation: strips across the sheet, lengths along each strip.

The strip of each width worth most and the row of strips worth most are both knapsacks (Gilmore & Gomory,
Operations Research 13, 1965, 94). Pieces in increasing width share one knapsack, so one pass prices the
strips of every width. Demand limits each strip but not the row of strips: the worth found is an upper bound.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from stopwright.plan.cutting.patterns import Pattern as Way
from stopwright.plan.cutting.patterns import Priced, StockKind, solve_cutting_stock
from stopwright.plan.cutting.sheet_fill import Cutting, Pattern
from stopwright.plan.cutting.sheet_knapsack import Row, grid_for, scale_to
from stopwright.plan.cutting.sheet_repack import Packing
from stopwright.plan.effort import Effort, Steps

# Knapsack places worked through while a person waits, about half a second.
_KNAPSACK_WORK = 50_000_000


class Lie(NamedTuple):
    """One way a type may lie: along the strip, across it."""

    across: int
    along: int
    type: int
    turned: bool


Strip = tuple[int, list[Lie]]  # its width, what is cut from it


class _Table(NamedTuple):
    """The strips of every width priced along one direction, for any length up to the longest sheet."""

    lies: list[Lie]
    row: Row
    ends: list[tuple[int, int, int, tuple[int, ...]]]  # width, first and last step, worth by kind of sheet


class StripPricing:
    """Prices two-stage patterns of one problem, in every direction its first cuts may take."""

    def __init__(self, cutting: Cutting) -> None:
        self.cutting = cutting
        self.lies: list[list[Lie]] = []
        self.rooms = []
        for flipped, lying in enumerate(cutting.ways):
            rooms = [(k.width, k.length) if flipped else (k.length, k.width) for k in cutting.kinds]
            along, across = max(a for a, _ in rooms), max(b for _, b in rooms)
            every = (Lie(w[1], w[0], t, w[2]) for t, ways in enumerate(lying) for w in ways)
            lies = sorted(lie for lie in every if lie.along <= along and lie.across <= across)
            self.lies.append(lies)
            self.rooms.append(rooms)
        # One grid a direction: what lies along a sheet when flipped is what else lies across it.
        self.grids = [
            (
                grid_for(max(a for a, _ in rooms), [lie.along for lie in lies]),
                grid_for(max(b for _, b in rooms), [lie.across for lie in lies]),
            )
            for lies, rooms in zip(self.lies, self.rooms, strict=True)
        ]
        places = [
            len(lies) * a // along + len({lie.across for lie in lies}) * sum(b for _, b in rooms) // across
            for lies, rooms, ((along, _), (across, _)) in zip(self.lies, self.rooms, self.grids, strict=True)
            for a in [max(a for a, _ in rooms)]
        ]
        # Places of one question in all directions: a knapsack of lengths for all kinds, one of widths for each.
        self.work = 1 + sum(places[flipped] for flipped in cutting.flips)
        self._known: tuple[tuple[int, ...], tuple[int, ...]] = ((), ())
        self._tables: dict[tuple[bool, bool], _Table] = {}

    def price(self, worth: Sequence[int], kind: int, most: Sequence[int], beat: int) -> Priced:
        """Patterns of one kind of sheet worth more than `beat`, and a worth that none exceeds."""
        found: dict[Way, int] = {}
        limit = 0
        for flipped in self.cutting.flips:
            best, strips = self._best(worth, kind, most, flipped, roomy=True)
            limit = max(limit, best)
            if best <= beat or self.cutting.kinds[kind].zones:
                continue
            if any(rounded for _, rounded in self.grids[flipped]):
                _, strips = self._best(worth, kind, most, flipped, roomy=False)
            way = self._way(kind, flipped, strips)
            if any(n > most[t] for t, n in way.counts):
                # As it is the pattern closes the relaxation; mended it is of more use for whole numbers.
                found.setdefault(way, sum(worth[t] * n for t, n in way.counts))
                way = self._way(kind, flipped, self._mend(strips, worth, kind, most, flipped))
            found.setdefault(way, sum(worth[t] * n for t, n in way.counts))
        ways = sorted((way for way in found if found[way] > beat), key=lambda way: (-found[way], way.counts))
        return Priced(ways, max(limit, beat))

    def _table(self, worth: Sequence[int], most: Sequence[int], flipped: bool, roomy: bool) -> _Table:
        """All strips priced; kept, since every kind of sheet asks for the same."""
        asked = (tuple(worth), tuple(most))
        if self._known != asked:
            self._known = asked
            self._tables = {}
        table = self._tables.get((flipped, roomy))
        if table is None:
            lies = [lie for lie in self.lies[flipped] if worth[lie.type] > 0 and most[lie.type] > 0]
            unit = self.grids[flipped][0][0]
            scale = scale_to(unit, roomy)
            places = [along // unit for along, _ in self.rooms[flipped]]
            row = Row(max(places))
            ends: list[tuple[int, int, int, tuple[int, ...]]] = []
            start = 0
            for n, lie in enumerate(lies):
                row.add(scale(lie.along), worth[lie.type], most[lie.type], n)
                if n + 1 == len(lies) or lies[n + 1].across != lie.across:
                    ends.append((lie.across, start, len(row.steps), tuple(int(row.worth[at]) for at in places)))
                    if self.cutting.exact:
                        start = len(row.steps)
                        row.forget()
            table = self._tables[flipped, roomy] = _Table(lies, row, ends)
        return table

    def _best(
        self, worth: Sequence[int], kind: int, most: Sequence[int], flipped: bool, roomy: bool
    ) -> tuple[int, list[Strip]]:
        """The row of strips worth most; `roomy` rounds for an upper bound, else so that everything fits."""
        table = self._table(worth, most, flipped, roomy)
        (unit, _), (unit_across, _) = self.grids[flipped]
        along, across = self.rooms[flipped][kind]
        place = along // unit
        stack = Row(across // unit_across)
        scale = scale_to(unit_across, roomy)
        top = 0
        for n, (width, _, _, worths) in enumerate(table.ends):
            value = worths[kind]
            # A wider strip worth no more is never wanted.
            if value and (self.cutting.exact or value > top):
                top = value
                stack.add(scale(width), value, len(stack.worth), n)
        chosen: list[Strip] = []
        for n, count in stack.taken(len(stack.worth) - 1, 0, len(stack.steps)):
            width, first, last, _ = table.ends[n]
            inside = [table.lies[i] for i, times in table.row.taken(place, first, last) for _ in range(times)]
            chosen += [(width, inside)] * count
        return int(stack.worth[-1]), chosen

    def _mend(
        self, strips: Sequence[Strip], worth: Sequence[int], kind: int, most: Sequence[int], flipped: bool
    ) -> list[Strip]:
        """The strips again, one after the other, none with more pieces than there are left to cut."""
        along, across = self.rooms[flipped][kind]
        every = self._table(worth, most, flipped, roomy=True).lies
        lies = [lie for lie in every if lie.along <= along and lie.across <= across]
        left = list(most)
        unit = self.grids[flipped][0][0]
        scale = scale_to(unit, roomy=False)
        out: list[Strip] = []
        room = across
        widths = sorted((width for width, _ in strips), reverse=True)
        while widths:
            width = widths.pop(0)
            row = Row(along // unit)
            inside: list[Lie] = []
            ahead = left[:]
            for n, lie in enumerate(lies):
                if lie.across <= width and (not self.cutting.exact or lie.across == width):
                    row.add(scale(lie.along), worth[lie.type], left[lie.type], n)
            for n, count in row.taken(len(row.worth) - 1, 0, len(row.steps)):
                for _ in range(min(count, ahead[lies[n].type])):
                    ahead[lies[n].type] -= 1
                    inside.append(lies[n])
            if inside:
                left = ahead
                out.append((max(lie.across for lie in inside), inside))
                room -= out[-1][0]
            if not widths and inside:
                # What the mending freed may hold one more strip.
                further = [lie.across for lie in lies if left[lie.type] and lie.across <= room]
                widths = [max(further)] if further else []
        return out

    def _way(self, kind: int, flipped: bool, strips: Sequence[Strip]) -> Way:
        placed = []
        y = 0
        counts: dict[int, int] = {}
        for width, inside in strips:
            x = 0
            for lie in inside:
                placed.append((lie.type, x, y, lie.along, lie.across, lie.turned))
                counts[lie.type] = counts.get(lie.type, 0) + 1
                x += lie.along
            y += width
        return Way(kind, tuple(sorted(counts.items())), Pattern(kind, flipped, tuple(sorted(placed))))


def lay_repeats(cutting: Cutting, effort: Effort, steep: float) -> Packing:
    """A packing made by using the best sheet as often as the pieces allow, then the best for the rest, and so on.

    A piece is worth its area to the power `steep`; above 1 the large pieces go first.
    """
    pricing = StripPricing(cutting)
    top = max(cutting.areas)
    worth = [int(2**30 * (area / top) ** steep) + 1 for area in cutting.areas]
    left = list(cutting.demand)
    stock = [kind.on_hand for kind in cutting.kinds]
    uses: list[tuple[Way, int]] = []
    while any(left) and not effort():
        best: tuple[bool, float, Way] | None = None
        for k, kind in enumerate(cutting.kinds):
            if stock[k] == 0:
                continue
            for way in pricing.price(worth, k, left, 0).patterns:
                if all(n <= left[t] for t, n in way.counts):
                    density = sum(worth[t] * n for t, n in way.counts) / (kind.length * kind.width)
                    if best is None or (kind.prefer, density) > best[:2]:
                        best = (kind.prefer, density, way)
                    break
        if best is None:
            break
        way = best[2]
        times = min(left[t] // n for t, n in way.counts)
        held = stock[way.kind]
        if held is not None:
            times = min(times, held)
            stock[way.kind] = held - times
        for t, n in way.counts:
            left[t] -= n * times
        uses.append((way, times))
    return packing_of(cutting, uses)


def lay_strips(
    cutting: Cutting, effort: Effort | None, start: Packing, pool: Iterable[Pattern], bound: int
) -> tuple[Packing, int]:
    """The best packing found in two stages, and a number of sheets that two stages cannot go below.

    `start` is a known packing (of any stages) to better, `pool` further sheets to choose from, `bound` a known
    number of sheets. Without an effort the relaxation is asked a limited number of times, and the slow choice
    among all sheets met is left out.
    """
    pricing = StripPricing(cutting)
    asked = max(20, min(300, _KNAPSACK_WORK // pricing.work))
    found = solve_cutting_stock(
        cutting.demand,
        [StockKind(1, kind.on_hand) for kind in cutting.kinds],
        pricing.price,
        effort or Steps(asked),
        unmet_cost=sum(cutting.demand) + 1,
        start=[[(_as_way(p), 1) for p in start.patterns]],
        known=[_as_way(p) for p in pool],
        bound=bound,
        whole_nodes=50 if effort else 0,
    )
    return packing_of(cutting, found.uses), found.bound


def _as_way(pattern: Pattern) -> Way:
    return Way(pattern.kind, tuple(sorted(pattern.counts().items())), pattern)


def packing_of(cutting: Cutting, uses: Sequence[tuple[Way, int]]) -> Packing:
    """The packing that a choice of columns stands for, without the pieces that are too many."""
    left = list(cutting.demand)
    patterns = []
    for way, times in uses:
        plan = way.plan
        if not isinstance(plan, Pattern):
            raise TypeError("a column of sheets carries its pattern")
        for _ in range(times):
            kept = []
            for piece in plan.placed:
                if left[piece[0]]:
                    left[piece[0]] -= 1
                    kept.append(piece)
            if kept:
                patterns.append(plan._replace(placed=tuple(kept)))
    return Packing(cutting, patterns, [t for t, n in enumerate(left) for _ in range(n)])
