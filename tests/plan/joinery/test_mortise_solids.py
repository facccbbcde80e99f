"""The mortiser's runs replayed as solids: every slot lies where its joint has it, and the article closes."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.builders import a_part, at_length, fitted, mm
from tests.plan.alone import plan_mortises
from tests.plan.joint_builders import a_bench_shop, a_frame, a_joint, a_mortiser
from tests.plan.solid_check import (
    Box,
    block_of,
    body_of,
    carried,
    complaints,
    rail_on_post,
    slots_made,
    tenons_wanted,
    turnings,
)

from stopwright.model.job import Job
from stopwright.model.joints import Joint, RailEnds, Side
from stopwright.model.parts import Hand
from stopwright.plan.effort import Steps
from stopwright.plan.run_sheet import Run

OTHER = {"left": "right", "right": "left"}
ACROSS = {
    Side.FACE: Side.BACK,
    Side.BACK: Side.FACE,
    Side.EDGE: Side.FAR_EDGE,
    Side.FAR_EDGE: Side.EDGE,
    Side.MARKED_END: Side.OTHER_END,
    Side.OTHER_END: Side.MARKED_END,
}


def runs_of(job: Job, spacers: bool = True, one_scale: bool = False) -> tuple[Run, ...]:
    shop = a_bench_shop(fitted(a_mortiser(), one_scale=one_scale), spacers=spacers)
    return plan_mortises(job, shop, shop.stations[0], effort=Steps(40)).runs


@st.composite
def joints(draw: st.DrawFn, number: int) -> Joint:
    bit = draw(st.sampled_from([6, 8, 10]))
    low = draw(st.integers(5, 30))
    length = draw(st.integers(bit, 30))
    count = draw(st.integers(1, 2))
    repeat = draw(st.integers(1, 3))
    return a_joint(
        f"J{number}",
        draw(st.sampled_from(["face", "back", "edge", "far edge"])),
        rail="BCD"[number - 1],
        slot_from=low,
        slot_to=low + length,
        bit=bit,
        depth_post=draw(st.integers(10, 30)),
        depth_rail=draw(st.integers(10, 60)),
        setback=draw(st.sampled_from([0, 0, 3, 5])),
        drop=draw(st.sampled_from([0, 0, 15, 120])),
        horn=draw(st.sampled_from([0, 0, 20])),
        count=count,
        pitch=length + draw(st.integers(1, 20)) if count > 1 else None,
        repeat=repeat,
        spacing=draw(st.integers(100, 150)) if repeat > 1 else None,
        offset=draw(st.sampled_from([None, None, 9])),
        apart=draw(st.sampled_from([None, None, bit + 4])),
        ends=draw(st.sampled_from([None, *RailEnds])),
    )


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    several = [draw(joints(number)) for number in range(1, draw(st.integers(1, 3)) + 1)]
    post = (800, draw(st.integers(40, 60)), draw(st.integers(40, 60)))
    rails = [a_part(mark, 4, (300, 140, draw(st.integers(18, 26)))) for mark in "BCD"]
    part = a_part("A", 2 * draw(st.integers(1, 3)), post, hand=draw(st.sampled_from(list(Hand))))
    job = Job("any", (part, *rails), joints=tuple(several))
    along = [(joint.side, box[0]) for joint in several for box in tenons_wanted(job, joint)]
    assume(len(set(along)) == len(along))  # one slot twice is a fault of its own
    return job


@given(jobs(), st.booleans(), st.booleans())
@settings(deadline=None, max_examples=40)
def test_every_slot_lies_where_its_joint_has_it_whatever_side_setback_and_hand(
    job: Job, spacers: bool, one_scale: bool
) -> None:
    assert complaints(job, runs_of(job, spacers, one_scale)) == []


@given(jobs())
@settings(deadline=None, max_examples=8)
def test_a_piece_at_the_wrong_end_stop_is_noticed(job: Job) -> None:
    for number, run in enumerate((runs := runs_of(job))[:4]):
        for wrong in mirror_mistakes(run):
            assert complaints(job, [*runs[:number], wrong, *runs[number + 1 :]])


def mirror_mistakes(run: Run) -> Iterator[Run]:
    """The run with its first pieces at the other stop, taken for their mirror image, or slotted across."""
    first, *rest = run.pieces
    swapped = tuple(
        replace(stop, sets=stop.sets.replace(first.at, OTHER[first.at])) if str(stop.sets).startswith("end") else stop
        for stop in run.stops
    )
    yield replace(run, pieces=(replace(first, at=OTHER[first.at]), *rest))
    yield replace(run, pieces=(replace(first, at=OTHER[first.at]),), stops=swapped)
    yield replace(run, pieces=(replace(first, mirrored=not first.mirrored), *rest))
    yield replace(run, pieces=(replace(first, slotted=ACROSS[first.slotted]), *rest))
    yield replace(run, pieces=(replace(first, down=ACROSS[first.down]), *rest))


def test_a_slot_at_the_wrong_height_or_too_deep_is_noticed() -> None:
    job = a_frame(a_joint(setback=3))
    runs = runs_of(job)
    for index in range(len(runs[0].stops)):
        stops = list(runs[0].stops)
        stops[index] = replace(stops[index], target=at_length(stops[index].target) + mm(1))
        assert complaints(job, [replace(runs[0], stops=tuple(stops)), *runs[1:]])


class Article:
    """Four posts and the rails between them, put together in space from the slots that the runs make.

    World axes: X to the right, Y to the back, Z up. The front right post is as the master piece is: face side to the
    front, face edge to the right, marked end up. The others are its reflections.
    """

    def __init__(self, job: Job, outer: tuple[int, int], spacers: bool = True) -> None:
        self.job, self.runs, self.outer = job, runs_of(job, spacers), outer
        height = body_of(job, "A")[0]
        first = np.array([[0, -1, 0], [0, 0, 1], [-1, 0, 0]], dtype=np.int64)
        self.posts = {}
        for left, behind in product((False, True), repeat=2):
            flip = np.diag([-1 if left else 1, -1 if behind else 1, 1])
            corner = np.array([0 if left else outer[0], outer[1] if behind else 0, height])
            self.posts[left, behind] = flip @ first, corner
        self.slots = slots_made(job, self.runs, "A")

    def post_slots(self, at: tuple[bool, bool]) -> list[Box]:
        turning, corner = self.posts[at]
        mirrored = round(np.linalg.det(turning)) == -1
        if mirrored and True not in self.slots:  # a post that is its own mirror image, turned another way
            assert any(self.same_as_turned(turned) for turned in turnings(mirrored=True))
        return [carried(box, turning, corner) for box in self.slots[mirrored and True in self.slots]]

    def same_as_turned(self, turning: np.ndarray) -> bool:
        body = block_of(body_of(self.job, "A"))
        lies = carried(body, turning, np.zeros(3, dtype=np.int64))
        shift = -np.array([low for low, _ in lies])
        return carried(body, turning, shift) == body and self.slots[False] == {
            carried(box, turning, shift) for box in self.slots[False]
        }

    def rails(self, joint: Joint) -> Iterator[tuple[np.ndarray, np.ndarray]]:
        """Turning and corner of every rail of a joint, seen from its right or front end; both ends must agree."""
        along_x = joint.side in (Side.EDGE, Side.FAR_EDGE)
        for behind in (False, True):
            here, there = ((False, behind), (True, behind)) if along_x else ((behind, False), (behind, True))
            for end, other in (("marked end", "other end"), ("other end", "marked end")):
                placed = self.rail_at(joint, here, end)
                if round(np.linalg.det(placed[0])) == 1:
                    across = self.rail_at(joint, there, other)
                    assert (placed[0] == across[0]).all()
                    assert (placed[1] == across[1]).all()
                    yield placed

    def rail_at(self, joint: Joint, at: tuple[bool, bool], end: str) -> tuple[np.ndarray, np.ndarray]:
        turning, corner = self.posts[at]
        turned, shift = rail_on_post(self.job, joint, end)
        return turning @ turned, turning @ shift + corner

    def closes(self) -> bool:
        """Whether every slot of a post meets exactly one slot of a rail, face to face with the same outline."""
        posts = [box for at in self.posts for box in self.post_slots(at)]
        rails = []
        for joint in self.job.joints:
            made = slots_made(self.job, self.runs, joint.rail)[False]
            for turning, corner in self.rails(joint):
                rails += [carried(box, turning, corner) for box in made]
        pairs = [(post, rail) for post in posts for rail in rails if meet(post, rail)]
        return len(pairs) == len(posts) == len(rails) == len({a for a, _ in pairs}) == len({b for _, b in pairs})

    def setback(self, joint: Joint) -> set[int]:
        """How far behind the outer planes of the article the rails' face sides lie."""
        found = set()
        for turning, corner in self.rails(joint):
            axis = 1 if joint.side in (Side.EDGE, Side.FAR_EDGE) else 0
            length, width, thickness = body_of(self.job, joint.rail)
            face = carried(((0, length), (0, width), (0, 0)), turning, corner)[axis][0]
            inner = carried(((0, length), (0, width), (thickness, thickness)), turning, corner)[axis][0]
            found.add(face if face < inner else self.outer[axis] - face)
        return found


