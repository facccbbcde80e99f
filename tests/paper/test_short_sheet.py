"""The run sheet in short, and the pages to pin up at the stations."""

from dataclasses import replace

import pytest
from tests.paper.pixels import page_count, page_pixels, page_words
from tests.paper.sheets import STANDSTILL, crosscut, faulty_sheet, mortising, planing, ripping, sheet

from stopwright.lengths import Show
from stopwright.paper.pdf import A4, LETTER
from stopwright.paper.short_sheet import short_sheet_pdf, station_pages_pdf
from stopwright.plan.run_sheet import RunSheet


def all_words(pdf: bytes) -> str:
    return " ".join(" ".join(page_words(pdf, page).split()) for page in range(page_count(pdf)))


def hundred_runs() -> RunSheet:
    """Four stations, one after the other: 25 runs of each kind."""
    kinds = [planing(), ripping(), crosscut(), mortising()]
    return replace(sheet(), runs=tuple(replace(kinds[at // 25], number=at + 1) for at in range(100)))


def test_a_hundred_runs_stand_on_four_pages_with_all_that_is_set_and_cut() -> None:
    pdf = short_sheet_pdf(hundred_runs())
    assert page_count(pdf) <= 4
    words = all_words(pdf)
    assert [words.count(said) for said in ("rip fence", "near flip stop", "table height", "Lower rail")] == [25] * 4
    assert words.count("with a block of 3 mm under the rail") == 25
    assert words.count("slot in the far edge, face side down") == 25
    assert "2 of 3 mm, under the piece" in words  # to be made
    assert "(far flip stop 450 mm stands)" in words
    assert words.count(STANDSTILL) == 1


def test_what_cannot_be_cut_stands_before_all_runs() -> None:
    words = page_words(short_sheet_pdf(faulty_sheet()), 0)
    assert words.index("longer than the saw reaches") < words.index("planer")


@pytest.mark.parametrize(("page", "pixels"), [(A4, (2100, 2970)), (LETTER, (2159, 2794))])
def test_nothing_is_printed_in_the_margins(page: tuple[float, float], pixels: tuple[int, int]) -> None:
    for pdf in (short_sheet_pdf(hundred_runs(), page=page), station_pages_pdf(hundred_runs(), page=page)):
        seen = page_pixels(pdf, 254, 0)
        assert (seen.width, seen.height) == pytest.approx(pixels, abs=1)
        ink = seen.point([255 - shade for shade in range(256)]).getbbox()
        assert ink is not None and ink[0] >= 140 and ink[1] >= 140
        assert ink[2] <= seen.width - 140 and ink[3] <= seen.height - 140


def test_every_station_has_pages_of_its_own_with_its_runs_and_the_blocks_used_there() -> None:
    pdf = station_pages_pdf(sheet())
    runs = sheet().runs
    stations = list(dict.fromkeys(run.station for run in runs))
    assert page_count(pdf) == len(stations)
    for page, station in enumerate(stations):
        words = " ".join(page_words(pdf, page).split())
        assert words.startswith(station)
        for run in runs:
            assert (f"{run.station}, {run.work}" in words) == (run.station == station)
        assert ("Blocks used here" in words) == any(run.spacer for run in runs if run.station == station)
    assert "a block of 3 mm under the rail: run 4" in all_words(pdf)


def test_readings_are_in_the_way_the_shop_shows_lengths() -> None:
    assert "9 19/32" in all_words(short_sheet_pdf(sheet(), Show.THIRTY_SECONDS))


def test_a_sheet_without_runs_says_so() -> None:
    empty = replace(sheet(), runs=())
    assert "no runs yet" in all_words(station_pages_pdf(empty))
    assert page_count(short_sheet_pdf(empty)) == 1
