"""The mortiser seen from the bit: table, piece, slot, bit to proportion, and which end stop the piece touches."""

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Part
from stopwright.model.stations import Sets
from stopwright.plan.run_sheet import Pieces, Run
from stopwright.web.drawings.canvas import Canvas


def draw_mortise(canvas: Canvas, run: Run, job: Job) -> None:
    """The piece on the table against its end stop, the slot where it comes, the bit at its left end."""
    bit, height = _length(run, Sets.BIT), _length(run, Sets.TABLE_HEIGHT)
    travel_from, travel_to = _length(run, Sets.TRAVEL_FROM), _length(run, Sets.TRAVEL_TO)
    if not bit or not height or travel_from is None or travel_to is None or not run.pieces:
        return
    sides = {pieces.at or "left" for pieces in run.pieces}
    pieces = run.pieces[0]
    right = pieces.at == "right"
    end_stop = _length(run, Sets.END_STOP_RIGHT if right else Sets.END_STOP_LEFT) or 0
    spacer = run.spacer.thickness * run.spacer.count if run.spacer else 0
    start, end = (at - end_stop - spacer for at in (travel_from, travel_to))
    part = next((part for part in job.parts if part.mark == pieces.mark), None)
    thick = _upright(part, pieces) if part else 2 * height
    shown = max(end + bit, thick)
    scale = min(230 / shown, 62 / max(thick, height + bit))
    table, stop = 92.0, (318.0 if right else 42.0)
    away = -1 if right else 1

    def x(at: float) -> float:
        return stop + away * (spacer + at) * scale

    middle = table - height * scale
    canvas.box("table", 8, table, 344, 8)
    canvas.wood(min(x(0), x(shown * 1.12)), table - thick * scale, abs(x(shown * 1.12) - x(0)), thick * scale)
    radius = bit * scale / 2
    low, high = sorted((x(start), x(end)))
    canvas.path(
        "slot",
        f"M{low:.1f} {middle - radius:.1f}H{high:.1f}a{radius:.1f} {radius:.1f} 0 0 1 0 {2 * radius:.1f}"
        f"H{low:.1f}a{radius:.1f} {radius:.1f} 0 0 1 0 {-2 * radius:.1f}z",
    )
    canvas.circle("bit", low, middle, radius)
    if spacer:
        canvas.box("spacer", min(stop, x(0)), table - 26, max(abs(x(0) - stop), 3), 26)
    canvas.box("stop", stop, table - 46, -away * 12, 46)
    if len(sides) > 1:
        other = 42.0 if right else 318.0
        canvas.box("stop stands away", other, table - 46, away * 12, 46)
    beyond = 352.0 if not right else 8.0
    canvas.path(
        "dimension", f"M{beyond - 6 * away} {middle:.1f}V{table}m-5 0h10M{beyond - 6 * away - 5} {middle:.1f}h10"
    )
    canvas.line("centre", high if not right else low, middle, beyond - 6 * away, middle)
    canvas.length(height, beyond - 14 * away, (middle + table) / 2 + 5, "start" if right else "end")
    canvas.words(pieces.reference or "reference end", stop, 118, "end" if right else "start")
    canvas.tall = 124
    which = "both end stops, one after the other" if len(sides) > 1 else f"the {pieces.at or 'left'} end stop"
    canvas.label = (
        f"Seen from the bit: {pieces.reference or 'the reference end'} against {which}, the slot above the table"
    )


def _length(run: Run, sets: Sets) -> Nm | None:
    return next((s.target for s in run.stops if s.sets is sets and isinstance(s.target, int)), None)


def _upright(part: Part, pieces: Pieces) -> Nm:
    if pieces.down in (Side.FACE, Side.BACK):
        return part.thickness
    return part.width
