"""Several jobs worked together as a browser asks for it: every page in words, none a fault of the program."""

from typing import Any

import pytest
from tests.conftest import ROOT
from tests.web.conftest import Client, Shopfloor

from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.keeping import create_job, job_document, save_job
from stopwright.actions.jobs.planning import plan_for
from stopwright.actions.jobs.together import together_with
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop

PAGE = {"accept": "text/html"}


@pytest.fixture
def both(floor: Shopfloor) -> str:
    """The number of the demo job and a hall bench worked together."""
    other = create_job(floor.store, job_to_document(read_job(ROOT / "fixtures" / "hall-bench")), "bench")
    answer = floor.bench.post("/together", data={"job": [floor.job, other]})
    assert answer.status_code == 303
    return str(answer.headers["location"].split("/")[2])


def page(client: Client, path: str) -> Any:
    """The page, followed where it leads elsewhere."""
    answer = client.get(path, headers=PAGE)
    while answer.status_code == 303:
        answer = client.get(answer.headers["location"], headers=PAGE)
    return answer


def test_the_first_page_offers_to_work_several_in_one_go_and_shows_them(floor: Shopfloor, both: str) -> None:
    text = page(floor.bench, "/").text
    assert f'href="/jobs/{both}/sheet"' in text and "2 jobs worked together" in text
    assert text.count("worked together with others") == 2
    assert "Work several in one go" not in text  # both are among them already
    create_job(floor.store, job_to_document(read_job(ROOT / "fixtures" / "jar-cabinet")), "bench")
    create_job(floor.store, job_to_document(read_job(ROOT / "fixtures" / "ferry-tables")), "bench")
    assert page(floor.bench, "/").text.count('type="checkbox"') == 2


def test_the_page_says_what_it_saves_and_lets_a_job_join_and_leave(floor: Shopfloor, both: str) -> None:
    for number in (floor.job, "2", both):
        plan_for(floor.store, number, default_shop())  # the page does not wait long for plans
    text = page(floor.bench, f"/jobs/{both}/together").text
    assert "Together they save 10 settings and" in text and "62 settings" in text and "72 settings" in text
    third = create_job(floor.store, job_to_document(read_job(ROOT / "fixtures" / "jar-cabinet")), "bench")
    base = job_document(floor.store, both).version
    join = floor.bench.post(f"/jobs/{both}/together/join", data={"who": third, "base": base})
    assert join.status_code == 303 and together_with(floor.store, third) == both
    again = floor.bench.post(f"/jobs/{both}/together/join", data={"who": third, "base": base}, headers=PAGE)
    assert again.status_code == 422 and "among them already" in again.text
    old = floor.bench.post(f"/jobs/{both}/together/leave", data={"who": third, "base": base}, headers=PAGE)
    assert old.status_code == 409 and "Somebody else has changed it" in old.text
    base = job_document(floor.store, both).version
    leave = floor.bench.post(f"/jobs/{both}/together/leave", data={"who": third, "base": base})
    assert leave.status_code == 303 and together_with(floor.store, third) == ""


@pytest.mark.parametrize("jobs", [["1"], ["1", "1"], ["1", "77"], ["1", "x" * 500], []])
def test_jobs_that_cannot_be_worked_together_are_refused_in_words(floor: Shopfloor, jobs: list[str]) -> None:
    answer = floor.bench.post("/together", data={"job": jobs}, headers=PAGE)
    assert answer.status_code in (404, 422) and "<h1>" in answer.text


@pytest.mark.parametrize("where", ["together/join", "together/leave"])
@pytest.mark.parametrize("form", [{}, {"who": "77"}, {"who": "1", "base": "x"}, {"who": "1", "base": "-5"}])
def test_odd_forms_are_answered_in_words(floor: Shopfloor, both: str, where: str, form: dict[str, str]) -> None:
    assert floor.bench.post(f"/jobs/{both}/{where}", data=form, headers=PAGE).status_code in (404, 409, 422)
    assert floor.bench.post(f"/jobs/{floor.job}/{where}", data=form, headers=PAGE).status_code in (404, 422)


