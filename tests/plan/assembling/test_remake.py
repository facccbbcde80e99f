"""Remakes: every operation the piece had, stops that stand, remembered readings, wood by the longest-left rule."""

from collections.abc import Sequence
from itertools import permutations
from types import MappingProxyType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import a_board, a_job, a_part, at_length, mm
from tests.conftest import ROOT
from tests.more_of import MoreOfPart
from tests.plan.joint_builders import a_frame, a_joint

from stopwright.intake.job_file import read_job
from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Grain, Hand, Kind
from stopwright.model.shaping import Mitre, Moulding, Pass
from stopwright.model.stock import StockKind
from stopwright.plan.assembling.pieces import Piece, list_pieces
from stopwright.plan.assembling.remake import (
    Readings,
    Remake,
    Stands,
    Ways,
    WoodOnHand,
    blank_of,
    choose_wood,
    plan_remake,
)
from stopwright.plan.choices import Choices
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import RunSheet

SHOP = default_shop()


def remake(
    job: Job,
    sheet: RunSheet,
    piece: Piece,
    stands: Stands = MappingProxyType({}),
    readings: Readings = MappingProxyType({}),
    good: Sequence[Piece] = (),
) -> Remake:
    return plan_remake(job, SHOP, sheet, piece, stands=stands, readings=readings, good=good)


@pytest.fixture(scope="module")
def stool() -> tuple[Job, RunSheet, dict[str, Piece]]:
    job = read_job(ROOT / "fixtures" / "bakery-stools")
    sheet = make_plan(job, SHOP)
    return job, sheet, {piece.label: piece for piece in list_pieces(job, sheet)}


def test_a_leg_passes_again_all_that_a_leg_passes_its_slots_by_its_hand(stool) -> None:
    job, sheet, pieces = stool
    for label in ("A-01", "A-02"):
        piece = pieces[label]
        steps = remake(job, sheet, piece).steps
        mirrored = piece.hand == "left"
        lines = [line for run in sheet.runs for line in run.pieces if line.mark == "A"]
        slots = [line for line in lines if line.slotted and line.mirrored == mirrored]
        assert sum(Ways(job, sheet).times(piece, step.run) for step in steps if step.run.work == "mortise") == len(
            slots
        )
        works = [step.run.work for step in steps]
        assert works == sorted(works, key=list(OPERATIONS).index)  # planed, ripped, squared, crosscut, slotted
        assert {"joint", "plane", "rip", "square", "crosscut", "mortise"} == set(works)


def test_a_run_whose_stops_all_stand_is_used_and_any_other_is_set_anew(stool) -> None:
    job, sheet, pieces = stool
    ripping = next(run for run in Ways(job, sheet).of(pieces["B-01"]) if run.work == "rip")
    stands = {ripping.station: [(stop.axis, stop.told) for stop in ripping.stops]}
    steps = {step.run.id: step.stands for step in remake(job, sheet, pieces["B-01"], stands=stands).steps}
    assert steps[ripping.id]
    assert not any(stands for id_, stands in steps.items() if id_ != ripping.id and sheet.run(id_).stops)
    assert not remake(job, sheet, pieces["B-01"], stands={ripping.station: []}).steps[2].stands


def test_a_stop_set_anew_gets_the_reading_that_worked_not_the_one_of_the_sheet(stool) -> None:
    job, sheet, pieces = stool
    run = next(run for run in Ways(job, sheet).of(pieces["B-01"]) if run.work == "crosscut")
    stop = run.stops[0]
    worked = at_length(stop.reading) - mm(0.5)
    steps = remake(job, sheet, pieces["B-01"], readings={(run.id, stop.axis): worked}).steps
    step = next(step for step in steps if step.run == run)
    assert step.reading(stop) == worked
    other = next(step for step in steps if step.run.work == "rip")
    assert other.reading(other.run.stops[0]) == other.run.stops[0].reading


