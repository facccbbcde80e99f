"""From a job and a shop to the run sheet: the one door of the planner."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial

from stopwright.model.job import Flow, Job
from stopwright.model.joints import RailEnds
from stopwright.model.parts import Kind, Part, mark_order
from stopwright.model.stations import Shop, Station, Work
from stopwright.plan.assembling.assembly import assembly_stages
from stopwright.plan.assembling.pieces import remarks_on_units
from stopwright.plan.choices import Choices
from stopwright.plan.effort import Effort
from stopwright.plan.joinery.mortises import plan_mortises
from stopwright.plan.joinery.tenons import tenon_stock, with_tenons
from stopwright.plan.joinery.worked_length import worked_length
from stopwright.plan.run_sheet import Move, Position, Remark, Run, RunSheet, Settings
from stopwright.plan.stations.cautions import cautions_for, scene_of
from stopwright.plan.stations.milling import plan_jointing, plan_planing, too_short_to_plane
from stopwright.plan.stations.minutes import is_carried, run_minutes, setting_minutes
from stopwright.plan.stations.mitres import plan_mitres
from stopwright.plan.stations.mouldings import plan_mouldings, runs_long
from stopwright.plan.stations.moves import Standing, settle_moves
from stopwright.plan.stations.part_by_part import can_go_part_by_part, flip_stop_note, plan_part_by_part
from stopwright.plan.stations.sawing import plan_crosscutting, plan_ripping, plan_rough_crosscut, plan_squaring
from stopwright.plan.stations.station_plan import StationPlan
from stopwright.plan.timber.sawn import Sawn
from stopwright.plan.timber.way import follow_wood
from stopwright.plan.timber.wood import WoodPlan, plan_wood

AS_THE_JOB_SAYS = Choices()


def make_plan(job: Job, shop: Shop, choices: Choices = AS_THE_JOB_SAYS, effort: Effort | None = None) -> RunSheet:
    """The run sheet of a job in a shop: every run in order, each stop set as seldom as the flow allows.

    The same parts in another order give the same sheet. What breaks a rule of the shop stands in `faults` and is
    planned all the same. `effort` answers True when it is time to stop searching; None is fit for a person waiting.
    """
    whole = with_tenons(job, shop)
    parts = [replace(part, length=worked_length(whole, part, shop)) for part in _in_order(whole.parts)]
    wood = plan_wood(parts, job.stock, shop, choices.may_turn, choices.mix_widths, effort, _run_long(whole))
    flow = choices.flow or job.flow
    standing = choices.stands()
    plans = list(_station_plans(whole, parts, wood, shop, flow, effort, standing))
    followed = follow_wood([run for plan in plans for run in plan.runs], wood, whole, parts, shop)
    plans = [_of_what_is_left(plan, followed) for plan in plans]
    runs = settle_moves(followed, shop, standing)
    assembly = assembly_stages(job)
    together, _ = _by_flow(wood.sawn, whole, shop, Flow.PART_BY_PART)
    return RunSheet(
        job=job.name,
        lengths=job.lengths,
        settings=_settings(runs, plans, shop),
        runs=_finish(runs, parts, shop),
        wood=wood.wood,
        tenons=tenon_stock(job, shop),
        spacers=tuple(block for plan in plans for block in plan.spacers),
        faults=(*(fault for plan in plans for fault in plan.faults), *assembly.faults),
        warnings=(
            *(warning for plan in plans for warning in plan.warnings),
            *assembly.warnings,
            *wood.warnings,
            *too_short_to_plane(runs, shop),
            *remarks_on_units(replace(job, parts=tuple(_in_order(job.parts)))),
        ),
        notes=tuple(filter(None, [flip_stop_note(together, saw) if (saw := shop.station_for(Work.RIP)) else ""])),
    )


def _in_order(parts: Sequence[Part]) -> list[Part]:
    """Parts by their marks: A … Z, AA …"""
    return sorted(parts, key=lambda part: mark_order(part.mark))


def _run_long(job: Job) -> dict[str, str]:
    """What a part is moulded with while it is long, by its mark: only what is moulded alike shares a board."""
    shaped = {part.mark: part.kind.value for part in job.parts if part.kind is Kind.MOULDING}
    for moulding in job.mouldings:
        if runs_long(moulding):
            for mark in moulding.parts:
                shaped[mark] = f"{shaped.get(mark, '')}\n{moulding.mark}"
    return shaped


def _of_what_is_left(plan: StationPlan, followed: Sequence[Run]) -> StationPlan:
    """The plan without the runs that fell away because an earlier one had done their work already.

    Its bound was made for all of its runs; for those that are left only the distinct positions are certain.
    """
    ids = {run.id for run in followed}
    runs = tuple(run for run in plan.runs if run.id in ids)
    if len(runs) == len(plan.runs):
        return plan
    distinct = len({(stop.axis, stop.target) for run in runs for stop in run.stops})
    return replace(plan, runs=runs, least_possible=min(plan.least_possible, distinct))


def _settings(runs: Sequence[Run], plans: Sequence[StationPlan], shop: Shop) -> Settings:
    """Settings made, against the sum of what each station needs at least.

    What a station does at two times can share positions that stand from the first time to the second.
    """
    stations = {station.name: station for station in shop.stations}
    made = sum(stop.move is Move.SET for run in runs for stop in run.stops)
    least = min(made, sum(plan.least_possible for plan in plans) - _may_stand_over(plans, stations))
    proven = all(plan.proven for plan in plans) and made == least
    return Settings(made, least, proven, sum(setting_minutes(stations[run.station], run.stops) for run in runs))


def _may_stand_over(plans: Sequence[StationPlan], stations: Mapping[str, Station]) -> int:
    """How many settings the plans of a station may spare each other at most: those of a position that both need."""
    holds = {(station.name, axis.name): axis.holds for station in stations.values() for axis in station.axes}
    before: dict[tuple[str, str], set[Position]] = defaultdict(set)
    spared = 0
    for plan in plans:
        here: dict[tuple[str, str], set[Position]] = defaultdict(set)
        for run in plan.runs:
            for stop in run.stops:
                here[run.station, stop.axis].add(stop.target)
        shared = sum(min(len(targets & before[axis]), holds[axis]) for axis, targets in here.items())
        spared += min(shared, plan.least_possible)
        for axis, targets in here.items():
            before[axis] |= targets
    return spared


def _station_plans(
    job: Job, parts: Sequence[Part], wood: WoodPlan, shop: Shop, flow: Flow, effort: Effort | None, standing: Standing
) -> Iterator[StationPlan]:
    """Station by station as a piece meets them; profiles along the grain are run while it is long."""
    if any(part.kind is not Kind.SHEET for part in parts):
        yield from _at(Work.JOINT, shop, partial(plan_jointing, parts))
        yield from _at(Work.PLANE, shop, partial(plan_planing, wood.rough, shop))
    now, later = _by_flow(wood.sawn, job, shop, flow)
    widths = {one.rip for one in now}
    with_them = [one for one in later if one.rip in widths]
    if now:
        yield from _at(Work.RIP, shop, lambda saw: plan_part_by_part(now, shop, saw, effort, standing, with_them))
    if by_themselves := [one for one in later if one.rip not in widths]:
        yield from _at(Work.RIP, shop, partial(plan_ripping, by_themselves, shop, standing=standing))
    moulded_long, moulded_last = _moulding(job, shop, effort)
    yield moulded_long
    mitred_ends = {mitre.part: mitre.ends for mitre in job.mitres}
    crosscut = [one for one in later if one.part.mark not in mitred_ends]
    mitred = [one for one in later if one.part.mark in mitred_ends]
    if crosscut:
        yield from _at(Work.SQUARE, shop, partial(plan_squaring, crosscut))
        yield from _at(Work.CROSSCUT, shop, partial(plan_crosscutting, crosscut, shop, standing=standing))
    if mitred:
        yield from _at(Work.CROSSCUT, shop, partial(plan_rough_crosscut, mitred, shop))
        for square, mitre in ((RailEnds.MARKED, RailEnds.OTHER), (RailEnds.OTHER, RailEnds.MARKED)):
            blanks = [one for one in mitred if mitred_ends[one.part.mark] is mitre]
            note = f"one end square: it becomes the {square}"
            yield from _at(Work.SQUARE, shop, partial(plan_squaring, blanks, lot=f"blanks, {square}", note=note))
    if job.mitres:
        yield from _at(Work.MITRE, shop, lambda saw: plan_mitres(job, shop, saw, effort))
    if job.joints:
        yield from _at(Work.MORTISE, shop, lambda at: plan_mortises(job, shop, at, effort, standing.get(at.name)))
    yield moulded_last


def _by_flow(sawn: Sequence[Sawn], job: Job, shop: Shop, flow: Flow) -> tuple[list[Sawn], list[Sawn]]:
    """What goes part by part, and what station by station: all that gets its length after the fence and the stop.

    That is what is moulded while it is long, and what is mitred.
    """
    saw = shop.station_for(Work.RIP)
    if flow is Flow.STATION_BY_STATION or saw is None or not can_go_part_by_part(saw):
        return [], list(sawn)
    last = {mitre.part for mitre in job.mitres} | {part.mark for part in job.parts if part.kind is Kind.MOULDING}
    last.update(mark for moulding in job.mouldings if runs_long(moulding) for mark in moulding.parts)
    now = [one for one in sawn if one.part.mark not in last]
    return now, [one for one in sawn if one.part.mark in last]


def _moulding(job: Job, shop: Shop, effort: Effort | None) -> tuple[StationPlan, StationPlan]:
    """What the spindle does while the stock is long, and what it does when it is cut to length: one order for both."""
    if not job.mouldings:
        return StationPlan(), StationPlan()
    (whole,) = _at(Work.MOULD, shop, lambda spindle: plan_mouldings(job, shop, spindle, effort))
    long = sum(len(moulding.passes) for moulding in job.mouldings if runs_long(moulding))
    return replace(whole, runs=whole.runs[:long]), StationPlan(whole.runs[long:])


def _at(work: Work, shop: Shop, plan: Callable[[Station], StationPlan]) -> Iterator[StationPlan]:
    station = shop.station_for(work)
    if station:
        yield plan(station)
    else:
        text = f"no station does the work called {work}, so it is not in the plan; give it to a station"
        yield StationPlan(warnings=(Remark("the shop", text),))


def _finish(runs: Sequence[Run], parts: Sequence[Part], shop: Shop) -> tuple[Run, ...]:
    """Runs numbered, with the notes of their parts, the cautions that apply and the minutes they take."""
    notes = {part.mark: part.note for part in parts}
    stations = {station.name: station for station in shop.stations}
    seen: Counter[str] = Counter()
    finished = []
    for number, run in enumerate(runs, start=1):
        station = stations[run.station]
        scene = scene_of(run, station, not seen[run.station])
        seen[run.station] += 1
        cautions = (*run.cautions, *cautions_for(run.work, scene, shop.show))
        carried = is_carried(run, runs[number - 2] if number > 1 else None)
        minutes = run_minutes(station, run, carried)
        pieces = tuple(replace(one, note=notes[one.mark]) for one in run.pieces)
        finished.append(replace(run, number=number, pieces=pieces, cautions=cautions, minutes=minutes))
    return tuple(finished)
