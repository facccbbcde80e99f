"""Drawings as SVG for the screen: no styles and no scripts inside, so any content-security policy lets them stand."""

from xml.sax.saxutils import escape, quoteattr

from stopwright.paper.drawing import Blocks, Circle, Drawing, Item, Shape, Words
from stopwright.paper.typeface import printable

PAPER = "#fff"


def drawing_svg(drawing: Drawing, ground: str = PAPER, ink: str = "#000") -> str:
    """The drawing as an SVG element to be put into a page, as large as it is on paper.

    `ink` may be "currentColor" and `ground` empty, to follow the colours of the page. Words keep the length they
    have on paper whatever typeface the screen uses.
    """
    width, height = _number(drawing.width), _number(drawing.height)
    about = f" aria-label={quoteattr(printable(drawing.about))}" if drawing.about else ""
    paper = f'<rect width="{width}" height="{height}" fill="{ground}"/>' if ground else ""
    items = "".join(_item(item, ink, ground or "none") for item in drawing.items)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img"{about} viewBox="0 0 {width} {height}"'
        f' width="{width}mm" height="{height}mm" font-family="Bitstream Vera Sans, DejaVu Sans, Verdana, sans-serif">'
        f"{paper}{items}</svg>"
    )


def _item(item: Item, ink: str, ground: str) -> str:
    if isinstance(item, Words):
        return _words(item, ink)
    if isinstance(item, Circle):
        return (
            f'<circle cx="{_number(item.x)}" cy="{_number(item.y)}" r="{_number(item.radius)}"'
            f"{_fill(item.fill, ink, ground)}{_stroke(item.ink, 0, ink)}/>"
        )
    if isinstance(item, Blocks):
        runs = "".join(f"M{_pair(x, y)}h{_number(w)}v{_number(h)}h-{_number(w)}z" for x, y, w, h in item.rectangles)
        return f'<path d="{runs}" fill="{ink}" shape-rendering="crispEdges"/>'
    return _shape(item, ink, ground)


def _shape(shape: Shape, ink: str, ground: str) -> str:
    points = " ".join(_pair(x, y) for x, y in shape.points)
    name = "polygon" if shape.closed else "polyline"
    dashes = f' stroke-dasharray="{" ".join(map(_number, shape.dashes))}"' if shape.dashes else ""
    return f'<{name} points="{points}"{_fill(shape.fill, ink, ground)}{_stroke(shape.ink, shape.shade, ink)}{dashes}/>'


def _words(words: Words, ink: str) -> str:
    text = printable(words.text)
    if not text.strip():
        return ""
    weight = ' font-weight="bold"' if words.bold else ""
    anchor = f' text-anchor="{words.anchor}"' if words.anchor != "start" else ""
    turn = f' transform="rotate(-90 {_pair(words.x, words.y, " ")})"' if words.turned else ""
    faint = f' fill-opacity="{_number(1 - words.shade)}"' if words.shade else ""
    kept = f' textLength="{_number(words.width)}" lengthAdjust="spacingAndGlyphs"'
    return (
        f'<text x="{_number(words.x)}" y="{_number(words.y)}" font-size="{_number(words.size)}"{weight}{anchor}{turn}'
        f' fill="{ink}"{faint}{kept}>{escape(text)}</text>'
    )


def _fill(shade: float | None, ink: str, ground: str) -> str:
    if shade is None or shade == 1:
        return f' fill="{"none" if shade is None else ground}"'
    return f' fill="{ink}"' + (f' fill-opacity="{_number(1 - shade)}"' if shade else "")


def _stroke(thickness: float, shade: float, ink: str) -> str:
    if not thickness:
        return ""
    faint = f' stroke-opacity="{_number(1 - shade)}"' if shade else ""
    return f' stroke="{ink}" stroke-width="{_number(thickness)}"{faint}'


def _pair(x: float, y: float, between: str = ",") -> str:
    return f"{_number(x)}{between}{_number(y)}"


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".") or "0"
