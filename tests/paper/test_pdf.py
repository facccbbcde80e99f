"""A document of many pages: each is packed when it is drawn, and in memory no longer than it must be."""

import gc
import random
import tracemalloc
from collections.abc import Iterator

from stopwright.paper.drawing import Blocks, Drawing
from stopwright.paper.pdf import A4, Placed, pdf_of_pages

PAGES, BLOCKS = 40, 1500


def pages() -> Iterator[list[Placed]]:
    """Pages that hardly pack: blocks strewn over each."""
    dice = random.Random(7)
    for _ in range(PAGES):
        strewn = tuple((dice.uniform(0, 200), dice.uniform(0, 280), dice.random(), 1.0) for _ in range(BLOCKS))
        gc.collect()  # of what reportlab leaves lying there is none besides
        yield [Placed(Drawing(*A4, (Blocks(strewn),)), 0, 0)]


def test_a_document_of_many_pages_is_in_memory_twice_at_most_while_it_is_put_together() -> None:
    pdf_of_pages(pages(), A4, "Strewn")  # what it loads is not counted
    tracemalloc.start()
    try:
        pdf = pdf_of_pages(pages(), A4, "Strewn")
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    one_page = 700_000  # while it is drawn
    assert len(pdf) > one_page
    assert most < 2 * len(pdf) + one_page
