"""Calibrate: planed boards and panels sanded by a machine to their finished thickness, before anything is cut in."""

from collections.abc import Iterator, Sequence

from stopwright.lengths import Nm
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
from stopwright.plan.pictures.above_the_bed import BED, DRUM, draw_bed, height_set
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.run_sheet import Remark, Run
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.heights import Down, come_down, heights_down, too_wide_for
from stopwright.plan.stations.sawing import PANELS
from stopwright.plan.timber.calibrating import CALIBRATE, is_calibrated, left_for_calibrating, planed_part
from stopwright.plan.timber.rack import Stack
from stopwright.plan.timber.sawn import Rough
from stopwright.plan.timber.way import Way

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
    return come_down(way, run, lambda stack: _last(way, stack))


def _last(way: Way, stack: Stack) -> Nm:
    """How thick what a board holds is finished, nm: all of it alike, for only so it shares a board."""
    return way.finished[next(iter(stack.counts()))][2]


def too_wide_to_calibrate(runs: Sequence[Run], shop: Shop) -> Iterator[Remark]:
    """Boards wider than what passes through the sander."""
    return too_wide_for(WORK, runs, shop, "rip it first, or sand it by hand")


def _reason(_: Run, __: Sequence[Run], ___: Sequence[Run], ____: Shop) -> Iterator[str]:
    yield "after the planer and before any cut: what is measured from a face is true only when that face is final"


def _picture(canvas: Canvas, run: Run, _: Job, __: FlipStops | None) -> None:
    """The sander from the side: bed, board, the drum above it, the height between them."""
    found = height_set(run)
    if found is None:
        return
    stop, height = found
    top = BED - 12 - 36.0 * height / canvas.span(height)
    canvas.wood(24, top, 246, BED - top)
    canvas.circle("knives", DRUM, top - 24, 24)
    canvas.circle("roller", DRUM - 62, top - 9, 9)
    canvas.circle("roller", DRUM + 62, top - 9, 9)
    draw_bed(canvas, stop, height, top, DRUM + 78)
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
