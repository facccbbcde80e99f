"""Square: one end of every strip or blank cut true; it becomes the marked end, or the square end of a mitred piece."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from stopwright.model.gear import Blade
from stopwright.model.job import Job
from stopwright.model.joints import ENDS, RailEnds, Side
from stopwright.model.parts import mark_order
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import ACROSS_AT_A_SAW
from stopwright.plan.operations.operation import (
    Operation,
    Setup,
    Setups,
    Stage,
    Task,
    Worked,
    as_the_stop_stands,
    at_station,
    marks_of,
    together,
)
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.plan.run_sheet import Form, Run
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_by_part import by_flow
from stopwright.plan.stations.sawing import NOTES, PANELS, SQUARE, sawn_at_last
from stopwright.plan.timber.sawn import Sawn, count_sawn
from stopwright.plan.timber.way import Way


def _setups(task: Task) -> Setups:
    """A run without a stop for what is crosscut at one, and one each for the square ends of mitred pieces."""
    _, later = by_flow(task.wood.sawn, task.job, task.shop, task.flow)
    mitred = {mitre.part: mitre.ends for mitre in task.job.mitres}
    strips = [one for one in later if one.part.mark not in mitred]
    found = [_squaring(task, strips, Stage.SQUARE)]
    for square, mitre in ((RailEnds.MARKED, RailEnds.OTHER), (RailEnds.OTHER, RailEnds.MARKED)):
        blanks = [one for one in later if mitred.get(one.part.mark) is mitre]
        note = f"one end square: it becomes the {square}"
        found.append(_squaring(task, blanks, Stage.BLANKS, f"blanks, {square}", note))
    panels, dry = sawn_at_last(task)
    found.append(_squaring(task, panels, Stage.PANEL_SQUARE, PANELS))
    found.append(_squaring(task, [one for one in dry if one.part.is_glued], Stage.DRY_SQUARE, PANELS))
    return together(*found)


def _squaring(task: Task, sawn: Sequence[Sawn], stage: Stage, lot: str = "", note: str = NOTES[SQUARE]) -> Setups:
    if not sawn:
        return Setups()

    def plan(station: Station) -> Setups:
        return Setups((Setup(stage, (Run(0, station.name, SQUARE, (), count_sawn(sawn), note=note, lot=lot),)),))

    return at_station(task.shop, SQUARE, plan)


def _follow(way: Way, run: Run, station: Station) -> Worked:
    """Every strip that is still rough at its end; else the blanks of these parts."""
    if run.lot == PANELS:
        return way.panels(run, lambda lot: replace(lot, length=lot.length - station.of(Blade).trim))
    width, length = run.size or (None, None)
    marks = set(marks_of(run))
    way.take_unripped(marks)
    here = [
        strip
        for strip in way.strips
        if not strip.squared and width in (None, strip.lot.width) and strip.plan.marks(length) & marks
    ]
    takes = [strip.lot for strip in here]
    for strip in here:
        strip.squared = True
        strip.lot = replace(strip.lot, length=strip.lot.length - (station.of(Blade).trim if strip.trim else 0))
    gives = [strip.lot for strip in here]
    held = {mark for strip in way.strips for mark in strip.plan.marks()}
    for mark in sorted(marks - held, key=mark_order):
        for place, lot in enumerate(way.pieces.get(mark, [])):
            if lot.form is Form.BLANK:
                takes.append(lot)
                way.pieces[mark][place] = replace(lot, length=lot.length - station.of(Blade).trim)
                gives.append(way.pieces[mark][place])
    return takes, gives


def _reason(_: Run, __: Sequence[Run], ___: Sequence[Run], ____: Shop) -> Iterator[str]:
    yield "before any length is cut: this end is the one that touches the stop"


def _picture(canvas: Canvas, run: Run, _: Job, __: FlipStops | None) -> None:
    """The piece along the fence, a thin slice falling at the blade; no stop is set."""
    blade = 296.0
    canvas.line("fence-line", 4, 22, WIDE - 4, 22)
    canvas.wood(40, 26, blade - 40, 34)
    canvas.box("waste", blade + 3, 26, 14, 34)
    canvas.line("blade", blade, 6, blade, 70)
    canvas.path("arrow", f"M{blade - 26} 78h22m-6-4l6 4l-6 4")
    end = next((str(end) for end in ENDS if run.lot == f"blanks, {end}"), str(Side.MARKED_END))
    canvas.words(f"this end becomes the {end}", blade - 32, 83, "end")
    canvas.tall = 92
    canvas.label = "Seen from above: the piece along the fence, its end just past the blade, no stop"


OPERATION = Operation(
    work=SQUARE,
    stage=Stage.SQUARE,
    title="square ends",
    comes_to="cuts",
    roles=(),
    gear=(Blade,),
    asked=(),
    setups=_setups,
    follow=_follow,
    measured=as_the_stop_stands,
    cautions=ACROSS_AT_A_SAW,
    reason=_reason,
    picture=_picture,
)
