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
    assert "Lay Kb carcase K, back into the rebates of" in floor.bench.get(f"/jobs/{job}/glue-up").text
    steps = facts_of(floor.bench.get(f"/jobs/{job}/glue-up/2/1").text)["steps"]
    assert len(steps) == 6 and not any("Kb" in step["title"] for step in steps)


def test_a_mitred_frame_is_led_round_its_corners_and_closed_by_one_band(floor):
    frame = {"mark": "M", "width": 200, "height": 300}
    job = create_job(floor.store, {"name": "Pictures", "units": 2, "mitred_frame": [frame]}, "bench")
    page = floor.bench.get(f"/jobs/{job}/glue-up/2/1").text
    steps = facts_of(page)["steps"]
    assert [step["title"] for step in steps[:-1]] == [
        "Mh-03 to Mv-03", "Mv-03 to Mh-04", "Mh-04 to Mv-04", "Mv-04 to Mh-03"
    ]  # fmt: skip
    assert steps[-1]["clamp"] and steps[-1]["title"] == "Band clamp" and len(steps[-1]["shown"]) == 4
    assert steps[0]["words"] == "mitre, other end to marked end"
    assert "4 corner blocks, a square" in page and "brush both ends of every mitre" in page
    assert "in a ring, a band around them" in page and "tenons for" not in page
    assert "Glass, picture and what is behind it go into the rebates of Mh and Mv" in page
    for other in ("glue-up", "glue-up/2/dry-fit"):
        assert "a band clamp of at least" in floor.bench.get(f"/jobs/{job}/{other}").text


def test_loose_tenons_in_mitres_are_laid_out_with_the_frame_and_an_octagon_is_drawn(floor):
    octagon = {"name": "Side", "quantity": 8, "length": 200, "width": 60, "thickness": 27}
    mitres = [{"part": "A", "sides": 8}]
    slot = {"mark": "M1", "parts": ["A"], "start": 15, "length": 30, "bit": 8, "depth": 20}
    job = create_job(floor.store, {"name": "Planters", "part": [octagon], "mitre": mitres, "slot": [slot]}, "bench")
    page = floor.bench.get(f"/jobs/{job}/glue-up/1/1").text
    assert "tenons for 8 joints" in page and "or 8 corner clamps" in page
    assert facts_of(page)["steps"][0]["words"] == "mitre, slot M1, other end to marked end"
    drawn = re.findall(r'<path class="wood p(\d)" d="M([^"]+)z"', page)
    assert [number for number, _ in drawn] == list("01234567")
    assert all(way.count("L") == 3 for _, way in drawn)  # a trapezium each


def test_a_unit_is_led_through_the_drawers_that_it_has_and_through_no_others(floor):
    drawer = {"mark": "D", "width": 450, "height": 150, "depth": 400, "opening": [{"number": 2, "width": 440}]}
    frame = {"mark": "F", "width": 500, "height": 700, "groove_depth": 8, "lights": 2}
    job = create_job(floor.store, {"name": "Seed drawers", "units": 3, "drawer": [drawer], "frame": [frame]}, "bench")
    listed = floor.bench.get(f"/jobs/{job}/glue-up").text
    assert "units 1, 3: 2 × Ds, Df, Db" in listed and "unit 2: 2 × D.2s, D.2f, D.2b" in listed
    assert "Unit 2: D.2bo drawer D.2, bottom slides into" in listed
    assert "/glue-up/2/4" in listed and "/glue-up/2/3" not in listed and "/glue-up/3/3" in listed
    assert floor.bench.get(f"/jobs/{job}/glue-up/2/3").status_code == 404
    third = floor.bench.get(f"/jobs/{job}/glue-up/3/3").text
    assert "Dbo-02 slides into the grooves of Ds-0" in third and "D.2bo" not in third
    assert facts_of(third)["steps"][0]["title"] in ("Df-02 into Ds-03", "Df-02 into Ds-04")
    assert facts_of(third)["next"] == 0
    assert 'class="drawn together"' in third
    assert facts_of(floor.bench.get(f"/jobs/{job}/glue-up/2/2").text)["next"] == 4
    kept = floor.bench.get(f"/jobs/{job}/pages-to-keep").json()["pages"]
    assert [one[-4:] for one in kept if re.search(r"glue-up/[123]/[1-9]$", one)] == [
        f"/{unit}/{stage}" for unit, stages in ((1, "123"), (2, "124"), (3, "123")) for stage in stages
    ]
    assert all(floor.bench.get(one).status_code == 200 for one in kept if "glue-up/" in one)


def test_horns_and_fastenings_are_named_for_when_all_is_glued(floor):
    job = create_job(floor.store, job_to_document(a_frame(a_joint("J1", horn=20))), "bench")
    for page in ("1/dry-fit", "1/2"):
        said = floor.bench.get(f"/jobs/{job}/glue-up/{page}").text
        assert "Cut the horns off A, 20 mm at the marked end: at the saw, the frame held flat," in said
        assert "stop at 700 mm." in said
    top = {"mark": "F1", "parts": ["B"], "top": "A", "at": ["10"]}
    held = create_job(floor.store, job_to_document(a_frame(a_joint("J1"))) | {"fastening": [top]}, "bench")
    assert "Fasten A on B with slotted screws" in floor.bench.get(f"/jobs/{held}/glue-up/1/dry-fit").text
    assert "horns" not in floor.bench.get(f"/jobs/{floor.job}/glue-up/1/dry-fit").text