def meet(one: Box, two: Box) -> bool:
    """Whether two boxes touch on one axis and have the same outline on the others."""
    touching = [a[1] == b[0] or b[1] == a[0] for a, b in zip(one, two, strict=True)]
    alike = [a == b for a, b in zip(one, two, strict=True)]
    return sum(alike) == 2 and touching[alike.index(False)]


def a_stool() -> Job:
    """Legs 38 square, upper rails all round, lower rails front and back: 38 + 244 + 38 = 320 outside."""
    upper = {"slot_from": 14, "slot_to": 46, "bit": 8, "depth_post": 19, "depth_rail": 25, "setback": 3}
    lower = {"slot_from": 8, "slot_to": 30, "bit": 8, "depth_post": 26, "depth_rail": 25, "setback": 3}
    return a_frame(
        a_joint("J1", "far edge", **upper),
        a_joint("J2", "back", **upper),
        a_joint("J3", "far edge", rail="C", drop=320, **lower),
        post=(450, 38, 38),
        rail=(244, 60, 22),
        rails=4,
        hand="pairs",
        parts=(a_part("C", 2, (244, 38, 22)),),
    )


def a_table(hand: str = "pairs") -> Job:
    """Legs 60 × 45 with a horn; long rails 120 × 24 with two slots, short rails 90 × 20, unlike in every measure."""
    long = {"slot_from": 12, "slot_to": 48, "count": 2, "pitch": 56, "bit": 10, "depth_post": 28, "depth_rail": 40}
    short = {"rail": "C", "slot_from": 15, "slot_to": 65, "bit": 8, "depth_post": 20, "depth_rail": 30}
    return a_frame(
        a_joint("J1", "far edge", setback=5, horn=25, drop=10, **long),
        a_joint("J2", "back", setback=2, drop=10, **short),
        post=(700, 60, 45),
        rail=(1000, 120, 24),
        rails=2,
        parts=(a_part("C", 2, (500, 90, 20)),),
        hand=hand,
    )


