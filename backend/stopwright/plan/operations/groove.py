"""Groove and housing: a slot along the grain, or across it, at a saw with a blade height or at a spindle."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import MM, Nm, format_length
from stopwright.model.counts import counted
from stopwright.model.cuts import Cut, asked
from stopwright.model.gear import Blade, GroovingTools
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, Side
from stopwright.model.parts import Hand, Part
from stopwright.model.solid import Solid
from stopwright.model.stations import Shop, Station
from stopwright.plan.joinery.hands import needs_pairs
from stopwright.plan.joinery.slots import slots_of
from stopwright.plan.operations.caution import AT_A_CUT, Caution, Scene, always
from stopwright.plan.operations.operation import Operation, Setups, Stage, Task
from stopwright.plan.operations.rebate import rebated_to
from stopwright.plan.operations.roles import (
    BACK_STOP,
    BLADE_HEIGHT,
    CUTTER,
    FRONT_STOP,
    LENGTH,
    SPINDLE_FENCE,
    SPINDLE_HEIGHT,
    TOOL,
    WIDTH,
)
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.pictures.slots import draw_slot
from stopwright.plan.run_sheet import Remark, Run
from stopwright.plan.stations.cut_fit import (
    Between,
    ask_for_panel,
    ask_for_size,
    ask_for_thickness,
    measured_before,
    room_for,
)
from stopwright.plan.stations.cut_helpers import at_a_cut, follow_pieces, noted
from stopwright.plan.stations.cut_setups import MayUse, Pass, Wanted, plan_cuts
from stopwright.plan.stations.cut_words import why_like_this
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_sides import across_of, size_along, slab
from stopwright.plan.stations.slot_cuts import Slot, slot_passes
from stopwright.plan.stations.stopped_slots import stopped_passes

WORK = "groove"
PANEL_PLAY: Nm = MM // 5
"""Room for what slides in a groove (common practice)."""
HOUSING_PLAY: Nm = MM // 10
"""Room for what is glued into a housing under hand pressure (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove(Cut):
    """A slot along the grain; lengths in nm, `start` and `end` from the marked end where it does not run through.

    `at` is its near wall from the side `from_`. It is `width` wide, else fits the thickness of the part `fits`; with
    both that part lies in it by an edge that is thinner. With an `opening` two such grooves face each other, and what
    goes in has to stay held and free as its wood moves.
    """

    kind: ClassVar[str] = "groove"
    letter: ClassVar[str] = "G"

    side: Side = asked("Side", "the side that is cut into", among=(Side.FACE, Side.BACK, *EDGES))
    from_: Side = asked(
        "Measured from", "the side that its near wall is measured from", among=(*EDGES, Side.FACE, Side.BACK)
    )
    at: Nm = asked("Near wall", "from there to the nearer wall of the groove")
    width: Nm | None = asked("Width", "empty: as what goes in wants it", None)
    fits: str = asked(
        "Fits", "the part that goes in; without a width its thickness as measured and the play", "", names_parts=True
    )
    play: Nm = asked("Play", "room for what goes in", PANEL_PLAY)
    depth: Nm = asked("Depth", "at most half of the wood")
    start: Nm | None = asked("Starts", "from the marked end; empty: it runs out there", None)
    end: Nm | None = asked("Ends", "from the marked end; empty: it runs out at the other end", None)
    opening: Nm | None = asked(
        "Clear opening, lengthwise", "between two such grooves, along the length of the panel that goes in", None
    )
    opening_across: Nm | None = asked(
        "Clear opening, across", "the same along its width; solid wood is to stay held and free there as it moves", None
    )
    gap: Nm | None = asked(
        "Gap", "how much smaller than both grooves the panel is; empty: 1 mm, across solid wood as it moves", None
    )

    def problems(self) -> Iterator[Problem]:
        """A side that is an end, a reference on the same faces, no width or two, nothing deep or long."""
        if self.side not in (Side.FACE, Side.BACK, *EDGES):
            yield Problem("side", f"'{self.side}' is an end", "choose from face, back, edge, far edge")
        elif self.from_ not in across_of(self.side):
            choices = " or ".join(across_of(self.side))
            yield Problem("from", f"'{self.from_}' does not lie beside the {self.side}", f"choose {choices}")
        yield from _of_the_slot(self.width, self.fits, self.depth)
        for one in ("opening", "opening_across", "gap"):
            if getattr(self, one) is not None and not self.fits:
                yield Problem(one, "is for what goes in, and fits names no part", "name the part, or leave it out")
        if self.end is not None and self.end <= (self.start or 0):
            yield Problem("end", "does not lie beyond start", "measure both from the marked end")

    @property
    def needs_marked_end(self) -> bool:
        """Where it is stopped."""
        return self.start is not None or self.end is not None

    def removes(self, job: Job, part: Part) -> Iterator[Solid]:
        """The slot, between its ends where it is stopped."""
        if part.mark in self.parts:
            for slot in slots_of_cut(self, part, job):
                walls = {slot.reference: (slot.near, slot.near + slot.width), slot.side: (0, slot.depth)}
                along = (self.start or 0, part.length if self.end is None else self.end)
                yield slab(self.mark, part, {**walls, Side.MARKED_END: along})


@dataclass(frozen=True, slots=True, kw_only=True)
class Housing(Cut):
    """Slots across the grain, their near walls `at` from the marked end; nm.

    Each is `width` wide, else fits the thickness of the part `fits`. `stopped` is how far behind the edge `stopped_at`
    it ends; 0 where it runs through.
    """

    kind: ClassVar[str] = "housing"
    letter: ClassVar[str] = "H"

    side: Side = asked("Side", "face or back", among=(Side.FACE, Side.BACK))
    at: tuple[Nm, ...] = asked("Near walls", "from the marked end, with ; between them")
    width: Nm | None = asked("Width", "empty: as what goes in wants it", None)
    fits: str = asked(
        "Fits", "the part that goes in; without a width its thickness as measured and the play", "", names_parts=True
    )
    play: Nm = asked("Play", "room for what goes in", HOUSING_PLAY)
    depth: Nm = asked("Depth", "a third to half of the wood")
    stopped: Nm = asked("Stopped", "how far behind the front edge it ends; empty: it runs through", 0)
    stopped_at: Side = asked("Front edge", "edge or far edge, where it is stopped", Side.EDGE, among=EDGES)
    opening: Nm | None = asked(
        "Clear opening", "between the two sides, so that the length of what goes in is checked", None
    )

    @property
    def is_across(self) -> bool:
        """It runs across the grain."""
        return True

    def problems(self) -> Iterator[Problem]:
        """A side that is none of the faces, no place, no width or two, nothing deep."""
        if self.side not in (Side.FACE, Side.BACK):
            yield Problem("side", f"a housing is not cut into the {self.side}", "choose face or back")
        if not self.at:
            yield Problem("at", "is empty", "write where each begins, from the marked end")
        if self.stopped_at not in EDGES:
            yield Problem("stopped_at", f"'{self.stopped_at}' is not an edge", "choose edge or far edge")
        if self.opening is not None and not self.fits:
            yield Problem("opening", "is for what goes in, and fits names no part", "name the part, or leave it out")
        yield from _of_the_slot(self.width, self.fits, self.depth)

    def face_each_other(self, job: Job) -> Iterator[str]:
        """Its parts, where they hold both ends of what goes in."""
        if ends_held(self, job) == 2:
            yield from (mark for mark in self.parts if job.part(mark).quantity % 2 == 0)

    def removes(self, job: Job, part: Part) -> Iterator[Solid]:
        """Every slot, from behind the front edge where it is stopped."""
        if part.mark in self.parts:
            for slot in slots_of_cut(self, part, job):
                walls = {slot.reference: (slot.near, slot.near + slot.width), slot.side: (0, slot.depth)}
                yield slab(self.mark, part, {**walls, self.stopped_at: (self.stopped, part.width)})


def _of_the_slot(width: Nm | None, fits: str, depth: Nm) -> Iterator[Problem]:
    if width is None and not fits:
        yield Problem("width", "is empty, and fits names no part", "write it, or the mark of the part that goes in")
    if width is not None and width <= 0:
        yield Problem("width", "is not above 0", "write how wide it is")
    if depth <= 0:
        yield Problem("depth", "is not above 0", "write how deep it is")


def loose_marks(job: Job) -> tuple[str, ...]:
    """The marks of parts that grooves fit and no joint holds."""
    joined = {mark for joint in job.joints for mark in (joint.post, joint.rail)}
    fitted = (cut.fits for cut in job.cuts if isinstance(cut, Groove) and cut.fits)
    return tuple(dict.fromkeys(mark for mark in fitted if mark not in joined))


def ends_held(cut: Housing, job: Job) -> int:
    """How many ends of each piece that goes in sit in housings: 2 for a shelf, 1, or 0 where counts do not tally."""
    if not cut.fits:
        return 0
    housings = len(cut.at) * sum(job.part(mark).quantity for mark in cut.parts)
    ends, over = divmod(housings, job.part(cut.fits).quantity)
    return ends if not over and ends in (1, 2) else 0


def width_of(cut: Groove | Housing, job: Job) -> Nm:
    """How wide the slot is: as given, else what goes in as measured and the play, nm."""
    return room_for(cut.fits, cut.play, cut.width, job)


def slots_of_cut(cut: Groove | Housing, part: Part, job: Job) -> Iterator[Slot]:
    """Every slot that a cut makes in a part."""
    if isinstance(cut, Groove):
        yield Slot(part, cut.side, cut.from_, cut.at, width_of(cut, job), cut.depth)
        return
    for near in cut.at:
        yield Slot(part, cut.side, Side.MARKED_END, near, width_of(cut, job), cut.depth)


def _through(cut: Groove | Housing) -> str:
    return cut.kind if isinstance(cut, Groove) and cut.start is None and cut.end is None else ""


def _setups(task: Task) -> Setups:
    wanted = []
    for cut in task.job.cuts:
        if isinstance(cut, Groove | Housing):
            stage = Stage.ALONG if isinstance(cut, Groove) else Stage.ACROSS
            said = measured_before("" if cut.width else cut.fits, task.job)
            for part in (task.job.part(mark) for mark in cut.parts):
                wanted += [
                    Wanted(cut, part, stage, partial(_passes_told, said, cut, slot, task.shop), _through(cut))
                    for slot in slots_of_cut(cut, part, task.job)
                ]
    planned = plan_cuts(task, WORK, wanted)
    return replace(planned, warnings=(*planned.warnings, *_asked_about(task.job, task.shop)))


def _asked_about(job: Job, shop: Shop) -> Iterator[Remark]:
    """Panels and shelves that do not fit their slots, or too many of them, and sides that come in pairs."""
    inside: dict[frozenset[str], tuple[Nm, str]] = {}
    for cut in job.cuts:
        if isinstance(cut, Groove | Housing) and cut.fits and cut.width is not None:
            thin = rebated_to(job.part(cut.fits), job)
            yield from ask_for_thickness(job.part(cut.fits), thin, cut.width, cut.mark, shop)
        if isinstance(cut, Groove):
            openings = {"length": cut.opening, "width": cut.opening_across}
            for along, opening in openings.items() if cut.fits else ():
                yield from ask_for_panel(job.part(cut.fits), along, opening, cut.depth, cut.gap, shop)
        if not isinstance(cut, Housing) or not cut.fits:
            continue
        shelf = job.part(cut.fits)
        ends = ends_held(cut, job)
        if not ends:
            housings = counted(len(cut.at) * sum(job.part(mark).quantity for mark in cut.parts), "housing")
            text = (
                f"{housings} of {cut.mark} for {counted(2 * shelf.quantity, 'end')}; correct a quantity or the places"
            )
            yield Remark(shelf.mark, text)
        if ends == 2:
            clear = shelf.length - 2 * cut.depth
            opening, said_by = inside.setdefault(frozenset(cut.parts), (clear, shelf.mark))
            if cut.opening is not None:
                held = Between(cut.opening, 2, cut.depth, "housing")
                yield from ask_for_size(shelf, "length", held, shop)
            elif clear != opening:
                between, long = (format_length(one, shop.show) for one in (opening, opening + 2 * cut.depth))
                text = f"{said_by} leaves {between} between the sides, this part {format_length(clear, shop.show)}"
                yield Remark(shelf.mark, f"{text}; {long} long it would fit. Correct one of the two")
        for mark in cut.face_each_other(job):
            side = job.part(mark)
            if side.hand is Hand.SAME and not slots_of(job, mark) and needs_pairs(job, side):
                text = "the cuts differ on the two hands, so half the pieces are mirror images and are counted so"
                yield Remark(mark, f"{text}; set hand to pairs")


def _passes_told(
    said: str, cut: Groove | Housing, slot: Slot, shop: Shop, station: Station, may_use: MayUse
) -> Sequence[Pass] | str:
    found = _passes(cut, slot, shop, station, may_use)
    return found if isinstance(found, str) else [noted(one, said) for one in found]


def _passes(cut: Groove | Housing, slot: Slot, shop: Shop, station: Station, may_use: MayUse) -> Sequence[Pass] | str:
    if text := _does_not_fit(cut, slot, shop):
        return text
    found = slot_passes(slot, shop, station, may_use)
    if isinstance(found, str):
        return found
    if isinstance(cut, Housing):
        if cut.stopped:
            return f"it is stopped, and the {station.name} cuts through; stop it at a spindle, or run it by hand"
        return found
    if cut.start is None and cut.end is None:
        return found
    return stopped_passes(slot, found, (cut.start, cut.end), station, shop)


def _does_not_fit(cut: Groove | Housing, slot: Slot, shop: Shop) -> str:
    part = slot.part
    wood, room = size_along(part, slot.side), size_along(part, slot.reference)
    if 2 * slot.depth > wood:
        deep, half = format_length(slot.depth, shop.show), format_length(wood // 2, shop.show)
        return f"{deep} is deeper than half of the wood, {half}; make it shallower"
    if slot.near + slot.width > room:
        end, whole = format_length(slot.near + slot.width, shop.show), format_length(room, shop.show)
        return f"its far wall would lie at {end}, the part is only {whole}; move it or make it narrower"
    if isinstance(cut, Groove) and max(cut.start or 0, cut.end or 0) > part.length:
        return f"it would end beyond the part, which is {format_length(part.length, shop.show)} long; measure it again"
    return ""


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], shop: Shop) -> Iterator[str]:
    across = any(stop.sets == LENGTH.name for stop in run.stops)
    yield (
        "across the grain before along it, so that the groove cleans the break-out of the housing"
        if across
        else "after the length is cut, before any edge is shaped that it is measured from"
    )
    yield from why_like_this(run, before, shop)


