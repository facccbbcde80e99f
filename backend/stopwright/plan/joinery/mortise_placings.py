"""How every piece lies at the mortiser: spacers put in, or end stops moved, where that saves minutes of setting."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import TypeAlias

from stopwright.lengths import INCH, MM, Nm
from stopwright.model.gear import EndStops
from stopwright.model.joints import ENDS, Side
from stopwright.model.stations import Station
from stopwright.plan.effort import Effort, EitherEffort, Steps
from stopwright.plan.joinery.mortise_setups import MORTISER_AXES, Placing, Positions, Working, blocks_for, positions
from stopwright.plan.joinery.mortise_worth import Blocks, Judge, Standing, Worth

Item: TypeAlias = tuple[str, Side, Nm, Nm, Nm, Nm]
"""Slots placed alike: part, side (both ends as one), start, end, centre, bit."""
Chosen: TypeAlias = dict[Item, Placing]
Change: TypeAlias = dict[Item, tuple[str, Nm]]

LEAST_BLOCK: Nm = MM
GREATEST_BLOCK: Nm = 150 * MM
GREATEST_UNDER: Nm = 30 * MM
PATIENCE = 150  # alternatives judged while a person waits
LATEST = 3  # alternatives compared with the first one at the end


def item_of(working: Working) -> Item:
    """What of a working is placed alike: a slot at both ends of a rail, and in both hands, is one item."""
    slot = working.slot
    side = Side.MARKED_END if slot.side is Side.OTHER_END else slot.side
    return (slot.part, side, slot.start, slot.end, slot.centre, slot.bit)


def place_pieces(
    workings: Sequence[Working],
    station: Station,
    blocks: Blocks,
    standing: Standing | None = None,
    effort: Effort | None = None,
) -> Chosen:
    """The placing of every item with the fewest minutes of setting found.

    Everything at its end stop to begin with; then parts are raised to another's table height and slots brought
    over each other, whole families before single slots, as long as that saves. A block is put in only where it
    saves more minutes of setting than it takes to make, and rather than a stop moved twice. The alternatives that
    were once the best are compared at the end by what their best order costs.
    """
    search = _Search(workings, station, blocks, standing or {})
    return search.run(EitherEffort(effort, Steps(PATIENCE)) if effort else Steps(PATIENCE))


class _Search:
    def __init__(self, workings: Sequence[Working], station: Station, blocks: Blocks, standing: Standing) -> None:
        self.station, self.spacers = station, blocks.allowed
        self.judge = Judge(station, standing, blocks)
        self.workings: dict[Item, list[Working]] = defaultdict(list)
        for working in workings:
            self.workings[item_of(working)].append(working)
        self.known: dict[tuple[Item, Placing], frozenset[Positions]] = {}
        counted = MORTISER_AXES[-2:-1] if station.of(EndStops).one_scale else MORTISER_AXES[-2:]
        ends = [axis for sets in counted if (axis := station.axis(sets))]
        self.base = max((0, *(axis.low - axis.zero for axis in ends)))
        self.nearest = max((axis.low - axis.zero for axis in ends), default=0)
        step = next((axis.step for axis in ends if axis.step), MM)
        self.round_step: Nm = 10 * MM if 10 * MM % step == 0 else INCH // 2

    def run(self, effort: Effort) -> Chosen:
        chosen = {item: Placing(self.base) for item in self.workings}
        once_best, worth, better = [chosen], self.worth(chosen), True
        while better:
            better = False
            for change in self.changes():
                tried = {**chosen, **{item: self.changed(chosen[item], new) for item, new in change.items()}}
                if tried == chosen or not self.allowed(tried) or self.judge.floor(self.stands(tried)) > worth[:2]:
                    continue
                if effort():
                    return self.best(once_best)
                found = self.worth(tried)
                if found < worth:
                    chosen, worth, better = tried, found, True
                    once_best.append(chosen)
        return self.best(once_best)

    def best(self, once_best: Sequence[Chosen]) -> Chosen:
        """Of the first and the latest few alternatives the one whose best order costs least."""
        return min((once_best[0], *once_best[1:][-LATEST:]), key=lambda one: self.worth(one, exactly=True))

    def worth(self, chosen: Chosen, exactly: bool = False) -> Worth:
        return self.judge.worth(self.stands(chosen), chosen.values(), exactly)

    def stands(self, chosen: Chosen) -> frozenset[Positions]:
        return frozenset(one for item, placing in chosen.items() for one in self._stands_of(item, placing))

    def _stands_of(self, item: Item, placing: Placing) -> frozenset[Positions]:
        known = self.known.get((item, placing))
        if known is None:
            known = frozenset(positions(working, placing, self.station) for working in self.workings[item])
            self.known[item, placing] = known
        return known

    def changed(self, now: Placing, new: tuple[str, Nm]) -> Placing:
        """A placing with the end stop moved on, or a block put before the piece, or beneath it; never both blocks."""
        kind, amount = new
        if kind == "under":
            return Placing(now.end_stop, 0 if amount else now.spacer, amount)
        if kind == "spacer":
            return Placing(self.base, amount, 0 if amount else now.under)
        return Placing(self.base + amount, 0, now.under)

    def allowed(self, chosen: Chosen) -> bool:
        """No block before a piece thinner or thicker than can be handled."""
        blocks = {block for block, _ in blocks_for(placing.spacer for placing in chosen.values()).values()}
        return all(LEAST_BLOCK <= block <= GREATEST_BLOCK for block in blocks)

    def changes(self) -> Iterator[Change]:
        """What could be placed otherwise: parts raised to another's height, families brought to another's place."""
        if self.spacers and self.station.axis("table height"):
            heights = sorted({item[4] for item in self.workings}, reverse=True)
            for group in self.level_groups():
                low = group[0][4]
                for height in (*heights, low):
                    if height == low or LEAST_BLOCK <= height - low <= GREATEST_UNDER:
                        yield dict.fromkeys(group, ("under", height - low))
        kinds = ("spacer", "end stop") if self.spacers else ("end stop",)
        for family in self.families():
            for shifts in self.shifts(family):
                for kind in kinds if min(shifts) >= 0 else ("end stop",):
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
        for edge in (_first, _last):
            own = [edge(item) for item in family]
            for place in sorted({edge(item) for item in self.workings}, reverse=True):
                if place >= max(own):
                    yield tuple(place - one for one in own)
        reach = self.station.axis("travel to")
        if reach and reach.high - reach.zero < max(map(_last, family)):
            # The piece is moved back beyond the zero of the travel, by whole steps that are easily read.
            beyond = max(map(_last, family)) - (reach.high - reach.zero)
            shift = -(-(-beyond // self.round_step) * self.round_step)
            if self.base + shift >= self.nearest:
                yield (shift,) * len(family)
        if self.station.of(EndStops).one_scale and all(self._is_at_the_right(item) for item in family):
            both = [item[2] + item[3] for item in family]
            for place in sorted({item[2] + item[3] for item in self.workings if self._is_at_the_right(item)}):
                yield tuple(place - one for one in both)  # one place of the right-hand stop for all of them
        axis = self.station.axis("travel from")
        if axis and axis.low - axis.zero > min(map(_first, family)):
            yield tuple(max(axis.low - axis.zero - _first(item), 0) for item in family)

    def _is_at_the_right(self, item: Item) -> bool:
        return all(working.at == "right" for working in self.workings[item])

    def level_groups(self) -> Iterator[tuple[Item, ...]]:
        """Slots at one height: of all rails' ends or all long sides, then part by part; nothing that stands on end."""
        groups: dict[tuple[object, ...], list[Item]] = defaultdict(list)
        for item, workings in self.workings.items():
            for key in (
                ()
                if any(one.slot.stands_on for one in workings)
                else ((item[1] in ENDS, item[4]), (item[0], item[1] in ENDS, item[4]))
            ):
                groups[key].append(item)
        yield from dict.fromkeys(tuple(group) for group in groups.values())


def _first(item: Item) -> Nm:
    return item[2] + item[5] // 2


def _last(item: Item) -> Nm:
    return item[3] - item[5] // 2