def test_the_sister_is_of_the_same_hand_and_of_the_same_unit_if_one_is_left(stool) -> None:
    job, sheet, pieces = stool
    everything = list(pieces.values())
    sister = remake(job, sheet, pieces["A-01"], good=everything).sister
    assert sister and (sister.label, sister.hand, sister.unit) == ("A-03", pieces["A-01"].hand, 1)
    others = [piece for piece in everything if piece.unit != 1]
    assert remake(job, sheet, pieces["A-01"], good=others).sister.label == "A-05"
    assert remake(job, sheet, pieces["A-01"], good=[pieces["A-01"], pieces["A-02"]]).sister is None


def test_a_mitred_moulded_piece_is_mitred_and_moulded_again() -> None:
    frame = a_part("F", 4, (300, 40, 20), material="ash")
    job = Job(
        "Frame",
        (frame,),
        mitres=(Mitre("F", sides=4),),
        mouldings=(
            Moulding("P1", ("F",), (Pass("cove 12", mm(8), mm(12)), Pass("round 5", mm(8), mm(2))), (Side.EDGE,)),
        ),
    )
    sheet = make_plan(job, SHOP)
    steps = remake(job, sheet, list_pieces(job, sheet)[0]).steps
    assert [step.run.work for step in steps].count("mitre") == sum(run.work == "mitre" for run in sheet.runs) > 0
    assert sum(step.run.work == "mould" for step in steps) == sum(run.work == "mould" for run in sheet.runs)


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    kinds = draw(st.lists(st.sampled_from(["solid", "sheet", "moulding", "mitred", "pairs"]), min_size=1, max_size=4))
    parts, mitres = [], []
    for mark, kind in zip("CDEF", kinds, strict=False):
        size = (
            draw(st.integers(310, 900)),
            draw(st.integers(30, 120)),
            18 if kind == "sheet" else draw(st.sampled_from([20, 27])),
        )
        ash: MoreOfPart = {"material": "ash"}
        more: dict[str, MoreOfPart] = {
            "solid": ash,
            "mitred": ash,
            "sheet": {**ash, "kind": Kind.SHEET, "grain": Grain.ANY},
            "moulding": {**ash, "kind": Kind.MOULDING},
            "pairs": {**ash, "hand": Hand.PAIRS},
        }
        parts.append(a_part(mark, 2 * draw(st.integers(1, 4)), size, **more[kind]))
        if kind == "mitred":
            mitres.append(Mitre(mark, sides=draw(st.sampled_from([4, 6]))))
    if draw(st.booleans()):
        return a_frame(
            a_joint("J1", "far edge"),
            a_joint("J2", "back"),
            rails=4,
            hand="pairs",
            parts=tuple(parts),
            mitres=tuple(mitres),
        )
    stock = (a_board(5, (2400, 180, 30), material="ash"),) if draw(st.booleans()) else ()
    return a_job(*parts, mitres=tuple(mitres), stock=stock, units=draw(st.integers(1, 2)))


@settings(deadline=None, max_examples=25)
@given(jobs(), st.sampled_from([None, "part by part"]))
def test_a_remake_always_contains_every_operation_the_piece_had(job: Job, flow) -> None:
    sheet = make_plan(job, SHOP, Choices(flow=flow))
    for piece in list_pieces(job, sheet):
        steps = [step.run for step in remake(job, sheet, piece).steps]
        had = [run for run in sheet.runs if Ways(job, sheet).times(piece, run)]
        assert {run.work for run in steps} == {run.work for run in had}
        for work in set(OPERATIONS) - {"rip", "crosscut"}:  # these two share pieces out where some lie turned
            assert [run for run in steps if run.work == work] == [run for run in had if run.work == work]
        assert steps == sorted(steps, key=lambda run: run.number)


