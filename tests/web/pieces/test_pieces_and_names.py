"""The page of a piece, and names with markup in every page and picture."""

import pytest
from tests.conftest import ROOT

from stopwright.actions.jobs.keeping import create_job
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop
from stopwright.model.codes import encode
from stopwright.plan.assembling.pieces import list_pieces

HTML = {"accept": "text/html"}
NASTY = """<script>alert(1)</script>"'&"""


def test_the_code_on_a_label_opens_its_piece_and_says_what_comes_next(floor):
    planned = plan_for(floor.store, floor.job, default_shop())
    piece = list_pieces(planned.job, planned.sheet)[0]
    code = encode(int(floor.job), piece.index)
    page = floor.bench.get(f"/P/{code}", headers=HTML)
    assert page.status_code == 200
    first = next(run for run in planned.sheet.runs if any(one.mark == piece.mark for one in run.pieces))
    assert piece.label in page.text and f"Next: run {first.number}" in page.text
    done = {"id": "tap-00001", "kind": "run done", "at": "2026-03-01T07:30:00Z", "body": {"run": first.id}}
    floor.bench.post(f"/jobs/{floor.job}/events", json={"events": [done]})
    assert f"Next: run {first.number}," not in floor.bench.get(f"/p/{code.lower()}", headers=HTML).text


def test_a_piece_that_is_not_there_is_not_found(floor):
    for code in (encode(int(floor.job), 5000), encode(77, 0), "0000000"):
        answer = floor.bench.get(f"/P/{code}")
        assert answer.status_code == 404, code
        assert answer.json()["error"]["next_step"]


@pytest.fixture
def nasty_job(floor):
    document = job_to_document(read_job(ROOT / "fixtures" / "bakery-stools"))
    document["name"] = NASTY
    for part in document["part"]:
        part["name"] = part["material"] = NASTY
        part["note"] = NASTY
    document["stock"] = []
    document["part"][3]["mark"] = NASTY
    return create_job(floor.store, document, "bench")


def test_names_with_markup_stay_names_in_every_page(floor, nasty_job):
    code = encode(int(nasty_job), 0)
    paths = ("/", f"/jobs/{nasty_job}/runs", f"/jobs/{nasty_job}/runs/1", f"/P/{code}")
    for path in paths:
        page = floor.bench.get(path, headers=HTML)
        assert page.status_code == 200, path
        assert "alert(1)" in page.text
        assert "<script>alert" not in page.text
    floor.door.pair(floor.door.new_code(), NASTY)
    assert "<script>alert" not in floor.bench.get("/phones", headers=HTML).text
    assert "<script>alert" not in floor.bench.get(f"/{NASTY}", headers=HTML).text


def test_script_data_is_read_back_as_it_was(floor, nasty_job):
    import json
    import re

    page = floor.bench.get(f"/jobs/{nasty_job}/runs", headers=HTML).text
    found = re.search(r'id="sheet">(.*?)</script>', page, re.DOTALL)
    sheet = json.loads(found[1])
    assert sheet["name"] == NASTY
    assert NASTY in {piece["name"] for run in sheet["runs"] for piece in run["pieces"]}
