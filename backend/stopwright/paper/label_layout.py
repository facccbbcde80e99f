"""What stands where on one label: described once, drawn on paper and on the screen alike."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import product
from math import ceil

from stopwright.errors import StopwrightError
from stopwright.model.codes import spaced
from stopwright.paper.drawing import Anchor, Blocks, Drawing, Item, Words
from stopwright.paper.label_signs import LEAST_HEIGHT, PROPORTION, reference_marks, triangle_slice
from stopwright.paper.qr import QUIET, QrCode, qr_code
from stopwright.paper.typeface import CAPITAL, shortened, text_width, wrapped

EDGE = 1.0
"""What stays free along the edge of a label, because printers are not exact; mm."""
CLEAR = 0.25
"""What words keep from the quiet zone of the code; mm."""
LEAST_MODULE = 0.5
"""Smallest square of the code that a phone reads surely; mm."""
GREATEST_MODULE = 1.0
STEP = 0.125
"""Modules are whole multiples of this: one dot of a label printer with 8 dots to the mm (203 dpi)."""
SIZES = tuple(size / 4 for size in range(20, 7, -1))
"""Heights of type tried for the words of a label, largest first: 5 to 2 mm."""
LEADING = 1.3
LEAST_TITLE = 3.5
GREATEST_TITLE = 20.0


@dataclass(frozen=True, slots=True)
class Label:
    """What a label says. `nth` of `per_unit` places it in the unit's triangle, 0 for none; `hand` as in Piece.

    `referenced` says whether reference marks are shown: pieces have true surfaces, offcuts have none.
    """

    code: str
    title: str
    name: str
    size: str
    facts: tuple[str, ...] = ()
    hand: str = ""
    nth: int = 0
    per_unit: int = 0
    referenced: bool = True


@dataclass(frozen=True, slots=True)
class _Region:
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class _Text:
    items: tuple[Item, ...]
    size: float


def lay_out_label(label: Label, width: float, height: float, address: str) -> Drawing:
    """The label with its code, words and signs on a ground of width × height mm.

    The code stands beside the words or above them, whichever leaves them larger. Raises StopwrightError, saying
    what would do, when code and words do not fit at the least sizes that can be read.
    """
    code = qr_code(f"{address.upper().rstrip('/')}/P/{label.code}")
    items = _best(label, width, height, code)
    if items is None:
        raise StopwrightError(
            f"a label of {width:g} × {height:g} mm is too small for its code and words",
            label.title,
            _what_would_fit(label, width, height, code),
        )
    about = ", ".join((label.title, label.name, label.size, *label.facts, f"code {spaced(label.code)}"))
    return Drawing(width, height, items, about)


def _best(label: Label, width: float, height: float, code: QrCode) -> tuple[Item, ...] | None:
    best: tuple[float, tuple[Item, ...]] | None = None
    for code_items, region in _arrangements(label, width, height, code):
        text = _fit_text(label, region)
        if text and (best is None or text.size > best[0]):
            best = text.size, (*code_items, *text.items)
    return best[1] if best else None


def _arrangements(
    label: Label, width: float, height: float, code: QrCode
) -> Iterator[tuple[tuple[Item, ...], _Region]]:
    """Code at the left of the words, and code above them, where it fits at all."""
    least = LEAST_MODULE * code.whole
    caption = CLEAR + CAPITAL * _caption_size(least) + EDGE
    if least + caption <= height and least < width:
        side = _whole_side(code, min(height - caption, 0.46 * width))
        yield (
            _code_block(label, code, side, height),
            _Region(side + CLEAR, EDGE, width - side - CLEAR - EDGE, height - 2 * EDGE),
        )
    if least <= width and least + caption + 1 < height:
        side = _whole_side(code, min(width, 0.46 * height - caption))
        top = side + caption + 1
        yield _code_block(label, code, side, top), _Region(EDGE, top, width - 2 * EDGE, height - top - EDGE)


def _whole_side(code: QrCode, room: float) -> float:
    module = min(max(LEAST_MODULE, room / code.whole // STEP * STEP), GREATEST_MODULE)
    return module * code.whole


def _caption_size(side: float) -> float:
    return min(0.8 * side / text_width("MMM-MMMM", 1, True), 4.0)


def _code_block(label: Label, code: QrCode, side: float, height: float) -> tuple[Item, ...]:
    """The QR code in the corner, its quiet zone the label's own edge; under it, above `height`, the code in letters."""
    module = side / code.whole
    runs = tuple(((QUIET + x) * module, (QUIET + y) * module, n * module, module) for x, y, n in code.runs)
    size = min(_caption_size(side), (height - side - CLEAR - EDGE) / CAPITAL)
    return (
        Blocks(runs),
        Words(side / 2, side + CLEAR + CAPITAL * size, spaced(label.code), size, True, Anchor.MIDDLE),
    )


