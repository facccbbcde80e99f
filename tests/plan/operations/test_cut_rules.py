"""What is said to cuts: where they are refused and why, what is measured, which strips are made, what comes first."""

from dataclasses import fields as dataclass_fields
from dataclasses import replace
from fractions import Fraction

import pytest
from tests.builders import at_length, mm

from stopwright.errors import Inconsistent
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds, Side
from stopwright.model.parts import Hand, Part
from stopwright.model.shaping import Mitre, MitrePoints
from stopwright.model.stations import Shop
from stopwright.plan.operations.bore import Holes
from stopwright.plan.operations.comb import Comb
from stopwright.plan.operations.groove import Groove, Housing
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.operations.lap import Bridle, Lap
from stopwright.plan.operations.rebate import Rebate, rebated_to
from stopwright.plan.operations.splay import Splay
from stopwright.plan.operations.spline import Spline
from stopwright.plan.operations.taper import Taper
from stopwright.plan.operations.template import Template
from stopwright.plan.operations.tenon import Tenon
from stopwright.plan.operations.tongue import Tongue
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Angle, Run, RunSheet
from stopwright.plan.said_lengths import read_out
from stopwright.plan.weighing.reasons import reasons

SIDE = Part("A", "Side", 4, mm(400), mm(120), mm(12), hand=Hand.PAIRS)
RAIL = Part("C", "Rail", 4, mm(300), mm(60), mm(22))
LEG = Part("D", "Leg", 4, mm(590), mm(45), mm(45))


STRIPS_COST_NOTHING = replace(default_shop(), block_minutes=0)


def planned(*cuts, shop: Shop = STRIPS_COST_NOTHING) -> RunSheet:
    return make_plan(Job("cuts", (SIDE, RAIL, LEG), cuts=cuts), shop)


def with_fence(low: float = 5, high: float = 1250) -> Shop:
    """A shop without strips whose rip fence reaches from here to there, mm."""
    shop = default_shop()
    saw = next(one for one in shop.stations if one.name == "saw")
    axes = tuple(replace(one, low=mm(low), high=mm(high)) if one.sets == "width" else one for one in saw.axes)
    stations = tuple(replace(one, axes=axes) if one is saw else one for one in shop.stations)
    return replace(shop, stations=stations, spacers=False)


def cut_runs(sheet: RunSheet) -> list[Run]:
    return [run for run in sheet.runs if any(pieces.down for pieces in run.pieces)]


GROOVE = Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(10), width=mm(6), depth=mm(6))
HOLES = Holes(
    mark="S1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(37), first=mm(72), pitch=mm(32), count=5,
    diameter=mm(5), depth=mm(6),
)  # fmt: skip
REBATE = Rebate(mark="R1", parts=("C",), side=Side.BACK, edge=Side.EDGE, width=mm(10), depth=mm(8))
SPLAY = Splay(mark="Y1", parts=("D",), across=Fraction(12), through=Fraction(7))
TEMPLATE = Template(mark="V1", parts=("D",), edges=(Side.FAR_EDGE, Side.OTHER_END), cutter="rebate 12", height=mm(4))
TONGUE = Tongue(mark="TG1", parts=("C",), edge=Side.FAR_EDGE, at=mm(8), width=mm(6), depth=mm(7))
HOUSING = Housing(mark="H1", parts=("A",), side=Side.FACE, at=(mm(100),), width=mm(6), depth=mm(5))


