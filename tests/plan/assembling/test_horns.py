"""Horns are cut off when all is glued: at the saw where the frame lies flat, with the stop at what the post keeps."""

from dataclasses import replace

from tests.builders import mm
from tests.conftest import ROOT
from tests.paper.pixels import page_count, page_words
from tests.plan.joint_builders import a_frame, a_joint

from stopwright.intake.job_file import read_job
from stopwright.model.job import Job
from stopwright.paper.glue_up import glue_up_pdf
from stopwright.plan.assembling.assembly import assembly_stages


def with_horns(job: Job, horn: float = 20) -> Job:
    return replace(job, joints=tuple(replace(joint, horn=mm(horn)) for joint in job.joints))


def said_of(job: Job) -> str:
    pdf = glue_up_pdf(job)
    return " ".join(" ".join(page_words(pdf, page) for page in range(page_count(pdf))).split())


def test_a_frame_lies_flat_at_the_saw_with_its_other_end_at_the_stop() -> None:
    # rails 20 thick, 5 behind the face of posts 45 thick: the frame is as thick as its posts
    job = a_frame(a_joint("J1", horn=20, setback=5))
    (horn,) = assembly_stages(job).horns
    assert horn.lies_flat and (horn.long, horn.keeps) == (mm(20), mm(700))
    assert (
        "off A, 20 mm at the marked end: at the saw, the frame held flat, its other end at the stop, stop at 700 mm"
        in (said_of(job))
    )


def test_a_rail_that_stands_out_of_the_frame_keeps_it_from_lying_flat() -> None:
    job = a_frame(a_joint("J1", horn=20, setback=30))  # 30 + 20 in posts 45 thick
    assert [horn.lies_flat for horn in assembly_stages(job).horns] == [False]


def test_the_legs_of_a_stool_are_cut_by_hand() -> None:
    stool = with_horns(read_job(ROOT / "fixtures" / "bakery-stools"))
    assert [(horn.mark, horn.lies_flat) for horn in assembly_stages(stool).horns] == [("A", False)]
    assert "off A, 20 mm at the marked end: with a hand saw, then planed flush" in said_of(stool)


def test_where_nothing_says_how_a_unit_stands_they_are_cut_by_hand() -> None:
    job = a_frame(a_joint("J1", horn=20), posts=402, rails=201)  # too many to be looked for
    plan = assembly_stages(job)
    assert not plan.stages and [horn.lies_flat for horn in plan.horns] == [False]
