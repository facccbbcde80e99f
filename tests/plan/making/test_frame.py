"""A frame with panels; the arithmetic stands beside each figure."""

from typing import Any

import pytest
from tests.builders import mm
from tests.plan.making.made import a_thing, cut, made, refusals, sizes

from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM, Show
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds, Side
from stopwright.model.parts import Grain, Kind, Made
from stopwright.model.things import Changed
from stopwright.plan.assembling.assembly import assembly_stages
from stopwright.plan.assembling.moving_panels import moving_panels
from stopwright.plan.making.frame import FrameCorner
from stopwright.plan.plan import make_plan
from stopwright.plan.said_lengths import read_out

DOOR = {"width": 500, "height": 700, "stiles": 60, "bottom": 80, "thickness": 22, "groove_depth": 10}


def test_rails_have_their_tongues_and_the_panel_its_room() -> None:
    found = made(a_thing("frame", **DOOR))
    assert sizes(found) == {
        "Fst": (700, 60, 22),
        "Ftr": (399, 60, 22),  # 500 − 2 × 60 + 2 × 9.5
        "Fbr": (399, 80, 22),
        "Fp": (579, 399, 6),  # 700 − 60 − 80 + 2 × 10 − 2 × 0.5 and 380 + 2 × 10 − 2 × 0.5
    }
    groove, tenon = cut(found, "FG1"), cut(found, "FN1")
    assert (groove.at, groove.fits, groove.side) == (mm(7.9), "Fp", Side.EDGE)  # (22 − 6.2) / 2
    assert (tenon.length, tenon.thickness, tenon.from_face) == (mm(9.5), mm(6.1), mm(7.9))
    assert cut(found, "FG2").parts == ("Ftr",)  # the inner edge of the top rail is its far one


def test_a_door_in_an_opening_leaves_the_gap_all_round() -> None:
    found = sizes(made(a_thing("frame", **DOOR, gap=2)))
    assert found["Fst"][0] == 696
    assert found["Ftr"][0] == 395


def test_lights_share_what_stiles_and_uprights_leave() -> None:
    found = made(a_thing("frame", width=1200, height=800, stiles=60, lights=3, rows=2, relief=0))
    assert sizes(found)["Fp"] == pytest.approx((329, 339, 6))  # (800 − 3 × 60) / 2 + 20 − 1, (1200 − 4 × 60) / 3 + 19
    assert sizes(found)["Fup"] == (330, 60, 22)
    assert {part.mark: part.quantity for part in found.parts} == {
        "Fst": 2,
        "Ftr": 1,
        "Fbr": 1,
        "Fmr": 1,
        "Fup": 4,
        "Fp": 6,
    }


def test_loose_tenons_lie_beside_the_groove_and_rails_end_at_the_stiles() -> None:
    found = made(a_thing("frame", **DOOR, corner=FrameCorner.LOOSE))
    assert sizes(found)["Ftr"][0] == 380
    upper, lower = found.joints
    assert (upper.slot_from, upper.slot_to, upper.drop) == (mm(15), mm(48), 0)  # 60 − 10 − 2
    # 12 to 65 is more than five bits of 8: two slots with 10 between them, each (53 − 10) / 2 long
    assert (lower.slot_from, lower.slot_to, lower.drop) == (mm(12), mm(33.5), mm(620))  # 700 − 80
    assert (lower.count, lower.pitch) == (2, mm(31.5))
    assert not any(one.kind == "tenon" for one in found.cuts)


def test_uprights_are_joined_to_the_rails_above_and_below() -> None:
    found = made(a_thing("frame", width=900, height=900, lights=3, corner=FrameCorner.LOOSE))
    above, below = found.joints[2:]
    assert (above.post, above.side, above.ends, above.drop) == ("Ftr", Side.FAR_EDGE, RailEnds.MARKED, mm(220))
    assert (below.post, below.side, below.ends, below.repeat) == ("Fbr", Side.EDGE, RailEnds.OTHER, 2)
    assert below.spacing == mm(280)  # a light of (900 − 4 × 60) / 3 and an upright


def test_a_panel_of_solid_wood_has_more_room_across_its_grain() -> None:
    panel = made(a_thing("frame", **DOOR, panel_kind=Kind.SOLID)).parts[-1]
    assert (panel.length / MM, panel.width / MM) == (579, 394)  # 380 + 20 − 2 × 3
    assert (panel.made, panel.grain) == (Made.PANEL, Grain.ALONG)


def test_a_panel_thicker_than_its_groove_is_rebated_all_round_to_what_goes_in() -> None:
    raised = a_thing("frame", **DOOR, panel_kind=Kind.SOLID, panel_full=14)
    found = made(raised)
    assert sizes(found)["Fp"] == (579, 394, 14)
    rebates = [cut(found, f"FR{number}") for number in (1, 2, 3, 4)]
    assert {one.edge for one in rebates} == {Side.MARKED_END, Side.OTHER_END, Side.EDGE, Side.FAR_EDGE}
    assert {(one.side, one.width, one.depth) for one in rebates} == {(Side.FACE, mm(11), mm(8))}  # 10 + 1, 14 − 6
    assert (cut(found, "FG1").width, cut(found, "FG1").fits, cut(found, "FG2").width) == (mm(6.2), "Fp", mm(6.2))
    # the groove ends 7.9 + 6.2 behind the face, the panel fills 14 of it
    assert found.lots[0].notes == ("The whole thickness of the panel lies 0.1 mm behind the face of the frame",)


