"""A panel without glue on the pages of the glue-up: tried dry, laid in first, kept as its own step."""

import json
import re

from tests.plan.joint_builders import a_frame, a_joint

from stopwright.actions.jobs.keeping import create_job
from stopwright.intake.job_file import job_to_document

FRAME = {"mark": "D", "width": 500, "height": 700, "corner": "loose tenons", "groove_depth": 8, "groove_at": 4,
         "stiles": 60, "bit": 6}  # fmt: skip


def facts_of(page: str) -> dict:
    return json.loads(re.search(r'<script type="application/json"[^>]*id="facts"[^>]*>(.*?)</script>', page, re.S)[1])


def test_a_panel_is_tried_dry_and_is_the_first_step_of_its_stage(floor):
    job = create_job(floor.store, {"name": "Larder doors", "units": 2, "frame": [FRAME]}, "bench")
    dry = floor.bench.get(f"/jobs/{job}/glue-up/2/dry-fit").text
    assert 'data-joint="loose Dp-02"' in dry and "no glue: it has to move" in dry
    page = floor.bench.get(f"/jobs/{job}/glue-up/2/1").text
    steps = facts_of(page)["steps"]
    assert steps[0]["title"].startswith("Dp-02 into the grooves of ") and steps[0]["clamp"] is False
    assert [step["clamp"] for step in steps] == [False] * 5 + [True] * 2
    assert "first of all, and without glue" in page and "tenons for 4 joints" in page
    assert "0 of 5 joints tried dry" in floor.bench.get(f"/jobs/{job}/glue-up").text


def test_a_drawer_is_led_through_its_glue_up_by_the_housings_of_its_corners(floor):
    drawer = {"mark": "D", "width": 450, "height": 150, "depth": 400}
    job = create_job(floor.store, {"name": "Seed drawers", "units": 2, "drawer": [drawer]}, "bench")
    dry = floor.bench.get(f"/jobs/{job}/glue-up/2/dry-fit").text
    assert "housing DH1, into the face side of Ds-03" in dry
    assert "Dbo-02 slides into the grooves of" in dry
    page = floor.bench.get(f"/jobs/{job}/glue-up/2/1").text
    steps = facts_of(page)["steps"]
    assert "tenons for" not in page and "brush and glue" in page
    assert [step["clamp"] for step in steps] == [False] * 4 + [True] * 2
    assert steps[0]["title"].startswith("Df-02 into Ds-0")


def test_the_back_of_a_case_is_named_on_every_page_of_its_glue_up_and_is_no_step_of_a_stage(floor):
    case = {"mark": "K", "width": 800, "height": 900, "depth": 300}
    job = create_job(floor.store, {"name": "Seed cases", "units": 2, "carcase": [case]}, "bench")
    for page in ("2/dry-fit", "2/1"):
        said = floor.bench.get(f"/jobs/{job}/glue-up/{page}").text
        assert "Lay Kb-02 into the rebates of Ks-0" in said and "for it keeps them so" in said
    assert "lay Kb carcase k, back into the rebates of" in floor.bench.get(f"/jobs/{job}/glue-up").text
    steps = facts_of(floor.bench.get(f"/jobs/{job}/glue-up/2/1").text)["steps"]
    assert len(steps) == 6 and not any("Kb" in step["title"] for step in steps)


def test_horns_and_fastenings_are_named_for_when_all_is_glued(floor):
    job = create_job(floor.store, job_to_document(a_frame(a_joint("J1", horn=20))), "bench")
    for page in ("1/dry-fit", "1/2"):
        assert "Cut the horns off A: 20 mm at the marked end." in floor.bench.get(f"/jobs/{job}/glue-up/{page}").text
    top = {"mark": "F1", "parts": ["B"], "top": "A", "at": ["10"]}
    held = create_job(floor.store, job_to_document(a_frame(a_joint("J1"))) | {"fastening": [top]}, "bench")
    assert "Fasten A on B with slotted screws" in floor.bench.get(f"/jobs/{held}/glue-up/1/dry-fit").text
    assert "horns" not in floor.bench.get(f"/jobs/{floor.job}/glue-up/1/dry-fit").text
