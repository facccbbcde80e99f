"""How every piece lies at the mortiser: spacers put in, or end stops moved, where that saves minutes of setting."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from typing import TypeAlias

from stopwright.lengths import MM, Nm
from stopwright.model.joints import Side
from stopwright.model.stations import Sets, Station
from stopwright.plan.effort import Effort, EitherEffort, Steps
from stopwright.plan.mortise_setups import (
    MORTISER_AXES,
    Placing,
    Positions,
    Working,
    blocks_for,
    needs_of,
    out_of_range,
    positions,
)
from stopwright.plan.sequence import Axis, order_runs
from stopwright.plan.slots import ENDS

Standing: TypeAlias = Mapping[str, AbstractSet[Nm]]
Item: TypeAlias = tuple[str, Side, Nm, Nm, Nm, Nm]
"""Slots placed alike: part, side (both ends as one), start, end, centre, bit."""
Chosen: TypeAlias = dict[Item, Placing]
Worth: TypeAlias = tuple[int, float, int, int]

LEAST_BLOCK: Nm = MM
GREATEST_BLOCK: Nm = 150 * MM
GREATEST_UNDER: Nm = 30 * MM
GLANCE = 10  # steps of search to judge one alternative
PATIENCE = 300  # alternatives judged while a person waits


def item_of(working: Working) -> Item:
    """What of a working is placed alike: a slot at both ends of a rail, and in both hands, is one item."""
    slot = working.slot
    side = Side.MARKED_END if slot.side is Side.OTHER_END else slot.side
    return (slot.part, side, slot.start, slot.end, slot.centre, slot.bit)


def sequence_axes(station: Station) -> list[Axis]:
    """The mortising axes as the order of runs wants them; one setting costs its minutes."""
    axes = [axis for sets in MORTISER_AXES if (axis := station.axis(sets))]
    return [Axis(axis.name, axis.holds, max(axis.minutes, 0.001), axis.clearance) for axis in axes]


def place_pieces(
    workings: Sequence[Working],
    station: Station,
    spacers: bool,
    standing: Standing | None = None,
    effort: Effort | None = None,
) -> Chosen:
    """The placing of every item with the fewest minutes of setting found.

    Everything at its end stop to begin with; then slots of one length are brought over each other, whole families
    before single slots, as long as that saves. A block is put in only where it saves minutes, and rather than a
    stop moved twice. Whole alternatives are compared by what their best order costs.
    """
    search = _Search(workings, station, spacers, standing or {})
    return search.run(EitherEffort(effort, Steps(PATIENCE)) if effort else Steps(PATIENCE))


class _Search:
    def __init__(self, workings: Sequence[Working], station: Station, spacers: bool, standing: Standing) -> None:
        self.station, self.spacers, self.standing = station, spacers, standing
        self.axes = sequence_axes(station)
        self.workings: dict[Item, list[Working]] = defaultdict(list)
        for working in workings:
            self.workings[item_of(working)].append(working)
        self.least_end = max(
            (axis.low - axis.zero for sets in MORTISER_AXES[-2:] if (axis := station.axis(sets))), default=0
        )
        self.known: dict[frozenset[Positions], float] = {}

    def run(self, effort: Effort) -> Chosen:
        chosen = {item: Placing(max(self.least_end, 0)) for item in self.workings}
        worth, better = self.worth(chosen), True
        while better:
            better = False
            for change in self.changes():
                tried = {**chosen, **{item: self.merged(chosen[item], new) for item, new in change.items()}}
                if tried == chosen or not self.allowed(tried) or self.floor(tried) > worth[:2]:
                    continue
                if effort():
                    return chosen
                found = self.worth(tried)
                if found < worth:
                    chosen, worth, better = tried, found, True
        return chosen

    def merged(self, now: Placing, new: tuple[str, Nm]) -> Placing:
        """A placing changed: the end stop moved on, a spacer put before the piece, or a block beneath it."""
        kind, amount = new
        base = max(self.least_end, 0)
        if kind == "under":
            return Placing(now.end_stop, 0 if amount else now.spacer, amount)
        return (
            Placing(base, amount, 0 if amount else now.under)
            if kind == "spacer"
            else Placing(base + amount, 0, now.under)
        )

    def allowed(self, chosen: Chosen) -> bool:
        """No block before a piece thinner or thicker than can be handled."""
        blocks = {block for block, _ in blocks_for(placing.spacer for placing in chosen.values()).values()}
        return all(LEAST_BLOCK <= block <= GREATEST_BLOCK for block in blocks)

    def changes(self) -> Iterator[dict[Item, tuple[str, Nm]]]:
        """What could be placed otherwise: families brought to where another slot lies, parts raised to its height."""
        if self.spacers and self.station.axis(Sets.TABLE_HEIGHT):
            heights = sorted({item[4] for item in self.workings}, reverse=True)
            for group in self.level_groups():
                low = group[0][4]
                for height in (*heights, low):
                    if height == low or LEAST_BLOCK <= height - low <= GREATEST_UNDER:
                        yield dict.fromkeys(group, ("under", height - low))
        kinds = ("spacer", "end stop") if self.spacers else ("end stop",)
        for family in self.families():
            for shifts in self.shifts(family):
                for kind in kinds:
                    yield {item: (kind, shift) for item, shift in zip(family, shifts, strict=True)}

    def families(self) -> Iterator[tuple[Item, ...]]:
        """Slots of one length and bit: of all parts, of one part, of one side, and each alone."""
        groups: dict[tuple[object, ...], list[Item]] = defaultdict(list)
        for item in self.workings:
            part, side, start, end, _, bit = item
            if all(self.station.axis(working.stop) for working in self.workings[item]):
                for key in ((end - start, bit), (part, end - start, bit), (part, side, end - start, bit), item):
                    groups[key].append(item)
        yield from dict.fromkeys(tuple(group) for group in sorted(groups.values(), key=len, reverse=True))

    def shifts(self, family: Sequence[Item]) -> Iterator[tuple[Nm, ...]]:
        """By how much each of a family is moved off its stop so that all lie over some slot; first not at all."""
        yield (0,) * len(family)
        first = [_first(item) for item in family]
        last = [_last(item) for item in family]
        for place in sorted({_first(item) for item in self.workings}, reverse=True):
            if place >= max(first):
                yield tuple(place - one for one in first)
        for place in sorted({_last(item) for item in self.workings}, reverse=True):
            if place >= max(last):
                yield tuple(place - one for one in last)
        axis = self.station.axis(Sets.TRAVEL_FROM)
        if axis and axis.low - axis.zero > min(first):
            yield tuple(max(axis.low - axis.zero - one, 0) for one in first)

    def level_groups(self) -> Iterator[tuple[Item, ...]]:
        """Slots at one height: of all rails' ends or all long sides, then part by part."""
        groups: dict[tuple[object, ...], list[Item]] = defaultdict(list)
        for item in self.workings:
            for key in ((item[1] in ENDS, item[4]), (item[0], item[1] in ENDS, item[4])):
                groups[key].append(item)
        yield from dict.fromkeys(tuple(group) for group in groups.values())

    def stands(self, chosen: Chosen) -> frozenset[Positions]:
        return frozenset(
            positions(working, chosen[item], self.station)
            for item, workings in self.workings.items()
            for working in workings
        )

    def floor(self, chosen: Chosen) -> tuple[int, float]:
        """What no order of these placings undercuts: stops out of reach, and each position set once."""
        stands = self.stands(chosen)
        distinct = {(sets, place) for one in stands for sets, place in one}
        cost = sum(
            axis.minutes
            for sets, place in distinct
            if (axis := self.station.axis(sets)) and place not in self.standing.get(axis.name, ())
        )
        return (sum(out_of_range(one, self.station) for one in stands), round(cost, 6))

    def worth(self, chosen: Chosen) -> Worth:
        """Stops out of reach, minutes of setting, blocks to handle, end stops moved: less is better."""
        stands = self.stands(chosen)
        if stands not in self.known:
            needs = [needs_of(one, self.station) for one in sorted(stands)]
            found = order_runs(needs, self.axes, Steps(GLANCE), standing=self.standing)
            self.known[stands] = round(found.cost, 6)
        used = blocks_for(p for placing in chosen.values() for p in (placing.spacer, placing.under))
        return (
            sum(out_of_range(one, self.station) for one in stands),
            self.known[stands],
            sum(count for _, count in used.values()) + sum(p.spacer + p.under > 0 for p in chosen.values()),
            sum(placing.end_stop > self.least_end for placing in chosen.values()),
        )


def _first(item: Item) -> Nm:
    return item[2] + item[5] // 2


def _last(item: Item) -> Nm:
    return item[3] - item[5] // 2
