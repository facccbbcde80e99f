"""Corners with loose tenons: how a board stands at the mortiser for slots across its face, and what is refused."""

import json
from dataclasses import replace

import pytest
from tests.builders import mm
from tests.plan.solid_check import block_of, slot_made
from tests.shop.machines import Station, complaints, cuts_of, room_of

from stopwright.errors import Inconsistent
from stopwright.intake.job_file import job_from_document
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Hand, Part
from stopwright.paper.master_drawing import mark_text
from stopwright.plan.joinery.corner_slots import CornerSlots
from stopwright.plan.joinery.hands import count_hands
from stopwright.plan.joinery.master_piece import master_pieces, story_stick
from stopwright.plan.joinery.slots import box_of, slots_of
from stopwright.plan.joinery.tenons import tenon_stock
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Run, RunSheet
from stopwright.plan.run_sheet_json import run_sheet_json
from stopwright.plan.stations.cut_before import CutBefore

SIDE = Part("A", "Side", 4, mm(400), mm(120), mm(16))
FRONT = Part("B", "Front", 2, mm(300), mm(120), mm(18))
BACK = Part("C", "Back", 2, mm(300), mm(100), mm(16))
AT_FRONT = CornerSlots(
    mark="E1", parts=("A", "B"), at=0, start=mm(30), length=mm(25), count=2, pitch=mm(45), bit=mm(6), depth=mm(10),
    end_depth=mm(20),
)  # fmt: skip
AT_BACK = replace(AT_FRONT, mark="E2", parts=("A", "C"), at=mm(384), below=mm(20), start=mm(10))
SHOP = default_shop()


def a_box(*cuts: CornerSlots, parts: tuple[Part, ...] = (SIDE, FRONT, BACK)) -> Job:
    return Job("box", parts, units=2, cuts=cuts or (AT_FRONT, AT_BACK))


def mortising(sheet: RunSheet) -> list[Run]:
    return [run for run in sheet.runs if run.work == "mortise"]


def test_a_slot_across_a_face_lies_as_far_from_the_end_as_the_other_part_is_thick_by_half() -> None:
    front, _, back, _ = slots_of(a_box(), "A")
    assert (front.stands_on, front.start, front.end, front.centre) == (Side.MARKED_END, mm(30), mm(55), mm(9))
    assert (back.stands_on, back.start, back.centre) == (Side.OTHER_END, mm(30), mm(8))  # 20 + 10; 400 − 384 − 16 / 2
    assert box_of(front, SIDE.size) == ((mm(6), mm(12)), (mm(30), mm(55)), (0, mm(10)))
    assert box_of(back, SIDE.size)[0] == (mm(389), mm(395))


def test_the_side_stands_on_the_nearer_end_its_width_along_the_travel_and_the_height_counts_from_there() -> None:
    sheet = make_plan(a_box(), SHOP)
    assert sheet.faults == ()
    stands = {
        (str(pieces.down), stop.target)
        for run in mortising(sheet)
        for pieces in run.pieces
        for stop in run.stops
        if stop.sets == "table height" and pieces.mark == "A"
    }
    assert stands == {("marked end", mm(9)), ("other end", mm(8))}
    notes = {run.note for run in mortising(sheet) if run.pieces[0].mark == "A"}
    assert all("clamped to a high fence across the table, its slotted side to the bit" in note for note in notes)
    assert any("A stands on its marked end" in note for note in notes)
    warned = {run.pieces[0].mark for run in mortising(sheet) if any("on its end tips" in one for one in run.cautions)}
    assert warned == {"A"}
    assert not any(run.spacer and "under" in run.spacer.place for run in mortising(sheet) if "stands on" in run.note)


