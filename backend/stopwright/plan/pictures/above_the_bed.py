"""What a thickness planer and a drum sander have in common seen from the side: the bed, and the height above it."""

from stopwright.lengths import Nm
from stopwright.plan.operations.roles import THICKNESS
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.plan.run_sheet import Move, Run, Stop

BED, DRUM = 92.0, 172.0
"""How far down the bed lies, and how far right what cuts stands."""


def height_set(run: Run) -> tuple[Stop, Nm] | None:
    """The stop that sets the height, and the height, nm; None where the run has none."""
    stop = next((stop for stop in run.stops if stop.sets == THICKNESS.name), None)
    return (stop, stop.target) if stop is not None and isinstance(stop.target, int) else None


def draw_bed(canvas: Canvas, stop: Stop, height: Nm, top: float, feeds_from: float) -> None:
    """The bed under a piece whose upper side is at `top`, the way it is fed, and the height with its reading."""
    canvas.box("stop" if stop.move is Move.SET else "stop stands", 8, BED, WIDE - 74, 7)
    canvas.path("arrow", f"M{feeds_from} {top - 12:.1f}h24m-6-4l6 4l-6 4")
    canvas.upright(298, top, BED)
    canvas.length_inside(stop.reading if isinstance(stop.reading, int) else height, 298, BED + 24, stop.axis)
    canvas.tall = 122
