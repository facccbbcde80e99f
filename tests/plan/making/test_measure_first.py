"""What is drawn only is asked for before the first cut that needs it."""

from dataclasses import replace

from tests.builders import a_job, a_part, a_shop, mm
from tests.plan.making.made import a_thing, made

from stopwright.model.job import Job
from stopwright.model.things import Opening, Thing
from stopwright.model.whose import lot_for
from stopwright.plan.making.measure_first import asked_first, before_runs, openings_of
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Pieces, Run
from stopwright.plan.together import Member, plan_together

DRAWER = a_thing("drawer", width=450, height=132.7, depth=400)
ALL = Opening(width=(mm(449),), height=(mm(132),))


def a_job_of(*things: Thing, units: int = 1) -> Job:
    found = made(*things, units=units)
    return Job("things", found.parts, units=units, cuts=found.cuts, joints=found.joints, things=things)


def missing(*things: Thing, units: int = 1) -> list[tuple[str, tuple[str, ...]]]:
    return [(one.mark, one.missing) for one in openings_of(a_job_of(*things, units=units))]


def test_what_was_not_measured_is_missing() -> None:
    assert missing(DRAWER) == [("D", ("width", "height"))]
    assert missing(replace(DRAWER, openings=(Opening(width=(mm(449),)),))) == [("D", ("height",))]
    assert missing(replace(DRAWER, openings=(ALL,))) == [("D", ())]


def test_one_of_the_batch_that_was_measured_leaves_the_others_open() -> None:
    third = replace(DRAWER, openings=(Opening(number=3, width=(mm(449),), height=(mm(132),)),))
    assert missing(third, units=3) == [("D", ("width", "height")), ("D.3", ())]


def test_a_frame_or_case_that_goes_into_no_opening_is_not_asked_about() -> None:
    assert missing(a_thing("frame", width=500, height=700), a_thing("carcase", width=800, height=700, depth=300)) == []
    assert [mark for mark, _ in missing(a_thing("frame", width=500, height=700, gap=2))] == ["F"]


def test_it_is_asked_before_the_first_run_of_each_work_that_needs_it_and_never_at_the_planer() -> None:
    asked_of = [("plane", ["Df"]), ("rip", ["X"]), ("rip", ["Ds", "Df"]), ("rip", ["Df"]), ("crosscut", ["Df"])]
    runs = [Run(0, "saw", work, (), tuple(Pieces(mark, mark, 1) for mark in marks)) for work, marks in asked_of]
    asked = tuple(asked_first(a_job_of(DRAWER)))
    words = "measure for drawer D first and type it at Fetch the wood: this is for ⟦450000000×132700000⟧ as drawn"
    assert before_runs(asked, runs) == {2: [words], 4: [words]}
    assert tuple(asked_first(a_job_of(replace(DRAWER, openings=(ALL,))))) == ()


def test_the_sheet_says_it_at_the_run_and_the_run_keeps_its_name() -> None:
    drawn, measured = (
        a_job_of(DRAWER),
        a_job_of(replace(DRAWER, openings=(Opening(width=(mm(450),), height=(mm(132.7),)),))),
    )
    before, after = (make_plan(job, a_shop()) for job in (drawn, measured))
    told = [run.work for run in before.runs if "measure for drawer D first" in run.note]
    assert told == ["rip", "crosscut"]
    assert [run.id for run in before.runs] == [run.id for run in after.runs]
    assert not any("measure for" in run.note for run in after.runs)
    assert make_plan(a_job(a_part()), a_shop()).runs


def test_jobs_that_are_worked_together_say_whose_opening_it_is() -> None:
    members = [Member("3", a_job_of(DRAWER)), Member("4", a_job(a_part()))]
    notes = [run.note for run in plan_together(members, "both", a_shop()).runs if "measure for drawer D" in run.note]
    assert notes and all(lot_for("3", "measure for drawer D") in note for note in notes)