@pytest.mark.parametrize(
    ("cut", "said"),
    [
        (replace(GROOVE, depth=mm(6.5)), "6.5 mm is deeper than half of the wood, 6 mm; make it shallower"),
        (replace(GROOVE, at=mm(116)), "its far wall would lie at 122 mm, the part is only 120 mm"),
        (replace(GROOVE, width=mm(3)), "the saw has no tool as narrow as 3 mm"),
        (replace(GROOVE, start=mm(40), station="saw"), "a stopped groove is not cut on a circular saw"),
        (replace(GROOVE, end=mm(401)), "it would end beyond the part, which is 400 mm long"),
        (replace(GROOVE, start=mm(40), end=mm(60), station="spindle"), "shorter than the run-out of the tool"),
        (replace(GROOVE, station="bench"), "no station called bench does the work called groove"),
        (replace(HOUSING, stopped=mm(15)), "it is stopped, and the saw cuts through"),
        (replace(REBATE, width=mm(70)), "it reaches 70 mm from the edge, where the part is 60 mm"),
        (replace(REBATE, depth=mm(22)), "it takes away the whole thickness"),
        (Tenon(mark="N1", parts=("C",), length=mm(35), thickness=mm(22)), "does not lie within wood of 22 mm"),
        (Tenon(mark="N1", parts=("C",), length=mm(151), thickness=mm(8)), "it reaches 302 mm from the marked end"),
        (replace(TONGUE, width=mm(14)), "the groove would end 22 mm from the face side of wood 22 mm thick"),
        (replace(TONGUE, depth=mm(61)), "it reaches 61 mm from the edge, where the part is 60 mm"),
        (replace(TONGUE, at=mm(3), width=mm(5), station="spindle"), "has no tool as narrow as 3 mm"),
        (replace(TONGUE, at=mm(3), station="saw"), "it is smaller than the kerf of the saw"),
        (replace(SPLAY, through=Fraction(50)), "it wants the gauge at 12° and the blade at 49.38°"),
        (replace(SPLAY, parts=("C",), across=Fraction(70)), "its ends meet: 300 mm is too short for them"),
        (Spline(mark="Q1", parts=("C",), at=mm(8), width=mm(4), depth=mm(12)), "part C is not mitred"),
        (replace(TEMPLATE, cutter="helix"), "the spindle has no cutter 'helix'; on hand: round 3"),
        (replace(TEMPLATE, height=mm(45)), "the cutter at 45 mm stands above the part, which is 45 mm thick"),
        (replace(TEMPLATE, station="saw"), "no station called saw does the work called template"),
        (replace(SPLAY, station="spindle"), "no station called spindle does the work called splay"),
        (Lap(mark="L1", parts=("C", "D"), at=(mm(280), 0)), "it reaches 325 mm from the marked end"),
        (Bridle(mark="B1", parts=("C", "D"), thickness=mm(22)), "does not lie within wood of 22 mm"),
        (Comb(mark="C1", parts=("A", "C"), cutter=mm(3.2)), "A is 120 mm wide and C 60 mm; make them alike"),
        (Comb(mark="C1", parts=("C", "C2"), cutter=mm(9)), None),
        (Taper(mark="K1", parts=("D",), sides=(Side.BACK,), begins=mm(120), leaves=mm(45)), "nothing to cut"),
        (Taper(mark="K1", parts=("D",), sides=(Side.BACK,), begins=mm(600), leaves=mm(22)), "begins beyond the part"),
        (replace(HOLES, count=12), "it reaches 426.5 mm from the marked end"),
        (replace(HOLES, side=Side.EDGE, from_=Side.FACE, at=mm(6), station="borer"), "use a slot mortiser"),
        (replace(HOLES, side=Side.EDGE, from_=Side.FACE, at=mm(6)), "the mortiser has no bit of 5 mm"),
        (replace(HOLES, station="mortiser"), "the mortiser bores into edges and ends; give it to a borer"),
    ],
)  # fmt: skip
def test_a_cut_that_cannot_be_made_is_refused_with_the_reason_and_the_rest_is_planned(cut, said):
    if said is None:
        with pytest.raises(Inconsistent):
            Job("cuts", (SIDE, RAIL, LEG), cuts=(cut,))
        return
    sheet = planned(cut)
    assert said in " ".join(fault.text for fault in sheet.faults)
    assert {run.work for run in sheet.runs} >= {"rip", "crosscut"}
    assert not cut_runs(sheet)


def test_a_cut_is_refused_as_a_whole_where_one_of_its_parts_cannot_get_it_only_there():
    sheet = planned(replace(GROOVE, parts=("A", "C"), depth=mm(8)))
    assert [fault.about for fault in sheet.faults] == ["A"]
    assert {pieces.mark for run in cut_runs(sheet) for pieces in run.pieces} == {"C"}


def test_the_place_is_the_fence_at_the_saw_and_the_height_at_the_spindle():
    saw, spindle = (cut_runs(planned(replace(GROOVE, station=name))) for name in ("saw", "spindle"))
    assert {stop.sets: stop.target for stop in saw[0].stops} == {"width": mm(10 + 6 - 3.2), "blade height": mm(6)}
    assert {stop.sets: stop.target for stop in spindle[0].stops} == {
        "cutter": "groover 6 mm", "spindle height": mm(10), "spindle fence": mm(6)
    }  # fmt: skip


