"""Comb joint: fingers of two parts into each other, spaced by a peg; the gap before the peg decides how they fit."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import MM, Nm, format_length
from stopwright.model.cuts import Cut, asked
from stopwright.model.gear import Blade, GroovingTools
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds, Side
from stopwright.model.parts import Part
from stopwright.model.solid import Solid
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import AT_A_CUT, Caution, always
from stopwright.plan.operations.operation import Operation, Setups, Stage, Task
from stopwright.plan.operations.roles import BLADE_HEIGHT, PEG, TOOL
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.plan.pictures.section import BELOW, TABLE, height_over_table, the_table
from stopwright.plan.run_sheet import Measured, Move, Run
from stopwright.plan.stations.cut_fit import measured_before
from stopwright.plan.stations.cut_helpers import ends_of, follow_pieces
from stopwright.plan.stations.cut_setups import CALLED, Lying, MayUse, Pass, Places, Wanted, plan_cuts
from stopwright.plan.stations.cut_words import why_like_this
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_sides import slab

WORK = "comb"
PROUD: Nm = 3 * MM // 10
"""How far the fingers stand out, to be planed off (common practice, 0.2 to 0.5)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comb(Cut):
    """Fingers on the ends of two parts: the first begins with a finger at its face edge, the second with a slot; nm.

    `cutter` is the width of tool and peg; the gap between them is `cutter` less `play`.
    """

    kind: ClassVar[str] = "comb"
    letter: ClassVar[str] = "C"
    is_joint: ClassVar[bool] = True

    ends: RailEnds = asked("Ends", "both, marked end or other end, of each part", RailEnds.BOTH)
    cutter: Nm = asked("Cutter", "width of the tool, and of the peg")
    play: Nm = asked("Play", "of a finger in its slot", MM // 10)

    def problems(self) -> Iterator[Problem]:
        """Not two parts, no cutter, more play than cutter."""
        if len(self.parts) != 2:
            yield Problem("parts", "are not two", "write the marks of the two parts that meet")
        if self.cutter <= 0:
            yield Problem("cutter", "is not above 0", "write how wide the tool is")
        elif not 0 <= self.play < self.cutter:
            yield Problem("play", "is not smaller than the cutter", "write what a finger may have, such as 0.1")

    @property
    def gap(self) -> Nm:
        """Between the near side of the cutter and the peg: the width of a finger, nm."""
        return self.cutter - self.play

    @property
    def pitch(self) -> Nm:
        """From slot to slot, nm."""
        return self.cutter + self.gap

    def has_to_fit(self) -> Iterator[str]:
        """Both parts: either is slotted as deep as the other is thick."""
        yield from self.parts

    @property
    def needs_marked_end(self) -> bool:
        """Unless only the other ends meet."""
        return self.ends is not RailEnds.OTHER

    def removes(self, job: Job, part: Part) -> Iterator[Solid]:
        """Its slots in the ends of a part."""
        if part.mark in self.parts:
            mate = job.part(next(mark for mark in self.parts if mark != part.mark))
            for end in ends_of(self.ends):
                for span in slots_in(self, part, part.mark == self.parts[0]):
                    yield slab(self.mark, part, {end: (0, mate.goes_in + PROUD), Side.EDGE: span})


def height_for(cut: Comb, fingers: int) -> Nm:
    """The width of parts that have a finger at both edges, `fingers` and slots together in all, odd; nm.

    >>> height_for(Comb(mark="C1", parts=("A", "B"), cutter=8 * MM), 13) / MM
    103.3
    """
    return (fingers - 1) // 2 * cut.pitch + cut.gap


def slots_in(cut: Comb, part: Part, is_first: bool) -> Iterator[tuple[Nm, Nm]]:
    """From and to of every slot from the face edge, the last one as far as the part goes, nm."""
    start = cut.gap if is_first else 0
    while start < part.width:
        yield start, min(start + cut.cutter, part.width)
        start += cut.pitch


def _setups(task: Task) -> Setups:
    wanted = []
    for cut in task.job.cuts:
        if isinstance(cut, Comb):
            one, two = (task.job.part(mark) for mark in cut.parts)
            for part, mate, is_first in ((one, two, True), (two, one, False)):
                passes = partial(_passes, cut, part, mate, is_first, task.job, task.shop)
                wanted.append(Wanted(cut, part, Stage.ENDS, passes))
    return plan_cuts(task, WORK, wanted)


def _passes(
    cut: Comb, part: Part, mate: Part, is_first: bool, job: Job, shop: Shop, station: Station, _: MayUse
) -> Sequence[Pass] | str:
    if part.width != mate.width:
        wide, other = format_length(part.width, shop.show), format_length(mate.width, shop.show)
        return f"{part.mark} is {wide} wide and {mate.mark} {other}; make them alike, their fingers meet edge to edge"
    if not (station.axis(PEG.name) and station.axis(BLADE_HEIGHT.name)):
        return f"the {station.name} lacks a peg or a blade height to set; add the axes"
    if cut.cutter not in {*station.of(GroovingTools).tools, station.of(Blade).kerf}:
        size = format_length(cut.cutter, shop.show)
        return f"the {station.name} has no tool of {size}; write it in tools, where the machine may carry it"
    put_in: Places = ((TOOL.name, cut.cutter),) if station.axis(TOOL.name) else ()
    places = (*put_in, (PEG.name, cut.gap), (BLADE_HEIGHT.name, mate.goes_in + PROUD))
    note = "slot after slot over the peg; the second part begins by a finger of the first one, over the peg"
    at = "peg" if is_first else "finger"
    note = f"{note}; {measured_before(mate.mark, job)}"
    return [Pass(places, Lying(end, Side.EDGE, at), note=note) for end in ends_of(cut.ends)]


def _measured(run: Run) -> Mapping[str, Measured]:
    """The finger for the gap, the slot for the height of the blade."""
    return {
        stop.sets: Measured("width of a finger" if stop.sets == PEG.name else "depth of a slot", stop.target)
        for stop in run.stops
        if stop.sets in (PEG.name, BLADE_HEIGHT.name) and isinstance(stop.target, int)
    }


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], shop: Shop) -> Iterator[str]:
    yield "after the length is cut; the gap at the peg is the only setting for the fit"
    yield from why_like_this(run, before, shop)


