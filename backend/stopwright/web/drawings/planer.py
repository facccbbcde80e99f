"""Planers and spindle: the height over the bed, a true face over the knives, the cutter in its fence."""

from stopwright.model.stations import Sets
from stopwright.plan.run_sheet import Move, Run
from stopwright.web.drawings.canvas import WIDE, Canvas


def draw_planing(canvas: Canvas, run: Run) -> None:
    """The thickness planer from the side: bed, piece, knives above it, the height between to proportion."""
    stop = next((stop for stop in run.stops if stop.sets is Sets.THICKNESS), None)
    if stop is None or not isinstance(stop.target, int):
        return
    bed, knives = 92.0, 172.0
    high = 12 + 40.0 * stop.target / canvas.span(stop.target)
    top = bed - high
    moving = "stop" if stop.move is Move.SET else "stop stands"
    canvas.path(
        "wood", f"M24 {bed}V{top - 9:.1f}H{knives - 12}Q{knives - 4} {top:.1f} {knives + 6} {top:.1f}H270V{bed}z"
    )
    canvas.line("grain", 44, bed - high * 0.35, 220, bed - high * 0.35)
    canvas.line("grain", 70, bed - high * 0.7, 150, bed - high * 0.7)
    canvas.circle("knives", knives, top - 21, 21)
    canvas.path("blade-thin", f"M{knives - 14} {top - 35:.1f}l28 28M{knives + 14} {top - 35:.1f}l-28 28")
    canvas.circle("roller", knives - 62, top - 18, 9)
    canvas.circle("roller", knives + 62, top - 9, 9)
    canvas.box(moving, 8, bed, WIDE - 74, 7)
    canvas.path("arrow", f"M{knives + 96} {top - 12:.1f}h24m-6-4l6 4l-6 4")
    canvas.upright(298, top, bed)
    reads = stop.reading if isinstance(stop.reading, int) else stop.target
    canvas.length_inside(reads, 298, bed + 24, stop.axis)
    canvas.tall = 122
    canvas.label = "Seen from the side: the piece on the bed, the knives above it, the height between them"


def draw_jointing(canvas: Canvas) -> None:
    """The surface planer from the side: infeed table, knives, outfeed table, the piece lying on its worst face."""
    canvas.box("table", 8, 66, 158, 9)
    canvas.box("table", 194, 62, 158, 13)
    canvas.circle("knives", 180, 74, 12)
    canvas.path("wood", "M60 30H300V62H180L178 66H60z")
    canvas.line("grain", 78, 42, 240, 42)
    canvas.line("grain", 100, 53, 190, 53)
    canvas.path("arrow", "M216 18h30m-6-4l6 4l-6 4")
    canvas.words("first the face side, then the face edge", 180, 98)
    canvas.tall = 106
    canvas.label = "Seen from the side: the piece passing from the lower infeed table over the knives"


def draw_moulding(canvas: Canvas) -> None:
    """The spindle from above: the fence in two halves, the cutter between, the piece along it."""
    canvas.box("fence", 8, 8, 146, 13)
    canvas.box("fence", 206, 8, 146, 13)
    canvas.circle("knives", 180, 10, 17)
    canvas.wood(34, 22, 290, 34)
    canvas.path("arrow", "M200 74h-40m6-4l-6 4l6 4")
    canvas.tall = 86
    canvas.label = "Seen from above: the piece along the two halves of the fence, the cutter between them"
