"""Glue: strips to panels, edge to edge, that rest before they are planed and get their size."""

from collections.abc import Iterator, Sequence

from stopwright.lengths import format_length
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


def _setups(task: Task) -> Setups:
    """A run for each panel: strips, clamps, and how long it rests."""
    if not task.panels:
        return Setups()

    def plan(station: Station) -> Setups:
        return Setups(tuple(Setup(Stage.GLUE, (_run(panel, task.shop, station),)) for panel in task.panels))

    return at_station(task.shop, WORK, plan)


def _run(panel: Panel, shop: Shop, station: Station) -> Run:
    part, (length, width, thick) = panel.part, panel.glued
    size = f"{format_length(length, shop.show)} × {format_length(width, shop.show)} × {format_length(thick, shop.show)}"
    note = (
        f"{panel.strips} strips to a panel of {size}, numbered from the left, a triangle across them: so "
        f"order and faces are found again; {panel.clamps} clamps; it rests {REST_HOURS} h before it is planed"
    )
    return Run(0, station.name, WORK, (), (Pieces(part.mark, part.name, part.quantity),), note=note, lot=part.mark)


def _follow(way: Way, run: Run, _: Station) -> Worked:
    """The strips of a panel are taken, the panel is given."""
    mark = run.pieces[0].mark
    panel = panel_in(way.job, mark)
    takes = way.pieces.pop(panel.strip.mark, [])
    if not takes:
        return [], []
    part = panel.part
    lot = Lot(mark, Form.PANEL, part.quantity, part.material, *panel.glued, ((mark, part.quantity),), chalk=mark)
    way.pieces[mark] = [lot]
    return takes, [lot]


def _reason(_: Run, __: Sequence[Run], ___: Sequence[Run], ____: Shop) -> Iterator[str]:
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