def test_a_strip_makes_the_second_wall_without_a_second_setting_and_is_on_the_list_of_blocks():
    sheet = planned(replace(GROOVE, station="saw"))
    first, second = cut_runs(sheet)
    assert first.spacer is None and second.spacer is not None
    assert second.spacer.thickness == mm(6 - 3.2)
    assert [str(stop.move) for stop in second.stops] == ["stands", "stands"]
    assert [block.thickness for block in sheet.spacers] == [mm(2.8)]


def test_a_strip_that_the_shop_owns_is_not_made_again():
    sheet = planned(replace(GROOVE, station="saw"), shop=replace(default_shop(), shims=(mm(2.8),)))
    assert sheet.spacers == () and cut_runs(sheet)[1].spacer is not None


def test_a_strip_is_made_only_where_it_saves_more_minutes_than_it_takes():
    one, three = (replace(HOUSING, at=tuple(map(mm, at))) for at in ((100,), (100, 200, 300)))
    shop = replace(default_shop(), block_minutes=2)  # a setting of the stop takes 0.75
    assert planned(one, shop=shop).spacers == ()
    assert [block.thickness for block in planned(three, shop=shop).spacers] == [mm(2.8)]


def test_without_strips_the_second_wall_is_a_setting_of_its_own():
    with_strips = planned(replace(GROOVE, station="saw"))
    without = planned(replace(GROOVE, station="saw"), shop=replace(default_shop(), spacers=False))
    assert without.settings.made == with_strips.settings.made + 1
    assert {run.stops[0].target for run in cut_runs(without)} == {mm(10), mm(12.8)}


def test_one_stop_on_the_waste_side_serves_tenons_of_parts_of_every_length():
    tenon = Tenon(mark="N1", parts=("C", "A"), length=mm(35), thickness=mm(4))
    runs = cut_runs(planned(tenon))
    assert {stop.target for run in runs for stop in run.stops if stop.sets == "length"} == {mm(35 - 3.2)}
    assert {stop.target for run in runs for stop in run.stops if stop.sets == "blade height"} == {mm(9), mm(4)}


def test_tongue_and_groove_are_measured_from_the_face_side_and_share_the_tool():
    runs = cut_runs(planned(replace(TONGUE, station="spindle")))
    assert {str(pieces.down) for run in runs for pieces in run.pieces} == {"face"}
    assert {stop.target for run in runs for stop in run.stops if stop.sets == "cutter"} == {"groover 6 mm"}
    heights = {(run.pieces[0].reference, stop.target) for run in runs for stop in run.stops if "height" in stop.sets}
    assert heights == {("face edge", mm(8)), ("far edge", mm(2)), ("far edge", mm(8 + 6 - 0.15))}
    assert sum(stop.move == "set" for run in runs for stop in run.stops) == 6  # cutter, three heights, two fences


def test_neither_tongue_nor_groove_is_cut_where_one_of_them_cannot_be():
    sheet = planned(replace(TONGUE, parts=("C",), grooved=("A",)))  # wood of 12 mm, the groove ends at 14
    assert [fault.about for fault in sheet.faults] == ["A"] and not cut_runs(sheet)


def test_a_cut_goes_to_a_station_whose_stops_reach():
    near = replace(GROOVE, at=0, width=mm(6))  # the fence of the saw begins at 5 mm
    sheet = planned(near)
    assert {run.station for run in cut_runs(sheet)} == {"spindle"} and not sheet.faults
    assert "out of reach" in planned(replace(near, station="saw")).faults[0].text


@pytest.mark.parametrize(("high", "station"), [(12.7, "spindle"), (12.8, "saw")])
def test_a_stop_reaches_the_end_of_its_scale_and_no_further(high: float, station: str) -> None:
    # the far wall at 16, 3.2 of it the blade: the fence at 12.8
    assert {run.station for run in cut_runs(planned(GROOVE, shop=with_fence(high=high)))} == {station}


@pytest.mark.parametrize(("low", "strips"), [(7, []), (7.1, [8])])
def test_a_strip_stands_in_for_a_fence_that_does_not_come_so_near_even_where_strips_are_not_wanted(low, strips) -> None:
    # the fork's slot, 8 wide in the middle of 22, has its near wall 7 from the face
    sheet = planned(Bridle(mark="B1", parts=("C", "D"), thickness=mm(8)), shop=with_fence(low=low))
    assert [run.spacer.thickness for run in cut_runs(sheet) if run.spacer] == [mm(one) for one in strips]


