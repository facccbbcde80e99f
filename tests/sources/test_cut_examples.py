"""Cuts into finished sizes against published examples and worked figures of the trade, each with its source."""

from dataclasses import replace
from fractions import Fraction
from math import acos, cos, degrees, radians

import pytest
from tests.builders import at_length, fitted, mm

from stopwright.intake.shop_file import default_shop
from stopwright.lengths import INCH, MM
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Part
from stopwright.model.stations import Axis
from stopwright.plan.operations.bore import Holes
from stopwright.plan.operations.comb import Comb, height_for
from stopwright.plan.operations.groove import Groove, Housing
from stopwright.plan.operations.lap import Bridle
from stopwright.plan.operations.rebate import Rebate
from stopwright.plan.operations.splay import box_angles, end_angles
from stopwright.plan.operations.taper import Taper, block_for, taken_off
from stopwright.plan.operations.template import smaller_by
from stopwright.plan.operations.tenon import Tenon, cheeks
from stopwright.plan.operations.tongue import Tongue, cover
from stopwright.plan.plan import make_plan
from stopwright.plan.stations.stopped_slots import run_out
from stopwright.plan.stations.two_discs import rings_for


def stops_of(*cuts, part: Part) -> list[dict[str, float]]:
    """Where the stops of the cut runs stand, in mm, and the strip."""
    mate = Part("B", "Mate", 2, part.length, part.width, part.thickness)
    sheet = make_plan(Job("trade", (part, mate), cuts=cuts), replace(default_shop(), block_minutes=0))
    assert not sheet.faults
    return [
        {stop.sets: stop.target / MM for stop in run.stops if isinstance(stop.target, int)}
        | {"strip": run.spacer.thickness / MM if run.spacer else 0}
        for run in sheet.runs
        if any(pieces.down for pieces in run.pieces)
    ]


@pytest.mark.parametrize(("radius", "depth", "out"), [(62.5, 8, 30.6), (125, 6, 38.3), (150, 8, 48.3)])
def test_run_out_of_a_round_tool(radius, depth, out):
    """√(t(2R − t)); geometry."""
    assert run_out(mm(radius), mm(depth)) / MM == pytest.approx(out, abs=0.05)


def test_stops_of_a_stopped_groove():
    """Length 400, R 62.5, 8 deep, from 40 to 360 of the leading end: both stops 329.4 from the axis; geometry."""
    part = Part("A", "Side", 2, mm(400), mm(120), mm(18))
    groove = Groove(mark="G1", parts=("A",), side=Side.EDGE, from_=Side.FACE, at=mm(5), width=mm(6), depth=mm(8),
                    start=mm(40), end=mm(360), station="spindle")  # fmt: skip
    (stops,) = stops_of(groove, part=part)
    assert (stops["front stop"], stops["back stop"]) == pytest.approx((329.4, 329.4), abs=0.05)


def test_one_fence_and_one_strip_for_a_slot_wider_than_the_tool():
    """Near wall 10, 8 wide, kerf 3.2: fence 10 + 8 − 3.2, strip 8 − 3.2; arithmetic of passes and strips."""
    part = Part("A", "Side", 2, mm(400), mm(120), mm(18))
    groove = Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(10), width=mm(8), depth=mm(6),
                    station="saw")  # fmt: skip
    assert [(one["width"], one["strip"]) for one in stops_of(groove, part=part)] == [(14.8, 0), (14.8, 4.8)]


def test_a_tenon_lying_flat():
    """T 22, b 8: height 7 from both faces, shoulder stop at the tenon less the kerf; geometry."""
    part = Part("A", "Rail", 4, mm(530), mm(60), mm(22))
    tenon = Tenon(mark="N1", parts=("A",), length=mm(35), thickness=mm(8))
    assert cheeks(tenon, part) == {Side.FACE: mm(7), Side.BACK: mm(7)}
    assert stops_of(tenon, part=part) == [{"length": 31.8, "blade height": 7, "strip": 0}]


