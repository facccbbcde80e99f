"""From a job and a shop to the run sheet: the one door of the planner."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from stopwright.lengths import Show
from stopwright.model.job import Flow, Job
from stopwright.model.parts import Part
from stopwright.model.stations import Shop
from stopwright.plan.assembling.glue_ups import glue_ups_of
from stopwright.plan.begun import Begun, begin
from stopwright.plan.choices import Choices
from stopwright.plan.day.choose import in_the_day
from stopwright.plan.effort import Effort
from stopwright.plan.joinery.tenons import tenon_stock
from stopwright.plan.making.measure_first import before_runs
from stopwright.plan.operations.calibrate import too_wide_to_calibrate
from stopwright.plan.operations.caution import Scene
from stopwright.plan.operations.joint import too_long_to_joint
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.operations.operation import Task
from stopwright.plan.operations.plane import too_deep_for_its_width, too_short_to_plane, too_wide_to_plane
from stopwright.plan.ordering.changeovers import changes_of, in_order_of_changeovers, with_changes
from stopwright.plan.ordering.settings_bound import least_settings, of_what_is_left
from stopwright.plan.run_sheet import AllStanding, Move, Run, RunSheet, Settings
from stopwright.plan.schedule import Visit, schedule
from stopwright.plan.stations.after_dry_fit import held_back
from stopwright.plan.stations.back_to_square import left_turned, only_set_back, square_at_first, with_square
from stopwright.plan.stations.blocks import blocks_to_make
from stopwright.plan.stations.making_ready import with_what_stands
from stopwright.plan.stations.minutes import is_carried, run_minutes, setting_minutes
from stopwright.plan.stations.moves import settle_moves
from stopwright.plan.stations.part_by_part import became_station_by_station, by_flow, flip_stop_note
from stopwright.plan.stations.sawing import RIP
from stopwright.plan.timber.panel_remarks import as_wide_as_boards
from stopwright.plan.timber.way import Follow, follow_wood

AS_THE_JOB_SAYS = Choices()


def make_plan(job: Job, shop: Shop, choices: Choices = AS_THE_JOB_SAYS, effort: Effort | None = None) -> RunSheet:
    """The run sheet of a job in a shop: every run in order, each stop set as seldom as the flow allows.

    The same parts in another order give the same sheet. What breaks a rule of the shop stands in `faults` and is
    planned all the same. `effort` answers True when it is time to stop searching; None is fit for a person waiting.
    """
    if not choices.strips:
        shop = replace(shop, spacers=False)
    return plan_begun(begin(job, shop, choices, effort), shop, choices, effort)


def plan_begun(begun: Begun, shop: Shop, choices: Choices, effort: Effort | None) -> RunSheet:
    """The run sheet of what was begun: one job, or several that are worked together."""
    job, whole, parts, wood = begun.job, begun.whole, begun.parts, begun.wood
    flow = choices.flow or job.flow
    standing = choices.stands()
    task = Task(whole, begun.from_wood, wood, shop, flow, begun.panels, effort, standing)
    asked = with_square([held_back(one.setups(task), whole) for one in OPERATIONS.values()], shop)
    at_first = square_at_first(asked, shop, standing)
    visits = schedule(asked, shop, effort, at_first)
    followed = follow_wood([run for visit in visits for run in visit.runs], _follow, wood, whole, parts, shop)
    ready = _stands_ready(choices, shop)
    left = of_what_is_left(visits, followed, shop, at_first)
    visits, found = in_order_of_changeovers(left, followed, shop, at_first, ready)

    def by_itself(runs: Sequence[Run]) -> list[Run]:
        return only_set_back(settle_moves([replace(run, change=None) for run in runs], shop, at_first))

    def worked(in_order: Sequence[Run]) -> tuple[Run, ...]:
        followed = with_changes(follow_wood(in_order, _follow, wood, whole, parts, shop), shop, ready)
        settled = only_set_back(settle_moves(followed, shop, at_first))
        return tuple(with_what_stands(_finish(_measured_first(settled, begun), parts, shop), shop))

    as_visited = worked([run for visit in visits for run in visit.runs])
    dayed = in_the_day(as_visited, worked, by_itself, begun, shop, ready, choices.soonest, effort)
    runs = dayed.runs
    at_once, _ = by_flow(wood.sawn, whole, shop, Flow.PART_BY_PART)
    return RunSheet(
        job=job.name,
        lengths=job.lengths,
        settings=_settings(runs, visits, shop, at_first),
        runs=runs,
        machines=changes_of(runs, shop, found, as_found=runs == as_visited),
        day=dayed.plan,
        wood=wood.wood,
        tenons=tenon_stock(job, shop),
        spacers=blocks_to_make(block for one in asked for block in one.spacers),
        panels=begun.moving,
        hardware=begun.hardware,
        glue_ups=glue_ups_of(begun.assembled, shop),
        faults=(*(fault for one in asked for fault in one.faults), *begun.faults),
        warnings=(
            *(warning for one in asked for warning in one.warnings),
            *became_station_by_station(wood.sawn, shop, flow),
            *begun.of_assembly,
            *wood.warnings,
            *begun.too_wide,
            *dayed.remarks,
            *too_long_to_joint(runs, shop),
            *too_short_to_plane(runs, shop),
            *too_wide_to_plane(runs, shop),
            *too_wide_to_calibrate(runs, shop),
            *too_deep_for_its_width(runs, shop),
            *begun.of_units,
        ),
        notes=(
            *filter(None, [flip_stop_note(at_once, saw) if (saw := shop.station_for(RIP)) else ""]),
            *as_wide_as_boards(begun.panels, job.stock, shop),
        ),
    )


def _follow(work: str) -> Follow:
    return OPERATIONS[work].follow


def _stands_ready(choices: Choices, shop: Shop) -> dict[str, str]:
    """For which station each machine stands ready; what the shop does not have any more is left out."""
    stations = {machine.name: machine.stations for machine in shop.machines}
    return {machine: station for machine, station in choices.ready if station in stations.get(machine, ())}


def _settings(runs: Sequence[Run], visits: Sequence[Visit], shop: Shop, standing: AllStanding) -> Settings:
    """Settings made, against what the visits need at least."""
    stations = {station.name: station for station in shop.stations}
    made = sum(stop.move is Move.SET for run in runs for stop in run.stops)
    least = min(made, least_settings(visits, shop, standing))
    proven = all(visit.proven for visit in visits) and made == least
    return Settings(made, least, proven, sum(setting_minutes(stations[run.station], run.stops) for run in runs))


def _measured_first(runs: Sequence[Run], begun: Begun) -> list[Run]:
    """The runs with what must be measured before them in their notes."""
    asked = before_runs(begun.to_measure, runs)
    return [
        replace(run, note="; ".join(filter(None, (run.note, *asked.get(place, ()))))) for place, run in enumerate(runs)
    ]


def _finish(runs: Sequence[Run], parts: Sequence[Part], shop: Shop) -> tuple[Run, ...]:
    """Runs numbered, with the notes of their parts, the cautions that apply and the minutes they take."""
    notes = {part.mark: part.note for part in parts}
    stations = {station.name: station for station in shop.stations}
    seen: Counter[str] = Counter()
    turned = left_turned(runs)
    finished = []
    for number, run in enumerate(runs, start=1):
        station = stations[run.station]
        scene = Scene(run, station, not seen[run.station], shop.show is not Show.MM, number - 1 in turned)
        seen[run.station] += 1
        apply = (one for one in OPERATIONS[run.work].cautions if one.applies(scene))
        cautions = (*run.cautions, *(caution.words(shop.show) for caution in apply))
        carried = is_carried(run, runs[number - 2] if number > 1 else None)
        minutes = run_minutes(station, run, carried)
        pieces = tuple(replace(one, note=notes[one.mark]) for one in run.pieces)
        finished.append(replace(run, number=number, pieces=pieces, cautions=cautions, minutes=minutes))
    return tuple(finished)