def test_a_rebated_part_is_thinner_by_its_deepest_rebate_of_either_side():
    front = replace(REBATE, mark="R2", side=Side.FACE, depth=mm(3))
    cuts = ((), (REBATE,), (REBATE, replace(REBATE, mark="R3", depth=mm(5))), (REBATE, front))
    assert [rebated_to(RAIL, Job("cuts", (RAIL,), cuts=some)) / mm(1) for some in cuts] == [22, 14, 14, 11]


def test_splayed_ends_share_gauge_tilt_and_stop_and_are_cut_after_the_slots():
    sheet = planned(SPLAY, replace(GROOVE, parts=("D",)))
    runs = cut_runs(sheet)
    assert [run.note.split(" ")[0] for run in runs] == ["groove", "groove", "splay", "splay"]
    first, second = runs[2:]
    places = [{stop.sets: stop.target for stop in run.stops} for run in (first, second)]
    # the short edge at the fence, then the long one
    assert [one["angle"] for one in places] == [Angle(Fraction(-12)), Angle(Fraction(12))]
    assert [one["tilt"] for one in places] == [Angle(Fraction(685, 100))] * 2
    lead = 45 * 0.212557  # tan 12°
    assert [at_length(one["length"]) / mm(1) for one in places] == pytest.approx([590 - lead, 590], abs=0.01)
    assert [str(stop.move) for stop in second.stops] == ["set", "stands", "set"]


def test_ends_that_are_parallel_are_slid_along_under_gauge_and_tilt_as_they_stand():
    _, second = cut_runs(planned(replace(SPLAY, points=MitrePoints.PARALLEL)))
    assert [str(stop.move) for stop in second.stops] == ["stands", "stands", "set"]
    assert "slid along" in second.note


def of_a_mitred_frame(*cuts) -> RunSheet:
    return make_plan(Job("frame", (RAIL, SIDE), cuts=cuts, mitres=(Mitre("C", sides=4),)), STRIPS_COST_NOTHING)


SPLINE = Spline(mark="Q1", parts=("C",), at=mm(9), width=mm(4), depth=mm(12))


def test_a_spline_is_cut_after_the_mitres_with_the_face_side_to_the_fence_at_both_ends():
    sheet = of_a_mitred_frame(SPLINE)
    assert [run.work for run in sheet.runs][-4:] == ["mitre", "mitre", "spline", "spline"]
    for run in cut_runs(sheet):
        (pieces,) = run.pieces
        lying = [(str(one.down), one.reference, one.at) for one in pieces.each]
        assert lying == [("marked end", "face side", "fence"), ("other end", "face side", "fence")]
        assert "in a jig at 45°" in run.note
    assert {stop.sets: stop.target for stop in cut_runs(sheet)[0].stops} == {
        "width": mm(9 + 4 - 3.2), "blade height": mm(12)
    }  # fmt: skip


@pytest.mark.parametrize(
    ("cut", "said"),
    [
        (replace(SPLINE, at=mm(18)), "its far wall would lie 22 mm from the face side of wood 22 mm thick"),
        (replace(SPLINE, depth=mm(31)), "31 mm is deeper than half the width of the part, 30 mm"),
        (replace(SPLINE, width=mm(3)), "no tool as narrow as 3 mm"),
        (Splay(mark="Y1", parts=("C",), across=Fraction(12)), "part C is mitred"),
    ],
)
def test_what_does_not_go_with_a_mitre_is_refused_with_the_reason(cut, said):
    assert said in " ".join(fault.text for fault in of_a_mitred_frame(cut).faults)


def test_a_shaped_edge_is_a_step_of_its_own_after_all_that_is_measured_from_it():
    sheet = planned(TEMPLATE, SPLAY, replace(GROOVE, parts=("D",), from_=Side.FAR_EDGE))
    *_, run = cut_runs(sheet)
    assert (run.station, {stop.sets: stop.target for stop in run.stops}) == (
        "spindle", {"cutter": "rebate 12", "spindle height": mm(4)}
    )  # fmt: skip
    (pieces,) = run.pieces
    lying = [(str(one.down), one.reference, one.at) for one in pieces.each]
    assert lying == [("face", "other end", "template"), ("face", "far edge", "template")]  # end grain first


