"""Sand: all that will be seen, by hand and before the glue-up, for what lies inside is not reached afterwards."""

from collections.abc import Iterator, Sequence

from stopwright.model.job import Job
from stopwright.model.parts import DryBlank, LooseTenon, PanelStrip
from stopwright.model.stations import Shop
from stopwright.plan.operations.caution import Caution, always
from stopwright.plan.operations.operation import Operation, Setups, Stage, Task, as_the_stop_stands, by_hand
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.run_sheet import Run
from stopwright.plan.stations.cut_helpers import follow_pieces
from stopwright.plan.stations.flip_stops_up import FlipStops

WORK = "sand"
NOTE = "80, 120, 180, then 240; the face side that joints are measured from no more than it needs"


def _setups(task: Task) -> Setups:
    """All parts but loose tenons and strips."""
    parts = (part for part in task.job.parts if not isinstance(part, LooseTenon | PanelStrip | DryBlank))
    return by_hand(task, WORK, Stage.HAND, parts, NOTE)


def _reason(_: Run, __: Sequence[Run], ___: Sequence[Run], ____: Shop) -> Iterator[str]:
    yield "after every cut and before the glue-up: inner faces are not reached afterwards"


def _picture(canvas: Canvas, _: Run, __: Job, ___: FlipStops | None) -> None:
    """A block on a board, along the grain."""
    canvas.wood(30, 56, 300, 30)
    canvas.box("fence", 130, 40, 70, 16)
    canvas.path("arrow", "M212 48h40m-6-4l6 4l-6 4")
    canvas.words("along the grain", 180, 106, kind="said small")
    canvas.tall = 114
    canvas.label = "A sanding block on a board, moved along the grain"


OPERATION = Operation(
    work=WORK,
    stage=Stage.HAND,
    title="sand",
    comes_to="comes to",
    roles=(),
    gear=(),
    asked=(),
    setups=_setups,
    follow=follow_pieces,
    measured=as_the_stop_stands,
    cautions=(
        Caution(
            "Dust away at the tool, and a mask: fine dust harms, that of some woods more.",
            "common practice",
            "P",
            always,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
