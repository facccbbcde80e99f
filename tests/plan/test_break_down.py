"""Boards broken down into sections: when they must be, where they are cut, and what that leaves of their thickness."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from tests.builders import a_board, a_job, a_part, fitted
from tests.plan.test_plan_checked import jobs
from tests.shop.facts import facts_of
from tests.shop.ledger import check_ledger

from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM, Show
from stopwright.model.gear import Rollers
from stopwright.model.job import Job
from stopwright.model.stations import Shop
from stopwright.model.stock import Stock, Zone
from stopwright.paper.wording import line_text
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Form, RunSheet
from stopwright.plan.run_sheet_json import run_sheet_json
from stopwright.plan.said_lengths import read_out
from stopwright.plan.timber.sections import breaking_down_in, face_loss


def a_shop_that_breaks_down(longest: int | None = 1500, works: str = "saw") -> Shop:
    """The default shop, its saw breaking boards down, its jointer taking boards up to `longest` mm."""

    def changed(station: Any) -> Any:
        if station.name == works:
            return replace(station, work=("break down", *station.work))
        return fitted(station, longest=longest and longest * MM) if station.name == "jointer" else station

    shop = default_shop()
    return replace(shop, stations=tuple(changed(station) for station in shop.stations))


def books(job: Job, shop: Shop) -> tuple[RunSheet, list[str]]:
    sheet = make_plan(job, shop)
    return sheet, check_ledger(run_sheet_json(sheet, Show.MM), facts_of(job, shop))


def test_a_board_longer_than_the_jointer_takes_is_cut_into_sections_first() -> None:
    job = a_job(a_part("A", 6, (700, 60, 22)), stock=(a_board(1, (3000, 150, 27)),))
    sheet, wrong = books(job, a_shop_that_breaks_down())
    assert wrong == []
    first, second = sheet.runs[:2]
    assert (first.work, second.work) == ("break down", "joint")
    assert [lot.form for lot in first.takes] == [Form.BOARD]
    assert [(lot.name, lot.form) for lot in first.gives] == [
        ("board 1, section 1", Form.BLANK),
        ("board 1, section 2", Form.BLANK),
        *([("board 1, section 3", Form.BLANK)] if len(first.gives) == 3 else []),
    ]
    assert second.takes == first.gives
    assert all(lot.length <= 1500 * MM for lot in second.takes)


def test_what_no_station_breaks_down_is_named_with_what_to_do() -> None:
    job = a_job(a_part("A", 6, (700, 60, 22)), stock=(a_board(2, (3000, 150, 27)),))
    sheet = make_plan(job, a_shop_that_breaks_down(works=""))
    assert [warning.text for warning in sheet.warnings if "true" in warning.text] == [
        "board 1: 3000 mm long, the jointer makes no more than 1500 mm true; "
        "break it down first: a station whose work is break down plans that"
    ]


@pytest.mark.parametrize(("sections", "left"), [(1, 15.0), (2, 24.0), (4, 26.25)])
def test_the_bow_of_a_board_is_left_in_each_section_by_the_square_of_their_number(sections: int, left: float) -> None:
    """A board of 27 with a bow of 12 over 2400: 15 left behind the flat face; in four sections 26.25 (calculation)."""
    shop = a_shop_that_breaks_down(None)
    row = replace(a_board(1, (2400, 150, 27)), bow=12 * MM, planed=False)
    saw = breaking_down_in(shop)
    assert saw is not None
    allowed = 12 * MM // sections**2
    limit = saw.limit(row, allowed)
    assert (row.thickness - row.bow * limit**2 / row.length**2) / MM == pytest.approx(left, abs=0.001)


def test_a_bowed_board_that_stays_whole_loses_its_bow_and_is_too_thin() -> None:
    board = replace(a_board(1, (2400, 150, 27)), bow=8 * MM)
    job = a_job(a_part("A", 4, (500, 60, 20)), stock=(board,))
    whole, cut = default_shop(), a_shop_that_breaks_down(None)
    assert face_loss(board, whole) == 8 * MM
    assert face_loss(board, cut) == whole.allowance.thickness
    assert make_plan(job, whole).wood.to_buy
    sheet, wrong = books(job, cut)
    assert wrong == []
    assert not sheet.wood.to_buy
    (layout,) = sheet.wood.layouts
    assert all(8 * one.length**2 <= 1.5 * layout.length**2 for one in layout.sections)


def test_a_bow_costs_nothing_where_nothing_is_planed_whatever_is_written() -> None:
    full = a_shop_that_breaks_down(None)
    shop = replace(full, stations=tuple(one for one in full.stations if not {"joint", "plane"} & {*one.work}))
    bare = replace(shop, allowance=replace(shop.allowance, thickness=0, length=0))
    board = replace(a_board(1, (2400, 150, 20)), bow=2400 * MM)
    job = a_job(a_part("A", 4, (500, 60, 20)), stock=(board,))
    (layout,) = make_plan(job, bare).wood.layouts
    assert layout.sections == ()


def test_sections_are_taken_where_they_save_a_board_and_only_there() -> None:
    """Of 106 usable, a whole board gives one strip of 100 or two of 46; in two halves it gives one and the other."""
    parts = (a_part("A", 1, (900, 100, 22)), a_part("B", 2, (900, 46, 22)))
    job = a_job(*parts, stock=(a_board(4, (2000, 112, 27)),))
    shop = a_shop_that_breaks_down(None)
    sheet, wrong = books(job, shop)
    assert wrong == []
    assert make_plan(job, default_shop()).wood.boards_used == 2
    assert (sheet.wood.boards_used, sheet.wood.least_possible, sheet.wood.proven) == (1, 1, True)
    easy = a_job(a_part("A", 4, (480, 60, 22)), stock=(a_board(1, (2000, 150, 27)),))
    assert not any(layout.sections for layout in make_plan(easy, shop).wood.layouts)


def test_no_section_is_shorter_than_the_planer_carries() -> None:
    shop = a_shop_that_breaks_down(700)
    sheet, wrong = books(a_job(a_part("A", 9, (200, 60, 22)), stock=(a_board(2, (2100, 150, 27)),)), shop)
    assert wrong == []
    planer = next(station for station in shop.stations if station.name == "planer")
    for layout in sheet.wood.layouts:
        assert all(one.length >= planer.of(Rollers).rollers + shop.allowance.length for one in layout.sections)


def test_a_knot_stays_out_of_the_pieces_in_every_section() -> None:
    zone = Zone(1400 * MM, 1500 * MM)
    board: Stock = replace(a_board(2, (3000, 150, 27)), zones=(zone,))
    sheet, wrong = books(a_job(a_part("A", 8, (500, 60, 22)), stock=(board,)), a_shop_that_breaks_down())
    assert wrong == []
    for layout in sheet.wood.layouts:
        for placed in layout.placements:
            assert placed.x >= zone.end or placed.x + placed.length <= zone.start


@settings(deadline=None, max_examples=60)
@given(jobs())
def test_the_books_of_any_job_add_up_where_boards_are_broken_down(job: Job) -> None:
    shop = a_shop_that_breaks_down(900)
    sheet, wrong = books(job, shop)
    assert wrong == []
    for layout in sheet.wood.layouts:
        for placed in layout.placements:
            homes = [one for one in layout.sections if one.start <= placed.x < one.start + one.length]
            assert not layout.sections or [placed.x + placed.length <= one.start + one.length for one in homes] == [
                True
            ]


def test_boards_are_counted_not_sections() -> None:
    """A section of 1549 at most (bow 10 on 4000 leaves 1.5) gives one A; three to a board: ten A take four boards."""
    parts = (a_part("A", 10, (900, 120, 20)), a_part("B", 6, (1300, 50, 20)))
    board = replace(a_board(6, (4000, 180, 27)), bow=10 * MM)
    sheet, wrong = books(a_job(*parts, stock=(board,)), a_shop_that_breaks_down(2200))
    assert wrong == []
    assert sheet.wood.boards_used == 4
    note = read_out(sheet.runs[0].note, Show.MM)
    assert "each section measured from the cut before" in note and "1325 mm, 1325 mm and the rest" in note
    lines = [(line_text(line), line.count) for line in sheet.runs[0].lines]
    assert sum(count for _, count in lines) == 10
    assert lines[0] == ("sections from board 1", 3)
    assert [line.chalk for line in sheet.runs[0].lines][:2] == ["1", "2"]


def test_what_is_too_short_to_be_worked_is_cut_off_as_a_rest() -> None:
    """900 in three is 298 each, shorter than the planer carries; so 400 twice, and 93.6 are left."""
    sheet, wrong = books(
        a_job(a_part("A", 4, (150, 38, 18)), stock=(a_board(1, (900, 130, 22)),)), a_shop_that_breaks_down(400)
    )
    assert wrong == []
    (layout,) = sheet.wood.layouts
    assert [one.length / MM for one in layout.sections] == [400, 400, 93.6]
    assert all(placed.x + placed.length <= 803.2 * MM for placed in layout.placements)
    assert not sheet.wood.to_buy