def test_pieces_that_lie_turned_on_their_sheet_pass_the_runs_of_turned_ones() -> None:
    """One sheet takes a piece along, the other across."""
    part = a_part("A", 2, (600, 290, 18), kind=Kind.SHEET, grain=Grain.ANY, material="birch")
    sheets = tuple(a_board(1, (*size, 18), kind=StockKind.SHEET, material="birch") for size in ((620, 310), (310, 620)))
    job = a_job(part, stock=sheets)
    sheet = make_plan(job, SHOP, Choices(may_turn=True))
    assert {(p.length, p.width) for one in sheet.wood.layouts for p in one.placements} == {
        (mm(600), mm(290)),
        (mm(290), mm(600)),
    }
    for piece in list_pieces(job, sheet):
        works = [run.work for run in Ways(job, sheet).of(piece)]
        assert works.count("rip") == 1 and works.count("crosscut") == 1
        rip, cut = (next(run for run in Ways(job, sheet).of(piece) if run.work == work) for work in ("rip", "crosscut"))
        assert {rip.stops[0].target, cut.stops[0].target} == {mm(600), mm(290)}


RAIL = a_part("B", 2, (400, 60, 20), material="ash")
BLANK = (mm(425), mm(66), mm(20))


def wood(
    length: float, rank: int = 0, width: float = 100, thickness: float = 27, material: str = "ash", sheet: bool = False
):
    return WoodOnHand(f"{length:g}", rank, mm(length), mm(width), mm(thickness), material, sheet)


@pytest.mark.parametrize("order", list(permutations((1500, 600, 900, 300))))
def test_the_shortest_that_is_long_enough_leaves_the_longest_whatever_the_order(order) -> None:
    # from 600: 1500, 900, 300, 171.8 are left; from 900: 1500, 600, 471.8, 300; the second longest decides
    assert choose_wood(RAIL, BLANK, map(wood, order), mm(3.2)).place == "600"


def test_the_shelf_comes_before_what_is_left_over_and_that_before_a_whole_board() -> None:
    woods = [wood(500, rank=2), wood(2000, rank=1), wood(2400, rank=0)]
    assert choose_wood(RAIL, BLANK, woods).place == "2400"
    assert choose_wood(RAIL, BLANK, woods[:2]).place == "2000"


def test_a_blank_has_the_shops_allowances_and_a_piece_of_a_sheet_none() -> None:
    job = a_job(RAIL)
    assert blank_of(job, SHOP, RAIL) == (mm(400) + SHOP.allowance.length, mm(60) + SHOP.allowance.width, mm(20))
    assert SHOP.allowance.width and SHOP.allowance.length
    panel = a_part("D", 1, (500, 200, 18), kind=Kind.SHEET)
    assert blank_of(a_job(panel), SHOP, panel) == panel.size


@pytest.mark.parametrize("just", [wood(425), wood(900, width=66), wood(900, thickness=20)])
def test_wood_that_is_just_long_wide_or_thick_enough_is_taken(just) -> None:
    assert choose_wood(RAIL, BLANK, [just]) == just


@pytest.mark.parametrize(
    "too", [wood(424), wood(900, width=65), wood(900, thickness=19), wood(900, material="oak"), wood(900, sheet=True)]
)
def test_wood_that_is_too_short_narrow_thin_or_of_another_kind_is_not_taken(too) -> None:
    assert choose_wood(RAIL, BLANK, [too]) is None


def test_of_equal_lengths_the_narrower_and_thinner_goes() -> None:
    woods = [wood(600, width=150), wood(600, width=90), wood(600, width=90, thickness=40)]
    assert choose_wood(RAIL, BLANK, woods) == woods[1]


def test_a_sheet_part_is_cut_across_only_where_its_grain_allows() -> None:
    panel = a_part("D", 1, (500, 200, 18), material="birch", kind=Kind.SHEET, grain=Grain.ALONG)
    short = wood(300, width=600, thickness=18, material="Birch", sheet=True)
    assert choose_wood(panel, panel.size, [short]) is None
    loose = a_part("D", 1, (500, 200, 18), material="birch", kind=Kind.SHEET, grain=Grain.ANY)
    assert choose_wood(loose, loose.size, [short]) == short
