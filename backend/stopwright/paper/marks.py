"""Small signs that all papers share: a mark in its circle, a box to tick, a sign to take care."""

from stopwright.paper.drawing import Anchor, Circle, Item, Words, line, rectangle
from stopwright.paper.typeface import CAPITAL, text_width

BOX = 3.6
"""Side of a box to tick; mm."""


def tick_box(x: float, y: float, side: float = BOX) -> Item:
    """An empty box to be ticked with a pencil, by its top left corner."""
    return rectangle(x, y, side, side, ink=0.35)


def mark_in_circle(x: float, y: float, mark: str, radius: float = 2.7) -> tuple[Item, ...]:
    """A part's mark in a circle round x, y; long marks are written smaller."""
    size = min(radius * 1.3, 1.55 * radius / text_width(mark, 1, True))
    return (
        Circle(x, y, radius, ink=0.35),
        Words(x, y + CAPITAL * size / 2, mark, size, True, Anchor.MIDDLE),
    )


def care_sign(x: float, y: float, height: float) -> tuple[Item, ...]:
    """An exclamation in a circle, by its top left corner: known by its shape, not by a colour."""
    radius = height / 2
    middle = x + radius
    return (
        Circle(middle, y + radius, radius, ink=0.3),
        line(middle, y + 0.22 * height, middle, y + 0.6 * height, ink=0.13 * height),
        line(middle, y + 0.7 * height, middle, y + 0.82 * height, ink=0.13 * height),
    )