def _fit_text(label: Label, region: _Region) -> _Text | None:
    """The words as large as they go: the size on one line and the signs in a row of their own, if that can be read."""
    if region.width <= 0 or region.height <= 0:
        return None
    for size_lines, head in product((1, 2, 3), (_signs_below, _signs_beside)):
        for size in SIZES:
            lines = _lines(label, region.width, size, size_lines)
            room = region.height - len(lines) * size * LEADING
            items = head(label, region, room, size) if lines else ()
            if items:
                foot = region.y + region.height - size * (LEADING - 1)
                words = tuple(
                    Words(region.x, foot - (len(lines) - 1 - n) * size * LEADING, text, size, bold)
                    for n, (text, bold) in enumerate(lines)
                )
                return _Text((*items, *words), size)
    return None


def _lines(label: Label, width: float, size: float, size_lines: int) -> list[tuple[str, bool]]:
    """Name, size and facts, nothing if they are too long; the name may be shortened, at the least type only."""
    dimensions = wrapped(label.size, width, size)
    facts = _drawn_together(label.facts, width, size)
    name = shortened(label.name, width, size)
    if (
        (name != label.name and size > SIZES[-1])
        or len(dimensions) > size_lines
        or len(facts) > 2
        or any(text_width(line, size) > width for line in dimensions)
        or any(text_width(line, size, True) > width for line in facts)
    ):
        return []
    return [(name, False), *((line, False) for line in dimensions), *((line, True) for line in facts)]


def _drawn_together(facts: tuple[str, ...], width: float, size: float) -> list[str]:
    lines: list[str] = []
    for fact in facts:
        if lines and text_width(f"{lines[-1]}, {fact}", size, True) <= width:
            lines[-1] += f", {fact}"
        else:
            lines.append(fact)
    return lines


def _signs(label: Label, x: float, y: float, height: float, stacked: bool) -> tuple[Item, ...]:
    draw = []
    if label.per_unit:
        draw.append(partial(triangle_slice, nth=label.nth, per_unit=label.per_unit))
    if label.referenced:
        draw.append(partial(reference_marks, hand=label.hand))
    step = height * 1.18 if stacked else height * (PROPORTION + 0.3)
    places = [(x, y + n * step) if stacked else (x + n * step, y) for n in range(len(draw))]
    return tuple(item for sign, (at_x, at_y) in zip(draw, places, strict=True) for item in sign(at_x, at_y, height))


def _signs_below(label: Label, region: _Region, room: float, size: float) -> tuple[Item, ...]:
    """The title in the whole width and the signs in a row under it; nothing if there is no room."""
    if not (label.per_unit or label.referenced):
        return _title(label, region, room, region.width)
    signs = min(max(LEAST_HEIGHT, 0.3 * room), 8.0)
    gap = 0.25 * size
    least = max(LEAST_TITLE, 1.8 * size) * CAPITAL
    if room - signs - 2 * gap < least or region.width < signs * (2 * PROPORTION + 0.3):
        return ()
    title = _title(label, region, room - signs - 2 * gap, region.width)
    return (*title, *_signs(label, region.x, region.y + room - signs - gap, signs, False)) if title else ()


def _signs_beside(label: Label, region: _Region, room: float, size: float) -> tuple[Item, ...]:
    """The title with the signs one above the other at its right; nothing if there is no room."""
    count = bool(label.per_unit) + label.referenced
    signs = min((room - 0.25 * size) / 2.18, 6.0)
    if not count or signs < LEAST_HEIGHT:
        return ()
    title = _title(label, region, room - 0.25 * size, region.width - signs * PROPORTION - 1)
    right = region.x + region.width - signs * PROPORTION
    return (*title, *_signs(label, right, region.y, signs, True)) if title else ()


def _title(label: Label, region: _Region, height: float, width: float) -> tuple[Item, ...]:
    size = min(height / CAPITAL, width / text_width(label.title, 1, True), GREATEST_TITLE)
    if size < LEAST_TITLE:
        return ()
    return (Words(region.x, region.y + CAPITAL * size, label.title, size, True),)


def _what_would_fit(label: Label, width: float, height: float, code: QrCode) -> str:
    """The nearest sizes that do: wider, higher, or larger both ways."""
    wider = _least(lambda size: _best(label, size, height, code) is not None, width)
    higher = _least(lambda size: _best(label, width, size, code) is not None, height)
    fits = [f"{wider:g} × {height:g} mm"] if wider else []
    fits += [f"{width:g} × {higher:g} mm"] if higher else []
    if not fits:
        scale = _least(lambda size: _best(label, size, size * height / width, code) is not None, width)
        fits = [f"{scale:g} × {scale * height / width:.1f} mm"] if scale else ["100 × 60 mm"]
    return "take a label of at least " + " or ".join(fits)


def _least(fits: Callable[[float], bool], start: float) -> float | None:
    size = ceil(2 * start) / 2
    return next((size + n / 2 for n in range(300) if fits(size + n / 2)), None)