def _picture(canvas: Canvas, run: Run, job: Job, _: FlipStops | None) -> None:
    """From the front, to scale: the piece upright, its third slot at the tool, the one before over the peg.

    A piece that is wide is broken off. The peg reaches a little less high than the slot over it.
    """
    by_role = {stop.sets: stop for stop in run.stops}
    gap, height = by_role.get(PEG.name), by_role.get(BLADE_HEIGHT.name)
    pieces = next((one for one in run.pieces if one.down), None)
    if gap is None or height is None or pieces is None or pieces.down is None:
        return
    cut = next(one for one in job.cuts if isinstance(one, Comb) and one.mark in run.cuts and pieces.mark in one.parts)
    part = job.part(pieces.mark)
    deep = job.part(next(mark for mark in cut.parts if mark != part.mark)).goes_in + PROUD
    slots = list(slots_in(cut, part, pieces.at == "peg"))
    now = min(2, len(slots) - 1)
    shown = min(part.width, slots[now][1] + 3 * cut.pitch)
    scale = min(210 / shown, 66 / min(2 * deep, part.length))
    high, left, level = min(part.length * scale, 66), 96.0, TABLE - deep * scale
    the_table(canvas)
    canvas.wood_upright(left, TABLE - high, shown * scale, high)
    for start, end in slots[:now]:
        canvas.box("slot", left + start * scale, level, (end - start) * scale, TABLE - level)
    tool = left + slots[now][0] * scale
    wide, near = cut.cutter * scale, tool - cut.gap * scale
    peg = 0.85 * (TABLE - level)
    canvas.box("stop" if gap.move is Move.SET else "stop stands", near - wide, TABLE - peg, wide, peg)
    canvas.box("slot now", tool, level, wide, TABLE + 8 - level)
    canvas.across(near, tool, TABLE + 15, gap.reads, gap.axis)
    height_over_table(canvas, height, (tool + wide, max(left + shown * scale, tool + wide) + 14), level)
    down = f"{CALLED.get(pieces.down, str(pieces.down))} down"
    canvas.words(down, WIDE - 6, BELOW, "end")
    begins = "face edge at the left" if pieces.at == "peg" else "face edge at the left, a slot first"
    canvas.label = f"From the front, to scale: the piece upright, {begins}, the tool beside the peg; {down}"


OPERATION = Operation(
    work=WORK,
    stage=Stage.ENDS,
    title="comb joint",
    comes_to="comes to",
    roles=(TOOL, PEG, BLADE_HEIGHT),
    gear=(Blade, GroovingTools),
    asked=(Comb,),
    setups=_setups,
    follow=follow_pieces,
    measured=_measured,
    cautions=(
        *AT_A_CUT,
        Caution(
            "Guard and riving knife off only while the work is held and other guarding is put; refit them at once.",
            "J. Gorman, circular saw bench safety",
            "S",
            always,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
