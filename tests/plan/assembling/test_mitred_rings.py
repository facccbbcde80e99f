"""Mitred frames close in one go, all round: which pieces make a ring, what lies in it, with which band."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from tests.builders import a_job, a_part, mm
from tests.paper.pixels import page_words
from tests.plan.assembling.test_glue_ups_told import told_as_json
from tests.plan.assembling.test_units_of_things import FRAME, a_job_of

from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds, Side
from stopwright.model.parts import Kind, Part
from stopwright.model.shaping import MeasuredTo, Mitre
from stopwright.model.whose import job_for
from stopwright.paper.glue_up import glue_up_pdf
from stopwright.plan.assembling.assembly import LATE, NO_RINGS, assembly_stages
from stopwright.plan.assembling.mitred_rings import mitred_rings
from stopwright.plan.assembling.moving_panels import moving_panels
from stopwright.plan.assembling.poses import spans_of
from stopwright.plan.operations.groove import Groove
from stopwright.plan.operations.rebate import Rebate

PICTURE = {"mark": "M", "width": 200, "height": 300}


def a_mitred(*parts: Part, sides: int = 4, units: int = 1, cuts: Sequence[Any] = (), **mitre: Any) -> Job:
    """A job all of whose solid parts are mitred."""
    mitres = tuple(Mitre(part.mark, sides, **mitre) for part in parts if part.kind is Kind.SOLID)
    return replace(a_job(*parts, cuts=tuple(cuts)), units=units, mitres=mitres)


def a_tray(edge: Side = Side.FAR_EDGE, **panel: Any) -> Job:
    """A tray of 400 × 300, its sides 50 wide, its bottom P in grooves 8 deep of their inner edges."""
    bottom = a_part("P", 1, (315, 215, 6), **panel)
    groove = Groove(mark="G1", parts=("A", "B"), side=edge, from_=Side.FACE, at=mm(8), fits="P", depth=mm(8))
    sides = a_part("A", 2, (400, 50, 22)), a_part("B", 2, (300, 50, 22))
    job = a_mitred(*sides, bottom, cuts=[groove])
    return replace(job, mitres=tuple(one for one in job.mitres if one.part != "P"))


def test_a_mitred_frame_closes_in_one_stage_all_round_in_a_band() -> None:
    (stage,) = assembly_stages(a_job_of(3, mitred_frame=PICTURE)).stages
    assert stage.title() == "2 × Mh, 2 × Mv" and stage.all_round
    # 200 + 1.5875 + 2 × (40 − 6) = 269.5875, and 369.5875: twice each around it
    assert stage.opening == 2 * (269.5875 + 369.5875) * MM
    assert (stage.clamps, stage.bars, stage.cauls) == (1, 0, 4)
    met = [(one.rail, one.end, one.post, one.side) for one in stage.closings]
    assert [one[0] for one in met] == [("Mh", 0), ("Mv", 0), ("Mh", 1), ("Mv", 1)]
    assert {(end, side) for _, end, _, side in met} == {(Side.OTHER_END, Side.MARKED_END)}
    assert {one[2] for one in met} == {one[0] for one in met}


def test_equal_sides_of_a_polygon_are_one_ring_and_twice_as_many_are_two() -> None:
    (octagon,) = assembly_stages(a_mitred(a_part("A", 16, (200, 40, 20)), sides=8, units=2)).stages
    assert octagon.title() == "8 × A" and octagon.opening == 1600 * MM and len(octagon.closings) == 8
    twice = assembly_stages(a_mitred(a_part("A", 8, (200, 40, 20)))).stages
    assert [stage.pieces for stage in twice] == [tuple(("A", n) for n in ns) for ns in (range(4), range(4, 8))]
    assert [stage.number for stage in twice] == [1, 2] and {stage.round for stage in twice} == {1}


@pytest.mark.parametrize(
    "job",
    [
        a_mitred(a_part("A", 3, (200, 40, 20)), a_part("B", 1, (300, 40, 20))),
        a_mitred(a_part("A", 2, (200, 40, 20)), a_part("B", 2, (300, 40, 20)), a_part("C", 4, (100, 40, 20))),
        a_mitred(a_part("A", 2, (200, 40, 20)), a_part("B", 2, (300, 40, 20)), sides=8),
        a_mitred(a_part("A", 2, (200, 40, 20))),
    ],
)
def test_pieces_that_do_not_close_or_might_close_in_several_ways_are_told_of(job: Job) -> None:
    plan = assembly_stages(job)
    assert not plan.stages and [one.text for one in plan.warnings] == [NO_RINGS]


def test_frames_of_another_section_or_of_another_thing_are_rings_of_their_own() -> None:
    wide = a_mitred(a_part("A", 2, (200, 40, 20)), a_part("B", 2, (300, 40, 20)), a_part("C", 4, (200, 30, 20)))
    assert [stage.title() for stage in assembly_stages(wide).stages] == ["2 × A, 2 × B", "4 × C"]
    both = replace(a_job_of(mitred_frame=PICTURE), name="Pictures")
    other = a_job_of(mitred_frame=PICTURE | {"mark": "N", "width": 500})
    one = replace(both, parts=both.parts + other.parts, cuts=both.cuts + other.cuts, mitres=both.mitres + other.mitres)
    assert [stage.title() for stage in assembly_stages(one).stages] == ["2 × Mh, 2 × Mv", "2 × Nh, 2 × Nv"]


def test_what_is_mitred_at_one_end_only_makes_no_ring_and_is_not_spoken_of() -> None:
    plan = assembly_stages(a_mitred(a_part("A", 4, (200, 40, 20)), ends=RailEnds.MARKED))
    assert not plan.stages and not plan.warnings


@pytest.mark.parametrize("edge", [Side.FAR_EDGE, Side.EDGE])
def test_the_pieces_of_a_rectangle_stand_around_it_with_the_grooved_edge_inwards(edge: Side) -> None:
    job = a_tray(edge)
    poses = mitred_rings(job).poses
    spans = {piece: spans_of(pose, job.part(piece[0]).size) for piece, pose in poses.items()}
    outside = [
        (min(one[axis][0] for one in spans.values()), max(one[axis][1] for one in spans.values())) for axis in range(3)
    ]
    assert [high - low for low, high in outside] == [400 * MM, 22 * MM, 300 * MM]
    for piece, pose in poses.items():
        across = next(axis for axis in range(3) if pose.y[axis])
        at_low = spans[piece][across][0] == outside[across][0]
        looks_up = pose.y[across] > 0
        assert at_low == (looks_up if edge is Side.FAR_EDGE else not looks_up)
        assert not pose.mirrored and pose.z == (0, 1, 0)


@pytest.mark.parametrize("edge", [Side.FAR_EDGE, Side.EDGE])
def test_a_panel_goes_into_the_grooves_before_the_frame_is_closed_around_it(edge: Side) -> None:
    plan = assembly_stages(a_tray(edge))
    (stage,) = plan.stages
    assert [one.piece for one in stage.loose] == [("P", 0)] and len(stage.loose[0].holders) == 4
    assert stage.title() == "2 × A, 2 × B, P" and not plan.warnings and not plan.afterwards


def test_a_panel_of_solid_wood_in_a_mitred_frame_is_looked_at_as_it_moves() -> None:
    (panel,) = moving_panels(a_tray(material="oak", kind=Kind.SOLID), default_shop().show).panels
    assert panel.room.opening == 200 * MM and panel.room.grooves == 16 * MM  # 300 − 2 × 50


def test_where_a_ring_is_measured_to_its_short_points_its_panel_is_told_of_in_words() -> None:
    job = a_tray()
    short = replace(job, mitres=tuple(replace(one, length=MeasuredTo.SHORT_POINT) for one in job.mitres))
    plan = assembly_stages(short)
    assert plan.stages[0].opening == (1400 + 4 * 2 * 50) * MM  # 50 wide: each mitre is 50 longer outside
    assert [one.about for one in plan.warnings] == ["P"] and LATE in plan.warnings[0].text


def test_glass_is_told_of_for_when_all_is_glued_and_a_part_in_the_rebate_by_its_mark() -> None:
    said = " ".join(page_words(glue_up_pdf(a_job_of(mitred_frame=PICTURE)), 0).split())
    assert "glass, picture and what is behind it go into the rebates of Mh and Mv" in said
    assert "At hand: a band clamp of at least 1278" in said and "or 4 corner clamps, 4 corner blocks" in said
    job = a_tray()
    rebate = Rebate(
        mark="R1", parts=("A", "B"), side=Side.BACK, edge=Side.FAR_EDGE, width=mm(8), depth=mm(8), holds="P"
    )
    (panel,) = assembly_stages(replace(job, cuts=(rebate,))).afterwards
    assert panel.piece == ("P", 0) and panel.is_laid_on and len(panel.holders) == 4
    assert "glass" not in page_words(glue_up_pdf(replace(job, cuts=(rebate,))), 0)


def test_the_sheet_tells_of_mitres_and_the_band_also_among_other_jobs() -> None:
    job = a_job_of(2, mitred_frame=PICTURE, frame=FRAME)
    frame, ring = told_as_json(job)["stages"]
    assert [one["stage"] for one in (frame, ring)] == [1, 2] and ring["after"] == []
    assert frame["clamps"]["kind"] == "bar" and ring["clamps"]["kind"] == "band"
    assert {(one["by"], one["end"], one["side"]) for one in ring["joined"]} == {("mitre", "other end", "marked end")}
    among = assembly_stages(job_for("3", job)).stages
    assert among[1].title() == "2 × #3·Mh, 2 × #3·Mv"
