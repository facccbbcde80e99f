"""Taper: a side that runs out, cut in a sled with a block as thick as what is taken off at the thin end."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import Nm, format_length
from stopwright.model.cuts import Cut, asked
from stopwright.model.gear import Blade
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, Side
from stopwright.model.parts import Part
from stopwright.model.solid import Solid
from stopwright.model.stations import Shop, Station
from stopwright.plan.joinery.hands import OUTWARD, cross
from stopwright.plan.operations.caution import AT_A_CUT, Caution, always
from stopwright.plan.operations.operation import Operation, Setups, Stage, Task, as_the_stop_stands
from stopwright.plan.operations.roles import JIG_BLOCK
from stopwright.plan.pictures.canvas import WIDE, Canvas, outline
from stopwright.plan.run_sheet import Move, Run
from stopwright.plan.said_lengths import said
from stopwright.plan.stations.cut_helpers import follow_pieces, noted
from stopwright.plan.stations.cut_setups import CALLED, Lying, MayUse, Pass, Wanted, plan_cuts
from stopwright.plan.stations.cut_words import why_like_this
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_sides import FACES, PAIRS, axis_of, opposite, size_along

WORK = "taper"


@dataclass(frozen=True, slots=True, kw_only=True)
class Taper(Cut):
    """Sides that are tapered from `begins` off the marked end to the other end, where `leaves` is left; nm.

    Where two opposite sides are named, `leaves` is what is left between both of them.
    """

    kind: ClassVar[str] = "taper"
    letter: ClassVar[str] = "K"

    sides: tuple[Side, ...] = asked("Sides", "those that run out", among=(*FACES, *EDGES))
    begins: Nm = asked("Begins", "from the marked end")
    leaves: Nm = asked("Leaves", "thickness or width that is left at the other end")

    def problems(self) -> Iterator[Problem]:
        """No sides, an end, a side twice, nothing left."""
        if not self.sides or not set(self.sides) <= {*FACES, *EDGES}:
            yield Problem("sides", "is not a list of long sides", "choose from face, back, edge, far edge")
        if len(set(self.sides)) < len(self.sides):
            yield Problem("sides", "names a side twice", "name each side once")
        if self.leaves <= 0:
            yield Problem("leaves", "is not above 0", "write what is left at the other end")

    def removes(self, _: Job, part: Part) -> Iterator[Solid]:
        """A wedge for each side."""
        if part.mark in self.parts:
            for side in self.sides:
                yield _wedge(self, part, side)


def taken_off(cut: Taper, part: Part, side: Side) -> Nm:
    """What the taper of one side takes off at the other end, nm; half of it where the opposite side has one too."""
    off = size_along(part, side) - cut.leaves
    return off // 2 if opposite(side) in cut.sides else off


def block_for(cut: Taper, part: Part, side: Side) -> Nm:
    """The block in the sled, nm: once what is taken off, twice that where it lies on a side that is tapered already.

    >>> from stopwright.lengths import MM
    >>> four = Taper(mark="K1", parts=("A",), sides=(*FACES, *EDGES), begins=0, leaves=29 * MM)
    >>> leg = Part("A", "Leg", 4, 590 * MM, 45 * MM, 45 * MM)
    >>> [block_for(four, leg, side) // MM for side in four.sides]
    [8, 16, 8, 16]
    """
    off = taken_off(cut, part, side)
    return 2 * off if _is_second(cut, side) else off


def _is_second(cut: Taper, side: Side) -> bool:
    """Whether the opposite side was tapered before."""
    other = opposite(side)
    return other in cut.sides and PAIRS[axis_of(side)][1] is side


def lies_on(side: Side, mirrored: bool = False) -> Side:
    """The side that is down while another is tapered, so that the block is always at the hind end of the sled.

    The blade is at the left, the sled's fence at the right with the opposite side against it, and the marked end goes
    first: with the grain, from thick to thin. With r pointing right and f forward, up is r × f; a mirror image lies on
    the side across.

    >>> [str(lies_on(side)) for side in (Side.BACK, Side.FAR_EDGE)]
    ['edge', 'back']
    """
    forward = OUTWARD[Side.OTHER_END if mirrored else Side.MARKED_END]
    up = cross(OUTWARD[opposite(side)], forward)
    return next(opposite(one) for one, outward in OUTWARD.items() if outward == up)


def in_order(cut: Taper, mirrored: bool = False) -> list[Side]:
    """The sides as they are cut: the second of an opposite pair later, a side before the one that it lies on."""

    def of_a_turn(is_second: bool) -> list[Side]:
        here = [side for side in (*FACES, *EDGES) if side in cut.sides and _is_second(cut, side) is is_second]
        return here[::-1] if len(here) == 2 and lies_on(here[1], mirrored) is here[0] else here

    return [*of_a_turn(False), *of_a_turn(True)]


def _setups(task: Task) -> Setups:
    wanted = [
        Wanted(cut, part, Stage.LAST, partial(_passes, cut, part, task.shop))
        for cut in task.job.cuts
        if isinstance(cut, Taper)
        for part in (task.job.part(mark) for mark in cut.parts)
    ]
    return plan_cuts(task, WORK, wanted)


def _passes(cut: Taper, part: Part, shop: Shop, station: Station, _: MayUse) -> Sequence[Pass] | str:
    if cut.begins >= part.length:
        return f"it begins beyond the part, which is {format_length(part.length, shop.show)} long; measure it again"
    for side in cut.sides:
        if taken_off(cut, part, side) <= 0:
            left, wood = format_length(cut.leaves, shop.show), format_length(size_along(part, side), shop.show)
            return f"it leaves {left} of {wood}, so there is nothing to cut; write what is left at the other end"
    if not station.axis(JIG_BLOCK.name):
        return f"the {station.name} has no sled with a block to set; add an axis that sets {JIG_BLOCK.name}"
    begins = said(cut.begins)
    note = f"{cut.mark} from {begins} off the marked end; marked end first, the block at the other end"
    return [
        noted(one, note)
        for mirrored in (False, True)
        for one in _of_one_hand(cut, part, in_order(cut, mirrored), mirrored)
    ]


def _of_one_hand(cut: Taper, part: Part, sides: Sequence[Side], mirrored: bool) -> Iterator[Pass]:
    for place, side in enumerate(sides):
        down, block = lies_on(side, mirrored), block_for(cut, part, side)
        note = ""
        if down in sides[:place] or (down in sides and block_for(cut, part, down) != block):
            called = CALLED.get(down, str(down))
            note = f"where the {called} is tapered already, its wedge is taped back under it"
        lying = Lying(down, opposite(side), "sled")
        yield Pass(((JIG_BLOCK.name, block),), lying, note=note, mirrored=mirrored, turn=int(_is_second(cut, side)))


def _wedge(cut: Taper, part: Part, side: Side) -> Solid:
    axis, size = axis_of(side), size_along(part, side)
    other = 3 - axis  # of y and z the one that the wedge runs through
    off = taken_off(cut, part, side)
    at_zero = PAIRS[axis][0] is side
    outside, inside = (0, off) if at_zero else (size, size - off)
    corners = []
    for x, deep in ((cut.begins, outside), (part.length, outside), (part.length, inside)):
        for through in (0, part.size[other]):
            corner = [x, 0, 0]
            corner[axis], corner[other] = deep, through
            corners.append((corner[0], corner[1], corner[2]))
    return Solid(cut.mark, tuple(corners))


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], shop: Shop) -> Iterator[str]:
    yield "last of all: a side that is tapered is no longer a reference"
    yield from why_like_this(run, before, shop)


def _picture(canvas: Canvas, run: Run, job: Job, _: FlipStops | None) -> None:
    """The sled from above, each way to its own scale: the piece turned by the block, the wedge beyond the blade."""
    stop = next((stop for stop in run.stops if stop.sets == JIG_BLOCK.name), None)
    pieces = next((one for one in run.pieces if one.down), None)
    cut = next((cut for cut in job.cuts if isinstance(cut, Taper) and cut.mark in run.cuts), None)
    if stop is None or pieces is None or cut is None or not isinstance(stop.target, int):
        return
    part = job.part(pieces.mark)
    side = next(one for one in cut.sides if CALLED.get(opposite(one), str(opposite(one))) == pieces.reference)
    through, off, block = size_along(part, side), taken_off(cut, part, side), stop.target
    along, across = 300 / part.length, 58 / (through + block)
    first, begins, last, level = 30.0, 30 + cut.begins * along, 330.0, 20 + through * across
    turned = -block * across * (begins - first) / (last - begins)  # before it begins the piece lies behind the fence
    canvas.box("fence", begins, 8, WIDE - 8 - begins, 12)
    whole = ((first, 20 + turned), (begins, 20), (last, 20 + block * across), (last, level), (begins, level))
    canvas.path("wood", outline((*whole, (first, level + turned))))
    canvas.path("waste", outline(((begins, level), (last, level), (last, level + off * across))))
    canvas.box("stop" if stop.move is Move.SET else "stop stands", last - 22, 20, 22, block * across)
    canvas.line("blade", 8, level, WIDE - 8, level)
    canvas.path("arrow", f"M60 {level + 26:.1f}h-24m6-4l-6 4l6 4")
    canvas.length_inside(stop.reads, last, level + off * across + 20, stop.axis)
    canvas.tall = level + off * across + 30
    canvas.label = "Seen from above: the piece in the sled, marked end first, block behind it, the wedge past the blade"


OPERATION = Operation(
    work=WORK,
    stage=Stage.LAST,
    title="taper",
    comes_to="cuts",
    roles=(JIG_BLOCK,),
    gear=(Blade,),
    asked=(Taper,),
    setups=_setups,
    follow=follow_pieces,
    measured=as_the_stop_stands,
    cautions=(
        *AT_A_CUT,
        Caution(
            "The piece is clamped in the sled; it is never led along the fence by hand.",
            "two makers' pages on taper sleds",
            "S",
            always,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
