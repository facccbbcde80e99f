"""Stages of glue-ups: stool, frame with unlike rails, ladder, rings, windows, and what cannot be put together."""

from collections import Counter
from dataclasses import replace
from functools import partial

import networkx as nx
import pytest
from tests.builders import a_part, mm
from tests.conftest import ROOT
from tests.plan.joint_builders import a_bench_shop, a_joint

from stopwright.intake.job_file import read_job
from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Job
from stopwright.model.joints import Joint, RailEnds
from stopwright.model.parts import Hand, Part
from stopwright.plan.assembling.assembly import AssemblyPlan, assembly_stages
from stopwright.plan.assembling.pieces import list_pieces
from stopwright.plan.assembling.places import places_in_unit
from stopwright.plan.assembling.stage import Stage
from stopwright.plan.assembling.unit_layout import Closing, lay_out_unit
from stopwright.plan.joinery.hands import count_hands
from stopwright.plan.plan import make_plan


def joint(mark: str, post: str, rail: str, side: str = "far edge", **more: object) -> Joint:
    plain = {"slot_from": 8, "slot_to": 22, "bit": 6, "depth_post": 12, "depth_rail": 12}
    return a_joint(mark, side, **({"post": post, "rail": rail} | plain | more))


def members(plan: AssemblyPlan) -> list[str]:
    return [stage.title() for stage in plan.stages]