def _picture(canvas: Canvas, run: Run, job: Job, _: FlipStops | None) -> None:
    draw_slot(canvas, run, job)


def _at_a_saw(scene: Scene) -> bool:
    return any(stop.sets == BLADE_HEIGHT.name for stop in scene.run.stops)


def _at_a_spindle(scene: Scene) -> bool:
    return any(stop.sets == SPINDLE_HEIGHT.name for stop in scene.run.stops)


OPERATION = Operation(
    work=WORK,
    stage=Stage.ALONG,
    title="groove",
    comes_to="comes to",
    roles=(TOOL, CUTTER, WIDTH, LENGTH, BLADE_HEIGHT, SPINDLE_HEIGHT, SPINDLE_FENCE, FRONT_STOP, BACK_STOP),
    gear=(Blade, GroovingTools),
    asked=(Groove, Housing),
    setups=_setups,
    follow=follow_pieces,
    measured=at_a_cut,
    cautions=(
        *AT_A_CUT,
        Caution(
            "The blade does not come through the wood: the crown guard cannot stand. Groove here only with other "
            "effective guarding, such as pressure pads that make a tunnel; a spindle is the better machine.",
            "HSE Wood Information Sheet 16, copy of the sheet",
            "S",
            _at_a_saw,
        ),
        Caution(
            "Riving knife and guard back on as soon as this run is done.",
            "J. Gorman, circular saw bench safety",
            "S",
            _at_a_saw,
        ),
        Caution(
            "A grooving head only where machine and arbor are made for it, with the guard and knife that suit it.",
            "common practice",
            "P",
            _at_a_saw,
        ),
        Caution(
            "False fence and pressure pads on; stopped work needs a back stop, jig or holder.",
            "HSE Wood Information Sheet 18, copy of the sheet",
            "S",
            _at_a_spindle,
        ),
        Caution(
            "One trial cut in spare wood of the same thickness; what goes in is measured, not what it is called.",
            "common practice",
            "P",
            always,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
