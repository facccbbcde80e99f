"""The back of a case: laid into its rebates when all is glued, or put into its grooves before the case is closed."""

from dataclasses import replace
from typing import Any

import pytest
from tests.paper.pixels import page_words
from tests.plan.assembling.test_glue_ups_told import told_as_json
from tests.plan.assembling.test_units_of_things import CASE, a_job_of

from stopwright.errors import BadInput
from stopwright.intake.job_file import job_from_document, job_to_document
from stopwright.lengths import MM
from stopwright.model.job import Job
from stopwright.model.parts import Kind
from stopwright.model.whose import job_for
from stopwright.paper.glue_up import glue_up_pdf
from stopwright.plan.assembling.assembly import AT_LAST, LATE, assembly_stages


def a_case_with_grooves(**groove: Any) -> Job:
    """Sides S, bottom B, top T, back R in grooves 6 deep, 10 before the back edge; open at the bottom with `groove`."""
    size = {"width": 300, "thickness": 18, "quantity": 1, "kind": "sheet"}
    across = {"name": "Across", "length": 576} | size
    into = {"from": "far edge", "at": 10, "fits": "R", "depth": 6}
    return job_from_document(
        {
            "name": "Lending shelf",
            "part": [
                {"mark": "S", "name": "Side", "length": 700, **size, "quantity": 2},
                {"mark": "B", **across},
                {"mark": "T", **across},
                {"mark": "R", "name": "Back", "length": 615, **size, "width": 575, "thickness": 6},
            ],
            "housing": [
                {"mark": "H1", "parts": "S", "side": "face", "at": 60, "fits": "B", "depth": 6},
                {"mark": "H2", "parts": "S", "side": "face", "at": 682 - 0.1, "fits": "T", "depth": 6},
            ],
            "groove": [
                {"mark": "G1", "parts": "S", "side": "face", **into},
                {"mark": "G2", "parts": "T", "side": "face", **into},
                *([] if groove.get("open") else [{"mark": "G3", "parts": "B", "side": "back", **into}]),
            ],
        },
        "x",
    )  # fmt: skip


@pytest.mark.parametrize("case", [{}, {"bottom_up": 60}, {"bottom_up": 60, "top_down": 20, "gap": 2}, {"count": 2}])
def test_the_back_of_a_case_is_laid_into_the_rebates_of_its_own_sides_when_all_is_glued(case: dict[str, Any]) -> None:
    plan = assembly_stages(a_job_of(3, carcase=CASE | case))
    assert [stage.joints[-1][:2] for stage in plan.stages] and not any(stage.loose for stage in plan.stages)
    count = case.get("count", 1)
    assert len(plan.stages) == count and [one.piece for one in plan.afterwards] == [("Kb", n) for n in range(count)]
    sides = [{piece for piece in stage.pieces if piece[0] == "Ks"} for stage in plan.stages]
    assert [set(one.holders) for one in plan.afterwards] == sides and all(one.is_laid_on for one in plan.afterwards)
    assert not plan.warnings and not plan.faults


def test_a_back_lies_where_the_case_leaves_room_for_it() -> None:
    job = a_job_of(carcase=CASE)
    (back,) = assembly_stages(job).afterwards
    # 800 − 2 × 18 between the sides, 6 thick in a rebate 7 wide at their back edges
    assert [length for _, length in back.openings] == [764 * MM]
    assert back.slides and back.slides[0] == back.mouths[0].thick
    assert {high - low for low, high in (one.spans[back.slides[0]] for one in back.mouths)} == {7 * MM}


def test_a_back_in_grooves_on_four_sides_goes_in_before_the_case_is_closed() -> None:
    plan = assembly_stages(a_case_with_grooves())
    (stage,) = plan.stages
    assert [one.piece for one in stage.loose] == [("R", 0)] and not plan.afterwards
    assert {holder[0] for holder in stage.loose[0].holders} == {"S", "T", "B"}
    assert not plan.warnings and not plan.faults


