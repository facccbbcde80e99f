"""Glue: strips to panels, edge to edge, that rest before they are planed and get their size."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from stopwright.lengths import format_length
from stopwright.model.counts import counted
from stopwright.model.job import Job
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import Caution, always
from stopwright.plan.operations.operation import (
    Operation,
    Setup,
    Setups,
    Stage,
    Task,
    Worked,
    as_the_stop_stands,
    at_station,
)
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.run_sheet import Form, Lot, Pieces, Run
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.timber.panels import REST_HOURS, Panel, panel_in
from stopwright.plan.timber.way import Way

WORK = "glue"
SUB_PANELS = "sub-panels"
"""Tells the run in which strips become sub-panels from the one in which these become the panel."""


def _setups(task: Task) -> Setups:
    """A run for each panel: strips, clamps, and how long it rests; two for one that is glued in sub-panels first."""
    if not task.panels:
        return Setups()

    def plan(station: Station) -> Setups:
        setups = []
        for panel in task.panels:
            if panel.is_split:
                setups.append(Setup(Stage.GLUE, (_run(panel, station, _first_note(panel, task.shop), SUB_PANELS),)))
                setups.append(Setup(Stage.LAST_JOINT, (_run(panel, station, _last_note(panel)),)))
            else:
                setups.append(Setup(Stage.GLUE, (_run(panel, station, _note(panel, task.shop)),)))
        return Setups(tuple(setups))

    return at_station(task.shop, WORK, plan)


def _run(panel: Panel, station: Station, note: str, what: str = "") -> Run:
    part = panel.part
    lot = f"{part.mark}, {what}" if what else part.mark
    return Run(0, station.name, WORK, (), (Pieces(part.mark, part.name, part.quantity),), note=note, lot=lot)


def _size(panel: Panel, shop: Shop) -> str:
    return " × ".join(format_length(one, shop.show) for one in panel.glued)


def _note(panel: Panel, shop: Shop) -> str:
    size = _size(panel, shop)
    return (
        f"{panel.strips} strips to a panel of {size}, numbered from the left, a triangle across them: so "
        f"order and faces are found again; {panel.clamps} clamps; it rests {REST_HOURS} h before it is planed"
    )


def _first_note(panel: Panel, shop: Shop) -> str:
    each = panel.split.each
    one, last = counted(each[0], "strip"), each[-1]
    strips = one if last == each[0] else f"{one} or {last}"
    return (
        f"{panel.strips} strips numbered from the left, a triangle across all of them: so order and faces are found "
        f"again; glued in {len(each)} sub-panels of {strips}, the widest {_size(panel, shop)}, for the whole "
        f"does not pass the planer; {panel.clamps} clamps each; they rest {REST_HOURS} h before they are planed"
    )


def _last_note(panel: Panel) -> str:
    subs = len(panel.split.each)
    joints, are = ("joint", "is") if subs == 2 else ("joints", "are")
    return (
        f"{subs} sub-panels side by side, the triangle closed across them, faces flush at the {joints}; "
        f"{panel.last_clamps} clamps; when it has rested {REST_HOURS} h the last {joints} {are} "
        "cleaned by hand, for it goes through the planer no more"
    )


def _follow(way: Way, run: Run, _: Station) -> Worked:
    """Strips are taken and sub-panels given, or the panel: of strips, or of sub-panels that are there."""
    panel = panel_in(way.job, run.pieces[0].mark)
    mark, count = panel.part.mark, panel.part.quantity
    if run.lot == f"{mark}, {SUB_PANELS}":
        takes = way.pieces.pop(panel.strip.mark, [])
        way.pieces[mark] = _sub_panels(panel, takes[0]) if takes else []
        return takes, list(way.pieces[mark])
    takes = way.pieces.pop(mark if panel.is_split else panel.strip.mark, [])
    if not takes:
        return [], []
    one = takes[0]
    width = sum(lot.width for lot in takes) if panel.is_split else panel.strips * one.width
    size = (one.length, width, one.thickness)
    lot = Lot(mark, Form.PANEL, count, panel.part.material, *size, ((mark, count),), chalk=mark)
    way.pieces[mark] = [lot]
    return takes, [lot]


def _sub_panels(panel: Panel, strip: Lot) -> list[Lot]:
    """The sub-panels, from the left: `A, sub-panel 1`, chalked `A 1/2`; their strips are not a panel yet."""
    mark, count = panel.part.mark, panel.part.quantity
    return [
        replace(
            strip,
            name=f"{mark}, sub-panel {number}",
            form=Form.PANEL,
            count=count,
            width=strips * strip.width,
            becomes=((panel.strip.mark, strips * count),),
            chalk=f"{mark} {number}/{len(panel.split.each)}",
        )
        for number, strips in enumerate(panel.split.each, start=1)
    ]


def _reason(run: Run, __: Sequence[Run], ___: Sequence[Run], ____: Shop) -> Iterator[str]:
    if not run.lot.endswith(SUB_PANELS) and any(lot.form is Form.PANEL for lot in run.takes):
        yield "each sub-panel has passed the planer; the whole would not"
        return
    yield "as soon as its edges are jointed; what does not need it can go on while it rests"


def _picture(canvas: Canvas, _: Run, __: Job, ___: FlipStops | None) -> None:
    """Strips side by side with a triangle across them."""
    for number in range(5):
        canvas.wood(40 + number * 56, 14, 54, 74)
    canvas.path("arrow", "M60 80L180 22L300 80z")
    canvas.tall = 104
    canvas.label = "Strips side by side, a triangle drawn across all of them"


OPERATION = Operation(
    work=WORK,
    stage=Stage.GLUE,
    title="glue",
    comes_to="cuts",
    roles=(),
    gear=(),
    asked=(),
    setups=_setups,
    follow=_follow,
    measured=as_the_stop_stands,
    cautions=(
        Caution(
            "Dry fit with all clamps first. Gloves or a wash for the glue, as its maker says.",
            "common practice",
            "P",
            always,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
