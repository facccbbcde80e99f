"""The picture of a run on paper: what a drawing board holds, as lines, shades of grey and words."""

import re
from collections.abc import Iterator
from math import atan2, cos, hypot, pi, sin
from typing import assert_never

from stopwright.lengths import Show, format_difference, format_length
from stopwright.paper.drawing import Anchor, Circle, Drawing, Item, Point, Shape, Words
from stopwright.paper.typeface import text_width
from stopwright.plan.pictures import canvas
from stopwright.plan.pictures.canvas import WIDE, Canvas

_TYPE = 13.0
"""Height of type on the drawing board."""
_CURVE = 8
"""A bend is drawn in so many straight pieces."""
_FILLS = {
    "wood": 0.88, "end-grain": 0.8, "slot": 1.0, "now": 0.45, "table": 0.15, "fence": 0.15, "stop": 0.3, "stands": 1.0,
    "spacer": 1.0, "knives": 1.0, "roller": 1.0, "bit": 0.3,
}  # fmt: skip
"""How dark what is drawn is, from 0 for ink to 1 for paper; the last of its words that is known decides."""
_BROKEN = {"waste", "unseen", "centre", "blade"}
_INK = {"grain": 0.1, "blade": 0.5, "break": 0.9, "edge": 0.35, "fence-line": 0.7, "arrow": 0.3}
_STEP = re.compile(r"[A-Za-z]|-?\d+(?:\.\d+)?")


def picture_of(board: Canvas, width: float, show: Show) -> Drawing:
    """What stands on a drawing board, as wide as given, mm."""
    scale = width / WIDE
    items = tuple(item for shape in board.drawn for item in _items(shape, scale, show))
    return Drawing(width, board.tall * scale, items, board.label)


def _items(shape: canvas.Shape, scale: float, show: Show) -> Iterator[Item]:
    match shape:
        case canvas.Path(kind, way):
            for points, closed in strokes(way):
                placed = tuple((x * scale, y * scale) for x, y in points)
                yield _drawn(kind.split(), placed, closed)
        case canvas.Circle(kind, x, y, radius):
            fill = next((_FILLS[word] for word in reversed(kind.split()) if word in _FILLS), None)
            yield Circle(x * scale, y * scale, radius * scale, 0.25, fill)
        case canvas.Words(_, text, x, y, anchor):
            yield Words(x * scale, y * scale, text, _TYPE * scale, anchor=Anchor(anchor))
        case canvas.Length(length, x, y, anchor, _, is_small, inside):
            text = (format_difference if is_small else format_length)(length, show)
            half = text_width(text, _TYPE) / 2
            at = min(max(x, half), WIDE - half) if inside else x
            yield Words(at * scale, y * scale, text, _TYPE * scale, anchor=Anchor(anchor))
        case _:
            assert_never(shape)


def _drawn(kinds: list[str], points: tuple[Point, ...], closed: bool) -> Shape:
    fill = next((_FILLS[word] for word in reversed(kinds) if word in _FILLS), None) if closed else None
    ink = next((_INK[word] for word in kinds if word in _INK), 0.25)
    shade = 1.0 if "break" in kinds else 0.4 if "grain" in kinds else 0.0
    return Shape(points, ink, closed, fill, (1.2, 0.9) if _BROKEN & set(kinds) else (), shade)


def strokes(way: str) -> Iterator[tuple[list[Point], bool]]:
    """The lines of an SVG path as the drawing board writes it: their points, and whether they close.

    >>> list(strokes("M10 20h5v-4zM0 0L2 2l1 0"))
    [([(10.0, 20.0), (15.0, 20.0), (15.0, 16.0)], True), ([(0.0, 0.0), (2.0, 2.0), (3.0, 2.0)], False)]
    """
    steps = _STEP.findall(way)
    points: list[Point] = []
    step, place, last = "", 0, (0.0, 0.0)
    while place < len(steps):
        if steps[place].isalpha():
            step, place = steps[place], place + 1
            if step in "Mm" and points:
                yield points, False
                points = []
            if step in "Zz":
                yield points, True
                last, points = points[0], []
                continue
        taken = {"H": 1, "V": 1, "Q": 4, "A": 7}.get(step.upper(), 2)
        figures = [float(one) for one in steps[place : place + taken]]
        place += taken
        after = list(_after(step, last, figures))
        points += after
        last = after[-1]
        step = {"M": "L", "m": "l"}.get(step, step)
    if points:
        yield points, False


def _after(step: str, last: Point, figures: list[float]) -> Iterator[Point]:
    """The points that a step of a path leads to; an arc is half a circle, the round end of a slot."""
    x, y = last
    from_x, from_y = (x, y) if step.islower() else (0.0, 0.0)
    match step.upper():
        case "H":
            yield from_x + figures[0], y
        case "V":
            yield x, from_y + figures[0]
        case "Q":
            bend_x, bend_y, end_x, end_y = figures
            for number in range(1, _CURVE + 1):
                t = number / _CURVE
                yield (
                    (1 - t) ** 2 * x + 2 * t * (1 - t) * (from_x + bend_x) + t * t * (from_x + end_x),
                    (1 - t) ** 2 * y + 2 * t * (1 - t) * (from_y + bend_y) + t * t * (from_y + end_y),
                )
        case "A":
            end_x, end_y = from_x + figures[5], from_y + figures[6]
            middle_x, middle_y = (x + end_x) / 2, (y + end_y) / 2
            radius, start = hypot(x - middle_x, y - middle_y), atan2(y - middle_y, x - middle_x)
            for number in range(1, _CURVE + 1):
                turn = start + (pi if figures[4] else -pi) * number / _CURVE
                yield middle_x + radius * cos(turn), middle_y + radius * sin(turn)
        case _:
            yield from_x + figures[0], from_y + figures[1]
