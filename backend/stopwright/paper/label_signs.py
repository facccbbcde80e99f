"""The two signs on a label that tell how a piece lies: its slice of the triangle, and its reference marks.

The triangle is one figure drawn across all pieces of a part in a unit, apex towards the marked ends: laid side by
side in order the labels show it whole, and a piece that is turned or out of order breaks it. The reference marks
say which surfaces are true: the face side by its loop, the face edge and the marked end by heavy lines.
"""

from itertools import pairwise

from stopwright.paper.drawing import Item, Point, Shape, line, rectangle

LEAST_HEIGHT = 3.0
PROPORTION = 1.6
"""Width of a sign over its height."""

_LOOP = (
    ((0.42, 1.0), (0.52, 0.64), (0.66, 0.42), (0.60, 0.24)),
    ((0.60, 0.24), (0.54, 0.06), (0.36, 0.16), (0.40, 0.42)),
    ((0.40, 0.42), (0.43, 0.58), (0.58, 0.58), (0.65, 0.44)),
)
"""The face mark as three Bézier curves, in parts of width and height: its tail runs to the face edge."""


def _curve(ends: tuple[Point, Point, Point, Point]) -> list[Point]:
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = ends
    weights = [((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3) for t in (n / 6 for n in range(7))]
    return [(a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3) for a, b, c, d in weights]


def triangle_slice(x: float, y: float, height: float, nth: int, per_unit: int) -> tuple[Item, ...]:
    """The part of the unit's triangle that falls on its nth piece (from 1), in a frame that stands for the piece."""
    width = height * PROPORTION
    base, apex = y + 0.88 * height, y + 0.12 * height

    def side_at(along: float) -> float:
        """Height of the triangle's sides where `along` runs from 0 to 1 across all pieces of the unit."""
        return base - (base - apex) * (1 - abs(2 * along - 1))

    start, end = (nth - 1) / per_unit, nth / per_unit
    along = [start, 0.5, end] if start < 0.5 < end else [start, end]
    points = [(x + (at - start) * per_unit * width, side_at(at)) for at in along]
    legs = tuple(Shape((one, two), ink=height * 0.07) for one, two in pairwise(points))
    return (
        rectangle(x, y, width, height, ink=0.12),
        line(x, base, x + width, base, ink=height * 0.07),
        *legs,
    )


def reference_marks(x: float, y: float, height: float, hand: str) -> tuple[Item, ...]:
    """The face side seen from before, face edge down: the marked end at the right, at the left for a left piece."""
    width = height * PROPORTION
    heavy = height * 0.16
    end = x + heavy / 2 if hand == "left" else x + width - heavy / 2
    loop = tuple(
        (x + (1 - u if hand == "left" else u) * width, y + v * (height - heavy))
        for ends in _LOOP
        for u, v in _curve(ends)
    )
    return (
        rectangle(x, y, width, height, ink=0.12),
        line(x, y + height - heavy / 2, x + width, y + height - heavy / 2, ink=heavy),
        line(end, y, end, y + height, ink=heavy),
        Shape(loop, ink=height * 0.06),
    )
