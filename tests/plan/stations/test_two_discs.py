"""Two discs and a ring: what is put between them, where it pays, what it says, and what the drawing shows."""

import re
from dataclasses import replace
from typing import Any

import pytest
from tests.builders import fitted, mm
from tests.shop.test_cuts import faults_and_complaints

from stopwright.errors import BadInput
from stopwright.intake.shop_file import default_shop, shop_from_document, shop_to_document
from stopwright.lengths import MM, Show
from stopwright.model.gear import Discs
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds, Side
from stopwright.model.parts import Hand, Part
from stopwright.model.stations import Shop
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.operations.tenon import Tenon
from stopwright.plan.operations.tongue import Tongue
from stopwright.plan.pictures.canvas import Canvas, Path
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Run
from stopwright.plan.said_lengths import read_out
from stopwright.plan.stations.two_discs import rings_for
from stopwright.plan.weighing.reasons import reasons

BOARD = Part("A", "Board", 40, mm(900), mm(105), mm(20))
RAIL = Part("C", "Rail", 40, mm(500), mm(60), mm(22), hand=Hand.PAIRS)
TONGUE = Tongue(mark="TG1", parts=("A",), edge=Side.FAR_EDGE, at=mm(7), width=mm(6), depth=mm(6.5), station="spindle")
TENON = Tenon(mark="N1", parts=("C",), length=mm(35), thickness=mm(8), station="spindle")


def a_shop(rings=(5.5, 0.35, 8, 1), discs=(8, 12), minutes_per_piece=0.5, **more) -> Shop:
    """The default shop, whose spindle does tenons too and has discs."""

    def with_discs(station):
        if station.name != "spindle":
            return station
        station = replace(station, work=(*station.work, "tenon"), minutes_per_piece=minutes_per_piece)
        return fitted(station, discs=tuple(map(mm, discs)), rings=tuple(map(mm, rings)), **more)

    shop = default_shop()
    return replace(shop, stations=tuple(map(with_discs, shop.stations)))


def cut_runs(cut, shop: Shop, *parts: Part) -> list[Run]:
    sheet = make_plan(Job("discs", parts or (BOARD, RAIL), cuts=(cut,)), shop)
    assert not sheet.faults
    return [run for run in sheet.runs if run.cuts]


def stops(run: Run) -> dict[str, Any]:
    return {stop.sets: stop.target / MM if isinstance(stop.target, int) else stop.target for stop in run.stops}


def test_a_tongue_is_cut_in_one_pass_between_rings_of_its_thickness():
    """6 less 0.15 of play: 5.5 + 0.35; 8 covers the 7 below and the 7.15 above."""
    (tongue,) = (run for run in cut_runs(TONGUE, a_shop()) if run.ring)
    assert stops(tongue) == {
        "cutter": "discs 8 mm with rings 5.5 mm + 0.35 mm",
        "spindle height": 7,
        "spindle fence": 6,
    }
    assert (tongue.tool, tongue.ring) == (mm(8), mm(5.85))
    assert "the height is read at the lower side of the ring" in tongue.note
    assert any("Discs and rings clean and flat" in caution for caution in tongue.cautions)


@pytest.mark.parametrize(
    "shop",
    [a_shop(rings=(5, 8)), a_shop(discs=(6,)), a_shop(disc_reach=mm(4)), default_shop()],
    ids=["no ring fits", "discs too narrow", "discs too small", "no discs"],
)
def test_without_what_fits_the_tongue_is_cut_in_two_passes(shop):
    runs = cut_runs(TONGUE, shop)
    assert sorted(stops(run)["spindle height"] for run in runs) == [1, 7, 12.85]
    assert not any(run.ring for run in runs)


def test_discs_that_take_longer_to_put_in_than_they_save_stay_on_the_shelf():
    """One board: a cutter, 5 min, and a fence against one height and one pass of one piece."""
    assert not any(run.ring for run in cut_runs(TONGUE, a_shop(), replace(BOARD, quantity=1)))


def test_rings_within_the_tolerance_serve_and_the_sheet_says_what_comes_of_it():
    (tongue,) = (run for run in cut_runs(TONGUE, a_shop(rings=(5.9,))) if run.ring)
    assert tongue.ring == mm(5.9) and "it comes out 0.05 mm thicker than asked" in read_out(tongue.note, Show.MM)
    assert rings_for((mm(5.95),), mm(5.85)) == ()


def test_teeth_that_stand_beyond_the_bodies_want_so_much_more_of_a_ring():
    """Kerf 3.2 and body 2.2, tongue 8: ring 9."""
    (tenon,) = cut_runs(TENON, a_shop(rings=(8, 9), disc_teeth=mm(1)))
    assert stops(tenon)["cutter"] == "discs 8 mm with ring 9 mm" and tenon.ring == mm(8)


def test_a_tenon_is_cut_without_turning_the_piece_over():
    (tenon,) = cut_runs(TENON, a_shop())
    assert stops(tenon) == {"cutter": "discs 8 mm with ring 8 mm", "spindle height": 7, "spindle fence": 35}
    assert {one.down for pieces in tenon.pieces for one in pieces.each} == {Side.FACE}
    assert any("sliding table" in caution for caution in tenon.cautions)
    assert not any("riving knife" in caution for caution in tenon.cautions)