@pytest.mark.parametrize("side", [Side.FACE, Side.BACK])
def test_what_the_sheet_has_cut_is_what_is_asked_for_in_both_hands(side: Side) -> None:
    job = a_box(replace(AT_FRONT, side=side), replace(AT_BACK, side=side))
    assert count_hands(job, SIDE) == (2, 2)
    printed = json.loads(json.dumps(run_sheet_json(make_plan(job, SHOP), SHOP.show)))
    stations = {one.name: Station(0) for one in SHOP.stations}
    made = list(cuts_of(printed, {part.mark: part.size for part in job.parts}, stations))
    walls = {str(side): (0, mm(10))}
    first, second = ((mm(30), mm(55)), (mm(75), mm(100)))
    wanted = {
        ("E1", "A"): [
            room_of(walls | {"marked end": (mm(6), mm(12)), "edge": one}, SIDE.size) for one in (first, second)
        ],
        ("E2", "A"): [
            room_of(walls | {"other end": (mm(5), mm(11)), "edge": one}, SIDE.size) for one in (first, second)
        ],
    }
    for cut, part, down in (("E1", FRONT, 0), ("E2", BACK, 20)):
        wanted[cut, part.mark] = [
            room_of({end: (0, mm(20)), "edge": (low - mm(down), high - mm(down)), "face": middle}, part.size)
            for end in ("marked end", "other end")
            for low, high in (first, second)
            for middle in [(part.thickness // 2 - mm(3), part.thickness // 2 + mm(3))]
        ]
    hands = {"A": {False, True}, "B": {False}, "C": {False}}
    assert complaints(made, wanted, hands) == []


def test_stood_on_the_table_as_the_run_says_the_bit_makes_the_slot_of_the_corner() -> None:
    """The second checker: turned in space, the slotted side to the bit, that end down, the face edge at its stop."""
    job = a_box()
    wanted = {box_of(slot, SIDE.size) for slot in slots_of(job, "A")}
    made: dict[bool, set[object]] = {False: set(), True: set()}
    for run in mortising(make_plan(job, SHOP)):
        for row in (one for pieces in run.pieces for one in pieces.each if one.mark == "A"):
            made[row.mirrored].add(slot_made(run, row, SIDE.size))
    assert made == {False: wanted, True: wanted}
    assert block_of(SIDE.size)[0] == (0, mm(400))


def test_every_slot_has_a_tenon_as_long_as_both_depths() -> None:
    front, back = tenon_stock(a_box(), SHOP)
    # 4 sides with 2 slots; 6 − 0.1, 25 − 0.8, 10 + 20 − 2 · 1.6
    assert (front.count, front.thickness, front.width, front.length) == (8, mm(5.9), mm(24.2), mm(26.8))
    assert (back.joint, back.count) == ("E2", 8)


def test_the_master_piece_shows_slots_across_with_their_numbers_and_the_story_stick_says_so() -> None:
    sheet = make_plan(a_box(), SHOP)
    masters = master_pieces(a_box(), SHOP, sheet.runs)
    side = next(one for one in masters if one.part == "A")
    assert [mark.is_across for mark in side.on(Side.FACE)] == [True] * 4
    assert [mark.centre_along(side.length) for mark in side.on(Side.FACE)] == [mm(9), mm(9), mm(392), mm(392)]
    assert mark_text(side.marks[2], Show.MM) == (
        "3: 30 to 55 from the face edge, centre 8 from the other end, 10 deep, bit 6 (E2)"
    )
    lines = [(line.position, line.what) for line in story_stick(masters).marks if (line.part, line.number) == ("A", 1)]
    assert lines == [(mm(30), "slot across begins"), (mm(55), "slot across ends")]  # from the face edge


def test_the_picture_of_this_piece_knows_which_of_its_slots_a_run_makes() -> None:
    sheet = make_plan(a_box(), SHOP)
    before = CutBefore(sheet.runs, a_box())
    now = {
        (solid.spans, str(pieces.down))
        for run in mortising(sheet)
        for pieces in run.pieces
        if pieces.mark == "A" and (found := before.at(run, pieces))
        for solid in found.now
    }
    assert {(xs, down) for (xs, _, _), down in now} == {
        ((mm(6), mm(12)), "marked end"), ((mm(389), mm(395)), "other end"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("cut", "said"),
    [
        (replace(AT_FRONT, bit=mm(7)), "the mortiser has no bit of 7 mm; on hand: 6 mm"),
        (replace(AT_FRONT, end_depth=mm(61)), "the mortiser reaches 60 mm deep, not the 61 mm wanted"),
        (replace(AT_FRONT, length=mm(40), pitch=mm(50), count=1), "more than 6 × the bit (36 mm); shorten it"),
        (replace(AT_FRONT, depth=mm(16)), "is 16 mm deep, the piece measures 16 mm there"),
        (replace(AT_FRONT, start=mm(60)), "its slots end 130 mm from the face edge of B, which is 120 mm wide"),
        (replace(AT_FRONT, below=mm(30)), "ends 130 mm from the face edge, the piece is 120 mm wide"),
        (replace(AT_FRONT, at=mm(195)), "196 mm is out of reach of the table height of the mortiser, 0 to 120 mm"),
        (replace(AT_FRONT, station="saw"), "all slots are made at the mortiser"),
    ],
)
def test_a_corner_that_cannot_be_is_refused_with_the_reason(cut: CornerSlots, said: str) -> None:
    assert any(said in fault.text for fault in make_plan(a_box(cut, parts=(SIDE, FRONT)), SHOP).faults), said


def test_a_tall_side_is_hard_to_hold_and_ends_that_do_not_share_out_are_asked_about() -> None:
    tall = (replace(SIDE, length=mm(700)), FRONT)
    said = [one.text for one in make_plan(a_box(AT_FRONT, parts=tall), SHOP).warnings]
    assert any(
        "A stands 700 mm high on the table of the mortiser, more than 600 mm is hard to hold" in one for one in said
    )
    odd = [one.text for one in make_plan(a_box(AT_FRONT, parts=(SIDE, replace(FRONT, quantity=1))), SHOP).warnings]
    assert any("2 ends of B for 4 places in A; correct a quantity" in one for one in odd)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"parts": ("A",)}, "are not two"),
        ({"side": Side.EDGE}, "'edge' is not slotted across"),
        ({"pitch": None}, "the slots would run into each other"),
        ({"length": mm(5)}, "is less than the bit is thick"),
        ({"count": 0}, "0 is not from 1 to 200"),
        ({"at": -1}, "is less than 0"),
        ({"depth": 0}, "is not above 0"),
    ],
)
def test_what_contradicts_itself_is_no_corner(change: dict[str, object], said: str) -> None:
    with pytest.raises(Inconsistent, match=said):
        replace(AT_FRONT, **change)  # type: ignore[arg-type]


def test_a_job_file_may_ask_for_a_corner_by_itself_and_its_pieces_are_placed() -> None:
    parts = [
        {"mark": "A", "name": "Side", "quantity": 2, "length": 400, "width": 120, "thickness": 16},
        {"mark": "B", "name": "Front", "quantity": 1, "length": 300, "width": 120, "thickness": 18},
    ]
    corner = {"mark": "E1", "parts": ["A", "B"], "at": 0, "start": 30, "length": 25, "bit": 6, "depth": 10}
    job = job_from_document({"name": "Tray", "part": parts, "corner": [corner | {"end_depth": 20}]}, "tray")
    assert job.cuts == (replace(AT_FRONT, count=1, pitch=None),)
    (glue_up,) = make_plan(job, SHOP).glue_ups
    assert [step.held_by for stage in glue_up.stages for step in stage.joined] == ["E1", "E1"]
    assert job.part("A").hand is Hand.SAME and count_hands(job, job.part("A")) == (1, 1)
