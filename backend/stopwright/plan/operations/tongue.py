"""Tongue and groove: boards side by side, both measured from the face side, so that the faces come flush."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import MM, Nm, format_length
from stopwright.model.cuts import Cut, asked
from stopwright.model.gear import Blade, Discs, GroovingTools
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, Side
from stopwright.model.parts import Part
from stopwright.model.solid import Solid
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import (
    AT_A_CUT,
    IN_A_TUNNEL,
    STRIP_FALLS_FREE,
    Caution,
    always,
    with_a_blade,
    with_a_cutter,
)
from stopwright.plan.operations.operation import Operation, Setups, Stage, Task
from stopwright.plan.operations.roles import (
    BLADE_HEIGHT,
    CUTTER,
    SPINDLE_FENCE,
    SPINDLE_HEIGHT,
    TOOL,
    WIDTH,
)
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.pictures.slots import draw_slot
from stopwright.plan.run_sheet import Run
from stopwright.plan.stations.cut_fit import measured_before
from stopwright.plan.stations.cut_helpers import beyond, follow_pieces, noted, step_at_a_saw
from stopwright.plan.stations.cut_setups import MayUse, Pass, Wanted, plan_cuts
from stopwright.plan.stations.cut_words import why_like_this
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_sides import opposite, slab
from stopwright.plan.stations.slot_cuts import Slot, slot_passes, step_at_a_spindle, tool_for
from stopwright.plan.stations.two_discs import (
    TWO_DISCS,
    Cheeks,
    at_the_cheeks,
    both_cheeks,
    where_it_saves,
    why_two_discs,
)

WORK = "tongue"
TONGUE_PLAY: Nm = 15 * MM // 100
"""How much thinner the tongue is than its groove (common practice, 0.1 to 0.2)."""
TONGUE_RELIEF: Nm = MM // 2
"""How much shorter the tongue is than its groove is deep (common practice, 0.5 to 1)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tongue(Cut):
    """A tongue along one edge of `parts`, and its groove along the other edge of the parts `grooved`; nm.

    Near wall of the groove and near cheek of the tongue both lie `at` from the face side, the groove is `width` wide
    and `depth` deep, the tongue `play` thinner and `relief` shorter. The tongue is part of the width in the list.
    """

    kind: ClassVar[str] = "tongue"
    letter: ClassVar[str] = "TG"
    is_joint: ClassVar[bool] = True

    grooved: tuple[str, ...] = asked(
        "Parts that get the groove", "in the other edge; none: those that get the tongue", (), names_parts=True
    )
    edge: Side = asked("Edge", "the one that the tongue stands on", among=(Side.FAR_EDGE, Side.EDGE))
    at: Nm = asked("From the face side", "to the groove and to the tongue alike, so that the faces are flush")
    width: Nm = asked("Width of the groove", "about a third of the wood")
    depth: Nm = asked("Depth of the groove", "the tongue is a little shorter")
    play: Nm = asked("Play", "the tongue is so much thinner", TONGUE_PLAY)
    relief: Nm = asked("Relief", "the tongue is so much shorter, so that the faces close", TONGUE_RELIEF)

    def problems(self) -> Iterator[Problem]:
        """An edge that is none, nothing wide, deep or left before it, more play or relief than groove, a part twice."""
        if self.edge not in EDGES:
            yield Problem("edge", f"'{self.edge}' is not an edge", "choose edge or far edge")
        for one, words in (("at", "far from the face side"), ("width", "wide"), ("depth", "deep")):
            if getattr(self, one) <= 0:
                yield Problem(one, "is not above 0", f"write how {words} the groove is")
        for one, least, called in (("play", self.width, "wide"), ("relief", self.depth, "deep")):
            if 0 < least <= getattr(self, one):
                yield Problem(one, f"is not less than the groove is {called}", "write a little, such as 0.2 mm")
        if len(set(self.grooved)) < len(self.grooved):
            yield Problem("grooved", "names a part twice", "name each part once")

    @property
    def thickness(self) -> Nm:
        """How thick the tongue is, nm."""
        return self.width - self.play

    @property
    def length(self) -> Nm:
        """How far the tongue stands out, nm."""
        return self.depth - self.relief

    @property
    def with_groove(self) -> tuple[str, ...]:
        """The marks of the parts that get the groove."""
        return self.grooved or self.parts

    def turned_over(self) -> Iterator[str]:
        """Those that get the tongue."""
        yield from self.parts

    @property
    def needs_marked_end(self) -> bool:
        """Not along an edge."""
        return False

    def removes(self, _: Job, part: Part) -> Iterator[Solid]:
        """The groove in one edge, and what is taken off beside the tongue at the other."""
        if part.mark in self.with_groove:
            walls = {Side.FACE: (self.at, self.at + self.width), opposite(self.edge): (0, self.depth)}
            yield slab(self.mark, part, walls)
        if part.mark in self.parts:
            for span in ((0, self.at), (self.at + self.thickness, part.thickness)):
                yield slab(self.mark, part, {Side.FACE: span, self.edge: (0, self.length)})


def cover(surface: Nm, boards: int, gap: Nm) -> Nm:
    """How much of a surface each board covers where there is a gap for movement between every two, nm.

    Boards are ripped to this and the length of the tongue, the last one to this alone.

    >>> cover(600 * MM, 6, 1 * MM) / MM
    99.166666
    """
    return (surface - (boards - 1) * gap) // boards


def _setups(task: Task) -> Setups:
    """With two discs and a ring where the shop has them and that takes fewer minutes, else with one tool."""
    return where_it_saves(lambda discs: plan_cuts(task, WORK, _wanted(task, discs)), task.shop)


