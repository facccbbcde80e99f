"""Drawings at their true size over as many pages as they need, with marks to join the pages by and a bar to check.

A printer that shrinks to fit spoils a drawing that is pricked through. So every page bears a bar of 100 mm.
"""

from collections.abc import Iterator, Sequence
from itertools import product

from stopwright.paper.drawing import Anchor, Drawing, Item, Words, line
from stopwright.paper.pdf import Placed, pdf_of_pages
from stopwright.paper.typeface import shortened

EDGE = 10.0
"""Free on every side of a page; mm."""
HEAD = 9.0
"""Above the drawing, for the title and the bar; mm."""
OVERLAP = 10.0
"""What neighbouring pages both show; mm."""
BAR = 100.0


def tiled_pdf(
    drawings: Sequence[tuple[str, Drawing]], page: tuple[float, float], title: str, from_right: bool = False
) -> bytes:
    """A PDF of titled drawings at 1:1, each on its own pages across; what is too large goes on over further pages.

    Pages lie across (the longer side is the width). Where two pages show the same 10 mm, corner marks at equal
    distances from the left and from the top say how they lie over each other. With `from_right` the first page of a
    wide drawing shows its right end.
    """
    across = (max(page), min(page))
    pages = [placed for name, drawing in drawings for placed in _pages(name, drawing, across, from_right)]
    return pdf_of_pages(pages, across, title)


def page_room(page: tuple[float, float]) -> tuple[float, float]:
    """Width and height that a drawing can have without being divided, mm."""
    return max(page) - 2 * EDGE, min(page) - 2 * EDGE - HEAD


def _pages(name: str, drawing: Drawing, page: tuple[float, float], from_right: bool) -> Iterator[list[Placed]]:
    width, height = page_room(page)
    lefts = _starts(drawing.width, width)
    if from_right and len(lefts) > 1:
        lefts = [drawing.width - width - left for left in lefts]
    tops = _starts(drawing.height, height)
    total = len(lefts) * len(tops)
    for number, (top, left) in enumerate(product(tops, lefts), 1):
        window = (EDGE, EDGE + HEAD, width, height)
        place = f"{name}, page {number} of {total}" if total > 1 else name
        yield [
            Placed(_head(place, width), EDGE, EDGE),
            Placed(drawing, EDGE - left, EDGE + HEAD - top, window),
            Placed(_joins(left, top, drawing, width, height), EDGE, EDGE + HEAD),
        ]


def _starts(whole: float, room: float) -> list[float]:
    """Where the pages begin on the drawing."""
    starts = [0.0]
    while starts[-1] + room < whole - 1e-6:
        starts.append(starts[-1] + room - OVERLAP)
    return starts


def _head(text: str, width: float) -> Drawing:
    left = width - BAR
    bar: list[Item] = [line(left, 5, width, 5, ink=0.3)]
    bar += [line(left + at, 5 - tall, left + at, 5, ink=0.2) for at, tall in _graduations()]
    bar.append(Words(left - 2, 5, "100 mm, measure before use", 2.4, anchor=Anchor.END))
    name = Words(0, 5, shortened(text, width - BAR - 45, 4, True), 4, True)
    return Drawing(width, HEAD, (name, *bar))


def _graduations() -> Iterator[tuple[float, float]]:
    for at in range(0, 101, 5):
        yield float(at), 3.0 if at in (0, 50, 100) else 2.0 if at % 10 == 0 else 1.2


def _joins(left: float, top: float, drawing: Drawing, width: float, height: float) -> Drawing:
    """Corner marks where the overlap begins and ends, towards every neighbour."""
    across = [
        at
        for at, there in ((OVERLAP / 2, left > 1e-6), (width - OVERLAP / 2, left + width < drawing.width - 1e-6))
        if there
    ]
    down = [
        at for at, there in ((OVERLAP / 2, top > 0), (height - OVERLAP / 2, top + height < drawing.height)) if there
    ]
    items = [item for x in across for y in (3.0, height - 3.0) for item in _cross(x, y)]
    items += [item for y in down for x in (20.0, width - 20.0) for item in _cross(x, y)]
    return Drawing(width, height, tuple(items))


def _cross(x: float, y: float) -> tuple[Item, ...]:
    return line(x - 2.5, y, x + 2.5, y, ink=0.15), line(x, y - 2.5, x, y + 2.5, ink=0.15)
