"""A drawing board of 360 by a given height: ink, wood and chalk by their kind, never a colour or a style.

What is drawn are shapes; how they are shown, on a screen or on paper and in which unit, is decided where they are.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

from stopwright.lengths import INCH, MM, Nm

WIDE = 360.0

Point: TypeAlias = tuple[float, float]
"""In the picture."""

_SPANS_MM = tuple(MM * n for n in (25, 50, 100, 200, 300, 500, 800, 1250, 2000, 3200, 10_000, 100_000))
_SPANS_IN = tuple(INCH * n for n in (1, 2, 4, 8, 12, 20, 32, 50, 80, 125, 400, 4_000))


@dataclass(frozen=True, slots=True)
class Path:
    """A line or shape of a kind, given as an SVG path."""

    kind: str
    way: str


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle of a kind."""

    kind: str
    x: float
    y: float
    radius: float


@dataclass(frozen=True, slots=True)
class Words:
    """A word in the picture; `anchor` is the end of it at x: start, middle or end."""

    kind: str
    text: str
    x: float
    y: float
    anchor: str


@dataclass(frozen=True, slots=True)
class Length:
    """A length in the picture, nm; that of an `axis` follows what its scale reads.

    `is_small` is a difference, `inside` moves it so that it does not run over the edges of the picture.
    """

    length: Nm
    x: float
    y: float
    anchor: str = "middle"
    axis: str = ""
    is_small: bool = False
    inside: bool = False


Shape: TypeAlias = Path | Circle | Words | Length


@dataclass
class Canvas:
    """What has been drawn so far. `inches` chooses round spans in inches; `label` says the picture in words."""

    inches: bool = False
    wide: float = WIDE
    tall: float = 104.0
    label: str = ""
    drawn: list[Shape] = field(default_factory=list)

    def span(self, longest: Nm) -> Nm:
        """The round length that the scale shows, at least `longest`, in nm: like runs are drawn alike."""
        spans = _SPANS_IN if self.inches else _SPANS_MM
        return next((span for span in spans if span >= longest), longest)

    def path(self, kind: str, way: str) -> None:
        """A line or shape given as an SVG path."""
        self.drawn.append(Path(kind, way))

    def line(self, kind: str, x1: float, y1: float, x2: float, y2: float) -> None:
        """A straight line."""
        self.path(kind, f"M{_n(x1)} {_n(y1)}L{_n(x2)} {_n(y2)}")

    def box(self, kind: str, x: float, y: float, wide: float, tall: float) -> None:
        """An upright rectangle."""
        self.path(kind, f"M{_n(x)} {_n(y)}h{_n(wide)}v{_n(tall)}h{_n(-wide)}z")

    def circle(self, kind: str, x: float, y: float, radius: float) -> None:
        """A circle."""
        self.drawn.append(Circle(kind, x, y, radius))

    def wood(self, x: float, y: float, wide: float, tall: float) -> None:
        """A piece of wood with a little grain along it."""
        self.box("wood", x, y, wide, tall)
        for share in (0.3, 0.62):
            if tall > 14 and wide > 30:
                self.line("grain", x + wide * 0.06, y + tall * share, x + wide * (0.6 + share * 0.5), y + tall * share)

    def wood_upright(self, x: float, y: float, wide: float, tall: float) -> None:
        """A piece of wood whose grain runs up and down."""
        self.box("wood", x, y, wide, tall)
        for share in (0.3, 0.62):
            if wide > 14:
                self.line("grain", x + wide * share, y + tall * 0.1, x + wide * share, y + tall * (0.5 + share * 0.5))

    def words(self, text: str, x: float, y: float, anchor: str = "middle", kind: str = "said") -> None:
        """A word in the picture."""
        self.drawn.append(Words(kind, text, x, y, anchor))

    def length(self, length: Nm, x: float, y: float, anchor: str = "middle", axis: str = "") -> None:
        """A length in the picture, switching units with the page; that of an `axis` follows what its scale reads."""
        self.drawn.append(Length(length, x, y, anchor, axis))

    def small(self, difference: Nm, x: float, y: float, anchor: str = "middle") -> None:
        """A small difference in the picture, switching units with the page."""
        self.drawn.append(Length(difference, x, y, anchor, is_small=True))

    def across(self, x1: float, x2: float, y: float, length: Nm, axis: str = "") -> None:
        """A dimension line from x1 to x2 with its length below."""
        self.path("dimension", f"M{_n(x1)} {_n(y)}H{_n(x2)}M{_n(x1)} {_n(y - 5)}v10M{_n(x2)} {_n(y - 5)}v10")
        self.length_inside(length, (x1 + x2) / 2, y + 17, axis)

    def upright(self, x: float, y1: float, y2: float) -> None:
        """An upright dimension line from y1 to y2; its length is set apart, where there is room."""
        self.path("dimension", f"M{_n(x)} {_n(y1)}V{_n(y2)}M{_n(x - 5)} {_n(y1)}h10M{_n(x - 5)} {_n(y2)}h10")

    def length_inside(self, length: Nm, x: float, y: float, axis: str = "") -> None:
        """A length whose middle is at x, or as near as the edges of the picture let the longest of its texts."""
        self.drawn.append(Length(length, x, y, axis=axis, inside=True))

    def flip_stop(self, x: float, y: float, facing: int, kind: str = "stop") -> None:
        """A stop whose face stands at x, its body on the side away from the piece (`facing` 1: the piece is right)."""
        f = -facing
        self.path(kind, f"M{_n(x)} {_n(y)}h{24 * f}v20h{16 * -f}v26h{8 * -f}z")

    def ticks(self, start: float, end: float, y: float, parts: int = 10) -> None:
        """The marks of a scale from `start` to `end`."""
        way = "".join(
            f"M{_n(start + (end - start) * i / parts)} {_n(y)}v{-7 if i % 5 == 0 else -4}" for i in range(parts + 1)
        )
        self.path("tick", way)


def outline(points: Iterable[Point]) -> str:
    """The path round some points: what a convex solid with these corners looks like from here."""
    ways = "L".join(f"{x:.1f} {y:.1f}" for x, y in hull(points))
    return f"M{ways}z"


def hull(points: Iterable[Point]) -> list[Point]:
    """The corners of the outline of some points, one after the other round it.

    >>> hull([(0, 0), (2, 0), (1, 1), (2, 2), (0, 2)])
    [(0, 0), (2, 0), (2, 2), (0, 2)]
    """
    in_order = sorted(set(points))
    return [*_half(in_order), *_half(in_order[::-1])]


def _half(points: Sequence[Point]) -> list[Point]:
    """The points of one half of the outline, from the first to the one before the last."""
    found: list[Point] = []
    for x, y in points:
        while len(found) > 1 and _turn(found[-2], found[-1], (x, y)) <= 0:
            found.pop()
        found.append((x, y))
    return found[:-1]


def _turn(a: Point, b: Point, c: Point) -> float:
    """Above 0 where the way from a over b to c turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _n(number: float) -> str:
    return f"{number:.1f}".rstrip("0").rstrip(".") if number else "0"