def test_a_frame_with_tenons_from_its_outside_measure():
    """Frame 600 wide, stiles 70, tenons 35: rails 600 − 140 + 70 = 530; arithmetic."""
    assert mm(600) - 2 * mm(70) + 2 * mm(35) == mm(530)


def test_a_bridle_by_one_fence_and_two_strips():
    """T 24, b 8, f 8, k 3.2: fence 16; strips of kerf and tongue; geometry of fence and strips."""
    part = Part("A", "Stile", 4, mm(500), mm(60), mm(24))
    stops = stops_of(Bridle(mark="B1", parts=("A", "B"), thickness=mm(8)), part=part)
    upright = [one for one in stops if "width" in one]
    assert {one["width"] for one in upright} == {16}
    assert sorted(one["strip"] for one in upright) == [0, 3.2, 8, 11.2]


def test_spacer_for_the_two_cheeks_is_tenon_and_blade():
    """Spacer = tenon + blade: a published page on a tenoning jig."""
    part = Part("A", "Stile", 4, mm(500), mm(60), mm(24))
    stops = stops_of(Bridle(mark="B1", parts=("A", "B"), thickness=mm(8)), part=part)
    assert max(one["strip"] for one in stops) == pytest.approx(8 + 3.2)


def test_a_rebate_at_the_saw():
    """Width w, depth t: fence w − k and height t, then fence T − t and height w; a machine's manual gives the order."""
    part = Part("A", "Rail", 4, mm(300), mm(60), mm(22))
    rebate = Rebate(mark="R1", parts=("A",), side=Side.BACK, edge=Side.EDGE, width=mm(10), depth=mm(8), station="saw")
    assert [(one["width"], one["blade height"]) for one in stops_of(rebate, part=part)] == [(6.8, 8), (14, 10)]


def test_boards_with_tongue_and_groove_over_a_surface():
    """600 by six boards, gap 1, tongue 6: cover 99.17, ripped 105.17; with 99 the last covers 100; arithmetic."""
    assert cover(mm(600), 6, mm(1)) / MM == pytest.approx(99.17, abs=0.005)
    assert (cover(mm(600), 6, mm(1)) + mm(6)) / MM == pytest.approx(105.17, abs=0.005)
    assert mm(600) - 5 * (mm(99) + mm(1)) == mm(100)


def test_heights_of_tongue_and_groove():
    """T 20, w 6, fit 0.15: groove at 7, tongue 5.85, second height 12.85, 7.15 left at the back; geometry (K).

    That the tongue must be the shorter, so that the faces close, is published (a page on cladding boards, S).
    """
    part = Part("A", "Board", 6, mm(800), mm(105), mm(20))
    tongue = Tongue(mark="TG1", parts=("A",), edge=Side.FAR_EDGE, at=mm(7), width=mm(6), depth=mm(6.5),
                    station="spindle")  # fmt: skip
    assert (tongue.thickness, tongue.length) == (mm(5.85), mm(6)) and tongue.length < tongue.depth
    stops = stops_of(tongue, part=part)
    assert sorted((one["spindle height"], one["spindle fence"]) for one in stops) == [(1, 6), (7, 6.5), (12.85, 6)]
    assert part.thickness - tongue.at - tongue.thickness == mm(7.15)


