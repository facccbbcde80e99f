"""The master piece as a drawing: the sides that are slotted, unrolled, with every mark measured from one reference.

The sides are drawn as one sees them when the piece is rolled over: the face side with the face edge down and the
marked end at the right hand, then the edge, the back and the far edge, each seen from outside. So paper that is
laid round the piece shows every mark where it belongs. Heavy lines are references, as on the labels.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from stopwright.lengths import MM, Nm, Show, format_length
from stopwright.model.joints import Side
from stopwright.paper.drawing import Anchor, Circle, Drawing, Item, Point, Shape, Words, dashed, line, moved, rectangle
from stopwright.paper.slot_outline import slot_outline
from stopwright.paper.typeface import CAPITAL, text_width
from stopwright.plan.joinery.cut_marks import CutMark
from stopwright.plan.joinery.master_piece import Mark, MasterPiece
from stopwright.plan.pictures.canvas import hull

LETTERS = 3.0
"""Height of type on a drawing at its true size; mm."""
GAP = 2.0

SIDE_NAMES = {
    Side.FACE: "face side",
    Side.EDGE: "face edge",
    Side.BACK: "back",
    Side.FAR_EDGE: "far edge",
    Side.MARKED_END: "marked end",
    Side.OTHER_END: "other end",
}
LONG_SIDES = (Side.FACE, Side.EDGE, Side.BACK, Side.FAR_EDGE)
ENDS = (Side.MARKED_END, Side.OTHER_END)


@dataclass(frozen=True, slots=True)
class _Band:
    """One side on paper. `at` turns (along, from the side beside) into x, y; heavy lines are its references."""

    width: float
    height: float
    at: Callable[[float, float], Point]
    heavy: tuple[tuple[Point, Point], ...]


def master_drawing(master: MasterPiece, side: Side, show: Show = Show.MM, letters: float = LETTERS) -> Drawing:
    """One slotted side at its true size, with the figures under it; `letters` is the height of its type, mm."""
    band = _end_band(master, side) if side in ENDS else _long_band(master, side)
    head = 1.9 * letters
    mitred = ", along its mitre" if side in dict(master.mitred) else ""
    items: list[Item] = [Words(0, letters, SIDE_NAMES[side] + mitred, letters, True)]
    if side in LONG_SIDES:
        items.append(Words(band.width, letters, f"{SIDE_NAMES[side]}, marked end here", letters, anchor=Anchor.END))
    drawn: list[Item] = [rectangle(0, 0, band.width, band.height, ink=0.1 * letters)]
    drawn += [line(*one, *two, ink=0.3 * letters) for one, two in band.heavy]
    if master.horn and side in LONG_SIDES:
        drawn += _horn(master, band, letters)
    for cut in master.cuts_on(side):
        drawn += _cut(cut, band, letters)
    for mark in master.on(side):
        drawn += _across(mark, master.length, band, letters) if mark.is_across else _mark(mark, band, letters)
    notes, depth = _notes(master, side, band, show, letters)
    items += moved(drawn, 0, head)
    items += moved(notes, 0, head + band.height + GAP)
    width = max(band.width, max((_right_end(item) for item in items), default=0))
    about = f"master {master.part}, {SIDE_NAMES[side]}"
    return Drawing(width, head + band.height + GAP + depth, tuple(items), about)


def slotted_sides(master: MasterPiece) -> list[Side]:
    """The sides that bear marks, in the order in which the piece is rolled over, the ends last."""
    return [side for side in (*LONG_SIDES, *ENDS) if master.on(side) or master.cuts_on(side)]


def _long_band(master: MasterPiece, side: Side) -> _Band:
    """x runs to the left from the marked end; face and far edge have their reference below, edge and back above."""
    length = master.length / MM
    height = (master.width if side in (Side.FACE, Side.BACK) else master.thickness) / MM
    below = side in (Side.FACE, Side.FAR_EDGE)
    reference = height if below else 0.0

    def at(along: float, across: float) -> Point:
        return length - along, height - across if below else across

    return _Band(length, height, at, (((length, 0), (length, height)), ((0, reference), (length, reference))))


def _end_band(master: MasterPiece, side: Side) -> _Band:
    """Seen from outside with the face edge down: the face side is at the left of the marked end, else at the right."""
    width, height = master.thickness / MM, master.across(side) / MM
    left = side is Side.MARKED_END
    reference = 0.0 if left else width

    def at(along: float, across: float) -> Point:
        return across if left else width - across, height - along

    return _Band(width, height, at, (((reference, 0), (reference, height)), ((0, height), (width, height))))


def _mark(mark: Mark, band: _Band, letters: float) -> Iterator[Item]:
    """Lines across the side where the slot begins and ends, its centre line, its outline and its number."""
    start, end, centre, bit = (value / MM for value in (mark.start, mark.end, mark.centre, mark.bit))
    far = band.height if mark.side in LONG_SIDES else band.width
    for along in (start, end):
        yield line(*band.at(along, 0), *band.at(along, far), ink=0.06 * letters)
    middle, reach = (start + end) / 2, 1.1 * letters
    for one, two in ((start - 4, middle - reach), (middle + reach, end + 4)):
        if one < two:
            yield dashed(*band.at(one, centre), *band.at(two, centre), ink=0.06 * letters)
    outline = tuple(band.at(along, across) for along, across in slot_outline(start, end, centre, bit))
    yield Shape(outline, ink=0.12 * letters, closed=True)
    yield from _number(*band.at(middle, centre), mark.number, letters)


def _across(mark: Mark, length: Nm, band: _Band, letters: float) -> Iterator[Item]:
    """A slot that runs across the side: its centre line from edge to edge, its ends, its outline and its number."""
    start, end, bit = (value / MM for value in (mark.start, mark.end, mark.bit))
    centre = mark.centre_along(length) / MM
    yield dashed(*band.at(centre, 0), *band.at(centre, band.height), ink=0.06 * letters)
    for across in (start, end):
        yield line(*band.at(centre - bit, across), *band.at(centre + bit, across), ink=0.06 * letters)
    outline = tuple(band.at(along, across) for across, along in slot_outline(start, end, centre, bit))
    yield Shape(outline, ink=0.12 * letters, closed=True)
    yield from _number(*band.at(centre, (start + end) / 2), mark.number, letters)


def _cut(cut: CutMark, band: _Band, letters: float) -> Iterator[Item]:
    """The outline of a cut where it opens; a hole as its centre line crossed."""
    corners = hull((along / MM, across / MM) for along, across in cut.corners)
    yield Shape(tuple(band.at(*corner) for corner in corners), ink=0.12 * letters, closed=True)
    along, across = (cut.start + cut.end) / 2 / MM, (cut.near + cut.far) / 2 / MM
    x, y = band.at(along, across)
    if cut.by_centre:
        reach = 0.9 * letters
        yield line(x - reach, y, x + reach, y, ink=0.06 * letters)
        yield line(x, y - reach, x, y + reach, ink=0.06 * letters)
    elif (cut.far - cut.near) / MM > letters:
        yield Words(x, y + CAPITAL * 0.4 * letters, cut.cut, 0.8 * letters, True, Anchor.MIDDLE)


def _number(x: float, y: float, number: int, letters: float) -> Iterator[Item]:
    size = 0.9 * letters
    yield Circle(x, y, max(0.75 * letters, text_width(str(number), size, True) * 0.62), ink=0.08 * letters)
    yield Words(x, y + CAPITAL * size / 2, str(number), size, True, Anchor.MIDDLE)


def _horn(master: MasterPiece, band: _Band, letters: float) -> Iterator[Item]:
    horn = master.horn / MM
    (x, top), (_, bottom) = band.at(horn, 0), band.at(horn, band.height)
    yield dashed(x, top, x, bottom, ink=0.15 * letters)
    yield Words(x + 0.5 * letters, band.height / 2, "horn", 0.8 * letters)


def _notes(master: MasterPiece, side: Side, band: _Band, show: Show, letters: float) -> tuple[list[Item], float]:
    """The figures: where each line lies, under it; then a sentence for each mark."""
    items: list[Item] = []
    size = 0.9 * letters
    leading = 1.35 * size
    rows: list[float] = []
    reference = "face edge" if side in ENDS else "marked end"
    marked = [
        place
        for m in master.on(side)
        for place in ((m.centre_along(master.length),) if m.is_across else (m.start, m.end))
    ]
    marked += [place for cut in master.cuts_on(side) for place in cut.places if 0 < place < _reach(master, side)]
    figures = sorted({(band.at(place / MM, 0), place) for place in marked})
    if side in LONG_SIDES:
        for (x, _), place in figures:
            text = format_length(place, show, with_unit=False)
            half = text_width(text, size) / 2
            row = next((n for n, taken in enumerate(rows) if taken + 1 < x - half), len(rows))
            rows[row : row + 1] = [x + half]
            items.append(line(x, -GAP, x, row * leading + 0.2, ink=0.05 * letters))
            items.append(Words(x, row * leading + size, text, size, anchor=Anchor.MIDDLE))
    else:
        for (_, y), place in figures:
            text = format_length(place, show, with_unit=False)
            items.append(Words(band.width + 1, y - band.height - GAP + CAPITAL * size / 2, text, size))
    depth = len(rows) * leading + (0.6 * letters if rows else 0)
    unit = f", {show.unit}, all from the {reference}"
    plain = f", {show.unit}"  # one that runs across says itself what it is measured from
    for mark in master.on(side):
        items.append(Words(0, depth + size, mark_text(mark, show) + (plain if mark.is_across else unit), size))
        depth += leading
        plain, unit = ("", unit) if mark.is_across else (plain, "")
    for text in cut_texts(master.cuts_on(side), show):
        items.append(Words(0, depth + size, text + unit, size))
        depth += leading
        unit = ""
    return items, depth + letters


def _reach(master: MasterPiece, side: Side) -> Nm:
    return master.across(side) if side in ENDS else master.length


def cut_texts(cuts: Sequence[CutMark], show: Show) -> list[str]:
    """What cuts ask for in one side, in words, each once; holes of one row together.

    >>> groove = CutMark("G1", "groove", Side.FACE, Side.EDGE, ((0, 10 * MM), (400 * MM, 16 * MM)), 6 * MM)
    >>> cut_texts([groove], Show.MM)
    ['groove G1: 0 to 400, 10 to 16 from the face edge, 6 deep']
    """

    def figure(length: Nm) -> str:
        return format_length(length, show, with_unit=False)

    texts: dict[str, None] = {}
    for cut in cuts:
        beside = f"from the {SIDE_NAMES[cut.beside]}"
        if cut.by_centre:
            row = [one for one in cuts if (one.cut, one.near, one.far) == (cut.cut, cut.near, cut.far)]
            centres = ", ".join(figure(place) for one in row for place in one.places)
            across = f"{figure((cut.near + cut.far) // 2)} {beside}, {figure(cut.far - cut.near)} wide"
            place = f"{'centres' if len(row) > 1 else 'centre'} at {centres}, {across}"
        else:
            place = f"{figure(cut.start)} to {figure(cut.end)}, {figure(cut.near)} to {figure(cut.far)} {beside}"
        deep = "right through" if cut.depth is None else f"{figure(cut.depth)} deep"
        texts[f"{cut.kind} {cut.cut}: {place}, {deep}"] = None
    return list(texts)


def mark_text(mark: Mark, show: Show) -> str:
    """What a mark asks for, in words.

    >>> mark = Mark(3, Side.BACK, "marked end", 14 * MM, 46 * MM, Side.EDGE, 14 * MM, 19 * MM, 8 * MM, ("J2",), "left")
    >>> mark_text(mark, Show.MM)
    '3: 14 to 46, centre 14 from the face edge, 19 deep, bit 8 (J2)'
    """

    def figure(length: Nm) -> str:
        return format_length(length, show, with_unit=False)

    joints = f" ({', '.join(mark.joints)})" if mark.joints else ""
    across = f" from the {mark.reference}" if mark.is_across else ""
    return (
        f"{mark.number}: {figure(mark.start)} to {figure(mark.end)}{across}, centre {figure(mark.centre)} from the "
        f"{SIDE_NAMES[mark.beside]}, {figure(mark.depth)} deep, bit {figure(mark.bit)}{joints}"
    )


def _right_end(item: Item) -> float:
    if isinstance(item, Words):
        share = {Anchor.START: 1.0, Anchor.MIDDLE: 0.5, Anchor.END: 0.0}[item.anchor]
        return item.x + share * item.width
    return 0.0
