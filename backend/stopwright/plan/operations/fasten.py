"""Fasten: slots for the screws, or room for the buttons, that hold a top of solid wood and let it move; by hand."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import Nm, Show, format_length
from stopwright.model.cuts import Cut, asked
from stopwright.model.job import Job
from stopwright.model.parts import Part
from stopwright.model.stations import Shop
from stopwright.plan.operations.caution import Caution, always
from stopwright.plan.operations.operation import (
    Operation,
    Setup,
    Setups,
    Stage,
    Task,
    as_the_stop_stands,
    said_together,
)
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.run_sheet import Pieces, Remark, Run
from stopwright.plan.said_lengths import said, said_up
from stopwright.plan.stations.cut_helpers import follow_pieces
from stopwright.plan.stations.cut_setups import candidates, why_none
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.timber.fastening_room import FasteningRoom
from stopwright.plan.timber.movement import coefficient_of

WORK = "fasten"
USUAL_SCREW: Nm = 4_500_000
"""Diameter of the screws where nothing is said (common practice)."""


class FastenedBy(StrEnum):
    """What holds the top."""

    SCREWS = "slotted screws"
    BUTTONS = "buttons"


class HeldIn(StrEnum):
    """Where the top is held without play: it moves away from there and back."""

    MIDDLE = "middle"
    EDGE = "edge"
    FAR_EDGE = "far edge"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fastening(Cut):
    """A `top` of solid wood held on `parts` by screws in slots, or by buttons in grooves; nm.

    `at` is how far across the top, from its face edge, each row of them lies.
    """

    kind: ClassVar[str] = "fastening"
    letter: ClassVar[str] = "F"

    top: str = asked("Top", "the part of solid wood that is held", names_parts=True)
    at: tuple[Nm, ...] = asked("Rows", "across the top, from its face edge to each row, with ; between them")
    by: FastenedBy = asked("Held by", "screws in slots, or buttons in a groove", FastenedBy.SCREWS)
    fixed: HeldIn = asked("Without play in", "the line from which it moves away", HeldIn.MIDDLE)
    screw: Nm = asked("Screw", "its diameter", USUAL_SCREW)

    def problems(self) -> Iterator[Problem]:
        """No top, no row, no screw, or a top that holds itself."""
        if not self.top:
            yield Problem("top", "is empty", "write the mark of the part that is held")
        elif self.top in self.parts:
            yield Problem("top", f"{self.top} would hold itself", "name the parts that it lies on")
        if not self.at:
            yield Problem("at", "is empty", "write how far each row lies from the face edge of the top")
        if self.screw <= 0:
            yield Problem("screw", "is not above 0", "write the diameter of the screw, such as 4.5")


def rooms_of(cut: Fastening, top: Part, job: Job) -> list[FasteningRoom]:
    """The room of each row, in the order of the rows; none where it is not known how the wood moves."""
    coefficient = coefficient_of(top)
    if coefficient is None:
        return []
    held = {HeldIn.MIDDLE: top.width // 2, HeldIn.EDGE: 0, HeldIn.FAR_EDGE: top.width}[cut.fixed]
    return [FasteningRoom(abs(row - held), coefficient, job.moisture) for row in cut.at]


def fastenings_in(job: Job) -> list[Fastening]:
    """What holds the tops of a job."""
    return [cut for cut in job.cuts if isinstance(cut, Fastening)]


def fastened_text(cut: Fastening) -> str:
    """How a top is put on, in words.

    >>> fastened_text(Fastening(mark="F1", parts=("B", "C"), top="T", at=(1,), by=FastenedBy.BUTTONS))
    'fasten T on B and C with buttons, without play in its middle only and without glue'
    """
    on = said_together(cut.parts)
    return f"fasten {cut.top} on {on} with {cut.by}, without play in its {cut.fixed} only and without glue"


def _setups(task: Task) -> Setups:
    setups: list[Setup] = []
    faults: list[Remark] = []
    warnings: list[Remark] = []
    for cut in fastenings_in(task.job):
        top = task.job.part(cut.top)
        faults += _beyond(cut, top, task.shop.show)
        rooms = rooms_of(cut, top, task.job)
        if not rooms:
            text = f"'{top.material}' is a wood whose movement is not known, so {cut.mark} is not worked out"
            warnings.append(Remark(top.mark, f"{text}; name its species, or look up how it moves"))
            continue
        stations = candidates(cut, WORK, task.shop)
        if not stations:
            faults.append(Remark(cut.mark, f"{cut.kind} {cut.mark}: {why_none((), cut, WORK)}"))
            continue
        pieces = (task.job.part(mark) for mark in cut.parts)
        told = tuple(Pieces(one.mark, one.name, one.quantity) for one in pieces)
        note = _note(cut, top, rooms)
        setups.append(Setup(Stage.LAST, (Run(0, stations[0].name, WORK, (), told, note=note, lot=cut.mark),)))
    return Setups(tuple(setups), faults=tuple(faults), warnings=tuple(warnings))


def _beyond(cut: Fastening, top: Part, show: Show) -> Iterator[Remark]:
    for row in cut.at:
        if row > top.width:
            far, wide = format_length(row, show), format_length(top.width, show)
            yield Remark(cut.mark, f"a row at {far} lies beside the top {top.mark}; write at most its width, {wide}")


def _note(cut: Fastening, top: Part, rooms: Sequence[FasteningRoom]) -> str:
    """What to make for each row, rounded up to what a pencil marks; rows that want the same are said together."""
    rows: dict[str, list[str]] = {}
    for row, room in zip(cut.at, rooms, strict=True):
        at = said(row)
        if cut.by is FastenedBy.BUTTONS:
            tongue, behind = (said_up(one) for one in room.tongue)
            rows.setdefault(f"tongues {tongue} or more in the groove, {behind} free behind them", []).append(at)
            continue
        inner = cut.screw // 2 + room.inwards
        long, centre = said_up(room.slot(cut.screw)), said_up(inner)
        rows.setdefault(f"slots {long} long, the screw {centre} from the end towards the {cut.fixed}", []).append(at)
    told = (f"row{'s' if len(at) > 1 else ''} at {said_together(at)}: {words}" for words, at in rows.items())
    return f"for {top.mark}, held without play in its {cut.fixed}; {'; '.join(told)}"


def _reason(_: Run, __: Sequence[Run], ___: Sequence[Run], ____: Shop) -> Iterator[str]:
    yield "before the glue-up, while each part can still be clamped flat"


def _picture(canvas: Canvas, _: Run, __: Job, ___: FlipStops | None) -> None:
    """A slot in a rail from below, the screw where the top stands when it is made."""
    canvas.wood(30, 26, 300, 60)
    canvas.path("knives", "M130 48h100a8 8 0 0 1 0 16h-100a8 8 0 0 1 0-16z")
    canvas.circle("stop stands", 168, 56, 6)
    canvas.line("grain", 180, 100, 240, 100)
    canvas.words("the top moves", 210, 116, kind="said small")
    canvas.tall = 124
    canvas.label = "A slot along the way of the top, with the screw where the top stands now"


OPERATION = Operation(
    work=WORK,
    stage=Stage.LAST,
    title="slots for a top",
    comes_to="comes to",
    roles=(),
    gear=(),
    asked=(Fastening,),
    setups=_setups,
    follow=follow_pieces,
    measured=as_the_stop_stands,
    cautions=(
        Caution(
            "Slots along the way the top moves, across its grain; a washer under each head, and no glue.",
            "common practice",
            "P",
            always,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