def test_a_tenon_with_shoulders_at_its_edges_goes_to_the_saw():
    runs = cut_runs(replace(TENON, shoulder_edge=mm(10), station=""), a_shop(minutes_per_piece=0.01))
    assert {run.station for run in runs} == {"saw"}


def test_a_tenon_goes_where_it_takes_fewer_minutes():
    anywhere = replace(TENON, station="")
    assert {run.station for run in cut_runs(anywhere, a_shop(minutes_per_piece=0.1))} == {"spindle"}
    assert {run.station for run in cut_runs(anywhere, a_shop(minutes_per_piece=3))} == {"saw"}
    assert {run.station for run in cut_runs(anywhere, a_shop(rings=(5,), minutes_per_piece=0.1))} == {"saw"}


def test_a_tenon_that_no_ring_fits_at_the_spindle_it_was_given_to_is_refused_with_what_to_do():
    (fault,) = make_plan(Job("discs", (RAIL,), cuts=(TENON,)), a_shop(rings=(5,))).faults
    assert "has no discs and rings that leave it; write what is on hand, or give it to a saw" in fault.text


@pytest.mark.parametrize(
    "cut",
    [
        TONGUE,
        replace(TONGUE, edge=Side.EDGE, at=mm(6)),
        TENON,
        replace(TENON, ends=RailEnds.OTHER, from_face=mm(6)),
    ],
    ids=["far edge", "edge", "both ends", "other end"],
)
@pytest.mark.parametrize("teeth", [0, 0.5])
def test_what_discs_and_rings_leave_is_what_the_job_asks_for(cut, teeth):
    """And rings that are another thickness than the plan reckoned with are found out."""
    rings = (5.85 + teeth, 8 + teeth)
    shop = a_shop(rings=rings, disc_teeth=mm(teeth))
    job = Job("discs", (BOARD, RAIL), cuts=(cut,))
    assert any(run.ring for run in make_plan(job, shop).runs)
    assert faults_and_complaints(job, shop) == ([], [])
    wrong = a_shop(rings=tuple(one + 0.04 for one in rings), disc_teeth=mm(teeth))
    assert any(run.ring for run in make_plan(job, wrong).runs)
    assert faults_and_complaints(job, wrong)[1]


def test_what_the_discs_save_is_said():
    shop = a_shop()
    sheet = make_plan(Job("discs", (BOARD,), cuts=(TONGUE,)), shop)
    said = [reason for run, reason in zip(sheet.runs, reasons(sheet, shop), strict=True) if run.ring]
    assert len(said) == 1 and "save a second height, 1 min" in str(said[0])


def test_the_drawing_shows_both_discs_and_the_ring_to_scale():
    (tenon,) = cut_runs(TENON, a_shop())
    canvas = Canvas()
    OPERATIONS["tenon"].picture(canvas, tenon, Job("discs", (BOARD, RAIL), cuts=(TENON,)), None)
    kinds = [shape.kind for shape in canvas.drawn if isinstance(shape, Path)]
    assert (kinds.count("slot now"), kinds.count("spacer"), kinds.count("slot")) == (2, 1, 2)
    assert "two discs with a ring between" in canvas.label
    cut, behind, ring = (_heights(canvas, kind) for kind in ("slot now", "knives", "spacer"))
    assert cut == behind and ring[0] == pytest.approx((cut[1][1], cut[0][0]), abs=0.15)
    (wood,) = _heights(canvas, "wood")
    scale = (wood[1] - wood[0]) / 22
    assert [round((bottom - top) / scale, 1) for top, bottom in (*cut, *ring)] == [7, 8, 8]


def _heights(canvas: Canvas, kind: str) -> list[tuple[float, float]]:
    """Top and bottom of what is drawn so."""
    found = []
    for shape in canvas.drawn:
        if isinstance(shape, Path) and shape.kind == kind:
            _, y, _, tall = map(float, re.findall(r"-?[\d.]+", shape.way)[:4])
            found.append((round(y, 1), round(y + tall, 1)))
    return found


def test_a_shop_file_keeps_discs_and_rings():
    shop = a_shop(disc_teeth=mm(0.4), disc_reach=mm(40))
    (spindle,) = (one for one in shop.stations if one.name == "spindle")
    read = shop_from_document(shop_to_document(shop), "shop")
    (again,) = (one for one in read.stations if one.name == "spindle")
    assert again.of(Discs) == spindle.of(Discs)
    assert spindle.of(Discs) == Discs(
        discs=(mm(8), mm(12)), rings=(mm(5.5), mm(0.35), mm(8), mm(1)), disc_teeth=mm(0.4), disc_reach=mm(40)
    )


@pytest.mark.parametrize(("field", "value"), [("discs", [0]), ("rings", [-1]), ("disc_teeth", -1), ("disc_reach", 0)])
def test_discs_that_cannot_be_are_refused_by_their_field(field, value):
    document = shop_to_document(a_shop())
    spindle = next(one for one in document["station"] if one["name"] == "spindle")
    spindle[field] = value
    with pytest.raises(BadInput) as refused:
        shop_from_document(document, "shop")
    assert any(field in fault.column for fault in refused.value.faults)
