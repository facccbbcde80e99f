"""The master piece: marks from references only, numbered as the runs name them."""

from tests.builders import at_length, mm
from tests.plan.alone import plan_mortises
from tests.plan.joint_builders import a_bench_shop, a_frame, a_joint, a_mortiser

from stopwright.model.joints import Side
from stopwright.plan.joinery.master_piece import MARKING_OUT, master_pieces, story_stick

JOB = a_frame(
    a_joint("J1", "far edge", setback=3, horn=25),
    a_joint("J2", "back", setback=3, drop=10, rail="B"),
    rails=4,
    hand="pairs",
)
SHOP = a_bench_shop(a_mortiser(step=None), spacers=False)
RUNS = plan_mortises(JOB, SHOP, SHOP.stations[0]).runs


def test_every_mark_is_measured_from_a_reference() -> None:
    post, rail = master_pieces(JOB, SHOP, RUNS)
    assert (post.part, post.length, post.horn, post.copies, post.mirrored) == ("A", mm(725), mm(25), 2, 2)
    assert [(m.number, str(m.side), m.reference, m.start, m.end, str(m.beside), m.centre) for m in post.marks] == [
        (1, "back", "marked end", mm(25 + 10 + 20), mm(25 + 10 + 80), "edge", mm(13)),
        (2, "far edge", "marked end", mm(45), mm(105), "face", mm(13)),
    ]
    assert [(m.number, str(m.side), m.reference, m.start, m.at) for m in rail.marks] == [
        (1, "marked end", "face edge", mm(20), "right"),
        (2, "other end", "face edge", mm(20), "left"),
    ]
    assert post.on(Side.BACK) == post.marks[:1]
    assert "right hand" in MARKING_OUT


def test_runs_are_set_to_marks_that_the_master_piece_has() -> None:
    numbers = {piece.part: {mark.number for mark in piece.marks} for piece in master_pieces(JOB, SHOP, RUNS)}
    named = {stop.to_mark for run in RUNS for stop in run.stops if stop.to_mark}
    assert named
    for text in named:
        number, part = text.removeprefix("mark ").split(" on master ")
        assert int(number) in numbers[part]


def test_a_mark_named_by_a_run_lies_where_the_run_cuts() -> None:
    marks = {(piece.part, mark.number): mark for piece in master_pieces(JOB, SHOP, RUNS) for mark in piece.marks}
    for run in RUNS:
        at = {str(stop.sets): stop for stop in run.stops}
        number, part = at["travel from"].to_mark.removeprefix("mark ").split(" on master ")
        mark = marks[part, int(number)]
        end_stop = at["end stop left" if "end stop left" in at else "end stop right"].target
        assert at["travel from"].target == at_length(end_stop) + mark.start + mark.bit // 2
        assert at["table height"].target == mark.centre


def test_the_runs_a_master_piece_serves_are_counted() -> None:
    post, rail = master_pieces(JOB, SHOP, RUNS)
    assert post.runs == sum(any(p.mark == "A" for p in run.pieces) for run in RUNS)
    assert post.runs + rail.runs >= len(RUNS)


def test_a_story_stick_carries_every_mark_from_one_end() -> None:
    stick = story_stick(master_pieces(JOB, SHOP, RUNS))
    assert stick.length == mm(725)
    assert [(m.position / mm(1), m.part, m.what) for m in stick.marks][:3] == [
        (20, "B", "slot begins"),
        (20, "B", "slot begins"),
        (25, "A", "horn is cut off here"),
    ]
    assert len(stick.marks) == 2 * 4 + 1
