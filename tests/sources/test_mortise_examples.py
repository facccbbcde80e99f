"""Worked figures of slots and loose tenons. S seen in the source, C secondary copy, K calculated, P common practice."""

from fractions import Fraction

import pytest
from tests.builders import at_length, mm
from tests.plan.alone import plan_mortises
from tests.plan.joint_builders import a_bench_shop, a_frame, a_joint, a_mortiser
from tests.plan.solid_check import complaints

from stopwright.lengths import INCH
from stopwright.model.joints import Side
from stopwright.model.stations import TenonRules
from stopwright.plan.joinery.mortise_checks import check_joints
from stopwright.plan.joinery.slot_clashes import greatest_clear_depth
from stopwright.plan.joinery.slots import Slot, body_of, box_of
from stopwright.plan.joinery.spacing import divide_slot, space_evenly
from stopwright.plan.joinery.tenons import tenon_stock
from stopwright.plan.run_sheet import Run

TRUE_SIZES = TenonRules(fit=0, play=0)


def stands(run: Run) -> dict[str, float]:
    return {str(stop.sets): at_length(stop.target) / mm(1) for stop in run.stops}


def test_rail_22_by_80_with_a_bit_of_8() -> None:
    # K: height 22/2 = 11; 6 × 8 = 48 long, 16 … 64; travel 16 + 4 and 64 − 4; tenon 30 + 30 − 2 × 1.6 = 56.8
    joint = a_joint(side="edge", slot_from=16, slot_to=64, bit=8, depth_post=30, depth_rail=30, setback=15)
    job, shop = a_frame(joint, hand="pairs", rail=(400, 80, 22), post=(700, 60, 60)), a_bench_shop(spacers=False)
    runs = plan_mortises(job, shop, shop.stations[0]).runs
    rails = [run for run in runs if run.pieces[0].mark == "B"]
    for run in rails:
        at = stands(run)
        assert (at["table height"], at["travel from"], at["travel to"], at["depth"]) == (11, 20, 60, 30)
        assert run.pieces[0].down is Side.FACE
    assert {(str(run.pieces[0].slotted), run.pieces[0].at) for run in rails} == {
        ("other end", "left"),
        ("marked end", "right"),
    }
    faults, warnings = check_joints(job, shop, shop.stations[0])
    assert not faults  # 48 is just the limit of 6 × the bit
    assert any("more than 5 × the bit" in warning.text for warning in warnings)
    (tenon,) = tenon_stock(job, a_bench_shop(tenon=TRUE_SIZES))
    assert (tenon.thickness, tenon.width, tenon.length) == (mm(8), mm(48), mm(56.8))


def test_post_45_square_with_rails_20_by_100_set_back_3() -> None:
    # K: rail height 10, post height 3 + 10 = 13, outer wall 13 − 5 = 8; slot 20 … 80, travel 25 and 75;
    # greatest clear depth 45 − 18 = 27, 26 used; tenon 26 + 35 − 3.2 = 57.8
    both = a_joint("J1", "far edge", setback=3), a_joint("J2", "back", setback=3)
    job = a_frame(*both, rails=4)
    shop = a_bench_shop(spacers=False, tenon=TRUE_SIZES)
    runs = plan_mortises(job, shop, shop.stations[0]).runs
    heights = {run.pieces[0].mark: stands(run)["table height"] for run in runs}
    assert heights == {"A": 13, "B": 10}
    assert {(stands(run)["travel from"], stands(run)["travel to"]) for run in runs} == {(25, 75)}
    neighbour = Slot("A", Side.BACK, mm(20), mm(80), mm(13), mm(26), mm(10))
    assert neighbour.centre - neighbour.bit // 2 == mm(8)
    body = body_of(job, job.part("A"))
    assert greatest_clear_depth(Side.FAR_EDGE, body, box_of(neighbour, body)) == mm(27)
    assert not check_joints(job, shop, shop.stations[0])[0]
    assert {(t.thickness, t.width, t.length) for t in tenon_stock(job, shop)} == {(mm(10), mm(60), mm(57.8))}
    # a spacer of 3 under the rails makes both heights 13
    blocks = plan_mortises(job, a_bench_shop(), a_mortiser())
    assert {stands(run)["table height"] for run in blocks.runs} == {13}
    assert [block.thickness for block in blocks.spacers] == [mm(3)]
    assert complaints(job, blocks.runs) == []