def test_what_a_raised_panel_was_measured_is_taken_off_by_its_rebates() -> None:
    raised = a_thing("frame", **DOOR, panel_full=14, panel_rebate=30, panel_side=Side.BACK)
    found = made(raised, changes=(Changed(of="Fp", measured=mm(14.4)),))
    assert (cut(found, "FR1").depth, cut(found, "FR1").width, cut(found, "FR1").side) == (mm(8.4), mm(30), Side.BACK)
    assert cut(found, "FG1").width == mm(6.2)
    assert found.lots[0].by_thickness == {"Fp"}


def test_the_glue_up_knows_a_raised_panel_that_lies_loose_in_its_grooves() -> None:
    found = made(a_thing("frame", **DOOR, corner=FrameCorner.LOOSE, panel_kind=Kind.SOLID, panel_full=14))
    plan = assembly_stages(Job("door", found.parts, cuts=found.cuts, joints=found.joints))
    assert [one.piece for stage in plan.stages for one in stage.loose] == [("Fp", 0)]


def test_the_rebates_of_a_raised_panel_say_that_it_is_measured_before_and_the_groove_does_not() -> None:
    def told(**measured: Any) -> dict[str, bool]:
        changes = (Changed(of="Fp", **measured),) if measured else ()
        found = made(a_thing("frame", **DOOR, panel_full=14), changes=changes)
        runs = make_plan(Job("door", found.parts, cuts=found.cuts), default_shop()).runs
        said = "for Fp as measured, 14.4 mm" if measured else "measure Fp first and type it at Fetch the wood"
        return {run.work: said in read_out(run.note, Show.MM) for run in runs if run.work in ("groove", "rebate")}

    assert told() == told(measured=mm(14.4)) == {"groove": False, "rebate": True}


def test_a_groove_widened_by_hand_still_knows_the_panel_that_lies_in_it() -> None:
    found = made(a_thing("frame", **DOOR, panel_kind=Kind.SOLID), changes=(Changed(of="FG1", width=mm(6.5)),))
    groove = cut(found, "FG1")
    assert (found.stray, groove.width, groove.fits, groove.opening_across) == ((), mm(6.5), "Fp", mm(380))
    assert [(one.of, one.field, one.now) for one in found.by_hand] == [("FG1", "width", mm(6.5))]


@pytest.mark.parametrize(
    ("measures", "said"),
    [
        (
            {"panel_full": 6},
            "panel_full: off the panel would be 0: 6 − 6 (whole panel − panel); make the whole panel more than 6 mm",
        ),
        (
            {"panel_full": 14, "panel_rebate": 9},
            "panel_rebate: the groove is 10 mm deep, and the panel would meet the frame before its bottom; "
            "write at least 10 mm",
        ),
        (
            {"panel_full": 14, "panel_rebate": 200},
            "panel_rebate: the rebate of the panel would be 200 mm, half of the panel is 199.5 mm; "
            "write at most 199.5 mm",
        ),
        (
            {"width": 110},
            "width: light, width would be −10 mm: −10 (between the stiles); make the width more than 120 mm",
        ),
        (
            {"groove_depth": 32},
            "groove_depth: the groove would be 32 mm, half of the narrowest part is 30 mm; write at most 30 mm",
        ),
        (
            {"panel_gap": 6},
            "panel_gap: 6 mm beside the panel is more than half of the groove: it may fall out; write at most 5 mm",
        ),
        (
            {"thickness": 6},
            "thickness: wood before the groove would be −0.1 mm: (6 − 6.2) / 2 ((thickness − groove, width) / 2); "
            "make the thickness more than 6.2 mm",
        ),
        (
            {"corner": FrameCorner.LOOSE, "tenon_depth": 58},
            "tenon_depth: a slot 58 mm deep leaves less than 5 mm of the wood; write at most 55 mm",
        ),
        (
            {"corner": FrameCorner.LOOSE, "width": 160},
            "tenon_depth: slots 25 mm deep from both ends meet in a piece of 40 mm; write at most 17.5 mm, or make "
            "the openings larger",
        ),
        (
            {"corner": FrameCorner.LOOSE, "bottom": 34},
            "bottom: 7 mm are left for the slot of a bit of 8 mm; make it at least 35 mm wide, or take a thinner bit",
        ),
    ],
)
def test_nonsense_is_answered_with_the_number_that_would_do(measures: dict[str, float], said: str) -> None:
    assert refusals(made(a_thing("frame", **(DOOR | measures)))) == [said]


def test_the_opening_across_the_panel_is_known_so_that_its_movement_is_checked() -> None:
    groove = cut(made(a_thing("frame", **DOOR, panel_kind=Kind.SOLID)), "FG1")
    assert (groove.opening_across, groove.gap) == (mm(380), mm(6))
    assert cut(made(a_thing("frame", **DOOR)), "FG2").opening_across is None


def test_a_wide_panel_of_oak_is_told_of_in_the_plan_and_a_narrow_one_is_not() -> None:
    """Red oak flat, made at 10, living between 8 and 12: 880 grow by 0.74 % of it, 6.5, and 3 a side are too little."""

    def faults(width: float) -> list[str]:
        frame = a_thing("frame", **(DOOR | {"width": width}), panel_kind=Kind.SOLID, panel_material="red oak")
        found = made(frame)
        job = Job("door", found.parts, cuts=found.cuts, things=(frame,))
        return [fault.about for fault in moving_panels(job, Show.MM).faults]

    assert faults(500) == []
    assert faults(1000) == ["Fp"]