def _wanted(task: Task, may_use_discs: bool) -> list[Wanted]:
    wanted = []
    tongue_passes = _by_two_discs if may_use_discs else _tongue_passes
    for cut in task.job.cuts:
        if isinstance(cut, Tongue):
            for what, marks, passes in (
                ("groove", cut.with_groove, _groove_passes),
                ("tongue", cut.parts, tongue_passes),
            ):
                parts = (task.job.part(mark) for mark in marks)
                wanted += [Wanted(cut, part, Stage.ALONG, partial(passes, cut, part, task), what) for part in parts]
    return wanted


def _does_not_fit(cut: Tongue, part: Part, edge: Side, deep: Nm, shop: Shop) -> str:
    if cut.at + cut.width >= part.thickness:
        end, wood = format_length(cut.at + cut.width, shop.show), format_length(part.thickness, shop.show)
        return f"the groove would end {end} from the face side of wood {wood} thick; make it narrower or move it"
    return next(beyond(part, {edge: deep}, shop), "")


def _groove_passes(cut: Tongue, part: Part, task: Task, station: Station, may_use: MayUse) -> Sequence[Pass] | str:
    edge, shop = opposite(cut.edge), task.shop
    if text := _does_not_fit(cut, part, edge, cut.depth, shop):
        return text
    return slot_passes(Slot(part, edge, Side.FACE, cut.at, cut.width, cut.depth), shop, station, may_use)


def _by_two_discs(cut: Tongue, part: Part, task: Task, station: Station, may_use: MayUse) -> Sequence[Pass] | str:
    """In one pass where the station has discs and rings for it, else as without."""
    shop = task.shop
    if not _does_not_fit(cut, part, cut.edge, cut.length, shop):
        rest = part.thickness - cut.at - cut.thickness
        one = both_cheeks(Cheeks(cut.edge, cut.at, cut.thickness, rest, cut.length), shop, station)
        if one:
            return (one,)
    return _tongue_passes(cut, part, task, station, may_use)


def _tongue_passes(cut: Tongue, part: Part, task: Task, station: Station, _: MayUse) -> Sequence[Pass] | str:
    """At a spindle with the tool of the groove, the face side down both times; at a saw as two steps.

    So at the spindle the tongue is as thick as the two heights differ, whatever the wood does. At the saw the other
    face must lie against the fence, or the strip would be caught, so the wood counts as thick as it was measured.
    """
    shop = task.shop
    if text := _does_not_fit(cut, part, cut.edge, cut.length, shop):
        return text
    far, rest = cut.at + cut.thickness, part.thickness - cut.at - cut.thickness
    if not station.axis(SPINDLE_HEIGHT.name):
        real = replace(part, thickness=part.goes_in)
        face = step_at_a_saw((Side.FACE, cut.edge), cut.length, cut.at, real, station)
        back = step_at_a_saw((Side.BACK, cut.edge), cut.length, real.thickness - far, real, station)
        if isinstance(face, str) or isinstance(back, str):
            return face if isinstance(face, str) else back
        said = measured_before(part.mark, task.job)
        return [noted(one, said) for one in (*face, *back)]
    tool = tool_for(station, min(cut.width, cut.at), is_saw=False)
    if tool is None:
        narrow = format_length(min(cut.width, cut.at), shop.show)
        return f"the {station.name} has no tool as narrow as {narrow}; write what is on hand in tools"
    found = []
    for near, width in ((0, cut.at), (far, rest)):
        one = step_at_a_spindle(Slot(part, cut.edge, Side.FACE, near, width, cut.length), tool, shop, station)
        if isinstance(one, str):
            return one
        found.append(one)
    return found


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], shop: Shop) -> Iterator[str]:
    yield "groove and tongue follow each other, both from the face side, so that the faces come flush"
    if run.ring:
        height = next(one.axis(SPINDLE_HEIGHT.name) for one in shop.stations if one.name == run.station)
        minutes = f", {height.minutes:g} min" if height else ""
        yield why_two_discs(run, f"a second height{minutes}, and a second pass of every piece", shop)
    yield from why_like_this(run, before, shop)


def _picture(canvas: Canvas, run: Run, job: Job, _: FlipStops | None) -> None:
    draw_slot(canvas, run, job)


OPERATION = Operation(
    work=WORK,
    stage=Stage.ALONG,
    title="tongue",
    comes_to="comes to",
    roles=(TOOL, CUTTER, WIDTH, BLADE_HEIGHT, SPINDLE_HEIGHT, SPINDLE_FENCE),
    gear=(Blade, GroovingTools, Discs),
    asked=(Tongue,),
    setups=_setups,
    follow=follow_pieces,
    measured=at_the_cheeks,
    cautions=(
        *AT_A_CUT,
        IN_A_TUNNEL,
        STRIP_FALLS_FREE,
        Caution(
            "Turned over at the saw, an error in the thickness of the wood goes into the tongue: measure the wood and "
            "type it in first.",
            "geometry; a maker's report of tenons off by 1/16 in with every saw setting right",
            "K/S",
            with_a_blade,
        ),
        Caution(
            "False fence and pressure pads on.",
            "HSE Wood Information Sheet 18, copy of the sheet",
            "S",
            with_a_cutter,
        ),
        *TWO_DISCS,
        Caution(
            "Groove first, then the tongue on spare wood until it slides in by hand; it must be the shorter, so that "
            "the faces close.",
            "a page on cladding boards; the trial is common practice",
            "S/P",
            always,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