def test_bottom_rail_200_by_45_takes_two_slots_of_70() -> None:
    # K: bit 15, limit 6 × 15 = 90, usable 200 − 2 × 15 = 170: (170 − 30)/2 = 70
    found = divide_slot(mm(15), mm(185), mm(15), mm(90))
    assert found is not None
    assert (found.count, found.length, found.between, found.first) == (2, mm(70), mm(30), mm(15))
    joint = a_joint(slot_from=15, slot_to=185, bit=15, depth_post=40, depth_rail=40)
    job = a_frame(joint, rail=(600, 200, 45), post=(1900, 90, 45))
    shop = a_bench_shop()
    faults, _ = check_joints(job, shop, shop.stations[0])
    assert any(
        "make 2 slots of 70 mm with 30 mm between, the first from 15 mm to 85 mm, each 100 mm on" in fault.text
        for fault in faults
    )
    two = a_joint(slot_from=15, slot_to=85, count=2, pitch=100, bit=15, depth_post=40, depth_rail=40)
    job = a_frame(two, rail=(600, 200, 45), post=(1900, 90, 45))
    assert check_joints(job, shop, shop.stations[0])[0] == ()


def test_the_magazine_frame_of_three_quarters_by_two() -> None:
    # S, a woodworking magazine's page of rules of thumb: bit 1/4, mortise 1 1/2 long, 1 to 1 3/8 deep, tenon 1/16 short
    quarter, inch = Fraction(1, 4), 25.4
    joint = a_joint(
        side="edge", bit=quarter * inch, slot_from=quarter * inch, slot_to=1.75 * inch,
        depth_post=1.25 * inch, depth_rail=1.25 * inch, clearance=inch / 32, setback=0,
    )  # fmt: skip
    job = a_frame(joint, rail=(10 * inch, 2 * inch, 0.75 * inch), post=(20 * inch, 2 * inch, 0.75 * inch))
    station = a_mortiser(bits=(INCH // 4, 3 * INCH // 8), step=None)
    shop = a_bench_shop(station, tenon=TRUE_SIZES)
    faults, warnings = check_joints(job, shop, station)
    assert not faults  # 1 1/2 is the limit of 6 × 1/4; the bit is a third of the rail, the depth 5 × the bit
    assert not [w for w in warnings if "third" in w.text or "deep in" in w.text]
    (tenon,) = tenon_stock(job, shop)
    assert tenon.length == 2 * (5 * INCH // 4) - INCH // 16  # both mortises together, less a sixteenth
    assert (tenon.thickness, tenon.width) == (INCH // 4, 3 * INCH // 2)
    runs = plan_mortises(job, shop, station).runs
    assert {stands(run)["table height"] for run in runs} == {9.525}  # 3/8 in


@pytest.mark.parametrize(("clearance", "usual"), [(1.6, True), (3.2, True), (1, False), (4, False)])
def test_a_mortise_is_a_sixteenth_to_an_eighth_deeper_than_the_tenon_reaches(clearance: float, usual: bool) -> None:
    # S: 1.6 to 3.2 mm
    shop = a_bench_shop()
    _, warnings = check_joints(a_frame(a_joint(clearance=clearance)), shop, shop.stations[0])
    assert any("stays empty" in warning.text for warning in warnings) is not usual


def test_slats_are_evenly_spaced() -> None:
    # K: (600 − 5 × 60)/6 = 50; centres 50 + 30 + i × 110
    found = space_evenly(mm(600), 5, mm(60))
    assert (found.gap, found.last_gap, found.pitch) == (mm(50), mm(50), mm(110))
    assert found.centres == tuple(mm(80 + i * 110) for i in range(5))
    # K: (500 − 6 × 35)/7 = 41.43 shown to half a millimetre: six gaps of 41.5 and a last one of 41
    found = space_evenly(mm(500), 6, mm(35), mm(0.5))
    assert (found.gap, found.last_gap) == (mm(41.5), mm(500 - 6 * 35 - 6 * 41.5))