@pytest.mark.parametrize(
    ("rings", "teeth", "thickness"),
    [
        ((INCH // 4, INCH // 16), 0, 5 * INCH // 16),
        ((mm(9),), mm(1), mm(8)),
    ],
    ids=["published", "set teeth"],
)
def test_rings_between_two_discs_for_a_tenon(rings, teeth, thickness):
    """5/16 between blades ground hollow: rings of 1/4 and 1/16 (Fine Woodworking, Easier Tablesaw Tenons, 2005, S).

    With teeth set beyond the bodies the ring is so much thicker: tenon 8, kerf 3.2, body 2.2, ring 9; geometry (K).
    """
    assert sorted(rings_for((*rings, mm(2), mm(12)), thickness + teeth)) == sorted(rings)


@pytest.mark.parametrize(
    ("sides", "slope", "gauge", "tilt"),
    [
        (4, 5, 44.89, 3.53), (4, 15, 44.01, 10.55), (4, 30, 40.89, 20.70), (4, 45, 35.26, 30.00), (4, 60, 26.57, 37.76),
        (5, 45, 27.19, 24.56), (6, 30, 26.57, 14.48), (6, 45, 22.21, 20.70), (8, 45, 16.32, 15.70),
        (10, 25, 16.41, 7.50),
    ],
)  # fmt: skip
def test_table_of_compound_angles(sides, slope, gauge, tilt):
    """The table in the manual of a table saw (S); its pitch counts from the level, as `slope` does here."""
    assert [float(one) for one in box_angles(sides, Fraction(slope))] == pytest.approx([gauge, tilt], abs=0.011)


def test_resultant_of_rake_and_splay():
    """14° one way and 10° the other lean 17.0° in all, tan² being the sum of both (geometry; the method is common)."""
    gauge, tilt = (radians(one) for one in end_angles(Fraction(14), Fraction(10)))
    assert degrees(acos(cos(gauge) * cos(tilt))) == pytest.approx(17.0, abs=0.05)


def test_template_under_a_ring():
    """Ring 19, cutter 16: half the difference, 1.5 (geometry; the trade's worked figure)."""
    assert smaller_by(mm(16), mm(19)) == mm(1.5)


@pytest.mark.parametrize(("boring_distance", "fence"), [(3, 20.5), (5, 22.5), (8, 25.5)])
def test_cup_hinges_of_a_door(boring_distance, fence):
    """Ø 35, centre at boring distance + 17.5, 13 deep, screws 45 apart and 9.5 further in (hinge makers' sheets, S).

    Two hinges 100 from either end of a door of 700: fence, depth, one stop and a peg; for the screws the like.
    """
    cup, hand = mm(35), Part("A", "Door", 2, mm(700), mm(400), mm(20))
    at = mm(boring_distance) + cup // 2
    cups = Holes(mark="S1", parts=("A",), side=Side.BACK, from_=Side.EDGE, at=at, first=mm(100), pitch=mm(500), count=2,
                 diameter=cup, depth=mm(13))  # fmt: skip
    screws = replace(cups, mark="S2", at=at + mm(9.5), first=mm(100 - 22.5), pitch=mm(45), diameter=mm(3), depth=mm(9))
    found = stops_of(cups, screws, part=hand)
    assert {(one["drill"], one["drill fence"]) for one in found} == {(35, fence), (3, fence + 9.5)}
    assert {one["peg"] for one in found} == {500, 45}


@pytest.mark.parametrize(("first", "count", "panel"), [(9.5, 67, 2131), (62.5, 30, 1053)])
def test_a_balanced_panel_and_a_door_on_a_pitch_of_32(first, count, panel):
    """A panel of 83.9 in is 2 · 9.5 + 66 · 32, a door of 1053 is 2 · 62.5 + 29 · 32 (two pages on the system, S)."""
    row = Holes(mark="S1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(37), first=mm(first), pitch=mm(32),
                count=count, diameter=mm(5), depth=mm(12))  # fmt: skip
    assert row.first + row.last == mm(panel)
    assert mm(2131) == pytest.approx(83.9 * INCH, abs=mm(0.1))


def test_dowels_in_the_end_of_a_rail():
    """The first 3/4 from the edge (a magazine's page on dowels, S); height T/2, no travel (geometry)."""
    rail = Part("A", "Rail", 4, 20 * INCH, 3 * INCH, INCH * 3 // 4)
    dowels = Holes(mark="S1", parts=("A",), side=Side.MARKED_END, from_=Side.FACE, at=rail.thickness // 2,
                   first=INCH * 3 // 4, pitch=INCH * 3 // 2, count=2, diameter=mm(10), depth=INCH)  # fmt: skip
    stops = stops_of(dowels, part=rail)
    assert {(one["table height"], one["depth"]) for one in stops} == {(9.525, 25.4)}
    assert {one["travel from"] for one in stops} == {one["travel to"] for one in stops} == {19.05, 57.15}


def test_a_comb_of_thirteen():
    """Cutter 8, play 0.1, 13 fingers and slots: gap 7.9, pitch 15.9, height 103.3; geometry."""
    comb = Comb(mark="C1", parts=("A", "B"), cutter=mm(8))
    assert (comb.gap, comb.pitch, height_for(comb, 13)) == (mm(7.9), mm(15.9), mm(103.3))


def test_a_taper_of_two_inches_to_one_and_a_half_on_four_sides():
    """A quarter of an inch off each side: a maker's page on a taper scale; twice that at the second of a pair."""
    leg = Part("A", "Leg", 4, 24 * INCH, 2 * INCH, 2 * INCH)
    sides = (Side.FACE, Side.BACK, Side.EDGE, Side.FAR_EDGE)
    taper = Taper(mark="K1", parts=("A",), sides=sides, begins=0, leaves=INCH * 3 // 2)
    assert {taken_off(taper, leg, side) for side in sides} == {INCH // 4}
    assert [block_for(taper, leg, side) for side in sides] == [INCH // 4, INCH // 2, INCH // 4, INCH // 2]


def test_a_taper_of_one_side():
    """45 to 28 over 590: block 17; geometry."""
    leg = Part("A", "Leg", 4, mm(590), mm(45), mm(45))
    assert block_for(Taper(mark="K1", parts=("A",), sides=(Side.BACK,), begins=0, leaves=mm(28)), leg, Side.BACK) == mm(
        17
    )


def test_a_balanced_row_of_holes():
    """720 long, 60 clear at both ends, pitch 32: 19 holes from 72 to 648; geometry of a row."""
    holes = Holes(mark="S1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(37), first=mm(72), pitch=mm(32),
                  count=19, diameter=mm(5), depth=mm(12))  # fmt: skip
    assert holes.last == mm(648) == mm(720) - mm(72)
    (stops, *_) = stops_of(holes, part=Part("A", "Side", 2, mm(720), mm(300), mm(18)))
    assert stops == {"drill": 5, "drill fence": 37, "drill depth": 12, "end stop left": 72, "peg": 32, "strip": 0}


def test_a_housing_routed_along_a_guide():
    """Base 6 in, bit 1/2, housing 1/2 from the edge: guide at 3 3/4; 1 1/2 wide: guide moved by 1 (a forum's page, S).

    The same arithmetic as at a stop: the tool's axis half its width behind the near wall, the second pass set on by
    the width of the housing less the tool.
    """
    half_inch = fitted(next(one for one in default_shop().stations if one.name == "saw"), tools=(INCH // 2,))
    saw = replace(half_inch, axes=(*half_inch.axes, Axis("head", "tool")))
    shop = replace(default_shop(), stations=(saw,), spacers=False)
    housing = Housing(mark="H1", parts=("A",), side=Side.FACE, at=(INCH // 2,), width=INCH * 3 // 2, depth=INCH // 4)
    part = Part("A", "Side", 1, 40 * INCH, 10 * INCH, INCH * 3 // 4)
    runs = make_plan(Job("case", (part,), cuts=(housing,)), shop).runs
    places = sorted(at_length(stop.target) for run in runs for stop in run.stops if run.cuts and stop.sets == "length")
    assert places[1] - places[0] == INCH
    (near,) = [place for place in places if place <= INCH]
    block = next((run.spacer.thickness for run in runs if run.spacer), 0)
    assert near - block + INCH // 4 + 3 * INCH == INCH * 15 // 4
