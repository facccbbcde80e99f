"""Tenon on the part's own ends: flat at the saw, one stop for all lengths and a height for each cheek, or in one pass
between two discs at the spindle.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import Nm, format_length
from stopwright.model.cuts import Cut, asked
from stopwright.model.gear import Blade, Discs
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds, Side
from stopwright.model.parts import Part
from stopwright.model.solid import Solid
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import AT_A_CUT, Caution, with_a_blade, with_a_cutter
from stopwright.plan.operations.operation import Operation, Setups, Stage, Task
from stopwright.plan.operations.roles import BLADE_HEIGHT, CUTTER, LENGTH, SPINDLE_FENCE, SPINDLE_HEIGHT, TOOL
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.pictures.slots import draw_slot
from stopwright.plan.run_sheet import Remark, Run
from stopwright.plan.stations.cut_fit import Between, ask_for_size
from stopwright.plan.stations.cut_helpers import beyond, ends_of, follow_pieces, shoulder
from stopwright.plan.stations.cut_setups import MayUse, Pass, Wanted, plan_cuts
from stopwright.plan.stations.cut_words import why_like_this
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_sides import slab
from stopwright.plan.stations.two_discs import (
    TWO_DISCS,
    Cheeks,
    at_the_cheeks,
    both_cheeks,
    where_it_saves,
    why_two_discs,
)

WORK = "tenon"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tenon(Cut):
    """A tenon within the length of the part; nm.

    Its near cheek lies `from_face` behind the face side, in the middle where that is None. The shoulders are what is
    taken off at the face edge and at the far edge.
    """

    kind: ClassVar[str] = "tenon"
    letter: ClassVar[str] = "N"

    ends: RailEnds = asked("Ends", "both, marked end or other end", RailEnds.BOTH)
    length: Nm = asked("Length", "shoulder to end; it is part of the length in the list")
    thickness: Nm = asked("Thickness", "about a third of the wood")
    from_face: Nm | None = asked("From the face side", "to its near cheek; empty: in the middle", None)
    shoulder_edge: Nm = asked("Shoulder at the face edge", "taken off there", 0)
    shoulder_far_edge: Nm = asked("Shoulder at the far edge", "taken off there", 0)
    opening: Nm | None = asked("Clear opening", "from shoulder to shoulder, so that the length is checked", None)

    def problems(self) -> Iterator[Problem]:
        """Nothing long or thick."""
        for one in ("length", "thickness"):
            if getattr(self, one) <= 0:
                yield Problem(one, "is not above 0", f"write its {one}")

    @property
    def needs_marked_end(self) -> bool:
        """Unless only the other end has one."""
        return self.ends is not RailEnds.OTHER

    def removes(self, _: Job, part: Part) -> Iterator[Solid]:
        """What is taken off around it, at each end."""
        if part.mark in self.parts:
            for side, deep in cheeks(self, part).items():
                for end in ends_of(self.ends):
                    yield slab(self.mark, part, {end: (0, self.length), side: (0, deep)})


def cheeks(cut: Tenon, part: Part) -> dict[Side, Nm]:
    """How much is taken off at each of the four long sides, nm; sides where nothing is are left out."""
    near = (part.thickness - cut.thickness) // 2 if cut.from_face is None else cut.from_face
    off = {
        Side.FACE: near,
        Side.BACK: part.thickness - cut.thickness - near,
        Side.EDGE: cut.shoulder_edge,
        Side.FAR_EDGE: cut.shoulder_far_edge,
    }
    return {side: deep for side, deep in off.items() if deep}


def _setups(task: Task) -> Setups:
    """With two discs and a ring where the shop has them and that takes fewer minutes, else at the saw."""
    planned = where_it_saves(lambda discs: plan_cuts(task, WORK, _wanted(task, discs)), task.shop)
    return replace(planned, warnings=(*planned.warnings, *_asked_about(task.job, task.shop)))


def _wanted(task: Task, may_use_discs: bool) -> list[Wanted]:
    passes = _by_two_discs if may_use_discs else _passes
    return [
        Wanted(cut, part, Stage.ENDS, partial(passes, cut, part, task.shop))
        for cut in task.job.cuts
        if isinstance(cut, Tenon)
        for part in (task.job.part(mark) for mark in cut.parts)
    ]


def _asked_about(job: Job, shop: Shop) -> Iterator[Remark]:
    """Parts that are not as long as the opening and their tenons."""
    for cut in job.cuts:
        if isinstance(cut, Tenon) and cut.opening is not None:
            for part in (job.part(mark) for mark in cut.parts):
                between = Between(cut.opening, len(ends_of(cut.ends)), cut.length, "mortise")
                yield from ask_for_size(part, "length", between, shop)


def _by_two_discs(cut: Tenon, part: Part, shop: Shop, station: Station, may_use: MayUse) -> Sequence[Pass] | str:
    """Both cheeks of an end in one pass where the station has discs and rings for it; else at a saw."""
    if station.axis(BLADE_HEIGHT.name):
        return _passes(cut, part, shop, station, may_use)
    off = cheeks(cut, part)
    if text := _does_not_fit(cut, part, off, shop):
        return text
    if cut.shoulder_edge or cut.shoulder_far_edge:
        return f"the {station.name} cuts no shoulders at the edges; give it to a saw"
    near, far = off.get(Side.FACE, 0), off.get(Side.BACK, 0)
    found = [both_cheeks(Cheeks(end, near, cut.thickness, far, cut.length), shop, station) for end in ends_of(cut.ends)]
    passes = [one for one in found if one]
    if len(passes) < len(found):
        return _no_discs(station)
    return passes


def _no_discs(station: Station) -> str:
    return f"the {station.name} has no discs and rings that leave it; write what is on hand, or give it to a saw"


def _does_not_fit(cut: Tenon, part: Part, off: Mapping[Side, Nm], shop: Shop) -> str:
    if min(off.get(Side.BACK, 0), off.get(Side.FACE, 0)) < 0 or cut.thickness >= part.thickness:
        thick, wood = format_length(cut.thickness, shop.show), format_length(part.thickness, shop.show)
        return f"{thick} does not lie within wood of {wood}; make it thinner or move it"
    for text in beyond(part, {Side.MARKED_END: len(ends_of(cut.ends)) * cut.length}, shop):
        return text
    return ""


def _passes(cut: Tenon, part: Part, shop: Shop, station: Station, _: MayUse) -> Sequence[Pass] | str:
    """The shoulder at a stop on the waste side, which serves parts of every length."""
    off = cheeks(cut, part)
    if text := _does_not_fit(cut, part, off, shop):
        return text
    if cut.shoulder_edge + cut.shoulder_far_edge >= part.width:
        return "its shoulders leave no width; make them smaller"
    if station.axis(SPINDLE_HEIGHT.name) and not station.axis(BLADE_HEIGHT.name):
        return _no_discs(station)
    if not (station.axis(LENGTH.name) and station.axis(BLADE_HEIGHT.name)):
        return f"the {station.name} lacks a stop for the length or a blade height to set; add the axes"
    if cut.length < station.of(Blade).kerf:
        return f"it is shorter than the kerf of the {station.name}; make it longer"
    return [
        shoulder(station, shop, cut.length, deep, (side, end))
        for side, deep in off.items()
        for end in ends_of(cut.ends)
    ]


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], shop: Shop) -> Iterator[str]:
    if any(one.work == "mortise" for one in before):
        yield "after the mortises: a tenon is fitted to a slot that is as wide as its tool"
    if run.ring:
        yield why_two_discs(run, "turning every piece over", shop)
    else:
        yield "the stop is on the waste side, so it serves parts of every length"
    yield from why_like_this(run, before, shop)


def _picture(canvas: Canvas, run: Run, job: Job, _: FlipStops | None) -> None:
    draw_slot(canvas, run, job)


OPERATION = Operation(
    work=WORK,
    stage=Stage.ENDS,
    title="tenon",
    comes_to="comes to",
    roles=(TOOL, LENGTH, BLADE_HEIGHT, CUTTER, SPINDLE_HEIGHT, SPINDLE_FENCE),
    gear=(Blade, Discs),
    asked=(Tenon,),
    setups=_setups,
    follow=follow_pieces,
    measured=at_the_cheeks,
    cautions=(
        *AT_A_CUT,
        *TWO_DISCS,
        Caution(
            "Lead the end past the discs on the sliding table, clamped, a waste piece behind it, hood and guard on.",
            "common practice",
            "P",
            with_a_cutter,
        ),
        Caution(
            "Guard and riving knife off only while the work is held and other guarding is put; refit them at once.",
            "J. Gorman, circular saw bench safety",
            "S",
            with_a_blade,
        ),
        Caution(
            "The stop, or a block on the fence, ends before the blade: the piece is free of it before the cut.",
            "manual of a tenoning jig; HSE circular saw guidance",
            "S",
            with_a_blade,
        ),
        Caution(
            "Turned over, the error of the thickness goes into the tenon: measure the wood before the cheeks.",
            "a maker's report of tenons off by 1/16 in with every saw setting right",
            "S",
            with_a_blade,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
