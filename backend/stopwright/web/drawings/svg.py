"""A drawing board as an SVG element of a page; lengths switch units with the page."""

from collections.abc import Iterable

from markupsafe import Markup, escape

from stopwright.lengths import Show
from stopwright.plan.pictures.canvas import Canvas, Circle, Length, Path, Shape, Words
from stopwright.web.kit.shown import BETWEEN, SHOWN, length_texts, small_texts

_LETTER = 8.4
"""How wide a letter of a picture's words is at most, on average, in the fonts that phones have."""


def svg_of(canvas: Canvas, show: Show, more: Iterable[str] = (), kind: str = "drawn") -> Markup:
    """All of it as one SVG element, named in words for those who do not see it; `more` are elements on top of it."""
    drawn = "".join((*(_element(shape, canvas.wide, show) for shape in canvas.drawn), *more))
    view = f"0 0 {_n(canvas.wide)} {_n(canvas.tall)}"
    return Markup(f'<svg class="{kind}" viewBox="{view}" role="img" aria-label="{escape(canvas.label)}">{drawn}</svg>')


def _element(shape: Shape, wide: float, show: Show) -> str:
    match shape:
        case Path(kind, way):
            return f'<path class="{kind}" d="{way}"/>'
        case Circle(kind, x, y, radius):
            return f'<circle class="{kind}" cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}"/>'
        case Words(kind, text, x, y, anchor):
            return f'<text class="{kind}" x="{_n(x)}" y="{_n(y)}" text-anchor="{anchor}">{escape(text)}</text>'
        case Length():
            return _length(shape, wide, show)


def _length(shape: Length, wide: float, show: Show) -> str:
    texts = (small_texts if shape.is_small else length_texts)(shape.length)
    x = shape.x
    if shape.inside:
        half = _LETTER * max(map(len, texts)) / 2
        x = min(max(x, half), wide - half)
    follows = f' data-reads="{escape(shape.axis)}"' if shape.axis else ""
    return (
        f'<text class="said length" x="{_n(x)}" y="{_n(shape.y)}" text-anchor="{shape.anchor}" '
        f'data-texts="{escape(BETWEEN.join(texts))}"{follows}>{escape(texts[SHOWN.index(show)])}</text>'
    )


def _n(number: float) -> str:
    return f"{number:.1f}".rstrip("0").rstrip(".") if number else "0"