@pytest.mark.parametrize("spacers", [True, False])
def test_a_whole_stool_closes_with_every_rail_at_its_setback(spacers: bool) -> None:
    stool = Article(a_stool(), (mm(320), mm(320)), spacers)
    assert stool.closes()
    assert [stool.setback(joint) for joint in stool.job.joints] == [{mm(3)}] * 3


@pytest.mark.parametrize("spacers", [True, False])
def test_a_table_with_unlike_rails_closes_with_every_rail_at_its_setback(spacers: bool) -> None:
    table = Article(a_table(), (mm(60 + 1000 + 60), mm(45 + 500 + 45)), spacers)
    assert table.closes()
    assert [table.setback(joint) for joint in table.job.joints] == [{mm(5)}, {mm(2)}]


def test_a_table_whose_part_list_says_same_is_still_planned_so_that_it_closes() -> None:
    assert Article(a_table(hand="same"), (mm(1120), mm(590))).closes()


@st.composite
def frames(draw: st.DrawFn) -> Job:
    """Posts joined on two neighbouring sides by rails alike or unlike, some with a lower rail on one side."""

    def a_rail(mark: str, side: str, rail: str, drop: int) -> Joint:
        low, length, bit = draw(st.integers(8, 20)), draw(st.integers(10, 40)), draw(st.sampled_from([6, 8, 10]))
        depth, setback = draw(st.sampled_from([12, 15])), draw(st.sampled_from([0, 3, 6]))
        more = {"depth_post": depth, "depth_rail": 30, "setback": setback, "horn": draw(st.sampled_from([0, 20]))}
        return a_joint(mark, side, rail=rail, slot_from=low, slot_to=low + length, bit=bit, drop=drop, **more)

    upper = a_rail("J1", "far edge", "B", draw(st.sampled_from([0, 12])))
    if draw(st.booleans()):
        other = replace(upper, mark="J2", side=Side.BACK, rail="C")
    else:
        other = a_rail("J2", "back", "C", draw(st.sampled_from([0, 12])))
    lower = [a_rail("J3", "far edge", "D", 400)] if draw(st.booleans()) else []
    width, thickness = draw(st.sampled_from([(45, 45), (60, 45), (45, 60)]))
    rails = [a_part(mark, 2, (length, 70, 20)) for mark, length in (("B", 500), ("C", 300), ("D", 500))]
    post = a_part("A", 4, (700, width, thickness), hand=draw(st.sampled_from(list(Hand))))
    return Job("frame", (post, *rails), joints=(upper, other, *lower))


@given(frames(), st.booleans())
@settings(deadline=None, max_examples=40)
def test_any_frame_of_four_posts_closes_with_its_rails_at_their_setbacks(job: Job, spacers: bool) -> None:
    post = job.part("A")
    frame = Article(job, (2 * post.width + mm(500), 2 * post.thickness + mm(300)), spacers)
    assert frame.closes()
    assert [frame.setback(joint) for joint in job.joints] == [{joint.setback} for joint in job.joints]


def test_posts_alike_on_both_sides_close_without_pairs() -> None:
    rail = {"slot_from": 20, "slot_to": 80, "setback": 3}
    job = a_frame(a_joint("J1", "far edge", **rail), a_joint("J2", "back", **rail), rails=4)
    frame = Article(job, (mm(490), mm(490)))
    assert not any(pieces.mirrored for run in frame.runs for pieces in run.pieces)
    assert frame.closes()


def test_an_article_of_left_posts_only_does_not_close() -> None:
    table = Article(a_table(), (mm(1120), mm(590)))
    table.slots[True] = table.slots[False] = {
        carried(box, np.diag([1, 1, -1]), np.array([0, 0, mm(45)])) for box in table.slots[False]
    }
    assert not table.closes()
