"""Left and right: end stops from the geometry, and which posts come in pairs."""

from functools import partial

import numpy as np
import pytest
from tests.builders import a_part
from tests.plan.joint_builders import a_frame, a_joint

from stopwright.model.job import Job
from stopwright.model.joints import RailEnds, Side
from stopwright.model.parts import Hand
from stopwright.plan.joinery.hands import OUTWARD, count_hands, end_stop, is_handed, needs_pairs, side_down

# Worked by hand from r = (−n) × u with right-handed axes (K); the rest by turning a block in the hand.
STOPS = {
    Side.FAR_EDGE: "right",  # n = +y, u = +z: r = −x
    Side.BACK: "left",  # n = +z, u = +y: r = +x
    Side.EDGE: "left",  # n = −y, u = +z: r = +x
    Side.FACE: "right",  # n = −z, u = +y: r = −x
    Side.OTHER_END: "left",  # n = +x, u = +z: r = +y
    Side.MARKED_END: "right",  # n = −x, u = +z: r = −y
}


@pytest.mark.parametrize(("side", "at"), STOPS.items())
def test_the_end_stop_follows_from_the_slotted_side(side: Side, at: str) -> None:
    assert end_stop(side) == at
    assert end_stop(side, mirrored=True) == {"left": "right", "right": "left"}[at]


@pytest.mark.parametrize("side", list(Side))
def test_right_is_what_numpy_says_it_is(side: Side) -> None:
    right = np.cross(-np.array(OUTWARD[side]), -np.array(OUTWARD[side_down(side)]))
    into = np.array((0, 1, 0) if "end" in str(side) else (1, 0, 0))
    assert (end_stop(side) == "left") == bool(right @ into == 1)


def test_a_reference_side_always_lies_on_the_table() -> None:
    assert {side_down(side) for side in Side} == {Side.FACE, Side.EDGE}


def test_neighbouring_sides_slotted_alike_need_no_pairs() -> None:
    job = a_frame(a_joint("J1", "far edge", setback=3), a_joint("J2", "back", setback=3), rails=4)
    assert not is_handed(job, job.part("A"))
    assert count_hands(job, job.part("A")) == (4, 0)


@pytest.mark.parametrize("unlike", [{"setback": 4}, {"depth_post": 20}, {"drop": 1}, {"slot_to": 70}, {"bit": 8}])
def test_neighbouring_sides_slotted_unlike_make_pairs(unlike: dict[str, float]) -> None:
    plain = {"setback": 3}
    second = a_joint("J2", "back", rail="C", **(plain | unlike))
    job = a_frame(a_joint("J1", "far edge", **plain), second, parts=(a_part("C", 2, (400, 100, 20)),))
    assert needs_pairs(job, job.part("A"))
    assert count_hands(job, job.part("A")) == (2, 2)


def test_an_oblong_post_slotted_alike_on_two_sides_makes_pairs() -> None:
    both = a_joint("J1", "far edge", setback=3), a_joint("J2", "back", setback=3)
    job = a_frame(*both, post=(700, 50, 45), rails=4)
    assert needs_pairs(job, job.part("A"))


def test_one_slot_in_the_middle_needs_no_pairs_and_one_off_the_middle_does() -> None:
    # rail 20 thick in a post 45 thick: 12.5 behind the face its middle is 22.5, that of the post
    for setback, paired in ((12.5, False), (3, True)):
        job = a_frame(a_joint(setback=setback))
        assert needs_pairs(job, job.part("A")) is paired


def test_a_stile_with_equal_slots_at_both_ends_is_its_own_mirror_image() -> None:
    # 400 long: slots 20 … 80 and 320 … 380 lie alike from either end
    job = a_frame(a_joint("J1"), a_joint("J2", drop=300), post=(400, 45, 45))
    assert not is_handed(job, job.part("A"))


def test_rails_that_go_round_from_one_side_to_the_next_need_no_pairs() -> None:
    round_about = (
        a_joint("J1", "far edge", ends=RailEnds.MARKED, setback=3),
        a_joint("J2", "back", ends=RailEnds.OTHER, setback=5),
    )
    job = a_frame(*round_about, rails=4)
    assert is_handed(job, job.part("A"))
    assert count_hands(job, job.part("A")) == (4, 0)


def test_half_are_mirrored_whenever_the_part_list_says_pairs() -> None:
    job = a_frame(a_joint(setback=12.5), hand="pairs", posts=6)
    assert count_hands(job, job.part("A")) == (3, 3)


def chair(rail_hand: str = "same", offset: float | None = 7) -> Job:
    """Back posts A with rail B between, front posts D with rail E, side rails C from A to D, slotted off the middle."""
    side = partial(a_joint, rail="C", side="back", setback=3, offset=offset)
    joints = (
        a_joint("J1", "far edge", setback=3),
        side("J2", ends=RailEnds.MARKED),
        side("J3", post="D", ends=RailEnds.OTHER, depth_rail=30),
    )
    parts = a_part("C", 4, (350, 90, 20), hand=Hand(rail_hand)), a_part("D", 4, (400, 45, 45))
    return a_frame(*joints, parts=parts)


def test_a_rail_that_runs_from_a_post_to_a_mirrored_post_of_its_own_is_mirrored_with_them() -> None:
    # its face side lies 3 behind the outer side of either post, and its marked end in the back post of either side
    job = chair()
    assert is_handed(job, job.part("C"))
    assert [count_hands(job, job.part(mark)) for mark in "ABCD"] == [(2, 2), (2, 0), (2, 2), (2, 2)]


def test_a_rail_slotted_in_the_middle_of_its_thickness_needs_no_pairs_for_mirrored_posts() -> None:
    job = chair(offset=10)
    assert count_hands(job, job.part("C")) == (4, 0)
