"""Half lap and bridle: two parts cut away where they cross, or a fork over a tongue with one fence and two strips."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import Nm, format_length
from stopwright.model.cuts import Cut, asked
from stopwright.model.gear import Blade
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds, Side
from stopwright.model.parts import Part
from stopwright.model.solid import Solid
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import AT_A_CUT, HELD_WITHOUT_GUARD, STANDS_IN_A_JIG
from stopwright.plan.operations.operation import Operation, Setups, Stage, Task
from stopwright.plan.operations.roles import BLADE_HEIGHT, LENGTH, TOOL, WIDTH
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.pictures.slots import draw_slot
from stopwright.plan.run_sheet import Run, Spacer
from stopwright.plan.stations.cut_helpers import BESIDE, at_a_cut, beyond, ends_of, follow_pieces, shoulder, with_blade
from stopwright.plan.stations.cut_setups import Lying, MayUse, Pass, Wanted, plan_cuts
from stopwright.plan.stations.cut_words import why_like_this
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_sides import size_along, slab
from stopwright.plan.stations.slot_cuts import Slot, slot_passes

WORK = "lap"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lap(Cut):
    """Two parts that cross flush: the first cut away from its face side, the second from its back; nm.

    `at` is where each begins, from its marked end. `depth` is taken off the first, None for half its thickness.
    """

    kind: ClassVar[str] = "lap"
    letter: ClassVar[str] = "L"
    is_joint: ClassVar[bool] = True

    at: tuple[Nm, ...] = asked("Begins", "in the first part; in the second, each from its marked end")
    depth: Nm | None = asked("Depth", "taken off the first part; empty: half of it", None)

    @property
    def is_across(self) -> bool:
        """It runs across both parts."""
        return True

    def problems(self) -> Iterator[Problem]:
        """Not two parts, not two places, nothing deep."""
        yield from _two(self.parts)
        if len(self.at) != len(self.parts):
            yield Problem("at", "is not one place for each part", "write where it begins in each of the two")
        if self.depth is not None and self.depth <= 0:
            yield Problem("depth", "is not above 0", "leave it out for half of the wood")

    def removes(self, job: Job, part: Part) -> Iterator[Solid]:
        """What is taken off the face of the one, or the back of the other."""
        for slot in lap_slots(self, job):
            if slot.part.mark == part.mark:
                walls = {slot.reference: (slot.near, slot.near + slot.width), slot.side: (0, slot.depth)}
                yield slab(self.mark, part, walls)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bridle(Cut):
    """A fork on the ends of the first part, a tongue on those of the second, both as thick as `thickness`; nm."""

    kind: ClassVar[str] = "bridle"
    letter: ClassVar[str] = "B"
    is_joint: ClassVar[bool] = True

    ends: RailEnds = asked("Ends", "both, marked end or other end, of each part", RailEnds.BOTH)
    thickness: Nm = asked("Thickness of the tongue", "about a third of the wood")
    from_face: Nm | None = asked("From the face side", "to its near cheek; empty: in the middle", None)

    def problems(self) -> Iterator[Problem]:
        """Not two parts, nothing thick."""
        yield from _two(self.parts)
        if self.thickness <= 0:
            yield Problem("thickness", "is not above 0", "write how thick the tongue is")

    @property
    def needs_marked_end(self) -> bool:
        """Unless only the other ends meet."""
        return self.ends is not RailEnds.OTHER

    def removes(self, job: Job, part: Part) -> Iterator[Solid]:
        """The slot of the fork, or the cheeks beside the tongue."""
        if part.mark in self.parts:
            yield from _of_the_bridle(self, part, job)


def _two(parts: Sequence[str]) -> Iterator[Problem]:
    if len(parts) != 2:
        yield Problem("parts", "are not two", "write the marks of the two parts that meet")


def lap_slots(cut: Lap, job: Job) -> Iterator[Slot]:
    """What is taken off either part: as wide as the other, so deep that the face sides come flush."""
    one, two = (job.part(mark) for mark in cut.parts)
    depth = one.thickness // 2 if cut.depth is None else cut.depth
    yield Slot(one, Side.FACE, Side.MARKED_END, cut.at[0], two.width, depth)
    yield Slot(two, Side.BACK, Side.MARKED_END, cut.at[1], one.width, two.thickness - depth)


def near_cheek(cut: Bridle, part: Part) -> Nm:
    """From the face side to the tongue or to the slot of the fork, nm."""
    return (part.thickness - cut.thickness) // 2 if cut.from_face is None else cut.from_face


def _setups(task: Task) -> Setups:
    wanted = []
    for cut in task.job.cuts:
        if isinstance(cut, Lap):
            wanted += [
                Wanted(cut, slot.part, Stage.ACROSS, partial(_lap_passes, slot, task.shop))
                for slot in lap_slots(cut, task.job)
            ]
        if isinstance(cut, Bridle):
            one, two = (task.job.part(mark) for mark in cut.parts)
            for part, mate, is_fork in ((one, two, True), (two, one, False)):
                passes = partial(_bridle_passes, cut, part, mate, is_fork, task.shop)
                wanted.append(Wanted(cut, part, Stage.ENDS, passes))
    return plan_cuts(task, WORK, wanted)


def _lap_passes(slot: Slot, shop: Shop, station: Station, may_use: MayUse) -> Sequence[Pass] | str:
    if not 0 < slot.depth < slot.part.thickness:
        return "it leaves nothing of one of the two parts; choose another depth"
    for text in beyond(slot.part, {Side.MARKED_END: slot.near + slot.width}, shop):
        return text
    return slot_passes(slot, shop, station, may_use)


def _bridle_passes(
    cut: Bridle, part: Part, mate: Part, is_fork: bool, shop: Shop, station: Station, _: MayUse
) -> Sequence[Pass] | str:
    """All four cheeks at one fence: a strip as thick as the kerf and one as thick as the tongue make the others.

    A shop without strips sets the fence for each that it reaches.

    With the fence at f + b: the tongue's far cheek without a strip, its near cheek with both, the slot's far wall with
    the kerf strip, its near wall with the tongue strip.
    """
    near, kerf, thick = near_cheek(cut, part), station.of(Blade).kerf, cut.thickness
    if not 0 < near < part.thickness - thick:
        wood = format_length(part.thickness, shop.show)
        return f"{format_length(thick, shop.show)} does not lie within wood of {wood}; make it thinner or move it"
    if not (station.axis(WIDTH.name) and station.axis(BLADE_HEIGHT.name)):
        return f"the {station.name} lacks a fence or a blade height to set; add the axes"
    if (is_fork and thick < kerf) or (not is_fork and near < kerf):
        return f"it is thinner than the kerf of the {station.name}; make it thicker or move it"
    for text in beyond(part, {Side.MARKED_END: len(ends_of(cut.ends)) * mate.width}, shop):
        return text
    strips = (kerf, thick) if is_fork else (0, thick + kerf)
    if not is_fork and not station.axis(LENGTH.name):
        return f"the {station.name} has no stop for its shoulders; add an axis that sets {LENGTH.name}"
    what = "slot: clear the middle in between" if is_fork else "cheeks: their waste comes off at the shoulders"
    cheeks = [
        _cheek(near + thick, strip, mate.width, shop, station, Lying(end, Side.FACE, "fence"), what)
        for strip in strips
        for end in ends_of(cut.ends)
    ]
    if is_fork:
        return cheeks
    off = {Side.FACE: near, Side.BACK: part.thickness - thick - near}
    falls = "the cheek is cut already: the waste falls, all of it to the end"
    return [
        *cheeks,
        *(
            shoulder(station, shop, mate.width, deep, (side, end), falls, turn=1)
            for side, deep in off.items()
            for end in ends_of(cut.ends)
        ),
    ]


def _of_the_bridle(cut: Bridle, part: Part, job: Job) -> Iterator[Solid]:
    fork, tongue = (job.part(mark) for mark in cut.parts)
    near, thick = near_cheek(cut, part), size_along(part, Side.FACE)
    spans = [(near, near + cut.thickness)] if part.mark == fork.mark else [(0, near), (near + cut.thickness, thick)]
    deep = tongue.width if part.mark == fork.mark else fork.width
    for end in ends_of(cut.ends):
        for span in spans:
            yield slab(cut.mark, part, {end: (0, deep), Side.FACE: span})


def _cheek(fence: Nm, strip: Nm, high: Nm, shop: Shop, station: Station, lying: Lying, note: str) -> Pass:
    """One cheek or wall, the piece upright: with the strip at the fence, or with the fence so much nearer if it can."""
    axis = station.axis(WIDTH.name)
    is_beyond = axis is not None and fence - strip + axis.zero < axis.low
    shim = Spacer(strip, 1, BESIDE[WIDTH.name], "" if is_beyond else WIDTH.name) if strip else None
    if shim and not shop.spacers and not is_beyond:
        fence, shim = fence - strip, None
    return Pass(with_blade(station, ((WIDTH.name, fence), (BLADE_HEIGHT.name, high))), lying, shim, note)


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], shop: Shop) -> Iterator[str]:
    yield "after the length is cut: its place is measured from an end"
    yield from why_like_this(run, before, shop)


def _picture(canvas: Canvas, run: Run, job: Job, _: FlipStops | None) -> None:
    draw_slot(canvas, run, job)


OPERATION = Operation(
    work=WORK,
    stage=Stage.ACROSS,
    title="lap",
    comes_to="comes to",
    roles=(TOOL, WIDTH, LENGTH, BLADE_HEIGHT),
    gear=(Blade,),
    asked=(Lap, Bridle),
    setups=_setups,
    follow=follow_pieces,
    measured=at_a_cut,
    cautions=(
        *AT_A_CUT,
        HELD_WITHOUT_GUARD,
        STANDS_IN_A_JIG,
    ),
    reason=_reason,
    picture=_picture,
)
