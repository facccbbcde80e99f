"""A run sheet and its glue-ups as work of a day: stretches of runs, panels and units one by one, what each needs."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from functools import cached_property

from stopwright.lengths import Nm
from stopwright.model.stations import Glue, Shop, Station
from stopwright.plan.assembling.stage import Stage
from stopwright.plan.day.activities import Activity, Body, Work
from stopwright.plan.day.hours import Hours, Seconds
from stopwright.plan.day.timetable import glue_up_id
from stopwright.plan.run_sheet import Move, Run
from stopwright.plan.stations.minutes import is_carried, run_minutes, setting_minutes
from stopwright.plan.timber.panels import Panel

LONGEST_STRETCH: Seconds = 30 * 60
"""Runs of a station that follow each other are one stretch up to this; between two, something may be glued."""
GLUE = "glue"


@dataclass(frozen=True)
class Assembly:
    """How the units of a job are glued up. `whose`: its number where several are worked together.

    `marks` are those of all its parts, `needs` by stage those of what comes together in it, its tenons too.
    """

    whose: str
    marks: frozenset[str]
    stages: tuple[Stage, ...]
    needs: Mapping[int, frozenset[str]]
    units: int
    glue: Glue

    @property
    def open(self) -> Seconds:
        """What a glue-up of a stage takes: it must be closed while the glue is open."""
        return seconds_of(self.glue.open_minutes)

    @property
    def held(self) -> Seconds:
        """How long clamps stay on."""
        return seconds_of(self.glue.clamp_minutes)

    @property
    def each(self) -> Iterator[tuple[Stage, int, str]]:
        """Every stage of every unit, with its id."""
        for stage in self.stages:
            for unit in stage.units or range(1, self.units + 1):
                yield stage, unit, glue_up_id(stage.number, unit, self.whose)


@dataclass(frozen=True)
class Batch:
    """Everything that is to be put into the day: runs as the sheet has them, panels by their mark and that of their
    strips, each job's units.
    """

    runs: tuple[Run, ...]
    panels: Mapping[str, Panel]
    assemblies: tuple[Assembly, ...]
    shop: Shop
    hours: Hours
    ready: Mapping[str, str]

    def held(self, run: Run) -> Seconds:
        """How long clamps stay on the panels that a gluing run makes."""
        mark = self.panel_of(run).part.mark
        return next((one.held for one in self.assemblies if mark in one.marks), self.assemblies[0].held)

    def panel_of(self, run: Run) -> Panel:
        """The panel that a gluing run makes, or makes sub-panels for."""
        return self.panels[run.pieces[0].mark]

    def times(self, run: Run) -> int:
        """How many panels or sub-panels a gluing run makes, one after the other."""
        return sum(lot.count for lot in run.gives)

    def opening(self, run: Run) -> Nm:
        """How far clamps must open for the widest that a gluing run makes, nm."""
        return max(lot.width for lot in run.gives)

    def clamps_of(self, run: Run) -> int:
        """How many clamps each of what a gluing run makes asks for."""
        return run.gluing.clamps if run.gluing else 0

    def rest_after(self, id_: str) -> Seconds:
        """How long after a run what takes its work may begin: a panel rests first."""
        return self._rests.get(id_, 0)

    @cached_property
    def _rests(self) -> Mapping[str, Seconds]:
        return {run.id: max(run.gluing.rest_hours * 3600, self.held(run)) for run in self.runs if run.gluing}

    def clamps_for(self, opening: Nm, wanted: int) -> int:
        """How many clamps the times reckon with: so many as are wanted, and are there."""
        return min(wanted, self.clamps_there(opening)) if self.shop.clamps else 0

    def clamps_there(self, opening: Nm) -> int:
        """How many clamps of the shop open so far."""
        return sum(kind.count for kind in self.shop.clamps if kind.opening >= opening)


def seconds_of(minutes: float) -> Seconds:
    """Minutes of an estimate in whole seconds."""
    return round(minutes * 60)


def work_of(
    batch: Batch, as_by_itself: Sequence[Run], in_sheet_order: bool
) -> tuple[Work, Mapping[str, tuple[Run, ...]]]:
    """The work of a batch, and the runs of each stretch by the id of its activity.

    `as_by_itself` are the same runs as if nothing were ever lost by a changeover. A stretch keeps the order of the
    sheet; so do all stretches of a station, or all there are where the sheet's own order is asked for.
    """
    stretches = _stretches(batch)
    alone = {run.id: run for run in as_by_itself}
    carried = {run.id: is_carried(run, before) for before, run in zip((None, *batch.runs), batch.runs, strict=False)}
    of_run = {run.id: stretch[0].id for stretch in stretches for run in stretch}
    last_of = of_run | {run.id: f"{run.id} {batch.times(run)}" for run in batch.runs if run.work == GLUE}

    def after(runs: Sequence[Run]) -> tuple[tuple[str, Seconds], ...]:
        own = {run.id for run in runs}
        needed = dict.fromkeys(id_ for run in runs for id_ in run.after if id_ not in own)
        return tuple(dict.fromkeys((last_of[id_], batch.rest_after(id_)) for id_ in needed))

    stations = {station.name: station for station in batch.shop.stations}
    made: list[Activity] = []
    for stretch in stretches:
        first, station = stretch[0], stations[stretch[0].station]
        if first.work == GLUE:
            made += _panels(batch, first, after(stretch))
            continue
        runs = [alone[run.id] for run in stretch]
        hands = [seconds_of(run_minutes(station, run, carried[run.id])) for run in runs]
        stands, sets = _stops(runs, station) if batch.shop.machine_of(station.name) else ((), frozenset())
        made.append(
            Activity(
                first.id,
                sum(hands),
                "runs" if in_sheet_order else station.name,
                may_save=_may_save(runs, station, batch.shop, carried[first.id]),
                after=after(stretch),
                station=station.name,
                stands=stands,
                sets=sets,
            )
        )
    made += _units(batch, last_of)
    bodies = tuple(_body(batch.shop, machine.name) for machine in batch.shop.machines)
    ready = tuple(batch.ready.get(machine.name, "") for machine in batch.shop.machines)
    return _work(batch, made, bodies, ready), {stretch[0].id: tuple(stretch) for stretch in stretches}


def work_as_told(batch: Batch) -> Work:
    """The same work run by run in the minutes that the sheet tells, changeovers in them, each a line of its own."""
    last_of = {run.id: f"{run.id} {batch.times(run)}" if run.work == GLUE else run.id for run in batch.runs}
    made: list[Activity] = []
    for run in batch.runs:
        after = tuple((last_of[id_], batch.rest_after(id_)) for id_ in run.after)
        if run.work == GLUE:
            made += _panels(batch, run, after)
        else:
            changing = seconds_of(run.change.minutes) if run.change else 0
            working = seconds_of(run.minutes - (run.change.minutes if run.change else 0))
            made.append(Activity(run.id, changing + working, run.id, after=after))
    made += _units(batch, last_of)
    return _work(batch, [replace(one, line=one.id) for one in made], (), ())


def _work(batch: Batch, made: Sequence[Activity], bodies: tuple[Body, ...], ready: tuple[str, ...]) -> Work:
    shop = batch.shop
    kinds: dict[Nm, int] = defaultdict(int)
    for kind in shop.clamps:
        kinds[kind.opening] += kind.count
    clamps = tuple(sorted(kinds.items())) if kinds else None
    return Work(tuple(made), batch.hours, clamps, shop.bench_places, bodies, ready)


def _stretches(batch: Batch) -> list[list[Run]]:
    """Runs of one station that follow each other, parted where glue waits for a run or a run for glue."""
    glued = {run.id for run in batch.runs if run.work == GLUE}
    waited_for = {id_ for run in batch.runs if run.work == GLUE for id_ in run.after}
    for marks in (marks for one in batch.assemblies for marks in one.needs.values()):
        last = {run.station: run.id for run in batch.runs if _holds(run, marks)}
        waited_for |= set(last.values())
    stretches: list[list[Run]] = []
    for run in batch.runs:
        here = stretches[-1] if stretches else []
        goes_on = (
            here
            and here[-1].station == run.station
            and run.work != GLUE != here[-1].work
            and here[-1].id not in waited_for
            and not glued.intersection(run.after)
            and sum(seconds_of(one.minutes) for one in (*here, run)) <= LONGEST_STRETCH
        )
        if goes_on:
            here.append(run)
        else:
            stretches.append([run])
    return stretches


def _may_save(runs: Sequence[Run], station: Station, shop: Shop, carried: bool) -> Seconds:
    """What another order may spare at the most: a shared stop that stands, and carrying what goes straight on."""
    machine = shop.machine_of(station.name)
    shared = {share.axis for share in machine.shares if station.name in share.stations} if machine else set()
    stops = [stop for run in runs for stop in run.stops if stop.axis in shared or stop.is_set_back]
    between = station.minutes_between if carried and runs[0].size else 0.0
    return seconds_of(setting_minutes(station, stops) + between)


def _stops(
    runs: Sequence[Run], station: Station
) -> tuple[tuple[tuple[tuple[str, str, object], Seconds], ...], frozenset[tuple[str, str, object]]]:
    """The stops that must stand from before, with the seconds to set them again, and all that stand afterwards."""
    stands: dict[tuple[str, str, object], Seconds] = {}
    sets: set[tuple[str, str, object]] = set()
    for run in runs:
        for stop in run.stops:
            key = (station.name, stop.sets, stop.place)
            if stop.move is Move.STANDS and key not in sets:
                stands[key] = seconds_of(setting_minutes(station, [replace(stop, move=Move.SET)]))
            sets.add(key)
    return tuple(stands.items()), frozenset(sets)


def _panels(batch: Batch, run: Run, after: tuple[tuple[str, Seconds], ...]) -> Iterator[Activity]:
    """The panels of a gluing run one by one: each waits for its own clamps."""
    times, opening = batch.times(run), batch.opening(run)
    for nth in range(1, times + 1):
        yield Activity(
            f"{run.id} {nth}",
            seconds_of(run.minutes / times),
            run.station,
            after=after,
            whole=True,
            clamps=batch.clamps_for(opening, batch.clamps_of(run)),
            opening=opening,
            lies_there=True,
            held=batch.held(run),
        )


def _units(batch: Batch, last_of: Mapping[str, str]) -> Iterator[Activity]:
    """The stages of all units: each after all its pieces, and after what it brings together has set."""
    for assembly in batch.assemblies:
        for stage, unit, id_ in assembly.each:
            marks = assembly.needs[stage.number]
            needed = {(run.station, run.work == GLUE): run for run in batch.runs if _holds(run, marks)}
            pieces = tuple((last_of[run.id], batch.rest_after(run.id)) for run in needed.values())
            brings = tuple((glue_up_id(one, unit, assembly.whose), assembly.held) for one in stage.brings)
            yield Activity(
                id_,
                assembly.open,
                f"stage {stage.number} {assembly.whose}",
                after=(*pieces, *brings),
                whole=True,
                clamps=batch.clamps_for(stage.opening, stage.bars),
                opening=stage.opening,
                lies_there=True,
                held=assembly.held,
            )


def _holds(run: Run, marks: AbstractSet[str]) -> bool:
    return any(one.mark in marks for one in run.pieces)


def _body(shop: Shop, name: str) -> Body:
    machine = next(one for one in shop.machines if one.name == name)
    return Body(
        frozenset(machine.stations),
        {both: seconds_of(minutes) for both, minutes in machine.between.items()},
        {both: frozenset(machine.lost(*both)) for both in machine.between},
    )
