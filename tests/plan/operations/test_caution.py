"""Cautions stand where they must, not where the stock is still long, and in figures of the trade."""

import re

import pytest
from tests.builders import a_board, a_jointer, a_part, a_planer, a_saw, a_shop, mm

from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Grain, Kind
from stopwright.model.shaping import Moulding, Pass
from stopwright.model.stations import Axis, Station
from stopwright.model.stock import StockKind
from stopwright.plan.operations.known import CAUTIONS
from stopwright.plan.plan import make_plan

SPINDLE = Station("spindle", ("mould",), (Axis("cutter", "cutter"),))
ROUND = Pass("round 4", mm(4), 0)


def said(job: Job, work: str) -> str:
    """All cautions of the first run of this work."""
    runs = make_plan(job, a_shop(a_jointer(), a_planer(), a_saw(), SPINDLE)).runs
    return " ".join(next(run for run in runs if run.work == work).cautions)


def test_a_short_moulding_is_long_until_it_is_cut() -> None:
    strip = a_part("A", 20, (45, 30, 8), kind=Kind.MOULDING)
    job = Job("tenons", (strip, a_part("B", 1, (900, 60, 22))), mouldings=(Moulding("M", ("A",), (ROUND,)),))
    for work in ("joint", "plane", "square", "mould"):
        assert not re.search("(Piece|piece) (under|shorter)", said(job, work)), work
    crosscut = make_plan(job, a_shop(a_saw())).runs[-1]
    assert crosscut.stops[0].target == mm(45)
    assert any("Piece under 152 mm" in caution for caution in crosscut.cautions)


def test_a_short_solid_piece_is_warned_of_at_the_jointer_and_at_the_planer() -> None:
    job = Job("rails", (a_part("A", 4, (244, 60, 22)),))
    assert "Piece under 300 mm: not over the jointer" in said(job, "joint")
    assert "Piece shorter than the feed rollers" in said(job, "plane")


def test_what_is_run_long_is_as_long_as_its_strip_and_what_is_run_last_as_short_as_the_piece() -> None:
    along, around = (Side.EDGE,), (Side.EDGE, Side.MARKED_END)
    for size, edges, short in (
        ((200, 60, 22), along, False),
        ((200, 60, 22), around, True),
        ((500, 150, 22), around, True),  # its end, 150 long, passes the cutter
        ((500, 400, 22), around, False),
    ):
        moulding = Moulding("M", ("A",), (ROUND,), edges)
        job = Job("tops", (a_part("A", 2, size),), mouldings=(moulding,), stock=(a_board(1, (2400, 420, 27)),))
        assert ("work it in a holder" in said(job, "mould")) is short, size


def test_a_piece_turned_on_its_sheet_is_as_wide_at_the_fence_as_it_is_ripped() -> None:
    # 5 strips of 100 do not go into 300, but one strip of 280 with the pieces across it does
    part = a_part("A", 5, (280, 100, 18), kind=Kind.SHEET, grain=Grain.ANY)
    sheet = a_board(1, (560, 300, 18), kind=StockKind.SHEET)
    runs = make_plan(Job("shelf", (part,), stock=(sheet,)), a_shop(a_saw())).runs
    (rip,) = [run for run in runs if run.work == "rip"]
    assert rip.stops[0].target == mm(280)
    assert not any("Strip under" in caution for caution in rip.cautions)


@pytest.mark.parametrize(
    ("wide", "told"),
    [
        (49.9, "Strip under 50 mm: push block"),
        (50, "Strip under 150 mm: push stick at least 450 mm"),
        (149.9, "Strip under 150 mm: push stick at least 450 mm"),
        (150, "Push stick for the last 300 mm"),
    ],
)
def test_a_strip_just_as_wide_as_a_caution_says_is_not_under_it(wide: float, told: str) -> None:
    words = said(Job("strips", (a_part("A", 2, (700, wide, 20)),)), "rip")
    assert re.findall(r"Strip under \d+ mm: push \w+(?: at least \d+ mm)?|Push stick for the last \d+ mm", words) == [
        told
    ]


@pytest.mark.parametrize(("long", "is_short"), [(151.9, True), (152, False)])
def test_a_piece_just_as_long_as_a_caution_says_is_not_under_it(long: float, is_short: bool) -> None:
    assert ("Piece under 152 mm" in said(Job("blocks", (a_part("A", 2, (long, 60, 20)),)), "crosscut")) == is_short


def test_inch_figures_are_those_of_the_trade_and_never_the_less_strict() -> None:
    words = [caution.words(Show.SIXTY_FOURTHS) for caution in CAUTIONS]
    assert not [text for text in words if "(+" in text or "(−" in text]
    assert any(text.startswith("Piece under 12 in: not over the jointer") for text in words)
    assert any(text.startswith("Strip under 2 in: push block") for text in words)
    assert any(text.startswith("Strip under 6 in: push stick at least 18 in long") for text in words)
    assert any("less than 3/8 in" in text for text in words)  # 9.525 mm, within the 10