def test_pages_of_one_job_say_which_to_open_and_those_of_all_are_there(floor: Shopfloor, both: str) -> None:
    for name in ("parts", "things", "joints", "wood", "choices", "pieces", "sort", "rack", "spoiled", "glue-up"):
        answer = floor.bench.get(f"/jobs/{both}/{name}", headers=PAGE)
        assert answer.status_code == 422 and "Several jobs are worked together" in answer.text, name
    for name in ("together", "sheet", "layouts", "paper", "labels", "runs", "runs/1", "phone"):
        assert page(floor.bench, f"/jobs/{both}/{name}").status_code == 200, name
    for name in ("paper/run-sheet.pdf", "paper/layouts.pdf"):
        assert floor.bench.get(f"/jobs/{both}/{name}").content.startswith(b"%PDF")
    pdf = floor.bench.post(f"/jobs/{both}/labels.pdf", data={"sheet": "A4", "start": "1"})
    assert pdf.content.startswith(b"%PDF")
    kept = floor.bench.get(f"/jobs/{both}/pages-to-keep").json()["pages"]
    assert f"/jobs/{both}/runs" in kept and f"/jobs/{floor.job}/sort" in kept and f"/jobs/{both}/sort" not in kept
    for form in ("repeat", "copy"):
        assert floor.bench.post(f"/jobs/{both}/{form}", headers=PAGE).status_code == 422
    assert floor.bench.get(f"/jobs/{both}/files/whole.json", headers=PAGE).status_code == 422


def test_labels_say_whose_they_are_and_lead_to_their_own_job(floor: Shopfloor, both: str) -> None:
    text = page(floor.bench, f"/jobs/{both}/labels").text
    assert f"#{floor.job}·" in text and ", Six bakery stools" in text


def test_a_job_that_is_worked_together_leads_to_the_sheet_of_all(floor: Shopfloor, both: str) -> None:
    for name in ("runs", "runs/3", "phone"):
        location = floor.bench.get(f"/jobs/{floor.job}/{name}").headers["location"]
        assert location == f"/jobs/{both}/{name}"
    text = page(floor.bench, f"/jobs/{floor.job}/sheet").text
    assert f"/jobs/{both}/sheet" in text and "This is what it takes alone" in text
    for name in ("pieces", "sort", "rack", "spoiled", "glue-up", "labels"):
        assert page(floor.bench, f"/jobs/{floor.job}/{name}").status_code == 200


def test_taps_of_a_page_go_to_the_job_that_it_says_and_are_answered_by_their_own_id(
    floor: Shopfloor, both: str
) -> None:
    standing = floor.bench.get(f"/jobs/{both}/standing").json()
    assert standing["runs"] == {}
    shares = [{"job": floor.job, "run": "rabc"}, {"job": "2", "run": "rabc"}]
    done = {"id": "tap-00000001", "kind": "run done", "at": "2026-03-01T07:30:00Z", "body": {"run": "rabc"}}
    answer = floor.bench.post(f"/jobs/{both}/events", json={"events": [done | {"shares": shares}, done], "sent": ""})
    assert list(answer.json()["stored"]) == ["tap-00000001"] and list(answer.json()["refused"]) == ["tap-00000001"]
    assert job_state(floor.store, floor.job).run("rabc").done and job_state(floor.store, "2").run("rabc").done


def test_a_job_among_them_that_has_faults_is_named_where_they_are_worked(floor: Shopfloor, both: str) -> None:
    saved = job_document(floor.store, floor.job)
    save_job(floor.store, floor.job, {**saved.document, "part": []}, saved.version, "bench")
    for name in ("sheet", "runs", "together"):
        answer = page(floor.bench, f"/jobs/{both}/{name}")
        assert answer.status_code in (200, 422) and "must be fixed first" in answer.text
    assert page(floor.bench, "/jobs/2/pieces").status_code == 200  # the other goes on by itself


def test_taken_apart_on_the_page_each_is_a_job_by_itself(floor: Shopfloor, both: str) -> None:
    assert floor.bench.post(f"/jobs/{floor.job}/archive", headers=PAGE).status_code == 422
    text = page_after(floor.bench.post(f"/jobs/{both}/archive"), floor.bench)
    assert "are jobs by themselves again" in text
    assert floor.bench.get(f"/jobs/{floor.job}/runs", headers=PAGE).status_code == 200
    assert floor.bench.post(f"/jobs/{both}/restore").status_code == 303
    assert together_with(floor.store, floor.job) == both


def page_after(answer: Any, client: Client) -> str:
    return str(client.get(answer.headers["location"], headers=PAGE).text)
