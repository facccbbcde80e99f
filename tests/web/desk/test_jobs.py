"""Jobs listed, made, copied, archived, exported and imported again."""

import json

import openpyxl
import pytest
from tests.conftest import ROOT

from stopwright.actions.jobs.keeping import job_document
from stopwright.intake.job_file import job_from_document

PAGE = {"accept": "text/html"}


def made(floor, **fields):
    answer = floor.bench.post("/jobs", data={"name": "Bench", "units": "2", "lengths": "in"} | fields)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"].split("/")[2]


def test_a_shop_without_a_job_is_told_what_to_do_first(tmp_path):
    from tests.web.conftest import BENCH, Client

    from stopwright.intake.shop_file import default_shop
    from stopwright.store.log import Store
    from stopwright.web.app import create_app

    with Store.open(tmp_path / "empty.db") as store:
        page = Client(create_app(store, default_shop(), ROOT / "frontend"), BENCH, "127.0.0.1").get("/").text
    assert "No job yet." in page and "What is made?" in page and 'href="/import"' in page


def test_a_new_job_opens_with_an_empty_list_and_the_plan_says_what_is_missing(floor):
    job = made(floor, name="  Garden   bench ")
    assert job_document(floor.store, job).document == {"name": "Garden bench", "lengths": "in", "units": 2, "part": []}
    assert "No part yet" in floor.bench.get(f"/jobs/{job}/parts").text
    assert floor.bench.get(f"/jobs/{job}/runs").status_code == 422
    assert floor.bench.get("/jobs").headers["location"] == "/"
    page = floor.bench.get("/").text
    assert "no part yet" in page and "to fix" not in page


@pytest.mark.parametrize("fields", [{"name": " "}, {"units": "six"}, {"units": "0"}, {"units": "²"}])
def test_a_job_without_a_name_or_a_number_is_not_made(floor, fields):
    answer = floor.bench.post("/jobs", data={"name": "Bench", "units": "2"} | fields)
    assert answer.status_code == 422 and answer.json()["error"]["next_step"]
    again = floor.bench.post("/jobs", data={"name": "Bench", "units": "2", "lengths": "in"} | fields, headers=PAGE)
    assert again.status_code == 422 and all(f'value="{text}"' in again.text for text in fields.values())
    assert 'value="in" checked' in again.text and again.text.count("notice care") == 1


def test_a_job_is_archived_and_restored_with_nothing_lost(floor):
    before = job_document(floor.store, "1")
    away = floor.bench.post("/jobs/1/archive")
    assert away.headers["location"] == "/?away=1"
    page = floor.bench.get("/?away=1", headers=PAGE).text
    assert "is archived" in page and "Undo" in page and "/jobs/1/sheet" not in page
    floor.bench.post("/jobs/1/archive")  # twice is once
    floor.bench.post("/jobs/1/restore")
    assert "/jobs/1/sheet" in floor.bench.get("/").text
    assert job_document(floor.store, "1") == before
    floor.bench.post("/jobs/1/archive")
    assert "/jobs/1/sheet" not in floor.bench.get("/").text


def test_a_copy_is_a_job_of_its_own(floor):
    answer = floor.bench.post("/jobs/1/copy")
    assert answer.headers["location"] == "/jobs/2/parts"
    one, copy = (dict(job_document(floor.store, job).document) for job in ("1", "2"))
    assert copy.pop("name") == one.pop("name") + " (copy)" and copy == one


def test_every_file_that_is_taken_out_comes_in_again_as_the_same_job(floor):
    job = job_from_document(job_document(floor.store, "1").document, "job")
    for what in ("job.toml", "whole.json"):
        data = floor.bench.get(f"/jobs/1/files/{what}")
        assert "six-bakery-stools" in data.headers["content-disposition"]
        name = data.headers["content-disposition"].split("''")[1]
        answer = floor.bench.post("/import", files={"file": (name, data.content)})
        again = answer.headers["location"].split("/")[2]
        assert job_from_document(job_document(floor.store, again).document, "job") == job
    csv = floor.bench.get("/jobs/1/files/parts.csv")
    assert csv.headers["content-type"].startswith("text/csv") and "A,Leg,24,450,38,38,ash" in csv.text
    xlsx = floor.bench.get("/jobs/1/files/parts.xlsx").content
    assert openpyxl.load_workbook(__import__("io").BytesIO(xlsx)).active["B2"].value == "Leg"
    assert floor.bench.get("/jobs/1/files/parts.pdf").status_code == 422
    assert json.loads(floor.bench.get("/jobs/1/files/whole.json").text)["what"] == "whole job"


def test_a_faulty_job_is_taken_out_as_it_was_typed(floor):
    job = made(floor)
    document = job_document(floor.store, job)
    rows = [{"name": "Leg", "length": "abc"}]
    floor.bench.post(f"/jobs/{job}/parts/save", json={"rows": rows, "base": document.version})
    assert 'length = "abc"' in floor.bench.get(f"/jobs/{job}/files/job.toml").text
    assert floor.bench.get(f"/jobs/{job}/files/parts.csv").status_code == 422


def test_a_paired_phone_reads_but_changes_no_job(floor):
    phone = floor.phone()
    phone.post(f"/pair/{floor.door.new_code()}", data={"name": "Saw"})
    page = phone.get("/").text
    assert 'href="/jobs/1/phone"' in page and "<form" not in page and "/parts" not in page
    for path in ("/jobs", "/jobs/1/archive", "/jobs/1/restore", "/jobs/1/copy", "/import"):
        assert phone.post(path, data={"name": "x"}).status_code == 403
    assert phone.post("/jobs/1/parts/save", json={"rows": [], "base": 1}).status_code == 403
    assert phone.get("/jobs/1/files/whole.json").status_code == 403