@pytest.mark.parametrize(
    ("follower", "said"),
    [(19, "V1 is 1.5 mm smaller all round"), (13, "V1 is 1.5 mm larger all round"), (16, "as large as the part")],
)
def test_a_template_is_as_much_smaller_as_the_ring_keeps_it_off(follower, said):
    (run,) = cut_runs(planned(replace(TEMPLATE, cutter_diameter=mm(16), follower=mm(follower))))
    assert said in read_out(run.note, Show.MM)


def test_the_same_stops_at_two_times_are_two_runs_with_names_of_their_own():
    other = replace(LEG, mark="E")
    one_end = replace(SPLAY, mark="Y2", parts=("E",), ends=RailEnds.MARKED)
    sheet = make_plan(Job("legs", (LEG, other), cuts=(SPLAY, one_end)), default_shop())
    splayed = [run for run in sheet.runs if run.work == "splay"]
    at_590 = [run for run in splayed if any(stop.target == mm(590) for stop in run.stops)]
    assert len(at_590) == 2 and len({run.id for run in splayed}) == len(splayed)


def test_across_comes_before_along_and_a_taper_last():
    taper = Taper(mark="K1", parts=("A",), sides=(Side.FAR_EDGE,), begins=mm(100), leaves=mm(80))
    works = [run.note.split(" ")[0] for run in cut_runs(planned(taper, GROOVE, HOUSING))]
    assert works.index("housing") < works.index("groove") < works.index("taper")


def test_the_second_side_of_an_opposite_pair_is_tapered_after_the_first():
    sides = (Side.BACK, Side.FACE)
    runs = cut_runs(planned(Taper(mark="K1", parts=("D",), sides=sides, begins=mm(120), leaves=mm(29))))
    assert [(run.stops[0].target, run.pieces[0].reference) for run in runs] == [(mm(8), "back"), (mm(16), "face side")]


def test_the_flat_cut_of_a_rebate_comes_before_the_one_on_edge():
    rebate = Rebate(
        mark="R1", parts=("C",), side=Side.BACK, edge=Side.FAR_EDGE, width=mm(10), depth=mm(8), station="saw"
    )
    flat, on_edge = cut_runs(planned(rebate))
    assert (str(flat.pieces[0].down), flat.pieces[0].reference) == ("back", "far edge")
    assert (str(on_edge.pieces[0].down), on_edge.pieces[0].reference) == ("far edge", "face side")


def test_pieces_of_a_pair_lie_at_either_stop_of_the_borer():
    runs = cut_runs(planned(HOLES))
    assert {(pieces.at, pieces.mirrored, pieces.count) for run in runs for pieces in run.pieces} == {
        ("left", False, 2), ("right", True, 2)
    }  # fmt: skip
    assert sum(stop.move == "set" for run in runs for stop in run.stops) == 6  # drill, fence, depth, peg, two stops


def test_a_first_cut_is_measured_where_a_rule_can_be_laid():
    (first, _) = cut_runs(planned(replace(GROOVE, station="saw")))
    said = OPERATIONS["groove"].measured(first)
    assert (said["width"].what, said["width"].wanted) == ("near side of the cut from the face edge", mm(12.8))
    assert (said["blade height"].what, said["blade height"].wanted) == ("depth of the cut", mm(6))


def test_a_cut_says_why_it_stands_where_it_stands():
    sheet = planned(GROOVE, HOUSING)
    told = dict(zip((run.number for run in sheet.runs), reasons(sheet, default_shop()), strict=True))
    first = next(run for run in cut_runs(sheet) if run.note.startswith("housing"))
    assert "Across the grain before along it" in told[first.number][0]


