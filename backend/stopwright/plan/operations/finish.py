"""Finish: panels of solid wood get theirs before the frame is glued, or a bare line shows when they shrink."""

from collections.abc import Iterator, Sequence

from stopwright.model.job import Job
from stopwright.model.parts import Kind
from stopwright.model.stations import Shop
from stopwright.plan.operations.caution import Caution, always
from stopwright.plan.operations.groove import loose_marks
from stopwright.plan.operations.operation import Operation, Setups, Stage, Task, as_the_stop_stands, by_hand
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.run_sheet import Run
from stopwright.plan.stations.cut_helpers import follow_pieces
from stopwright.plan.stations.flip_stops_up import FlipStops

WORK = "finish"
NOTE = "before the frame is glued around them, edges too; the rest when the glue has set"
FINISH_IT = "finish it, but for what was finished before"
"""Said for when the glue has set, in a shop that finishes."""


def _setups(task: Task) -> Setups:
    """The panels of solid wood."""
    panels = (part for mark in loose_marks(task.job) if (part := task.job.part(mark)).kind is not Kind.SHEET)
    return by_hand(task, WORK, Stage.FINISH, panels, NOTE)


def _reason(_: Run, __: Sequence[Run], ___: Sequence[Run], ____: Shop) -> Iterator[str]:
    yield "before the glue-up: a panel that shrinks in its frame shows a line of bare wood"


def _picture(canvas: Canvas, _: Run, __: Job, ___: FlipStops | None) -> None:
    """A panel in section between two grooves, its finish going on into them."""
    canvas.wood(40, 40, 60, 44)
    canvas.wood(260, 40, 60, 44)
    canvas.box("table", 84, 56, 192, 12)
    canvas.words("finished into the grooves", 180, 104, kind="said small")
    canvas.tall = 112
    canvas.label = "In section: a panel between two grooves, finished as far as its edges"


OPERATION = Operation(
    work=WORK,
    stage=Stage.FINISH,
    title="finish",
    comes_to="comes to",
    roles=(),
    gear=(),
    asked=(),
    setups=_setups,
    follow=follow_pieces,
    measured=as_the_stop_stands,
    cautions=(
        Caution(
            "Gloves and air as the maker of the finish says; oily rags can catch fire by themselves: spread "
            "them out to dry, or keep them under water.",
            "common practice",
            "P",
            always,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
