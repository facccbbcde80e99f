"""The plot of a scale's drift and scatter: one point a trial piece, oldest at the left, and the zero they speak for."""

from markupsafe import Markup

from stopwright.actions.shop.memory import AxisMemory
from stopwright.lengths import INCH, MM, Nm, Show
from stopwright.plan.pictures.canvas import Canvas
from stopwright.store.memory import RECENT
from stopwright.web.drawings.svg import svg_of

TOP, BOTTOM, LEFT, RIGHT = 14.0, 146.0, 68.0, 354.0
_STEPS_MM = tuple(MM * n // 100 for n in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000))
_STEPS_IN = tuple(INCH * n // 1000 for n in (1, 2, 5, 10, 20, 50, 100, 200, 500))


def draw_drift(memory: AxisMemory, in_force: Nm, show: Show) -> Markup:
    """The zero that each trial piece speaks for, against the current scale offset; what counts no longer is hollow."""
    zeros = [one.zero for one in memory.trials]
    found = memory.zero
    reach = [*zeros, in_force]
    if found:
        reach += [found.zero - found.scatter, found.zero + found.scatter]
    steps = _STEPS_MM if show is Show.MM else _STEPS_IN
    step = next((one for one in steps if (max(reach) - min(reach)) / one <= 4), steps[-1])
    low, high = (min(reach) // step) * step, -(-max(reach) // step) * step
    if low == high:
        low, high = low - step, high + step

    def at(zero: float) -> float:
        return BOTTOM - (BOTTOM - TOP) * (zero - low) / (high - low)

    canvas = Canvas(inches=show is not Show.MM, tall=172, label=_words(memory))
    for line in range(low, high + 1, step):
        canvas.line("grid", LEFT, at(line), RIGHT, at(line))
        canvas.small(line, LEFT - 6, at(line) + 5, "end")
    places = [LEFT + (RIGHT - LEFT) * (place + 0.5) / len(zeros) for place in range(len(zeros))]
    if found:
        first = places[-min(found.trials, len(places))]
        canvas.box(
            "band", first - 6, at(found.zero + found.scatter), RIGHT - first + 6, 2 * (at(0) - at(found.scatter))
        )
        canvas.line("found", first - 6, at(found.zero), RIGHT, at(found.zero))
    canvas.line("in-force", LEFT, at(in_force), RIGHT, at(in_force))
    for number, (place, zero) in enumerate(zip(places, zeros, strict=True)):
        canvas.circle("point" if len(zeros) - number <= RECENT else "point old", place, at(zero), 4)
    canvas.words(memory.trials[0].piece.at[:10], LEFT, 167, "start")
    canvas.words(memory.trials[-1].piece.at[:10], RIGHT, 167, "end")
    return svg_of(canvas, show)


def _words(memory: AxisMemory) -> str:
    count = memory.count
    return f"Zero of the {memory.axis} by {count} trial {'piece' if count == 1 else 'pieces'}, oldest first"