@pytest.mark.parametrize(
    ("kind", "fields", "at_fault"),
    [
        (Groove, {"side": Side.MARKED_END, "from_": Side.EDGE}, "side"),
        (Groove, {"side": Side.FACE, "from_": Side.BACK}, "from"),
        (Groove, {"side": Side.FACE, "from_": Side.EDGE, "width": None}, "width"),
        (Groove, {"side": Side.FACE, "from_": Side.EDGE, "depth": 0}, "depth"),
        (Groove, {"side": Side.FACE, "from_": Side.EDGE, "start": mm(50), "end": mm(50)}, "end"),
        (Spline, {"at": 0}, "at"),
        (Spline, {"width": 0}, "width"),
        (Spline, {"fits": "B"}, "width"),
        (Spline, {"depth": 0}, "depth"),
        (Template, {"edges": (Side.FACE,)}, "edges"),
        (Template, {"edges": ()}, "edges"),
        (Template, {"edges": (Side.EDGE, Side.EDGE)}, "edges"),
        (Template, {"cutter": ""}, "cutter"),
        (Template, {"follower": mm(19)}, "cutter_diameter"),
        (Template, {"cutter_diameter": mm(16)}, "follower"),
        (Template, {"cutter_diameter": mm(16), "follower": 0}, "follower"),
        (Splay, {}, "sides"),
        (Splay, {"sides": 4}, "sides"),
        (Splay, {"slope": Fraction(30)}, "sides"),
        (Splay, {"sides": 4, "slope": Fraction(30), "across": Fraction(3)}, "sides"),
        (Splay, {"sides": 2, "slope": Fraction(30)}, "sides"),
        (Splay, {"sides": 4, "slope": Fraction(91)}, "slope"),
        (Splay, {"across": Fraction(80)}, "across"),
        (Splay, {"through": Fraction(-1)}, "through"),
        (Splay, {"through": Fraction(0)}, "across"),
        (Splay, {"across": Fraction(3), "long_edge": Side.FACE}, "long_edge"),
        (Splay, {"across": Fraction(3), "long_face": Side.EDGE}, "long_face"),
        (Tongue, {"edge": Side.FACE}, "edge"),
        (Tongue, {"edge": Side.EDGE, "at": 0}, "at"),
        (Tongue, {"edge": Side.EDGE, "width": 0}, "width"),
        (Tongue, {"edge": Side.EDGE, "depth": 0}, "depth"),
        (Tongue, {"edge": Side.EDGE, "play": mm(6)}, "play"),
        (Tongue, {"edge": Side.EDGE, "relief": mm(6)}, "relief"),
        (Tongue, {"edge": Side.EDGE, "grooved": ("B", "B")}, "grooved"),
        (Groove, {"side": Side.FACE, "from_": Side.EDGE, "mark": ""}, "mark"),
        (Groove, {"side": Side.FACE, "from_": Side.EDGE, "parts": ()}, "parts"),
        (Groove, {"side": Side.FACE, "from_": Side.EDGE, "parts": ("A", "A")}, "parts"),
    ],
)
def test_a_cut_that_contradicts_itself_names_the_field(kind, fields, at_fault):
    plain = {"mark": "G1", "parts": ("A",), "at": mm(10), "width": mm(6), "depth": mm(6), "cutter": "block",
             "height": mm(2), "edges": (Side.EDGE,)}  # fmt: skip
    plain = {name: value for name, value in plain.items() if name in {one.name for one in dataclass_fields(kind)}}
    with pytest.raises(Inconsistent) as error:
        kind(**(plain | fields))
    assert [problem.field for problem in error.value.problems] == [at_fault]
    assert all(problem.next_step for problem in error.value.problems)


@pytest.mark.parametrize("field", ["at", "first"])
def test_a_hole_that_would_break_out_is_refused_with_its_field(field: str) -> None:
    def moved(place: float) -> Holes:
        return replace(HOLES, at=mm(place)) if field == "at" else replace(HOLES, first=mm(place))

    with pytest.raises(Inconsistent) as error:
        moved(2.4)
    (problem,) = error.value.problems
    assert (problem.field, problem.what) == (field, "is less than half a hole: it would break out")
    assert moved(2.5)


def test_a_comb_is_as_high_as_the_other_part_was_measured_and_asks_for_it_before():
    mate = replace(SIDE, mark="B")
    comb = Comb(mark="C1", parts=("A", "B"), cutter=mm(3.2))
    asked, told = (
        cut_runs(make_plan(Job("box", (SIDE, one), cuts=(comb,)), STRIPS_COST_NOTHING))
        for one in (mate, replace(mate, measured=mm(11.6)))
    )
    said = "measure B first and type it at Fetch the wood: this is for 12 mm as listed"
    assert any(said in read_out(run.note, Show.MM) for run in asked)
    in_a = next(run for run in told if run.pieces[0].mark == "A" and len({one.mark for one in run.pieces}) == 1)
    assert {stop.target for stop in in_a.stops if stop.sets == "blade height"} == {mm(11.6 + 0.3)}
    assert "for B as measured, 11.6 mm" in read_out(in_a.note, Show.MM)
