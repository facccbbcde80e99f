"""The run sheet on paper: what every page says, that nothing is cut off, that it is black and white."""

from dataclasses import replace

import pypdfium2
import pytest
from PIL import ImageChops
from tests.paper.pixels import page_count, page_pixels, page_words
from tests.paper.sheets import STANDSTILL, faulty_sheet, mortising, sheet

from stopwright.lengths import Show
from stopwright.paper.pdf import A4, LETTER
from stopwright.paper.run_sheet_pdf import run_sheet_pdf
from stopwright.plan.run_sheet import RunSheet, Settings


def all_words(pdf: bytes) -> str:
    return " ".join(" ".join(page_words(pdf, page).split()) for page in range(page_count(pdf)))


def long_sheet() -> RunSheet:
    runs = tuple(replace(mortising(), number=number) for number in range(1, 61))
    return replace(sheet(), runs=runs)


def test_every_run_says_its_stops_and_pieces() -> None:
    words = all_words(run_sheet_pdf(sheet()))
    for said in (
        "Six bakery stools",
        "9 settings; fewer is not possible (proven)",
        "planer, plane",
        "near flip stop",
        "244 mm",
        "stands: far flip stop 450 mm",
        "mark 3 on master A",
        "with a block of 3 mm under the rail",
        "slot in the far edge, face side down",
        "Upper rail",
        "+0.25 mm off, ±0.3 mm allowed",
        "Boards 1–3 · ash 2400 × 180 × 45 mm",
        "6 × birch plywood 380 × 380 × 18 mm",
        "7.9 × 31.2 × 40.8 mm",
        "2 of 3 mm, under the piece",
        "B, C: differ by 0.4 mm in width.",
        "Crosscut the plywood before ripping it.",
    ):
        assert said in words


def test_faults_stand_on_the_first_page_before_every_run() -> None:
    words = page_words(run_sheet_pdf(faulty_sheet()))
    assert words.index("longer than the saw reaches") < words.index("planer, plane")


def test_a_caution_stands_once_under_the_first_run_it_belongs_to() -> None:
    words = all_words(run_sheet_pdf(sheet()))
    assert words.count(STANDSTILL) == 1
    assert words.index("saw, rip") < words.index(STANDSTILL) < words.index("saw, crosscut")


@pytest.mark.parametrize(("page", "pixels"), [(A4, (2100, 2970)), (LETTER, (2159, 2794))])
def test_nothing_is_printed_in_the_margins_of_a4_or_letter(page: tuple[float, float], pixels: tuple[int, int]) -> None:
    pdf = run_sheet_pdf(long_sheet(), page=page)
    for number in (0, page_count(pdf) - 1):
        seen = page_pixels(pdf, 254, number)  # 10 dots to the mm
        assert (seen.width, seen.height) == pytest.approx(pixels, abs=1)
        ink = seen.point([255 - shade for shade in range(256)]).getbbox()
        assert ink is not None
        assert ink[0] >= 140 and ink[1] >= 140
        assert ink[2] <= seen.width - 140 and ink[3] <= seen.height - 140


def test_a_run_is_never_broken_across_two_pages() -> None:
    pdf = run_sheet_pdf(long_sheet())
    for page in range(page_count(pdf)):
        words = page_words(pdf, page)
        assert words.count("mortiser, mortise") == words.count("with a block of 3 mm under the rail")


def test_pages_are_numbered_and_say_which_job_they_belong_to() -> None:
    pdf = run_sheet_pdf(long_sheet())
    count = page_count(pdf)
    assert count > 5
    for page in range(count):
        words = page_words(pdf, page)
        assert f"{page + 1} of {count}" in words
        assert "Six bakery stools" in words


def test_the_paper_is_black_and_white() -> None:
    document = pypdfium2.PdfDocument(run_sheet_pdf(faulty_sheet()))
    red, green, blue = document[0].render(scale=1).to_pil().convert("RGB").split()
    document.close()
    assert ImageChops.difference(red, green).getbbox() is None
    assert ImageChops.difference(green, blue).getbbox() is None


def test_inches_are_shown_as_the_shop_reads_them() -> None:
    assert "9 19/32 in (+0.0125)" in all_words(run_sheet_pdf(sheet(), Show.THIRTY_SECONDS))


def test_the_same_sheet_gives_the_same_bytes() -> None:
    assert run_sheet_pdf(sheet()) == run_sheet_pdf(sheet())


def test_an_empty_sheet_and_endless_names_are_no_trouble() -> None:
    empty = RunSheet("Nothing yet <b>&amp;", "mm", Settings(0, 0, True, 0), ())
    assert "Nothing yet <b>&amp;" in page_words(run_sheet_pdf(empty))
    endless = replace(sheet(), job="Stools for the bakery of the village " * 20)
    assert "…" in page_words(run_sheet_pdf(endless))
