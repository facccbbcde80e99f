"""The glue-up in the run sheet's JSON: stages, what goes into what, what lies loose, clamps, the glue's minutes."""

from dataclasses import replace

from tests.plan.assembling.test_units_of_things import DRAWER, FRAME, a_job_of
from tests.plan.joint_builders import a_frame, a_joint

from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM, Show
from stopwright.model.job import Job
from stopwright.model.stations import Glue
from stopwright.model.whose import job_for
from stopwright.plan.assembling.glue_up_json import glue_up_json
from stopwright.plan.assembling.glue_ups import glue_ups_of

HIDE = Glue("hide glue", 5, 120)


def told_as_json(job: Job, glues: tuple[Glue, ...] = (HIDE,)) -> dict:
    (told,) = glue_ups_of([("", job)], replace(default_shop(), glues=glues))
    return glue_up_json(told, Show.MM)


def test_a_panel_is_laid_in_and_rail_ends_are_joined_under_clamps_as_wide_as_the_door() -> None:
    told = told_as_json(replace(a_job_of(2, frame=FRAME), glue="hide glue"))
    (stage,) = told["stages"]
    assert told["units"] == 2 and "job" not in told
    assert told["glue"] == {"name": "hide glue", "open_minutes": 5, "clamp_minutes": 120}
    (loose,) = stage["loose"]
    assert loose["piece"] == {"mark": "Fp", "number": 1} and len(loose["into"]) == 4
    assert [(one["by"], one["side"]) for one in stage["joined"]] == [("FN1", "edge")] * 4
    assert {one["end"] for one in stage["joined"]} == {"marked end", "other end"}
    opening = {"nm": 500 * MM, "text": "500 mm"}
    assert stage["clamps"] == {"kind": "bar", "opening": opening, "count": 2} and stage["cauls"] == 4


def test_a_bottom_slides_in_afterwards_and_an_unknown_glue_is_none() -> None:
    told = told_as_json(a_job_of(drawer=DRAWER))
    assert [one["piece"] for one in told["afterwards"]] == [{"mark": "Dbo", "number": 1}]
    assert told["glue"] is None and told["horns"] == []
    horned = told_as_json(a_frame(a_joint("J1", horn=20)))
    (horn,) = horned["horns"]
    assert horn["mark"] == "A" and horn["length"]["text"] == "20 mm" and horn["keeps"]["text"] == "700 mm"
    assert horn["cut"] == "at the saw"


def test_a_stage_says_which_others_it_waits_for() -> None:
    told = told_as_json(a_job_of(frame=FRAME | {"lights": 2}))
    assert [one["after"] for one in told["stages"]] == [[], [1]]


def test_a_job_without_an_order_of_glue_up_is_not_told() -> None:
    assert glue_ups_of([("", replace(a_job_of(frame=FRAME), meetings=()))], default_shop()) == ()


def test_among_others_it_is_told_by_the_number_of_its_job_and_again_by_its_own_marks() -> None:
    alone, job = a_job_of(frame=FRAME), a_job_of(frame=FRAME | {"lights": 2})
    first, second = glue_ups_of([("3", job_for("3", alone)), ("4", job_for("4", job))], default_shop())
    assert glue_up_json(first, Show.MM)["job"] == "3"
    assert first.of_its_own() == glue_ups_of([("", alone)], default_shop())[0]
    assert second.of_its_own() == glue_ups_of([("", job)], default_shop())[0]
