"""Cuts into finished sizes at the machines: which station makes each, and the setups that they need there together."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from stopwright.lengths import Nm, format_length
from stopwright.model.cuts import Cut
from stopwright.model.gear import Blade
from stopwright.model.joints import Side
from stopwright.model.parts import Part, mark_order
from stopwright.model.stations import Shop, Station
from stopwright.plan.joinery.hands import count_hands
from stopwright.plan.joinery.slots import horn_of
from stopwright.plan.operations.operation import AFTER_DRY_FIT, Setup, Setups, Stage, Task, together
from stopwright.plan.operations.roles import BLADE_HEIGHT, TOOL
from stopwright.plan.run_sheet import Angle, Move, Pieces, Position, Remark, Run, Spacer, SpacerBlock, rows_together
from stopwright.plan.stations.blocks import blocks_to_make
from stopwright.plan.stations.long_work import LONG, worked_long
from stopwright.plan.stations.stop_settings import axis_remarks, set_stop, strictest_tolerance
from stopwright.plan.timber.dry_fit import cut_dry

Places: TypeAlias = tuple[tuple[str, Position], ...]
"""What axes set, and where they stand."""

Group: TypeAlias = tuple[Stage, int, Places]
"""What is cut together: stage, turn, places of the stops."""

MayUse: TypeAlias = Callable[[Nm], bool]
"""Whether a strip of this thickness (nm) may be used in place of a setting."""

CALLED = {Side.FACE: "face side", Side.BACK: "back", Side.EDGE: "face edge"}
"""Sides in a sentence, where the trade calls them otherwise than the job file."""


@dataclass(frozen=True, slots=True)
class Lying:
    """How a piece lies: the side that is down, the side that is against `at` (fence, stop, left or right stop)."""

    down: Side
    reference: Side
    at: str


@dataclass(frozen=True, slots=True)
class Pass:
    """One cut at a station: where the stops stand, how the piece lies, the shim that is put in, what to know of it.

    `mirrored` is None where mirrored pieces lie alike, else it says which half of a handed pair is cut so. What has a
    higher `turn` comes after all that has a lower one, at the same station. `instead` are the places that would be set
    if the strip were not used. `tool` is how wide a cutter cuts, where its name alone says it, `ring` what two of them
    leave between; nm.
    """

    places: Places
    lying: Lying
    shim: Spacer | None = None
    note: str = ""
    mirrored: bool | None = None
    turn: int = 0
    instead: Places = ()
    tool: Nm = 0
    ring: Nm = 0


@dataclass(frozen=True, slots=True)
class Wanted:
    """A cut in one part: when, and in which passes a station makes it, or a sentence why it cannot.

    `through` names what of the cut runs from end to end along the grain, the same in each of its parts; "" else.
    """

    cut: Cut
    part: Part
    stage: Stage
    passes_at: Callable[[Station, MayUse], Sequence[Pass] | str]
    through: str = ""


def plan_cuts(task: Task, work: str, wanted: Sequence[Wanted]) -> Setups:
    """The setups of all cuts of one kind of work, each where it takes the fewest minutes of the stations that reach.

    A cut that no station can make is a fault with the reason; the rest is planned. Of a joint of two parts neither is
    cut where one cannot be.
    """
    dry = cut_dry(task.job)
    wanted = [replace(one, stage=AFTER_DRY_FIT[one.stage]) if one.part.mark in dry else one for one in wanted]
    long = worked_long(wanted, task)
    wanted = [
        replace(one, stage=Stage.LONG) if (one.cut.mark, one.through, one.part.mark) in long else one for one in wanted
    ]
    with_strips = _shared_out(task, work, wanted, lambda _: task.shop.spacers)
    strips = {*task.shop.shims, *_worth_making(with_strips, task.shop)} if task.shop.spacers else set()
    chosen = _shared_out(task, work, wanted, strips.__contains__)
    return _joined([here.setups(work, task) for here in chosen.at.values()], chosen.faults)


@dataclass(slots=True)
class _Shared:
    """Which station cuts what, and what cannot be cut."""

    at: dict[str, "_AtStation"] = field(default_factory=dict)
    faults: list[Remark] = field(default_factory=list)


def _shared_out(task: Task, work: str, wanted: Sequence[Wanted], may_use: MayUse) -> _Shared:
    shared = _Shared()
    found: list[tuple[Wanted, list[tuple[Station, list[Pass]]]]] = []
    for one in wanted:
        refusals = []
        ways = []
        for station in candidates(one.cut, work, task.shop):
            passes = _beside_a_horn(one, task) or one.passes_at(station, may_use)
            if isinstance(passes, str):
                refusals.append(passes)
            else:
                ways.append((station, [each for each in passes if any(_rows(one, each, task))]))
        if not ways:
            text = f"{one.cut.kind} {one.cut.mark}: {why_none(refusals, one.cut, work)}"
            shared.faults.append(Remark(one.part.mark, text))
        found.append((one, [way for way in ways if _within_reach(*way)] or ways))
    refused = {one.cut.mark for one, ways in found if not ways and one.cut.is_joint}
    made = [(one, ways) for one, ways in found if ways and one.cut.mark not in refused]
    for _, ways in made:
        for station, _ in ways:
            shared.at.setdefault(station.name, _AtStation(station))
    best = {}
    for number in sorted(range(len(made)), key=lambda number: _least_choice_first(*made[number])):
        one, ways = made[number]
        minutes = [shared.at[station.name].minutes(passes, one.part.quantity) for station, passes in ways]
        station, passes = best[number] = ways[minutes.index(min(minutes))]
        shared.at[station.name].reckon(passes)
    for number, (one, _) in enumerate(made):
        station, passes = best[number]
        shared.at[station.name].take(one, passes)
    return shared


def _least_choice_first(one: Wanted, ways: Sequence[tuple[Station, Sequence[Pass]]]) -> tuple[object, ...]:
    """In which order cuts choose their station, whatever the order of their lines: what has one only, then by size."""
    places = sorted(str(place) for _, passes in ways for each in passes for place in each.places)
    size = (one.part.length, one.part.width, one.part.thickness, one.part.quantity)
    return len(ways), [station.name for station, _ in ways], places, size


def _beside_a_horn(one: Wanted, task: Task) -> str:
    """Why a cut cannot be made that is measured from an end where wood is left until after glue-up; else ""."""
    horn = horn_of(task.job, one.part.mark)
    if not (horn and one.cut.needs_marked_end):
        return ""
    long = format_length(horn, task.shop.show)
    return f"a horn of {long} stays on its marked end until after glue-up; leave the horn out, or cut it by hand"


def _within_reach(station: Station, passes: Sequence[Pass]) -> bool:
    """Whether every stop gets to its place on its scale; what no station reaches is planned at any, with a fault."""
    for sets, place in (place for one in passes for place in one.places):
        axis = station.axis(sets)
        if axis and isinstance(place, int):
            reading = place if axis.step is None else place + axis.zero
            if not axis.low <= reading <= axis.high:
                return False
    return True


def _worth_making(shared: _Shared, shop: Shop) -> set[Nm]:
    """The strips that save more minutes of setting than it takes to make them."""
    saved: dict[Nm, set[tuple[str, str, Position, float]]] = defaultdict(set)
    for here in shared.at.values():
        minutes = {axis.sets: axis.minutes for axis in here.station.axes}
        for by_shim in here.groups.values():
            for _, one in (each for several in by_shim.values() for each in several):
                for sets, place in one.instead:
                    if one.shim:
                        saved[one.shim.thickness].add((here.station.name, sets, place, minutes[sets]))
    return {
        thickness for thickness, places in saved.items() if sum(minutes for *_, minutes in places) > shop.block_minutes
    }


@dataclass(slots=True)
class _AtStation:
    """What one station cuts: passes by the places of its stops and the shim, with the cuts and parts of each."""

    station: Station
    used: set[tuple[str, Position]] = field(default_factory=set)
    groups: dict[Group, dict[Spacer | None, list[tuple[Wanted, Pass]]]] = field(default_factory=dict)

    def minutes(self, passes: Sequence[Pass], pieces: int) -> float:
        """What these passes cost here besides what is planned already."""
        new = {place for one in passes for place in one.places} - self.used
        cost = {axis.sets: axis.minutes for axis in self.station.axes}
        return sum(cost[sets] for sets, _ in new) + len(passes) * pieces * self.station.minutes_per_piece

    def reckon(self, passes: Sequence[Pass]) -> None:
        """From here on the places of these passes cost nothing more."""
        for one in passes:
            self.used.update(one.places)

    def take(self, wanted: Wanted, passes: Sequence[Pass]) -> None:
        for one in passes:
            here = self.groups.setdefault((wanted.stage, one.turn, one.places), {})
            here.setdefault(one.shim, []).append((wanted, one))

    def setups(self, work: str, task: Task) -> Setups:
        found = []
        in_order = sorted(self.groups.items(), key=_greatest_first)
        times: Counter[Places] = Counter()
        for (stage, _, places), by_shim in in_order:
            shims = sorted(by_shim, key=lambda shim: shim.thickness if shim else 0)
            runs = [self._run(work, places, shim, by_shim[shim], task) for shim in shims]
            if stage is Stage.LONG:
                runs = [replace(run, lot=LONG, note=f"{run.note}; {_lying_long(run)}") for run in runs]
            if times[places]:  # the same stops once more, after what had to come between
                runs = [replace(run, lot=f"time {times[places] + 1}") for run in runs]
            times[places] += 1
            found.append(Setup(stage, tuple(runs)))
        faults, warnings = self._remarks(task.shop)
        turns = [turn for (_, turn, _), _ in in_order]
        before = frozenset((i, j) for i, one in enumerate(turns) for j, two in enumerate(turns) if one < two)
        return Setups(tuple(found), before, faults=faults, warnings=warnings, spacers=self._blocks(task.shop))

    def _run(
        self, work: str, places: Places, shim: Spacer | None, here: Sequence[tuple[Wanted, Pass]], task: Task
    ) -> Run:
        parts = [wanted.part for wanted, _ in here]
        stops = []
        for sets, place in places:
            axis = self.station.axis(sets)
            if axis:
                tolerance = strictest_tolerance(parts, place) if isinstance(place, int) else None
                stops.append(set_stop(axis, place, Move.SET, tolerance))
        rows = rows_together(dict.fromkeys(row for wanted, one in here for row in _rows(wanted, one, task)))
        cuts = tuple(dict.fromkeys(wanted.cut.mark for wanted, _ in here))
        wide = self._tool(dict(places)) or max(one.tool for _, one in here)
        cut = Run(0, self.station.name, work, tuple(stops), rows, spacer=shim, note=_note(here), cuts=cuts, tool=wide)
        return replace(cut, ring=max(one.ring for _, one in here))

    def _tool(self, places: Mapping[str, Position]) -> Nm:
        """How wide the tool of a saw cuts, nm: the head that is put in, else the blade; 0 where there is none."""
        head = places.get(TOOL.name)
        if isinstance(head, int):
            return head
        return self.station.of(Blade).kerf if BLADE_HEIGHT.name in places else 0

    def _remarks(self, shop: Shop) -> tuple[tuple[Remark, ...], tuple[Remark, ...]]:
        faults: list[Remark] = []
        warnings: list[Remark] = []
        for axis in self.station.axes:
            targets: dict[Nm, list[Part]] = defaultdict(list)
            for (_, _, places), by_shim in self.groups.items():
                place = dict(places).get(axis.sets)
                if isinstance(place, int):
                    targets[place] += [wanted.part for here in by_shim.values() for wanted, _ in here]
            off, coarse = axis_remarks(axis, self.station, targets, shop)
            faults += off
            warnings += coarse
        return tuple(faults), tuple(warnings)

    def _blocks(self, shop: Shop) -> tuple[SpacerBlock, ...]:
        """The shims to make: those that the shop does not own."""
        shims = {shim for by_shim in self.groups.values() for shim in by_shim if shim}
        return blocks_to_make(
            SpacerBlock(shim.thickness, shim.count, shim.place)
            for shim in sorted(shims, key=lambda shim: (shim.thickness, shim.place))
            if shim.thickness not in shop.shims
        )


def _rows(wanted: Wanted, one: Pass, task: Task) -> Iterator[Pieces]:
    plain, mirrored = count_hands(task.job, wanted.part)
    lying = one.lying
    for count, is_mirrored in ((plain, False), (mirrored, True)):
        if count and one.mirrored in (None, is_mirrored):
            yield Pieces(
                wanted.part.mark,
                wanted.part.name,
                count,
                None,
                lying.down,
                CALLED.get(lying.reference, str(lying.reference)),
                lying.at,
                is_mirrored,
            )


def _lying_long(run: Run) -> str:
    """How strips lie, that no line of pieces tells."""
    lying = dict.fromkeys(f"{one.down} down, {one.reference} at the {one.at}" for one in run.pieces)
    return f"while long, crosscut after: {', '.join(lying)}"


def _note(here: Sequence[tuple[Wanted, Pass]]) -> str:
    """Which cuts, and what to know of them."""
    cuts = {(wanted.cut.kind, wanted.cut.mark) for wanted, _ in here}
    in_order = sorted(cuts, key=lambda one: (one[0], mark_order(one[1])))
    named = ", ".join(f"{kind} {mark}" for kind, mark in in_order)
    notes = dict.fromkeys(said for _, one in here for said in one.note.split("; ") if said)
    return "; ".join((named, *notes))


def candidates(cut: Cut, work: str, shop: Shop) -> list[Station]:
    """The stations that do this work, or the one of them that the cut names."""
    able = [station for station in shop.stations if work in station.work]
    return [station for station in able if cut.station in ("", station.name)]


def why_none(refusals: Sequence[str], cut: Cut, work: str) -> str:
    """Why no station makes a cut: what each of them says, or that there is none."""
    if refusals:
        return "; ".join(dict.fromkeys(refusals))
    if cut.station:
        return f"no station called {cut.station} does the work called {work}; name another or give it this work"
    return f"no station does the work called {work}, so it is not in the plan; give it to a station"


def _greatest_first(one: tuple[Group, object]) -> tuple[object, ...]:
    (stage, turn, places), _ = one
    return (stage, turn, *((sets, *_greatest(place)) for sets, place in places))


def _greatest(place: Position) -> tuple[str, float]:
    if isinstance(place, str):
        return place, 0
    return "", -float(place.degrees if isinstance(place, Angle) else place)


def _joined(several: Sequence[Setups], faults: Sequence[Remark]) -> Setups:
    whole = together(*several)
    return replace(whole, faults=(*faults, *whole.faults))
