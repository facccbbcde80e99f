"""Calibrate: planed boards and panels sanded by a machine to their finished thickness, before anything is cut in."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from stopwright.lengths import Nm, format_length
from stopwright.model.gear import Sander, Throat
from stopwright.model.job import Job
from stopwright.model.parts import Part
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import STOP_MOVES, Caution, always
from stopwright.plan.operations.operation import (
    Operation,
    Setups,
    Stage,
    Task,
    Worked,
    as_the_stop_stands,
    at_station,
    together,
)
from stopwright.plan.operations.roles import THICKNESS
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.plan.run_sheet import Form, Move, Remark, Run
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.heights import Down, heights_down
from stopwright.plan.stations.sawing import PANELS
from stopwright.plan.timber.calibrating import CALIBRATE, is_calibrated, left_for_calibrating, planed_part
from stopwright.plan.timber.rack import Stack
from stopwright.plan.timber.sawn import Rough
from stopwright.plan.timber.way import Way, target_of

WORK = CALIBRATE


def _setups(task: Task) -> Setups:
    """A run a height from the planed thickness to the finished one, boards first, panels when they are planed."""
    if not left_for_calibrating(task.shop):
        return Setups()
    boards = [
        _finished(task.job.part(one.part.mark), one.count, one.thickness, task.shop)
        for one in task.wood.rough
        if is_calibrated(task.job.part(one.part.mark))
    ]
    panels = [
        _finished(one.part, one.part.quantity, one.part.thickness + left_for_calibrating(task.shop), task.shop)
        for one in task.panels
    ]

    def plan(station: Station) -> Setups:
        down = Down(WORK, station.of(Sander).greatest_pass, _note)
        return together(
            heights_down(boards, task.shop, station, down, Stage.CALIBRATE),
            heights_down(panels, task.shop, station, down, Stage.PANEL_CALIBRATE, PANELS),
        )

    return at_station(task.shop, WORK, plan)


def _finished(part: Part, count: int, thickness: Nm, shop: Shop) -> Rough:
    """So many pieces of a part as they come from the planer; wood bought planed may be thinner than it leaves it."""
    planed = min(thickness, planed_part(part, shop).thickness)
    return Rough(part, planed, count, planed)


def _note(parts: Sequence[Part]) -> str:
    return f"finished thickness of {', '.join(part.mark for part in parts)}"


def _follow(way: Way, run: Run, _: Station) -> Worked:
    """Every planed board or panel that is still thicker comes down to the height."""
    height = target_of(run, THICKNESS.name)
    if height is None:
        return [], []
    if run.lot == PANELS:
        return way.panels(run, lambda lot: replace(lot, thickness=height))
    here = [one for one in way.stacks if not one.is_sheet and _last(way, one) <= height < one.lot.thickness]
    takes = [stack.lot for stack in here]
    for stack in here:
        stack.lot = replace(stack.lot, thickness=height)
    return takes, [stack.lot for stack in here]


def _last(way: Way, stack: Stack) -> Nm:
    """How thick what a board holds is finished, nm: all of it alike, for only so it shares a board."""
    return way.finished[next(iter(stack.counts()))][2]


def too_wide_to_calibrate(runs: Sequence[Run], shop: Shop) -> Iterator[Remark]:
    """Boards wider than what passes through the sander; a panel is glued in sub-panels, or has a fault."""
    stations = {station.name: station for station in shop.stations}
    told: set[str] = set()
    for run in runs:
        widest = stations[run.station].of(Throat).widest
        for lot in run.takes if run.work == WORK and widest is not None else ():
            if lot.width > (widest or 0) and lot.name not in told and lot.form is not Form.PANEL:
                told.add(lot.name)
                wide, most = format_length(lot.width, shop.show), format_length(widest or 0, shop.show)
                text = f"{lot.name}: {wide} wide, the {run.station} takes {most}; rip it first, or sand it by hand"
                yield Remark(", ".join(mark for mark, _ in lot.becomes), text)


def _reason(_: Run, __: Sequence[Run], ___: Sequence[Run], ____: Shop) -> Iterator[str]:
    yield "after the planer and before any cut: what is measured from a face is true only when that face is final"


def _picture(canvas: Canvas, run: Run, _: Job, __: FlipStops | None) -> None:
    """The sander from the side: bed, board, the drum above it, the height between them."""
    stop = next((stop for stop in run.stops if stop.sets == THICKNESS.name), None)
    if stop is None or not isinstance(stop.target, int):
        return
    bed, drum = 92.0, 172.0
    top = bed - 12 - 36.0 * stop.target / canvas.span(stop.target)
    canvas.wood(24, top, 246, bed - top)
    canvas.circle("knives", drum, top - 24, 24)
    canvas.circle("roller", drum - 62, top - 9, 9)
    canvas.circle("roller", drum + 62, top - 9, 9)
    canvas.box("stop" if stop.move is Move.SET else "stop stands", 8, bed, WIDE - 74, 7)
    canvas.path("arrow", f"M{drum + 78} {top - 12:.1f}h24m-6-4l6 4l-6 4")
    canvas.upright(298, top, bed)
    canvas.length_inside(stop.reading if isinstance(stop.reading, int) else stop.target, 298, bed + 24, stop.axis)
    canvas.tall = 122
    canvas.label = "Seen from the side: the board on the bed, the drum above it, the height between them"


OPERATION = Operation(
    work=WORK,
    stage=Stage.CALIBRATE,
    title="calibrate",
    comes_to="sands to",
    roles=(THICKNESS,),
    gear=(Sander, Throat),
    asked=(),
    setups=_setups,
    follow=_follow,
    measured=as_the_stop_stands,
    cautions=(
        STOP_MOVES,
        Caution(
            "Extraction on before the drum turns. Half from each face. Never two pieces of unequal thickness at once.",
            "common practice",
            "P",
            always,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
