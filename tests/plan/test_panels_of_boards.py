"""Panels glued from boards each as wide as it is: the fewest, not ripped, every strip in its panel and place."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import a_board, a_job, a_part, fitted, mm
from tests.shop.facts import facts_of
from tests.shop.ledger import check_ledger

from stopwright.intake.part_list import read_part_list
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM, Show
from stopwright.model.codes import encode
from stopwright.model.day import Clamps, Day
from stopwright.model.job import Flow, Job
from stopwright.model.parts import Made
from stopwright.model.stations import Axis, Station
from stopwright.paper.labels import strip_labels
from stopwright.plan.assembling.pieces import list_pieces
from stopwright.plan.choices import Choices
from stopwright.plan.effort import Steps
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Form, Run, RunSheet
from stopwright.plan.run_sheet_json import run_sheet_json
from stopwright.plan.timber.layouts import cutting_in
from stopwright.plan.timber.panels import JOINTING, TRIM, panels_of
from stopwright.plan.together import Member, plan_together

SHOP = default_shop()
LOST = SHOP.allowance.width + 2 * JOINTING
WIDTHS = (97, 118, 126, 131, 140, 152, 160)
"""What seven boards give, jointed (handbook of the trade, 27; worked there for 620 clear: 5 of them)."""


def a_top(widths: Sequence[float] = WIDTHS, quantity: int = 1, width: float = 600, length: float = 1300) -> Job:
    stock = tuple(a_board(1, (length, one + LOST / MM, 27)) for one in widths)
    return a_job(a_part("A", quantity, (1200, width, 18), made=Made.BOARDS), stock=stock)


def glued(sheet: RunSheet) -> list[Run]:
    return [run for run in sheet.runs if run.work == "glue"]


def fewest_by_trying(widths: Sequence[int], wanted: int) -> int | None:
    """The fewest of these boards that are together as wide as wanted, every choice tried."""
    for count in range(1, len(widths) + 1):
        if any(sum(some) >= wanted for some in combinations(widths, count)):
            return count
    return None


def test_the_fewest_boards_are_glued_as_wide_as_they_are() -> None:
    (run,) = glued(make_plan(a_top(), SHOP))
    assert sorted(lot.width / MM for lot in run.takes) == [97, 118, 126, 131, 152]  # 624 of 620, the least over
    assert run.gives[0].width == mm(624)
    assert run.gluing is not None and [width / MM for width in run.gluing.widths] == [152, 126, 97, 118, 131]


def test_the_widest_strips_are_at_the_edges_and_the_run_names_them_from_the_left() -> None:
    (run,) = glued(make_plan(a_top(), SHOP))
    assert "from the left A1.1, A1.2, A1.3, A1.4, A1.5" in run.note
    assert [lot.name for lot in run.takes] == [f"A1.{place}" for place in range(1, 6)]


def test_no_strip_is_ripped_and_its_layout_names_its_place() -> None:
    for flow in Flow:
        sheet = make_plan(a_top(), SHOP, Choices(flow=flow))
        ripped = [run for run in sheet.runs if run.work == "rip"]
        assert [lot.form for run in ripped for lot in run.takes] == [Form.PANEL]
        marks = [one.mark for layout in sheet.wood.layouts for one in layout.placements]
        assert sorted(marks) == [f"A1.{place}" for place in range(1, 6)]
        assert not sheet.wood.to_buy and not sheet.faults
        of_board = {layout.placements[0].mark: layout.width for layout in sheet.wood.layouts}
        (run,) = glued(sheet)
        assert {lot.name: lot.width for lot in run.takes} == {mark: width - LOST for mark, width in of_board.items()}


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(60, 180), min_size=1, max_size=12), st.integers(100, 900))
def test_no_choice_of_up_to_twelve_boards_does_with_fewer(widths: list[int], wide: int) -> None:
    job = a_top(widths, width=wide)
    (panel,) = panels_of(job, SHOP)
    least = fewest_by_trying([mm(one) for one in widths], mm(wide) + 2 * TRIM)
    assert (len(panel.own) or None) == least


@pytest.mark.parametrize(
    ("widths", "quantity", "width", "length"),
    [
        (WIDTHS, 1, 600, 1300),
        ((140, 150, 160, 120, 130, 110, 100, 90, 170), 2, 400, 1300),
        ((140, 150, 160, 120, 130), 3, 300, 2700),  # two strips of every board
        ((200,), 1, 150, 1300),
    ],
)
@pytest.mark.parametrize("flow", Flow)
def test_the_books_add_up(widths: Sequence[float], quantity: int, width: float, length: float, flow: Flow) -> None:
    job = a_top(widths, quantity, width, length)
    job = replace(job, parts=(*job.parts, a_part("B", 3, (400, 60, 20))), stock=(*job.stock, a_board(2)))
    sheet = make_plan(job, SHOP, Choices(flow=flow))
    assert len(glued(sheet)) == quantity
    assert check_ledger(run_sheet_json(sheet, Show.MM), facts_of(job, SHOP)) == []


def test_the_books_see_a_strip_in_the_wrong_panel() -> None:
    job = a_top((140, 150, 160, 120, 130, 110, 100, 90, 170), 2, 400)
    sheet = run_sheet_json(make_plan(job, SHOP), Show.MM)
    first, second = [run for run in sheet["runs"] if run["work"] == "glue"]
    first["takes"][0], second["takes"][0] = second["takes"][0], first["takes"][0]
    assert check_ledger(sheet, facts_of(job, SHOP))


def test_boards_in_one_panel_are_in_no_other() -> None:
    stock = tuple(a_board(1, (1300, one + LOST / MM, 27)) for one in (*WIDTHS, 155, 145, 135, 125))
    parts = tuple(a_part(mark, 1, (1200, width, 18), made=Made.BOARDS) for mark, width in (("A", 600), ("B", 500)))
    job = a_job(*parts, stock=stock)
    rows = [strip.row for panel in panels_of(job, SHOP) for strip in panel.own]
    assert len(rows) == len(set(rows))
    assert check_ledger(run_sheet_json(make_plan(job, SHOP), Show.MM), facts_of(job, SHOP)) == []


def test_panels_of_two_thicknesses_take_boards_of_their_own_out_of_one_row() -> None:
    parts = [a_part("B", 2, (700, 150, 20), made=Made.BOARDS), a_part("C", 1, (400, 300, 18), made=Made.BOARDS)]
    job = a_job(*parts, stock=(a_board(5, (1300, 200, 27)),))
    assert check_ledger(run_sheet_json(make_plan(job, SHOP), Show.MM), facts_of(job, SHOP)) == []


def test_what_the_saw_takes_between_two_strips_counts() -> None:
    """Two strips of 1225 want 2450, a kerf and the trim of both ends: of 2450 there comes one."""
    saw = cutting_in(SHOP)
    for length, boards in ((2450, 4), ((2 * mm(1225) + saw.kerf_along + 2 * saw.trim_ends) / MM, 2)):
        job = a_job(a_part("A", 1, (1200, 460, 18), made=Made.BOARDS), stock=(a_board(4, (length, 150, 27)),))
        sheet = make_plan(job, SHOP)
        assert sheet.wood.boards_used == boards and not sheet.wood.to_buy


SOME_BOARDS = st.tuples(st.integers(1, 3), st.sampled_from([95, 118, 131, 152, 200]), st.sampled_from([27, 34]))
SOME_TOPS = st.tuples(
    st.sampled_from(Made),
    st.integers(1, 3),
    st.tuples(st.sampled_from([400, 1100]), st.sampled_from([150, 420]), st.sampled_from([18, 22])),
)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(SOME_BOARDS, min_size=1, max_size=6),
    st.lists(SOME_TOPS, min_size=1, max_size=3),
    st.sampled_from([None, 160, 250, 400]),
    st.booleans(),
    st.booleans(),
)
def test_the_books_of_any_panels_add_up(
    boards: list[tuple[int, int, int]],
    tops: list[tuple[Made, int, tuple[int, int, int]]],
    widest: int | None,
    calibrates: bool,
    breaks_down: bool,
) -> None:
    stations = [fitted(one, widest=widest and mm(widest)) if "plane" in one.work else one for one in SHOP.stations]
    stations += [Station("drum", ("calibrate",), (Axis("drum", "thickness", high=mm(99)),))] if calibrates else []
    stations += [Station("chop saw", ("break down",))] if breaks_down else []
    shop = replace(SHOP, stations=tuple(stations))
    stock = tuple(a_board(count, (2400, width, thick), bow=mm(4)) for count, width, thick in boards)
    parts = [a_part("ABC"[n], count, size, made=made) for n, (made, count, size) in enumerate(tops)]
    job = a_job(*parts, stock=stock)
    sheet = make_plan(job, shop, effort=Steps(300))
    assert check_ledger(run_sheet_json(sheet, Show.MM), facts_of(job, shop)) == []


def test_boards_that_do_not_cover_it_leave_equal_strips_and_are_told_of() -> None:
    sheet = make_plan(a_top((100, 110)), SHOP)
    assert any("do not cover it; planned are equal strips" in one.text for one in sheet.warnings)
    assert sheet.wood.to_buy
    planer = next(one for one in SHOP.stations if "plane" in one.work)
    narrow = tuple(fitted(one, widest=mm(400)) if one is planer else one for one in SHOP.stations)
    told = make_plan(a_top(), replace(SHOP, stations=narrow))
    assert any("wider than the 400 mm that pass, so it is glued in sub-panels" in one.text for one in told.warnings)
    assert [run.gluing.groups for run in glued(told) if run.gluing] == [(3, 3), (2,)]
    assert not any("equal strips" in one.text for one in make_plan(a_top(), SHOP).warnings)


def test_a_board_that_is_wide_enough_by_itself_is_told_of() -> None:
    for made, stock in ((Made.BOARDS, (200,)), (Made.PANEL, (200,))):
        job = a_top(stock, width=90)
        told = [one.text for one in make_plan(replace(job, parts=(replace(job.parts[0], made=made),)), SHOP).warnings]
        assert any('one strip is wide enough for it; made = "whole" needs no glue' in one for one in told)
    assert not any("wide enough" in one.text for one in make_plan(a_top(), SHOP).warnings)


def test_jobs_worked_together_keep_their_own_strips() -> None:
    members = [Member(number, a_top()) for number in ("1", "2")]
    sheet = plan_together(members, "Both", SHOP)
    assert [len(run.takes) for run in glued(sheet)] == [5, 5]
    assert {run.gives[0].width for run in glued(sheet)} == {mm(624)}


def test_every_panel_waits_for_its_own_clamps_in_the_day() -> None:
    shop = replace(SHOP, day=Day("08:00", "17:00"), clamps=(Clamps(mm(800), 8),))
    sheet = make_plan(a_top((140, 150, 160, 120, 130, 110, 100, 90, 170), 2, 400), shop)
    assert sheet.day is not None
    lines = [(one.run, one.nth) for one in sheet.day.entries if one.nth]
    assert sorted(lines) == sorted((run.id, 1) for run in glued(sheet))


def test_labels_of_such_strips_say_how_large_each_is() -> None:
    job = a_top()
    (panel,), (piece,) = panels_of(job, SHOP), list_pieces(job, make_plan(job, SHOP))
    labels = list(strip_labels(piece, panel, 3))
    assert [label.title for label in labels] == [f"A-01 {nth}/5" for nth in range(1, 6)]
    assert "153.6" in labels[0].size and "98.6" in labels[2].size
    assert {label.code for label in labels} == {encode(3, 0)}


def test_a_part_list_may_ask_for_it() -> None:
    (top,) = read_part_list("name,qty,l,w,t,made\nTop,1,600,400,20,boards").parts
    assert top.made is Made.BOARDS
