"""Blocks of a document set one under the other on pages, never broken across two."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from stopwright.paper.drawing import Anchor, Drawing, Item, Words, line
from stopwright.paper.pdf import Placed, pdf_of_pages
from stopwright.paper.typeface import shortened, text_width, wrapped

MARGIN = 15.0
"""Free on every side of a page; mm."""
FOOT = 8.0


@dataclass(frozen=True, slots=True)
class Block:
    """What must stand together: its height and its items, x from 0 to the width of the text; mm.

    `leads` keeps it on one page with the block after it, as a heading must.
    """

    height: float
    items: tuple[Item, ...]
    leads: bool = False


def text_block(text: str, width: float, size: float = 3.4, bold: bool = False, indent: float = 0) -> Block:
    """A paragraph, in as many lines as it needs."""
    leading = 1.38 * size
    lines = wrapped(text, width - indent, size, bold)
    items = tuple(Words(indent, n * leading + size, one, size, bold) for n, one in enumerate(lines))
    return Block(len(lines) * leading + 0.3 * size, items)


def heading(text: str, width: float) -> Block:
    """The title of a section, with a rule across the page."""
    return Block(12.0, (Words(0, 8.2, text, 4.6, True), line(0, 10, width, 10, ink=0.5)), leads=True)


def flow(blocks: Sequence[Block], page: tuple[float, float], foot: str) -> list[list[Placed]]:
    """The blocks on as few pages as they fill in order; each page says at its foot what it belongs to."""
    width, room = text_area(page)
    pages: list[list[Placed]] = [[]]
    y = 0.0
    for together in _kept_together(blocks):
        if y and y + sum(block.height for block in together) > room:
            pages.append([])
            y = 0.0
        for block in together:
            pages[-1].append(Placed(Drawing(width, block.height, block.items), MARGIN, MARGIN + y))
            y += block.height
    for number, placed in enumerate(pages, 1):
        placed.append(Placed(_foot(foot, f"{number} of {len(pages)}", width), MARGIN, page[1] - MARGIN - 4))
    return pages


def text_area(page: tuple[float, float]) -> tuple[float, float]:
    """Width and height of a page's text, mm."""
    return page[0] - 2 * MARGIN, page[1] - 2 * MARGIN - FOOT


def document_pdf(blocks: Sequence[Block], page: tuple[float, float], title: str) -> bytes:
    """The PDF of a document of blocks."""
    return pdf_of_pages(flow(blocks, page, title), page, title)


def _kept_together(blocks: Iterable[Block]) -> list[list[Block]]:
    groups: list[list[Block]] = []
    for block in blocks:
        if groups and groups[-1][-1].leads:
            groups[-1].append(block)
        else:
            groups.append([block])
    return groups


def _foot(text: str, number: str, width: float) -> Drawing:
    size = 2.8
    left = shortened(text, width - text_width(number, size) - 5, size)
    return Drawing(width, 4, (Words(0, 3, left, size), Words(width, 3, number, size, anchor=Anchor.END)))
