"""The mortiser seen from the bit: table, piece, slot, bit to proportion, and which end stop the piece touches."""

from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.joints import ENDS, Side
from stopwright.model.parts import Part
from stopwright.plan.joinery.lateral_scale import from_the_stop, places_in
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.run_sheet import Pieces, Run

TABLE, LEFT, RIGHT = 96.0, 46.0, 314.0


@dataclass(frozen=True, slots=True)
class Slot:
    """Where the slot lies, measured from the end that touches the stop, and how high above the table; nm."""

    start: Nm
    end: Nm
    height: Nm
    bit: Nm
    spacer: Nm


def draw_mortise(canvas: Canvas, run: Run, job: Job) -> None:
    """The piece on the table against its end stop, the slot where it comes, the bit at one end of it."""
    slot = _slot(run)
    if slot is None:
        return
    pieces = run.pieces[0]
    thick = _upright(job, pieces) or 2 * slot.height
    stands = pieces.down in ENDS  # drawn no higher than shows the slot, with a break above
    thick = min(thick, 2 * slot.height + 4 * slot.bit) if stands else thick
    scale = min(54 / max(thick, slot.height + slot.bit), 150 / max(slot.end - slot.start + 2 * slot.bit, 1))
    right = pieces.at == "right"
    stop, inward = (RIGHT, -1) if right else (LEFT, 1)
    near_end = stop + inward * max(slot.spacer * scale, 4 if slot.spacer else 0)
    # A slot far along the piece is drawn nearer, with a break between: the slot itself stays to proportion.
    far = slot.start * scale > 70
    low = near_end + inward * (70 if far else slot.start * scale)
    high = low + inward * (slot.end - slot.start) * scale
    free_end = high + inward * 44
    top, middle, radius = TABLE - thick * scale, TABLE - slot.height * scale, slot.bit * scale / 2
    canvas.box("table", 8, TABLE, 344, 8)
    wood = canvas.wood_upright if stands else canvas.wood
    wood(min(near_end, free_end), top, abs(free_end - near_end), TABLE - top)
    _break(canvas, free_end, top)
    if stands:
        _break_across(canvas, min(near_end, free_end), max(near_end, free_end), top)
    if far:
        _break(canvas, near_end + inward * 30, top)
    first, last = min(low, high), max(low, high)
    curve = f"a{radius:.1f} {radius:.1f} 0 0 1 0"
    canvas.path(
        "slot",
        f"M{first:.1f} {middle - radius:.1f}H{last:.1f}{curve} {2 * radius:.1f}H{first:.1f}{curve} {-2 * radius:.1f}z",
    )
    canvas.circle("bit", first, middle, radius)
    if slot.spacer:
        canvas.box("spacer", min(stop, near_end), TABLE - 30, abs(near_end - stop), 30)
    both = len({one.at for one in run.pieces if one.at}) > 1
    canvas.box("stop", stop - (0 if right else 13), TABLE - 58, 13, 58)
    if both:
        canvas.box("stop stands", LEFT - 13 if right else RIGHT, TABLE - 58, 13, 58)
    line = free_end + inward * 12
    canvas.upright(line, middle, TABLE)
    canvas.line("centre", last if not right else first, middle, line, middle)
    height = next(stop for stop in run.stops if stop.sets == "table height")
    reads = height.reading if isinstance(height.reading, int) else slot.height
    canvas.length_inside(reads, line, 121, height.axis)
    reference = pieces.reference or "reference end"
    canvas.words(reference, stop + inward * -13, TABLE - 64, "end" if right else "start")
    canvas.tall = 126
    which = "both end stops, one after the other" if both else f"the {pieces.at or 'left'} end stop"
    down = f", the {pieces.down} down" if stands else ""
    canvas.label = f"Seen from the bit: {reference} against {which}{down}, the slot above the table"


def _break(canvas: Canvas, x: float, top: float) -> None:
    step = (TABLE - top + 8) / 4
    canvas.path("break", f"M{x:.1f} {top - 4:.1f}l5 {step:.1f}l-10 {step:.1f}l10 {step:.1f}l-5 {step:.1f}")


def _break_across(canvas: Canvas, first: float, last: float, y: float) -> None:
    step = (last - first + 8) / 4
    canvas.path("break", f"M{first - 4:.1f} {y:.1f}l{step:.1f} -3l{step:.1f} 6l{step:.1f} -6l{step:.1f} 3")


def _slot(run: Run) -> Slot | None:
    at = places_in(run)
    bit, height = at.get("bit"), at.get("table height")
    spacer = run.spacer.thickness * run.spacer.count if run.spacer and "under" not in run.spacer.place else 0
    middle = from_the_stop(at, spacer)
    if not bit or not height or middle is None or not run.pieces:
        return None
    return Slot(max(middle[0], 0), max(middle[1], 0), height, bit, spacer)


def _upright(job: Job, pieces: Pieces) -> Nm | None:
    part: Part | None = next((part for part in job.parts if part.mark == pieces.mark), None)
    if part is None:
        return None
    return part.thickness if pieces.down in (Side.FACE, Side.BACK) else part.width