def check(job: Job, plan: AssemblyPlan) -> None:
    """Every rail end closes once, and each stage brings together what was apart before."""
    closed = [(one.joint, one.post, one.rail, one.end) for stage in plan.stages for one in stage.closings]
    assert len(closed) == len(set(closed))
    wanted = {one.mark: job.part(one.post).quantity // job.units * one.repeat for one in job.joints}
    assert Counter(one[0] for one in closed) == wanted
    ends = Counter((one[2], one[3]) for one in closed)
    assert set(ends.values()) == {1}
    together = nx.Graph()
    for stage in plan.stages:
        before = {piece: part for part in map(frozenset, nx.connected_components(together)) for piece in part}
        for one in stage.closings:
            assert before.get(one.post, 1) != before.get(one.rail, 2)
        together.add_edges_from((one.post, one.rail) for one in stage.closings)
        assert set(stage.pieces) in map(set, nx.connected_components(together))
        assert len({isinstance(one, Closing) and one.along[0] for one in stage.closings}) == 1


@pytest.fixture(scope="module")
def stool() -> Job:
    return read_job(ROOT / "fixtures" / "bakery-stools")


def test_a_stool_is_glued_frames_first_then_the_rails_across(stool: Job) -> None:
    plan = assembly_stages(stool)
    check(stool, plan)
    assert members(plan) == ["2 × A, B, C", "2 × A, B, C", "4 × A, 4 × B, 2 × C"]
    assert [stage.round for stage in plan.stages] == [1, 1, 2]
    assert [stage.joints for stage in plan.stages] == [("J1", "J3"), ("J1", "J3"), ("J2",)]
    assert plan.stages[2].brings == (1, 2)
    assert [stage.direction for stage in plan.stages] == ["left to right", "left to right", "front to back"]
    assert plan.faults == plan.warnings == ()


def test_clamps_are_counted_by_rails_in_line_and_open_as_wide_as_the_frame(stool: Job) -> None:
    front, _, whole = assembly_stages(stool).stages
    assert (front.clamps, front.cauls, front.opening) == (2, 4, mm(38 + 244 + 38))  # an upper and a lower rail
    assert (whole.clamps, whole.opening) == (2, mm(320))  # a rail on the left, one on the right


def test_pieces_of_a_stage_stand_where_their_labels_say(stool: Job) -> None:
    places = places_in_unit(stool)
    front, back, whole = assembly_stages(stool).stages
    assert {places[piece] for piece in front.pieces if piece in places} == {"front left", "front right", "front"}
    assert {places[piece] for piece in back.pieces if piece in places} == {"back left", "back right", "back"}
    for closing in whole.closings:
        assert places[closing.post]


def test_each_post_of_a_stool_is_the_hand_that_its_place_asks_for(stool: Job) -> None:
    poses = lay_out_unit(stool).poses
    pieces = list_pieces(stool, make_plan(stool, default_shop()))
    for piece in pieces:
        if piece.unit == 1 and piece.mark == "A":
            assert poses["A", piece.nth - 1].mirrored == (piece.hand == "left")


def a_rectangular_frame() -> Job:
    """A table: long rails B left to right, short rails C front to back, all posts in pairs."""
    parts = (
        a_part("A", 4, (700, 45, 45), hand=Hand.PAIRS),
        a_part("B", 2, (600, 80, 20)),
        a_part("C", 2, (400, 80, 20)),
    )
    joints = (joint("J1", "A", "B", "far edge"), joint("J2", "A", "C", "back"))
    return Job("Table", parts, joints=joints)


def test_a_frame_with_unlike_rails_opens_the_clamps_for_each_direction() -> None:
    plan = assembly_stages(a_rectangular_frame())
    check(a_rectangular_frame(), plan)
    assert members(plan) == ["2 × A, C", "2 × A, C", "4 × A, 2 × B, 2 × C"] or members(plan)[0] == "2 × A, B"
    openings = {stage.joints[0]: stage.opening for stage in plan.stages}
    assert openings == {"J1": mm(690), "J2": mm(490)}  # 600 + 2 × 45, 400 + 2 × 45


def test_a_ladder_is_one_stage_with_a_clamp_a_rung() -> None:
    job = Job(
        "Ladder",
        (a_part("A", 2, (2000, 70, 30)), a_part("B", 6, (380, 40, 22))),
        joints=(joint("J1", "A", "B", "far edge", repeat=6, spacing=300, drop=200),),
    )
    plan = assembly_stages(job)
    check(job, plan)
    assert members(plan) == ["2 × A, 6 × B"]
    assert (plan.stages[0].clamps, plan.stages[0].opening) == (6, mm(380 + 2 * 70))
    assert plan.stages[0].direction == "along B"  # nothing tells left from right here


def test_the_joints_of_a_stage_go_post_by_post_from_the_top() -> None:
    job = Job(
        "Ladder",
        (a_part("A", 2, (2000, 70, 30)), a_part("B", 3, (380, 40, 22))),
        joints=(joint("J1", "A", "B", "far edge", repeat=3, spacing=300),),
    )
    closings = assembly_stages(job).stages[0].closings
    assert len({one.post for one in closings[:3]}) == 1
    assert [one.rail for one in closings[:3]] == [one.rail for one in closings[3:]]


def test_two_ladders_in_a_unit_are_two_stages_of_one_round() -> None:
    parts = (a_part("A", 4, (700, 70, 30)), a_part("B", 4, (380, 60, 22)))
    job = Job("Doors", parts, joints=(joint("J1", "A", "B"), joint("J2", "A", "B", drop=500)))
    plan = assembly_stages(job)
    check(job, plan)
    assert [(stage.round, stage.title()) for stage in plan.stages] == [(1, "2 × A, 2 × B"), (1, "2 × A, 2 × B")]


def test_posts_all_alike_in_a_ring_are_told_by_the_ends_of_their_rails() -> None:
    """Every rail has its marked end in one post's far edge and its other end in the next post's back."""
    parts = (a_part("A", 4, (700, 45, 45)), a_part("B", 4, (400, 80, 20)))
    joints = (
        joint("J1", "A", "B", "far edge", ends=RailEnds.MARKED),
        joint("J2", "A", "B", "back", ends=RailEnds.OTHER),
    )
    job = Job("Table", parts, joints=joints)
    plan = assembly_stages(job)
    check(job, plan)
    assert members(plan) == ["2 × A, B", "2 × A, B", "4 × A, 4 × B"]
    for stage in plan.stages:
        assert Counter(one.joint for one in stage.closings) == {
            "J1": len(stage.closings) // 2,
            "J2": len(stage.closings) // 2,
        }


def test_front_and_back_legs_of_a_chair_find_one_another() -> None:
    """Legs A in front, E behind; side rails D have the same slots at both ends, so only space tells what joins what."""
    parts = (
        a_part("A", 2, (440, 40, 40), hand=Hand.PAIRS),
        a_part("E", 2, (900, 40, 40), hand=Hand.PAIRS),
        a_part("B", 2, (380, 60, 20)),
        a_part("D", 2, (350, 60, 20)),
    )
    joints = (
        joint("J3", "A", "D", "back"),
        joint("J4", "E", "D", "face"),
        joint("J1", "A", "B", "far edge"),
        joint("J2", "E", "B", "far edge"),
    )
    job = Job("Chair", parts, joints=joints)
    plan = assembly_stages(job)
    check(job, plan)
    sides = [stage for stage in plan.stages if set(stage.joints) == {"J3", "J4"}]
    for stage in sides:
        for rail in {one.rail for one in stage.closings}:
            assert {one.post[0] for one in stage.closings if one.rail == rail} == {"A", "E"}


def four(*names: str) -> tuple[object, ...]:
    return tuple(a_part(name, 1, (size, 40, 20)) for name, size in zip(names, (400, 360, 400, 360), strict=True))


RING = (  # each piece ends on the next: L stands on B, B ends on R, R hangs from T, T ends on L
    joint("J1", "L", "T", "far edge", ends=RailEnds.MARKED),
    joint("J2", "T", "R", "far edge", ends=RailEnds.MARKED, drop=360),
    joint("J3", "R", "B", "edge", ends=RailEnds.OTHER, drop=360),
    joint("J4", "B", "L", "edge", ends=RailEnds.OTHER),
)


def a_ring(*more: Joint, parts: tuple[Part, ...] = ()) -> Job:
    sizes = {"L": 400, "T": 400, "R": 400, "B": 400}
    pieces = tuple(a_part(mark, 1, (size, 40, 20)) for mark, size in sizes.items())
    return Job("Ring", (*pieces, *parts), joints=(*RING, *more))


def test_a_closed_ring_in_which_each_piece_ends_on_the_next_takes_two_rounds() -> None:
    job = a_ring()
    plan = assembly_stages(job)
    check(job, plan)
    assert [stage.round for stage in plan.stages] == [1, 1, 2]
    assert plan.faults == ()


def a_lattice() -> Job:
    """The ring, with an upright V between top and bottom and a bar on either side of it: it can never be put together.

    Along the bars everything upright is one body that lies on both sides of each bar; along the upright everything
    level is.
    """
    parts = (a_part("V", 1, (360, 40, 20)), a_part("H", 2, (160, 40, 20)))
    more = (
        joint("J5", "T", "V", "far edge", ends=RailEnds.MARKED, drop=160),
        joint("J6", "B", "V", "edge", ends=RailEnds.OTHER, drop=200),
        joint("J7", "L", "H", "far edge", drop=200),
        joint("J8", "V", "H", "edge", drop=160),
        joint("J9", "V", "H", "far edge", drop=160),
        joint("J10", "R", "H", "edge", drop=160),
    )
    return a_ring(*more, parts=parts)


def test_an_impossible_lattice_is_a_fault_with_its_joints_named() -> None:
    plan = assembly_stages(a_lattice())
    assert plan.warnings == ()
    assert [fault.about for fault in plan.faults] == ["J1, J2, J3, J4, J5, J6, J7, J8, J9, J10"]
    assert plan.stages == ()


def test_a_plan_of_a_lattice_is_made_and_says_first_that_it_cannot_be_glued() -> None:
    sheet = make_plan(a_lattice(), default_shop())
    assert any("no order of glue-up" in fault.text for fault in sheet.faults)
    assert not any("no order of glue-up" in fault.text for fault in make_plan(a_ring(), a_bench_shop()).faults)


def test_rails_of_unlike_lengths_between_the_same_posts_are_told_of() -> None:
    parts = (a_part("A", 2, (700, 45, 45)), a_part("B", 1, (400, 80, 20)), a_part("C", 1, (394, 80, 20)))
    job = Job("Frame", parts, joints=(joint("J1", "A", "B"), joint("J2", "A", "C", drop=300)))
    plan = assembly_stages(job)
    assert [(warning.about, warning.text[:35]) for warning in plan.warnings] == [
        ("J2", "C misses its place by 6 mm: what st")
    ]
    assert len(plan.stages) == 1


def test_joints_that_tell_nothing_give_no_stages_and_say_so() -> None:
    parts = (a_part("A", 3, (700, 45, 45)), a_part("B", 3, (400, 80, 20)))
    plan = assembly_stages(Job("Odd", parts, joints=(joint("J1", "A", "B"), joint("J2", "A", "B", "back"))))
    assert plan.stages == ()
    assert plan.warnings[0].about == "J1, J2"


def test_a_unit_short_of_a_rail_is_still_put_together() -> None:
    parts = (a_part("A", 4, (700, 45, 45), hand=Hand.PAIRS), a_part("B", 3, (400, 80, 20)))
    plan = assembly_stages(Job("Short", parts, joints=(joint("J1", "A", "B"), joint("J2", "A", "B", "back"))))
    assert sum(len(stage.closings) for stage in plan.stages) == 6


def test_a_job_without_joints_has_no_stages_and_nothing_to_say() -> None:
    assert assembly_stages(read_job(ROOT / "fixtures" / "library-drawers")) == AssemblyPlan(())


def test_a_bench_of_many_slats_is_laid_out_without_losing_its_way() -> None:
    parts = (a_part("A", 2, (1800, 70, 30)), a_part("B", 60, (380, 20, 22)))
    job = Job("Bench", parts, joints=(joint("J1", "A", "B", slot_from=2, slot_to=18, repeat=60, spacing=28),))
    plan = assembly_stages(job)
    check(job, plan)
    assert isinstance(plan.stages[0], Stage) and plan.stages[0].clamps == 60


def hands_agree(job: Job) -> bool:
    """Whether every handed piece stands where a piece of its hand can stand."""
    handed = {part.mark for part in job.parts if count_hands(job, part)[1]}
    poses = lay_out_unit(job).poses
    assert handed and handed <= {mark for mark, _ in poses}
    return all(pose.mirrored == bool(nth % 2) for (mark, nth), pose in poses.items() if mark in handed)


def test_a_side_rail_of_a_chair_goes_to_the_side_of_its_hand() -> None:
    side = partial(joint, side="back", setback=3, offset=7)
    parts = (
        a_part("A", 2, (700, 45, 45)),
        a_part("B", 1, (400, 100, 20)),
        a_part("C", 2, (350, 100, 20)),
        a_part("D", 2, (400, 45, 45)),
        a_part("E", 1, (400, 100, 20)),
    )
    joints = (
        joint("J1", "A", "B", setback=3),
        side("J2", "A", "C", ends=RailEnds.MARKED),
        side("J3", "D", "C", ends=RailEnds.OTHER, depth_rail=30),
        joint("J4", "D", "E", setback=3),
    )
    job = Job("chair", parts, joints=joints)
    assert hands_agree(job)
    assert not assembly_stages(job).warnings


def test_rails_that_carry_a_stretcher_off_the_middle_go_where_their_hand_fits() -> None:
    table = a_rectangular_frame()
    stretcher = a_part("E", 1, (400 + 2 * 45 - 2 * 20, 40, 20))
    job = replace(
        table, parts=(*table.parts, stretcher), joints=(*table.joints, joint("J3", "B", "E", "back", drop=60))
    )
    assert count_hands(job, job.part("B")) == (1, 1)
    assert hands_agree(job)
    assert not any(piece.place for piece in list_pieces(job, make_plan(job, a_bench_shop())) if piece.mark == "B")
