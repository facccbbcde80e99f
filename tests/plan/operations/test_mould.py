"""Spindle runs: pass after pass, end grain first, each of cutter, height and fence as seldom as can be."""

from tests.builders import a_part, a_shop, mm, settings_made
from tests.plan.alone import Alone, plan_mouldings

from stopwright.model.gear import Cutters
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Kind
from stopwright.model.shaping import Moulding, Pass
from stopwright.model.stations import Axis, Station

AXES = (
    Axis("cutter", "cutter", minutes=5),
    Axis("spindle height", "spindle height", step=mm(0.1), minutes=1),
    Axis("spindle fence", "spindle fence", step=mm(0.5), minutes=1),
)
COVE, ROUND = Pass("cove 12", mm(8), mm(12)), Pass("round 4", mm(4), mm(2))
ALL_ROUND = (Side.FAR_EDGE, Side.OTHER_END, Side.EDGE, Side.MARKED_END)


def plan(*mouldings: Moulding, kind: Kind = Kind.MOULDING) -> Alone:
    spindle = Station("spindle", ("mould",), AXES, (Cutters(cutters=("cove 12", "round 4")),))
    shop = a_shop(spindle)
    parts = tuple(a_part(mark, 4, kind=kind) for mark in "FGH")
    return plan_mouldings(Job("trim", parts, mouldings=mouldings), shop, spindle)


def test_all_stock_goes_through_the_first_pass_and_then_through_the_second() -> None:
    sheet = plan(Moulding("P1", ("F", "G"), (COVE, ROUND)))
    assert [(str(run.stops[0].target), run.count) for run in sheet.runs] == [("cove 12", 8), ("round 4", 8)]
    assert (settings_made(sheet.runs), sheet.least_possible, sheet.proven) == (6, 6, True)
    assert sheet.runs[0].note == "P1, pass 1 of 2: face edge; run long, crosscut after"


def test_a_later_pass_never_comes_before_an_earlier_one_even_where_that_costs_a_setting() -> None:
    sheet = plan(Moulding("P1", ("F",), (COVE, ROUND)), Moulding("P2", ("G",), (ROUND, COVE)))
    order = [run.lot for run in sheet.runs]
    assert order.index("P1 pass 1") < order.index("P1 pass 2")
    assert order.index("P2 pass 1") < order.index("P2 pass 2")
    # three set-ups of three: the first profile's second pass and the other's first share one
    assert settings_made(sheet.runs) == 9


def test_mouldings_with_the_same_set_up_follow_each_other() -> None:
    sheet = plan(Moulding("P1", ("F",), (COVE,)), Moulding("P2", ("G",), (ROUND,)), Moulding("P3", ("H",), (COVE,)))
    assert settings_made(sheet.runs) == 6
    assert len({run.id for run in sheet.runs}) == 3


def test_a_panel_is_edged_end_grain_first_then_long_grain() -> None:
    (run,) = plan(Moulding("P1", ("F",), (COVE,), ALL_ROUND), kind=Kind.SOLID).runs
    assert run.note == (
        "P1: end grain first (marked end, other end), then face edge, far edge, turning the same way round"
    )


def test_moulded_ends_of_a_part_that_is_cut_to_length_after_are_a_warning() -> None:
    (warning,) = plan(Moulding("P1", ("F",), (COVE,), ALL_ROUND)).warnings
    assert warning.about == "F"
    assert "make it solid" in warning.text


def test_a_cutter_that_is_not_on_hand_is_a_fault() -> None:
    (fault,) = plan(Moulding("P1", ("F",), (Pass("ogee 20", mm(8), mm(12)),))).faults
    assert fault.text == "the spindle has no cutter 'ogee 20'; on hand: cove 12, round 4"


def test_a_job_without_mouldings_has_no_runs() -> None:
    assert plan() == Alone()
