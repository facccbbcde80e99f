"""Which wood is taken: the shelf first, and what is said of wood that is left."""

from dataclasses import replace

import pytest
from tests.builders import a_board, a_job, a_part, a_saw, a_shop, mm

from stopwright.model.parts import Grain, Kind
from stopwright.model.stock import StockKind, Zone
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Rest

SHEET = StockKind.SHEET


def test_a_piece_is_turned_where_an_offcut_then_saves_a_new_sheet() -> None:
    # 640 across does not go into the offcut of 500, but turned it lies along its 900
    part = a_part("A", 1, (210, 640, 18), kind=Kind.SHEET, grain=Grain.ANY)
    whole, rest = (
        a_board(3, (1500, 1500, 18), kind=SHEET),
        a_board(1, (900, 500, 18), kind=StockKind.OFFCUT, sheet=True),
    )
    (layout,) = make_plan(a_job(part, stock=(whole, rest)), a_shop(a_saw())).wood.layouts
    assert (layout.stock, layout.placements[0].turned) == (1, True)
    (layout,) = make_plan(a_job(part, stock=(whole,)), a_shop(a_saw())).wood.layouts
    assert not layout.placements[0].turned


@pytest.mark.parametrize(
    ("grain", "size", "held"),
    [
        (Grain.ANY, (170, 140, 18), True),
        (Grain.ANY, (140, 700, 18), True),  # turned
        (Grain.ALONG, (140, 700, 18), True),
        (Grain.ACROSS, (140, 700, 18), False),
        (Grain.ANY, (700, 170, 18), False),
    ],
)
def test_a_rest_too_small_for_the_shelf_is_told_of_where_it_holds_what_is_missing(grain, size, held) -> None:
    # beside the top 1000 − 10 − 825 − 3.2 = 161.8 are left along the grain, 720 across it: too short to keep
    top = a_part("A", 1, (825, 720, 18), kind=Kind.SHEET)
    missing = a_part("B", 1, size, kind=Kind.SHEET, grain=grain)
    sheet = make_plan(a_job(top, missing, stock=(a_board(1, (1000, 735, 18), kind=SHEET),)), a_shop(a_saw()))
    assert not sheet.wood.layouts[0].offcuts
    (said,) = [one.text for one in sheet.warnings if one.about == "B"]
    assert said.endswith("What this plan leaves of a sheet, 161.8 × 720 mm, would hold it") is held


def test_what_two_saws_leave_is_short_of_the_kerf_of_each() -> None:
    # chop saw: 1200 − 2 × 10 − 500 − 4; table saw: 260 − 120 − 2
    rips = a_saw(work=("rip",), kerf=mm(2), trim=0)
    chops = replace(a_saw(work=("square", "crosscut"), kerf=mm(4), trim=mm(10)), name="chop saw")
    part = a_part("A", 1, (500, 120, 18), kind=Kind.SHEET)
    sheet = make_plan(a_job(part, stock=(a_board(1, (1200, 260, 18), kind=SHEET),)), a_shop(rips, chops))
    left = [(one.length, one.width) for one in sheet.wood.layouts[0].offcuts]
    assert sorted(left) == [(mm(676), mm(120)), (mm(1180), mm(138))]


def left_of(*zones: Zone) -> tuple[Rest, ...]:
    """What is left of a board of 2000 × 140 with these flaws, of which one piece of 600 × 40 is cut."""
    board = a_board(1, (2000, 140, 27), zones=zones)
    return make_plan(a_job(a_part("A", 1, (600, 40, 22)), stock=(board,)), a_shop()).wood.layouts[0].offcuts


def test_a_rest_with_a_flaw_is_kept_and_its_clean_part_told() -> None:
    # beside the strip: 140 − 6 of the face edge − 40 − 3.2; x from 5, the trimmed end, to 1995
    (beside, behind) = left_of()
    assert (beside.length, beside.width, beside.clean) == (mm(1990), mm(90.8), (mm(1990), mm(90.8)))
    assert (behind.length, behind.width) == (mm(1990 - 600 - 3.2), mm(40))
    knot = Zone(mm(1500), mm(1530), mm(90), mm(110))
    (flawed, same) = left_of(knot)
    assert same == behind
    assert (flawed.length, flawed.width, flawed.clean) == (mm(1990), mm(90.8), (mm(1495), mm(90.8)))
    assert flawed.zones == (Zone(mm(1495), mm(1525), mm(90 - 49.2), mm(110 - 49.2)),)


def test_a_split_across_the_whole_board_leaves_rests_all_the_same() -> None:
    across = left_of(Zone(mm(1500), mm(1550)))
    assert [rest.clean for rest in across] == [(mm(1495), mm(90.8)), (mm(1500 - 5 - 600 - 3.2), mm(40))]


def test_a_rest_without_a_clean_part_worth_keeping_is_none() -> None:
    # 49.2 … 60 and 130 … 140 are clean beside the strip; what lies behind it is
    (behind,) = left_of(Zone(0, mm(2000), mm(60), mm(130)))
    assert behind.width == mm(40)
