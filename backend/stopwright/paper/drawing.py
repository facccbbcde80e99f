"""A drawing in millimetres, described once: lines, areas, words. SVG and PDF are made from the same description.

x runs to the right and y downwards from the top left corner, as on a screen. Shades run from 0 (black ink) to 1
(paper). Words are measured in the typeface that is printed, so that what fits here fits on paper and on the screen.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from stopwright.paper.typeface import text_width

Point: TypeAlias = tuple[float, float]


class Anchor(StrEnum):
    """Which point of a line of words stands at its x; named as SVG 1.1 names it."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Words:
    """One line of words on its baseline; `size` is the height of the type, mm. `turned` reads from below upwards."""

    x: float
    y: float
    text: str
    size: float
    bold: bool = False
    anchor: Anchor = Anchor.START
    shade: float = 0
    turned: bool = False

    @property
    def width(self) -> float:
        """How long the line is, mm."""
        return text_width(self.text, self.size, self.bold)


@dataclass(frozen=True, slots=True)
class Shape:
    """A line or an area through `points`. `ink` is the thickness of its line, mm, 0 for none."""

    points: tuple[Point, ...]
    ink: float = 0.25
    closed: bool = False
    fill: float | None = None
    dashes: tuple[float, ...] = ()
    shade: float = 0


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle round a mark."""

    x: float
    y: float
    radius: float
    ink: float = 0.3
    fill: float | None = None


@dataclass(frozen=True, slots=True)
class Blocks:
    """Many black rectangles (x, y, width, height) drawn as one area: the dark runs of a QR code."""

    rectangles: tuple[tuple[float, float, float, float], ...]


Item: TypeAlias = Words | Shape | Circle | Blocks


@dataclass(frozen=True, slots=True)
class Drawing:
    """Items on a ground of the given size, mm. `about` says in words what is seen."""

    width: float
    height: float
    items: tuple[Item, ...]
    about: str = ""


def line(x1: float, y1: float, x2: float, y2: float, ink: float = 0.25, shade: float = 0) -> Shape:
    """A straight line."""
    return Shape(((x1, y1), (x2, y2)), ink, shade=shade)


def dashed(x1: float, y1: float, x2: float, y2: float, ink: float = 0.25) -> Shape:
    """A dashed straight line."""
    return Shape(((x1, y1), (x2, y2)), ink, dashes=(1.2, 0.9))


def rectangle(x: float, y: float, width: float, height: float, ink: float = 0.25, fill: float | None = None) -> Shape:
    """A rectangle by its top left corner."""
    return Shape(((x, y), (x + width, y), (x + width, y + height), (x, y + height)), ink, True, fill)


def moved(items: Sequence[Item], by_x: float, by_y: float) -> tuple[Item, ...]:
    """The same items elsewhere."""
    return tuple(_moved(item, by_x, by_y) for item in items)


def _moved(item: Item, by_x: float, by_y: float) -> Item:
    if isinstance(item, Words):
        return Words(
            item.x + by_x, item.y + by_y, item.text, item.size, item.bold, item.anchor, item.shade, item.turned
        )
    if isinstance(item, Circle):
        return Circle(item.x + by_x, item.y + by_y, item.radius, item.ink, item.fill)
    if isinstance(item, Blocks):
        return Blocks(tuple((x + by_x, y + by_y, w, h) for x, y, w, h in item.rectangles))
    points = tuple((x + by_x, y + by_y) for x, y in item.points)
    return Shape(points, item.ink, item.closed, item.fill, item.dashes, item.shade)
