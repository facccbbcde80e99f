"""Drawings at their true size over several pages: measured in the pixels of the pages."""

import pytest
from PIL import Image
from tests.paper.pixels import page_count, page_pixels, page_words

from stopwright.paper.drawing import Drawing, line
from stopwright.paper.pdf import A4, LETTER
from stopwright.paper.tiling import EDGE, HEAD, OVERLAP, page_room, tiled_pdf

DPI = 254  # 10 dots to the mm


def ruler(width: float, height: float) -> Drawing:
    """A line every 50 mm across and down."""
    across = tuple(line(x, 0, x, height, ink=0.3) for x in range(0, int(width) + 1, 50))
    down = tuple(line(0, y, width, y, ink=0.3) for y in range(0, int(height) + 1, 50))
    return Drawing(width, height, across + down)


def dark_columns(page: Image.Image, row: int) -> list[float]:
    """Middles of the dark runs along a row, mm from the left of the page."""
    shades = page.crop((0, row, page.width, row + 1)).tobytes()
    edges = [x for x in range(1, len(shades)) if (shades[x] < 128) != (shades[x - 1] < 128)]
    return [(begin + end) / 2 / 10 for begin, end in zip(edges[::2], edges[1::2], strict=True)]


def test_a_page_is_packed_and_not_spelled_in_letters_besides() -> None:
    pdf = tiled_pdf([("A", ruler(300, 200))], A4, "A")
    assert b"/FlateDecode" in pdf
    assert b"/ASCII85Decode" not in pdf


@pytest.mark.parametrize("page", [A4, LETTER])
def test_every_line_lies_at_its_true_distance_on_every_page(page: tuple[float, float]) -> None:
    width, _ = page_room(page)
    pdf = tiled_pdf([("A", ruler(900, 60))], page, "A")
    # the first page shows `width`, every further one width − 10 more
    assert page_count(pdf) == 1 + -(-(900 - width) // (width - OVERLAP))
    seen: set[int] = set()
    for number in range(page_count(pdf)):
        pixels = page_pixels(pdf, DPI, number)
        left = number * (width - OVERLAP)
        for x in dark_columns(pixels, round((EDGE + HEAD + 25) * 10)):
            along = left + x - EDGE
            assert abs(along - round(along / 50) * 50) <= 0.1  # a dot
            seen.add(round(along / 50) * 50)
    assert seen == set(range(0, 901, 50))


def test_the_bar_to_check_is_100_mm_long() -> None:
    pixels = page_pixels(tiled_pdf([("A", Drawing(10, 10, ()))], A4, "A"), DPI)
    row = round((EDGE + 5) * 10)
    bar = pixels.crop((1860, row, pixels.width, row + 1)).tobytes()
    dark = [x for x, shade in enumerate(bar) if shade < 128]
    assert (dark[-1] - dark[0]) / 10 == pytest.approx(100, abs=0.3)


def test_a_drawing_that_fits_takes_one_page_across() -> None:
    width, height = page_room(A4)
    pdf = tiled_pdf([("A", Drawing(width, height, ())), ("B", Drawing(5, 5, ()))], A4, "A")
    assert page_count(pdf) == 2
    first = page_pixels(pdf, DPI)
    assert first.width > first.height


def test_a_large_drawing_says_on_every_page_which_part_it_is() -> None:
    width, height = page_room(A4)
    pdf = tiled_pdf([("A", Drawing(width + 50, height + 50, ()))], A4, "Master A")
    assert page_count(pdf) == 4
    for number in range(4):
        words = page_words(pdf, number)
        assert f"A, page {number + 1} of 4" in words
        assert "100 mm, measure before use" in words


def test_marks_to_join_by_lie_at_the_same_place_of_the_drawing_on_both_pages() -> None:
    width, _ = page_room(A4)
    pdf = tiled_pdf([("A", Drawing(width + 100, 60, ()))], A4, "A")
    row = round((EDGE + HEAD + 4.5) * 10)  # through the upright of the cross, below its middle
    one, two = (dark_columns(page_pixels(pdf, DPI, number), row) for number in range(2))
    assert [x - EDGE for x in one] == pytest.approx([width - OVERLAP / 2], abs=0.15)
    assert [x - EDGE + width - OVERLAP for x in two] == pytest.approx([width - OVERLAP / 2], abs=0.15)