@pytest.mark.parametrize("case", [{}, {"bottom_up": 60}, {"bottom_up": 60, "top_down": 20}, {"count": 2}])
def test_a_case_made_with_its_back_in_grooves_takes_it_in_before_it_is_closed(case: dict[str, Any]) -> None:
    job = a_job_of(2, carcase=CASE | {"back_in": "grooves"} | case)
    plan = assembly_stages(job)
    assert [[one.piece for one in stage.loose] for stage in plan.stages] == [
        [("Kb", n)] for n in range(len(plan.stages))
    ]
    assert not plan.warnings and not plan.faults and not plan.afterwards
    up, down = case.get("bottom_up", 0), case.get("top_down", 0)
    for stage in plan.stages:
        (back,) = stage.loose
        # 800 and 900 less two boards of 18, less what bottom and top lie in; 6 more in each groove, 1 of room in all
        assert sorted(length for _, length in back.openings) == sorted([764 * MM, (864 - up - down) * MM])
        assert len({mouth.spans[mouth.thick] for mouth in back.mouths}) == 1
        assert job.part("Kb").size == ((864 - up - down + 11) * MM, 775 * MM, 6 * MM)


def test_a_back_in_grooves_behind_a_bottom_that_stands_in_its_way_goes_in_before_it_too() -> None:
    plan = assembly_stages(a_case_with_grooves(open=True))
    assert [one.piece for stage in plan.stages for one in stage.loose] == [("R", 0)] and not plan.afterwards


def test_a_back_in_rebates_behind_which_something_stands_goes_in_with_it() -> None:
    job = a_job_of(carcase=CASE)
    rail = {"mark": "Q", "name": "Rail", "length": 764 + 2 * 6, "width": 60, "thickness": 5, "quantity": 1}
    document = job_to_document(job) | {"part": [rail]}
    held = {"mark": "H", "parts": ["Ks"], "side": "face", "at": 400, "fits": "Q", "depth": 6}
    # 60 wide from the front edge of a side 300 deep: not in the way of the back
    assert assembly_stages(job_from_document(document | {"housing": [held]}, "x")).afterwards
    # as deep as the sides: it goes through the back's place
    wide = document | {"part": [rail | {"width": 300}], "housing": [held]}
    plan = assembly_stages(job_from_document(wide, "x"))
    assert not plan.afterwards and [one.piece for stage in plan.stages for one in stage.loose] == [("Kb", 0)]


def test_where_nothing_says_how_a_unit_stands_a_back_is_told_of_in_words() -> None:
    job = replace(a_job_of(carcase=CASE), meetings=())
    (told,) = assembly_stages(job).warnings
    assert told.about == "Kb" and told.text == f"lies in the rebates of Ks: {AT_LAST}"
    assert LATE not in told.text


def test_among_other_jobs_and_in_json_it_is_told_by_its_own_marks() -> None:
    job = a_job_of(carcase=CASE)
    (back,) = assembly_stages(job_for("3", job)).afterwards
    assert back.piece == ("#3·Kb", 0) and {holder[0] for holder in back.holders} == {"#3·Ks"}
    (told,) = told_as_json(job)["afterwards"]
    assert told["piece"] == {"mark": "Kb", "number": 1} and told["held_in"] == "rebates"
    (slid,) = told_as_json(a_job_of(drawer={"mark": "D", "width": 450, "height": 150, "depth": 400}))["afterwards"]
    assert slid["held_in"] == "grooves"


def test_paper_says_that_the_back_squares_the_case_and_that_solid_wood_is_not_glued() -> None:
    job = a_job_of(2, carcase=CASE)
    said = " ".join(page_words(glue_up_pdf(job), 0).split())
    assert "When the glue has set lay Kb carcase K, back into the rebates of" in said and "diagonals alike" in said
    (*others, back) = job.parts
    solid = replace(job, parts=(*others, replace(back, kind=Kind.SOLID)))
    assert "without glue, for solid wood has to move" in " ".join(page_words(glue_up_pdf(solid), 0).split())


def test_a_rebate_that_holds_a_part_which_is_not_there_is_refused_by_name_and_what_it_holds_is_written_back() -> None:
    job = a_case_with_grooves()
    rebate = {"mark": "R1", "parts": ["S"], "side": "face", "edge": "far edge", "width": 7, "depth": 9, "holds": "R"}
    document = job_to_document(job) | {"rebate": [rebate], "groove": []}
    for line in document["part"][1:3]:
        line["width"] = 293  # bottom and top end before the back
    again = job_from_document(document, "x")
    assert job_to_document(again)["rebate"] == job_to_document(job_from_document(job_to_document(again), "x"))["rebate"]
    assert [one.piece for one in assembly_stages(again).afterwards] == [("R", 0)]
    with pytest.raises(BadInput, match="1 fault"):
        job_from_document(document | {"rebate": [rebate | {"holds": "Z"}]}, "x")
