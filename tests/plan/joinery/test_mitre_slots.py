"""Slots in mitred ends for loose tenons: where the mortiser stands, which stop, the tenons, and what is refused."""

import json
from dataclasses import replace

import pytest
from tests.builders import mm
from tests.shop.machines import Station, complaints, cuts_of, room_of

from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Job
from stopwright.model.joints import Joint, RailEnds, Side
from stopwright.model.parts import Hand, Part
from stopwright.model.shaping import Mitre
from stopwright.plan.joinery.master_piece import master_pieces
from stopwright.plan.joinery.mitre_slots import MitreSlot
from stopwright.plan.joinery.tenons import tenon_stock
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet_json import run_sheet_json

SIDE = Part("A", "Long side", 4, mm(400), mm(60), mm(22))
SHORT = Part("B", "Short side", 4, mm(300), mm(60), mm(22))
SQUARE = (Mitre("A", sides=4), Mitre("B", sides=4))
SLOT = MitreSlot(mark="M1", parts=("A", "B"), start=mm(30), length=mm(25), bit=mm(8), depth=mm(20))
SHOP = default_shop()


def frame(slot: MitreSlot = SLOT, parts=(SIDE, SHORT), mitres=SQUARE, joints=()) -> Job:
    return Job("mirror", parts, mitres=mitres, cuts=(slot,), joints=joints)


def mortising(job: Job):
    return [run for run in make_plan(job, SHOP).runs if run.work == "mortise"]


def test_height_depth_and_travel_are_set_once_and_either_end_lies_at_its_own_stop():
    runs = mortising(frame())
    stands = {stop.sets: stop.target for run in runs for stop in run.stops}
    assert (stands["bit"], stands["table height"], stands["depth"]) == (mm(8), mm(11), mm(20))
    assert {pieces.at for run in runs for pieces in run.pieces} == {"left", "right"}
    assert {str(pieces.down) for run in runs for pieces in run.pieces} == {"face"}
    # bit, height, depth, both ends of the travel, and an end stop for either end
    assert sum(stop.move == "set" for run in runs for stop in run.stops) == 7
    assert all("A in a jig at 45°, its mitre square to the bit" in run.note for run in runs)


@pytest.mark.parametrize("hand", Hand)
@pytest.mark.parametrize("ends", RailEnds)
def test_what_the_sheet_has_cut_is_what_is_asked_for(hand, ends):
    parts = (replace(SIDE, hand=hand), replace(SHORT, hand=hand))
    job = frame(replace(SLOT, offset=mm(8)), parts, tuple(replace(one, ends=ends) for one in SQUARE))
    sheet = make_plan(job, SHOP)
    assert not sheet.faults
    printed = json.loads(json.dumps(run_sheet_json(sheet, SHOP.show)))
    made = list(
        cuts_of(printed, {part.mark: part.size for part in parts}, {one.name: Station(0) for one in SHOP.stations})
    )
    named = ("marked end", "other end") if ends is RailEnds.BOTH else (str(ends),)
    walls = {"edge": (mm(30), mm(55)), "face": (mm(4), mm(12))}
    wanted = {("M1", part.mark): [room_of(walls | {end: (0, mm(20))}, part.size) for end in named] for part in parts}
    hands = {part.mark: {False, True} if hand is Hand.PAIRS else {False} for part in parts}
    assert complaints(made, wanted, hands) == []


def test_a_tenon_for_every_two_ends_is_made_like_any_other():
    (stock,) = tenon_stock(frame(), SHOP)
    # 8 pieces with 2 ends are 8 corners; 8 − 0.1, 25 − 0.8, 2 · 20 − 2 · 1.6
    assert (stock.count, stock.thickness, stock.width, stock.length) == (8, mm(7.9), mm(24.2), mm(36.8))
    sheet = make_plan(frame(), SHOP)
    assert {pieces.mark for run in sheet.runs for pieces in run.pieces} == {"A", "B", "T1"}
    assert any(run.work == "mould" and run.pieces[0].mark == "T1" for run in sheet.runs)


def test_joints_and_mitres_share_what_stands_at_the_mortiser():
    post, rail = Part("P", "Post", 4, mm(500), mm(60), mm(60)), Part("R", "Rail", 4, mm(300), mm(80), mm(22))
    joint = Joint("J1", "P", "R", Side.FAR_EDGE, mm(30), mm(55), mm(8), mm(20), mm(20))
    job = frame(parts=(SIDE, SHORT, post, rail), joints=(joint,))
    runs = mortising(job)
    assert not make_plan(job, SHOP).faults
    together = [run for run in runs if {pieces.mark for pieces in run.pieces} >= {"A", "R"}]
    assert together and all("for J1, M1" in run.note for run in together)


@pytest.mark.parametrize(
    ("slot", "mitres", "said"),
    [
        (SLOT, SQUARE[:1], "part B is not mitred; mitre it, or join it with a joint"),
        (replace(SLOT, start=mm(61)), SQUARE, "it ends 86 mm from the face edge, the mitre is only 84.85 mm long"),
        (replace(SLOT, depth=mm(40)), SQUARE, "it would come out at the long point, where 40 mm are needed"),
        (replace(SLOT, bit=mm(7)), SQUARE, "the mortiser has no bit of 7 mm; on hand: 6 mm"),
        (replace(SLOT, depth=mm(61)), SQUARE, "the mortiser reaches 60 mm deep, not the 61 mm wanted"),
        (replace(SLOT, length=mm(49)), SQUARE, "more than 6 × the bit (48 mm); shorten it"),
        (replace(SLOT, station="saw"), SQUARE, "all slots are made at the mortiser"),
        (replace(SLOT, offset=mm(3)), SQUARE, "breaks out of the piece"),
    ],
)
def test_a_slot_that_cannot_be_is_refused_with_the_reason(slot, mitres, said):
    assert any(said in fault.text for fault in make_plan(frame(slot, mitres=mitres), SHOP).faults)


def test_a_slot_that_comes_out_at_one_point_and_ends_that_make_no_pairs_are_asked_about():
    near = make_plan(frame(replace(SLOT, start=mm(15))), SHOP)
    assert not near.faults
    assert any("comes out at the face edge if the long point is there" in one.text for one in near.warnings)
    one_end = (Mitre("A", sides=4, ends=RailEnds.MARKED),)
    odd = make_plan(frame(replace(SLOT, parts=("A",)), (replace(SIDE, quantity=3),), one_end), SHOP)
    assert any("3 ends cannot make pairs" in one.text for one in odd.warnings)


def test_the_master_piece_shows_the_slot_along_the_mitre():
    job = frame(replace(SLOT, start=mm(35), depth=mm(20)))
    masters = master_pieces(job, SHOP, make_plan(job, SHOP).runs)
    assert [master.part for master in masters] == ["A", "B"]
    assert masters[0].across(Side.MARKED_END) == 84_852_814  # 60 / cos 45°
    assert [(mark.start, mark.end) for mark in masters[0].on(Side.MARKED_END)] == [(mm(35), mm(60))]
