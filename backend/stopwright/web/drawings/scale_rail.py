"""An axis drawn as the rule on its fence: every position that is set, and in which order the stop goes there."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from markupsafe import Markup, escape

from stopwright.lengths import INCH, MM, Nm, Show, format_length
from stopwright.plan.pictures.canvas import Canvas
from stopwright.web.drawings.svg import svg_of
from stopwright.web.kit.shown import BETWEEN, SHOWN

WIDE = 820.0
LEFT, RIGHT = 14.0, 796.0
LEVEL = 22.0
LEVELS = 4
WAYS_SHOWN = 14
"""Up to so many settings the way of the stop from one to the next is drawn."""
FAR = 34.0
_DIGIT = 9.6
_STEPS_MM = tuple(MM * n for n in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000))
_STEPS_IN = tuple(INCH * n // 16 for n in (1, 2, 4, 8, 16, 32, 64, 96, 192, 384, 960, 1920, 6400))
TICKS = 12


@dataclass(frozen=True, slots=True)
class SetAt:
    """A position on the axis, nm, and the run that sets it first, by its number."""

    position: Nm
    run: int


def draw_rail(name: str, positions: Sequence[SetAt], show: Show) -> Markup:
    """The rule with its stops in their places, in the order in which they are set; to proportion, 0 at the left."""
    canvas = Canvas(wide=WIDE)
    step, span = _ruled(max(one.position for one in positions), show.unit == "in")
    per_nm = (RIGHT - LEFT) / span
    labels = _levels(positions, per_nm, show)
    levels = 1 + max(label[0] for label in labels if label)
    top = 28.0 if 1 < len(positions) <= WAYS_SHOWN else 2.0
    base = top + LEVEL * levels + 28
    _way(canvas, positions, per_nm, top)
    canvas.line("edge", LEFT - 8, base, RIGHT + 8, base)
    figures = _marks(canvas, step, span, per_nm, base, show)
    for one, label in zip(positions, labels, strict=True):
        x = LEFT + one.position * per_nm
        canvas.path("stop", f"M{x - 6:.1f} {base - 22:.1f}h12v22h-6v-11h-6z")
        if label:
            level, at = label
            y = top + LEVEL * (levels - 1 - level) + 20
            if level:
                canvas.line("hair", x, y + 3, x, base - 23)
            figures.append(_text("at", one.position, at, y, "middle", show))
    canvas.tall = base + 26
    said = ", ".join(format_length(one.position, show) for one in positions[:40])
    canvas.label = f"{name}: the positions in the order in which they are set: {said}"
    return svg_of(canvas, show, figures, "drawn rail")


def _ruled(farthest: Nm, inches: bool) -> tuple[Nm, Nm]:
    """The distance of two marks of the rule, and how long it is drawn."""
    steps = _STEPS_IN if inches else _STEPS_MM
    step = next((step for step in steps if farthest <= step * TICKS), steps[-1])
    return step, max(-(-farthest // step), 1) * step


def _marks(canvas: Canvas, step: Nm, span: Nm, per_nm: float, base: float, show: Show) -> list[str]:
    """Every mark of the rule, and a small one half way; returns the figures beside them."""
    figures = []
    place = 0
    while place <= span:
        x = LEFT + place * per_nm
        canvas.line("tick", x, base, x, base + 8)
        if place + step // 2 <= span:
            half = x + step // 2 * per_nm
            canvas.line("tick", half, base, half, base + 4)
        figures.append(_text("ruled", place, min(max(x, LEFT), RIGHT + 4), base + 23, "middle", show))
        place += step
    return figures


def _levels(positions: Sequence[SetAt], per_nm: float, show: Show) -> list[tuple[int, float] | None]:
    """For each position how high its figure stands and its middle; None where there is no room left for it."""
    ends = [0.0] * LEVELS
    found: dict[int, tuple[int, float] | None] = {}
    for place in sorted(range(len(positions)), key=lambda place: positions[place].position):
        half = _DIGIT * max(len(_bare(positions[place].position, show)), 2) / 2 + 3
        x = min(max(LEFT + positions[place].position * per_nm, half + 2), WIDE - half - 2)
        level = next((level for level, end in enumerate(ends) if x - half >= end), None)
        if level is not None:
            ends[level] = x + half
        found[place] = None if level is None else (level, x)
    return [found[place] for place in range(len(positions))]


def _way(canvas: Canvas, positions: Sequence[SetAt], per_nm: float, top: float) -> None:
    """The way of the stop over the figures: a ring where it begins, a dot for each setting, chevrons to see whither."""
    if not 1 < len(positions) <= WAYS_SHOWN:
        return
    y = top + 1
    places = [LEFT + one.position * per_nm for one in positions]
    for x1, x2 in pairwise(places):
        lift = min(6 + abs(x2 - x1) / 14, 20)
        canvas.path("way", f"M{x1:.1f} {y:.1f}Q{(x1 + x2) / 2:.1f} {y - 2 * lift:.1f} {x2:.1f} {y:.1f}")
        if abs(x2 - x1) > FAR:
            towards = 4 if x2 > x1 else -4
            canvas.path("way", f"M{(x1 + x2) / 2 - towards:.1f} {y - lift - 5:.1f}l{towards} 5l{-towards} 5")
    for x in places[1:]:
        canvas.circle("way dot", x, y, 2.6)
    canvas.circle("way ring", places[0], y, 4.2)


def _text(kind: str, position: Nm, x: float, y: float, anchor: str, show: Show) -> str:
    texts = [_bare(position, way) for way in SHOWN]
    return (
        f'<text class="{kind} length" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" '
        f'data-texts="{escape(BETWEEN.join(texts))}">{escape(texts[SHOWN.index(show)])}</text>'
    )


def _bare(position: Nm, show: Show) -> str:
    return format_length(position, show, with_unit=False).partition(" (")[0]
