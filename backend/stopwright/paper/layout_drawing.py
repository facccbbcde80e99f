"""Layouts of boards and sheets to scale, with the number of every cut, in black and white."""

from collections import Counter
from collections.abc import Iterator

from stopwright.lengths import Nm, Show
from stopwright.paper.drawing import Anchor, Circle, Drawing, Item, Words, line, rectangle
from stopwright.paper.typeface import CAPITAL, shortened, text_width
from stopwright.paper.wording import rest_text, runs_text, size_text
from stopwright.plan.run_sheet import Cut, Layout, Placement, Rest

GREATEST_HEIGHT = 95.0
LEAST_TYPE = 1.6
NUMBER = 2.0
"""Height of a cut's number; mm."""
SPACE = 3.0
"""From one number to the next below it; mm."""
GUTTER = 9.0
RIGHT = 4.4
ABOVE = 0.5
"""Room left, right and above the wood for the numbers of cuts and its own outline; mm."""
NARROW = 7.0
"""A strip drawn narrower than this has the numbers of its cuts at its left; mm."""


def layout_drawing(layout: Layout, width: float, show: Show = Show.MM) -> Drawing:
    """One board or sheet as wide as `width` mm allows: pieces with mark and size, offcuts hatched, cuts numbered."""
    scale = min((width - GUTTER - RIGHT) / layout.length, GREATEST_HEIGHT / layout.width)
    whole_width, whole_height = layout.length * scale, layout.width * scale
    items: list[Item] = [rectangle(GUTTER, ABOVE, whole_width, whole_height, ink=0.5)]
    for offcut in layout.offcuts:
        items += _offcut(offcut, scale, show)
    for placement in layout.placements:
        items += _piece(placement, scale, show)
    items += _cut_numbers(layout.cuts, scale, whole_width, whole_height)
    counts = Counter(placement.mark for placement in layout.placements)
    held = ", ".join(f"{count} {mark}" for mark, count in counts.items())
    size = size_text((layout.length, layout.width, layout.thickness), show)
    return Drawing(width, whole_height + 2 * ABOVE, tuple(items), f"{layout.material} {size}: {held}")


def _piece(placement: Placement, scale: float, show: Show) -> Iterator[Item]:
    x, y, width, height = _place(placement, scale)
    yield rectangle(x, y, width, height, ink=0.25, fill=0.9)
    size = min(0.55 * height / CAPITAL, 0.8 * width / text_width(placement.mark, 1, True), 4.2)
    if size < LEAST_TYPE:
        return
    measures = size_text((placement.length, placement.width), show)
    small = min(0.24 * height, 2.4)
    below = small >= LEAST_TYPE and text_width(measures, small) < 0.92 * width
    middle = y + height / 2 - (0.75 * small if below else 0)
    yield Words(x + width / 2, middle + CAPITAL * size / 2, placement.mark, size, True, Anchor.MIDDLE)
    if below:
        yield Words(x + width / 2, middle + CAPITAL * size / 2 + 1.5 * small, measures, small, False, Anchor.MIDDLE)


def _offcut(offcut: Rest, scale: float, show: Show) -> Iterator[Item]:
    x, y, width, height = _place(offcut, scale)
    yield from _hatching(x, y, width, height)
    yield rectangle(x, y, width, height, ink=0.18)
    text = f"offcut {rest_text(offcut, show)}"
    size = min(0.6 * height, 2.6)
    if size >= LEAST_TYPE and text_width(text, size) < 0.9 * width:
        ground = text_width(text, size) + 2
        yield rectangle(x + width / 2 - ground / 2, y + height / 2 - 0.7 * size, ground, 1.4 * size, 0, 1)
        yield Words(x + width / 2, y + height / 2 + CAPITAL * size / 2, text, size, False, Anchor.MIDDLE)
    elif size >= LEAST_TYPE and width > 8:
        short = shortened("offcut", width - 2, size)
        yield Words(x + width / 2, y + height / 2 + CAPITAL * size / 2, short, size, False, Anchor.MIDDLE)


def _hatching(x: float, y: float, width: float, height: float) -> Iterator[Item]:
    """Thin lines at 45°, 4 mm apart, cut off at the edges."""
    step = 4.0
    offset = step / 2
    while offset < width + height:
        start = (x + offset, y) if offset <= width else (x + width, y + offset - width)
        end = (x, y + offset) if offset <= height else (x + offset - height, y + height)
        yield line(*start, *end, ink=0.1, shade=0.4)
        offset += step


def _cut_numbers(cuts: tuple[Cut, ...], scale: float, whole_width: float, whole_height: float) -> Iterator[Item]:
    """Cuts along the wood at its right end; cuts across it on their lines, or in sum at the left of a narrow strip."""
    strips: dict[tuple[Nm, Nm], list[Cut]] = {}
    rips = sorted((cut for cut in cuts if cut.work == "rip"), key=lambda cut: (cut.position, cut.number))
    for cut, y in zip(rips, _apart([cut.position * scale for cut in rips], whole_height), strict=True):
        yield from _number(GUTTER + whole_width + 2.2, ABOVE + y, cut.number)
    for cut in cuts:
        if cut.work != "rip":
            strips.setdefault((cut.start, cut.end), []).append(cut)
    for (start, end), across in strips.items():
        if (end - start) * scale < NARROW:
            size = min(NUMBER, 0.9 * (end - start) * scale)
            middle = ABOVE + (start + end) / 2 * scale + CAPITAL * size / 2
            yield Words(GUTTER - 0.8, middle, runs_text([cut.number for cut in across], ""), size, True, Anchor.END)
        else:
            for cut in across:
                yield from _number(GUTTER + cut.position * scale, ABOVE + start * scale + 2.2, cut.number)


def _apart(places: list[float], end: float) -> list[float]:
    """The rising places moved apart so far that numbers there do not lie on each other, none beyond `end` if it can be.

    >>> _apart([10.0, 20.0, 21.0], 22.0)
    [10.0, 18.0, 21.0]
    """
    moved: list[float] = []
    last = end + ABOVE + SPACE / 2
    for place in reversed(places):
        last = min(place, last - SPACE)
        moved.append(last)
    low = SPACE / 2 - ABOVE
    for nth, place in enumerate(reversed(moved)):
        moved[-1 - nth] = low = max(place, low)
        low += SPACE
    return moved[::-1]


def _number(x: float, y: float, number: int) -> Iterator[Item]:
    text = str(number)
    yield Circle(x, y, max(text_width(text, NUMBER, True) / 2 + 0.5, 1.5), ink=0.15, fill=1)
    yield Words(x, y + CAPITAL * NUMBER / 2, text, NUMBER, True, Anchor.MIDDLE)


def _place(placement: Placement, scale: float) -> tuple[float, float, float, float]:
    def drawn(length: Nm) -> float:
        return length * scale

    return (
        GUTTER + drawn(placement.x),
        ABOVE + drawn(placement.y),
        drawn(placement.length),
        drawn(placement.width),
    )
