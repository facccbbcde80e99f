"""Spline: a slot along a mitre for a strip that bridges it, the piece held in a jig so that the mitre lies flat."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import Nm, format_length
from stopwright.model.cuts import Cut, asked
from stopwright.model.gear import Blade, GroovingTools
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Part
from stopwright.model.shaping import Mitre
from stopwright.model.solid import Solid
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import (
    AT_A_CUT,
    END_GRAIN_WITH_A_BACKER,
    HELD_WITHOUT_GUARD,
    STANDS_IN_A_JIG,
    Caution,
    always,
)
from stopwright.plan.operations.groove import HOUSING_PLAY
from stopwright.plan.operations.operation import Operation, Setups, Stage, Task
from stopwright.plan.operations.roles import BLADE_HEIGHT, CUTTER, SPINDLE_FENCE, SPINDLE_HEIGHT, TOOL, WIDTH
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.pictures.slots import draw_slot
from stopwright.plan.run_sheet import Run
from stopwright.plan.stations.cut_fit import measured_before, room_for
from stopwright.plan.stations.cut_helpers import at_a_cut, ends_of, follow_pieces, noted
from stopwright.plan.stations.cut_setups import MayUse, Pass, Wanted, plan_cuts
from stopwright.plan.stations.cut_words import why_like_this
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_sides import slab
from stopwright.plan.stations.slot_cuts import Slot, slot_passes

WORK = "spline"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spline(Cut):
    """A slot in the mitred ends of parts, along the whole mitre and square to it; nm.

    Its near wall lies `at` from the face side. It is `width` wide, or fits the thickness of the part `fits`.
    """

    kind: ClassVar[str] = "spline"
    letter: ClassVar[str] = "Q"

    at: Nm = asked("From the face side", "to the nearer wall of the slot")
    width: Nm | None = asked("Width", "or say below what it has to fit", None)
    fits: str = asked(
        "Fits", "the part that goes in: its thickness as measured and the play are the width", "", names_parts=True
    )
    play: Nm = asked("Play", "room for what goes in", HOUSING_PLAY)
    depth: Nm = asked("Depth", "square to the mitre; the strip is twice as wide, less a little")

    def problems(self) -> Iterator[Problem]:
        """Nothing before it, no width or two, nothing deep."""
        if self.at <= 0:
            yield Problem("at", "is not above 0", "write how much wood is left before the slot")
        if bool(self.fits) == (self.width is not None):
            yield Problem("width", "give either width or fits", "leave one of the two out")
        for one, words in (("width", "wide"), ("depth", "deep")):
            value = getattr(self, one)
            if value is not None and value <= 0:
                yield Problem(one, "is not above 0", f"write how {words} it is")

    def removes(self, job: Job, part: Part) -> Iterator[Solid]:
        """The slot as if the end were square, as the mitre itself is drawn."""
        if part.mark in self.parts:
            for slot in _slots(self, part, job):
                yield slab(
                    self.mark, part, {Side.FACE: (slot.near, slot.near + slot.width), slot.side: (0, slot.depth)}
                )


def _slots(cut: Spline, part: Part, job: Job) -> Iterator[Slot]:
    """One in each mitred end, none where the part is not mitred."""
    width = room_for(cut.fits, cut.play, cut.width, job)
    mitre = _mitre_of(part, job)
    for end in ends_of(mitre.ends) if mitre else ():
        yield Slot(part, end, Side.FACE, cut.at, width, cut.depth)


def _mitre_of(part: Part, job: Job) -> Mitre | None:
    return next((mitre for mitre in job.mitres if mitre.part == part.mark), None)


def _setups(task: Task) -> Setups:
    wanted = [
        Wanted(cut, part, Stage.ENDS, partial(_passes, cut, part, task.job, task.shop))
        for cut in task.job.cuts
        if isinstance(cut, Spline)
        for part in (task.job.part(mark) for mark in cut.parts)
    ]
    return plan_cuts(task, WORK, wanted)


def _passes(cut: Spline, part: Part, job: Job, shop: Shop, station: Station, may_use: MayUse) -> Sequence[Pass] | str:
    mitre = _mitre_of(part, job)
    if mitre is None:
        return f"part {part.mark} is not mitred; mitre it, or cut a groove or a tenon"
    found: list[Pass] = []
    for slot in _slots(cut, part, job):
        far = slot.near + slot.width
        if far >= part.thickness:
            end, wood = format_length(far, shop.show), format_length(part.thickness, shop.show)
            return f"its far wall would lie {end} from the face side of wood {wood} thick; move it or make it narrower"
        if 2 * cut.depth > part.width:
            deep, half = format_length(cut.depth, shop.show), format_length(part.width // 2, shop.show)
            return f"{deep} is deeper than half the width of the part, {half}; make it shallower"
        passes = slot_passes(slot, shop, station, may_use)
        if isinstance(passes, str):
            return passes
        note = f"{part.mark} in a jig at {float(mitre.degrees):g}°, so that the mitre lies flat"
        found += (noted(noted(one, note), measured_before(cut.fits, job)) for one in passes)
    return found


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], shop: Shop) -> Iterator[str]:
    yield "after the mitres: the slot is cut square to them"
    yield from why_like_this(run, before, shop)


def _picture(canvas: Canvas, run: Run, job: Job, _: FlipStops | None) -> None:
    draw_slot(canvas, run, job)


OPERATION = Operation(
    work=WORK,
    stage=Stage.ENDS,
    title="spline",
    comes_to="comes to",
    roles=(TOOL, CUTTER, WIDTH, BLADE_HEIGHT, SPINDLE_HEIGHT, SPINDLE_FENCE),
    gear=(Blade, GroovingTools),
    asked=(Spline,),
    setups=_setups,
    follow=follow_pieces,
    measured=at_a_cut,
    cautions=(
        *AT_A_CUT,
        STANDS_IN_A_JIG,
        HELD_WITHOUT_GUARD,
        END_GRAIN_WITH_A_BACKER,
        Caution(
            "The face side to the fence at every end: only then do the faces of the frame meet flush.",
            "geometry",
            "K",
            always,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
