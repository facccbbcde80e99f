"""The pages about a job's plan, asked as a browser asks: run sheet, layouts, choices, papers, faults."""

import re
from html import unescape
from time import sleep

from pypdfium2 import PdfDocument
from tests.conftest import ROOT

from stopwright.actions.jobs.keeping import chosen, create_job, job_document, save_job
from stopwright.actions.jobs.planning import plan_for
from stopwright.actions.shop.keeping import save_shop
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop, shop_to_document
from stopwright.store.events import Event, new_id

PAGE = {"accept": "text/html"}
WHERE = ("sheet", "layouts", "choices", "paper")


def words(answer) -> str:
    """What a person reads on the page, without the spaces of its source."""
    body = re.sub(r"<script.*?</script>|<style.*?</style>", "", answer.text, flags=re.S)
    return unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", body)))


def shown(floor, job: str, page: str):
    for _ in range(40):
        answer = floor.bench.get(f"/jobs/{job}/{page}", headers=PAGE)
        if "data-search=" not in answer.text:
            break
    return answer


def test_the_run_sheet_says_the_proof_and_shows_every_run_with_why(floor) -> None:
    answer = shown(floor, floor.job, "sheet")
    text = words(answer)
    assert answer.status_code == 200
    assert "36 settings, each made once. Fewer is not possible." in text
    # 36 against 42: see tests/plan/test_list_order.py for how it is counted
    assert "it would be at least 42 settings" in text
    sheet = plan_for(floor.store, floor.job, default_shop()).sheet
    assert len(re.findall(r"<tr id=\"run-\d+\"", answer.text)) == len(sheet.runs) == 30
    assert "The mirror image of A: only the end stop is new." in text
    assert "30 runs done" in text and "36 settings still to make" in text


def test_no_page_carries_a_style_or_a_script_of_its_own(floor) -> None:
    for page in WHERE:
        text = shown(floor, floor.job, page).text
        assert " style=" not in text and " onclick" not in text
        assert all('src="' in tag or "application/json" in tag for tag in re.findall(r"<script[^>]*>", text))


def test_markup_in_names_is_shown_as_written(floor) -> None:
    nasty = '<b>"&amp;</b><script>alert(1)</script>'
    document = {
        "name": nasty,
        "part": [
            {
                "mark": "<i>",
                "name": nasty,
                "quantity": 2,
                "length": 450,
                "width": 60,
                "thickness": 22,
                "material": nasty,
            }
        ],
        "stock": [{"kind": "board", "quantity": 2, "length": 2400, "width": 150, "thickness": 27, "material": nasty}],
    }
    job = create_job(floor.store, document, "bench")
    for page in WHERE:
        text = shown(floor, job, page).text
        assert "<script>alert" not in text and "<b>&quot;" not in text and '<b>"' not in text
        assert "<i>" not in text
    assert nasty in words(shown(floor, job, "sheet"))


def test_a_job_without_parts_is_shown_as_just_begun_and_a_faulty_one_with_every_fault(floor) -> None:
    empty = create_job(floor.store, {"name": "Bench"}, "bench")
    for page in (*WHERE, "labels", "master", "story-stick"):
        assert "No part yet." in words(floor.bench.get(f"/jobs/{empty}/{page}", headers=PAGE))
    for page in ("pieces", "runs", "sort", "glue-up", "spoiled"):
        answer = floor.bench.get(f"/jobs/{empty}/{page}", headers=PAGE)
        assert answer.status_code == 422 and "No part yet." in words(answer) and "part_list" not in answer.text
        assert "has no parts" in floor.bench.get(f"/jobs/{empty}/{page}").json()["error"]["faults"][0]
    parts = [{"name": "Leg", "quantity": 4, "length": "abc", "width": 38, "thickness": 38}]
    joint = {"mark": "J1", "post": "A", "rail": "Z", "side": "face"}
    faulty = create_job(floor.store, {"name": "F", "part": parts, "joint": [joint], "stock": [{"kind": "plank"}]}, "b")
    answer = floor.bench.get(f"/jobs/{faulty}/sheet", headers=PAGE)
    text = words(answer)
    assert "in the way of a plan." in text
    assert "Part Leg (line 1) length 'abc' is not a length" in text
    assert "slot from, slot to, bit" in text and "are missing" in text  # said once for all fields that are missing
    for mend in (f"/jobs/{faulty}/parts", f"/jobs/{faulty}/wood", f"/jobs/{faulty}/joints?at=joint.0#entry"):
        assert f'href="{mend}"' in answer.text


def test_a_job_that_is_not_there_is_said_to_be_so(floor) -> None:
    for page in WHERE:
        assert floor.bench.get(f"/jobs/77/{page}", headers=PAGE).status_code == 404


def test_layouts_show_every_board_with_its_pieces_and_what_is_kept(floor) -> None:
    sheet = plan_for(floor.store, floor.job, default_shop()).sheet
    answer = shown(floor, floor.job, "layouts")
    assert answer.text.count('<section class="layout"') == len(sheet.wood.layouts)
    assert "6 boards and sheets. Fewer is not possible with one width in each strip." in words(answer)
    assert "offcut to keep 906 × 60 mm" in words(answer)


def test_plans_are_listed_compared_and_one_is_taken(floor) -> None:
    answer = shown(floor, floor.job, "choices")
    text = words(answer)
    assert "2 plans to choose from." in text
    assert "With your 2 flip stops nothing is set twice part by part; 1 would be enough." in text
    assert "4 settings fewer" in text  # 3.2 mm a cut
    taken = floor.bench.post(f"/jobs/{floor.job}/choices", data={"flow": "part by part", "turning": ""})
    assert taken.status_code == 303
    assert chosen(floor.store, floor.job) == {
        "flow": "part by part",
        "may_turn": None,
        "mix_widths": True,
        "strips": True,
    }
    assert "Chosen: part by part." in words(shown(floor, floor.job, "sheet"))
    floor.bench.post(f"/jobs/{floor.job}/choices", data={"usual": "yes"})
    assert "Chosen:" not in words(shown(floor, floor.job, "sheet"))


def test_what_a_phone_has_worked_stands_on_the_page_and_in_the_next_plan(floor) -> None:
    sheet = plan_for(floor.store, floor.job, default_shop()).sheet
    run = next(run for run in sheet.runs if run.work == "crosscut" and run.stops[0].target == 244_000_000)
    about = {"station": run.station, "work": run.work, "stops": [[stop.axis, stop.told] for stop in run.stops]}
    for kind, body in (("stop set", {"run": run.id, **about}), ("run done", {"run": run.id})):
        floor.store.append([Event(new_id(), floor.job, kind, "2026-03-01T07:00:00.000Z", "phone", body)])
    text = words(shown(floor, floor.job, "sheet"))
    assert "1 of 30 run" in text and "Standing now: saw flip stops 244 mm" in text
    assert floor.bench.post(f"/jobs/{floor.job}/sheet/from-the-machines").status_code == 303
    text = words(shown(floor, floor.job, "sheet"))
    assert "35 settings, each made once." in text and "going on from where the machines stood" in text
    saved = job_document(floor.store, floor.job)
    parts = [dict(part) | ({"length": "250"} if part["mark"] in "BC" else {}) for part in saved.document["part"]]
    save_job(floor.store, floor.job, {**saved.document, "part": parts}, saved.version, "bench")
    assert "Worked by an earlier plan" in words(shown(floor, floor.job, "sheet"))


def test_papers_are_pdfs_on_the_paper_that_was_chosen(floor) -> None:
    for size, width in (("A4", 210), ("Letter", 215.9)):
        page = shown(floor, floor.job, f"paper?page={size}")
        links = re.findall(r'href="([^"]+\.pdf[^"]*)"', page.text)
        assert len(links) == 7
        for link in links:
            answer = floor.bench.get(unescape(link))
            assert answer.status_code == 200
            assert answer.headers["content-type"] == "application/pdf"
            assert abs(min(PdfDocument(answer.content)[0].get_size()) * 25.4 / 72 - width) < 0.1
    assert floor.bench.get(f"/jobs/{floor.job}/paper/nothing.pdf").status_code == 404


def test_the_quick_plan_is_taken_and_a_longer_search_begins_ends_and_says_how_far_it_is(floor) -> None:
    start = f"/jobs/{floor.job}/sheet"
    assert floor.bench.post(f"{start}/quick").status_code == 303
    assert chosen(floor.store, floor.job)["steps"] == 0
    assert not floor.bench.get(f"{start}/progress?what=longer").json()["running"]
    assert floor.bench.post(f"{start}/longer", data={"seconds": "10"}).status_code == 303
    assert floor.bench.post(f"{start}/stop").status_code == 303
    while floor.bench.get(f"{start}/progress?what=longer").json()["running"]:
        sleep(0.05)  # told to end, it ends when it next asks
    assert floor.bench.get(f"{start}/progress").json()["of"] == 1


def test_only_the_bench_changes_a_plan(floor) -> None:
    phone = floor.phone()
    phone.post(f"/pair/{floor.door.new_code()}", data={"name": "Mira"})
    assert phone.get(f"/jobs/{floor.job}/sheet", headers=PAGE).status_code == 200
    for path in ("sheet/quick", "sheet/longer", "sheet/stop", "sheet/from-the-machines", "choices", "choices/again"):
        assert phone.post(f"/jobs/{floor.job}/{path}").status_code == 403


def test_a_changeover_stands_between_the_runs_with_what_to_do(floor) -> None:
    saw_side = {"name": "saw side", "stations": ["saw", "spindle"], "minutes": 5}
    save_shop(floor.store, shop_to_document(default_shop()) | {"machine": [saw_side]}, 0, "bench")
    text = words(shown(floor, floor.job, "sheet"))
    assert "Make the saw side ready: from saw to spindle, 5 min Take off: guard and riving knife" in text
    assert "The saw side is made ready for the spindle only once." in text
    assert "changeovers still to make" in text


def test_at_the_bench_what_was_moved_is_told_and_stands_on_the_sheet(floor) -> None:
    sheet = plan_for(floor.store, floor.job, default_shop()).sheet
    first, second = [run for run in sheet.runs if run.work == "mortise"][:2]
    about = {"station": first.station, "work": first.work, "stops": [[stop.axis, stop.told] for stop in first.stops]}
    for kind, body in (("stop set", {"run": first.id, **about}), ("run done", {"run": first.id})):
        floor.store.append([Event(new_id(), floor.job, kind, "2026-03-01T07:00:00.000Z", "phone", body)])
    page = shown(floor, floor.job, "sheet").text
    (value,) = re.findall(r'name="moved" value="([^"]*depth)"', page)
    answer = floor.bench.post(f"/jobs/{floor.job}/sheet/machine-used", data={"moved": unescape(value)})
    assert answer.status_code == 303
    text = words(shown(floor, floor.job, "sheet"))
    assert f"Moved or lost since it was set, so it is set again: depth of the mortiser at run {second.number}." in text
    answer = floor.bench.post(f"/jobs/{floor.job}/sheet/machine-used", data={"moved": "3 sawcrank"})
    assert answer.status_code == 404 and "crank" in answer.text


def test_every_run_that_cuts_into_pieces_has_its_pictures_on_the_sheet(floor) -> None:
    job = create_job(floor.store, job_to_document(read_job(ROOT / "fixtures" / "ferry-tables")), "bench")
    sheet = plan_for(floor.store, job, default_shop()).sheet
    page = shown(floor, job, "sheet").text
    pictured = re.findall(r"Picture of run (\d+)</summary>(.*?)</details>", page, flags=re.S)
    groups = {run.number: sum(one.down is not None for row in run.pieces for one in row.each) for run in sheet.runs}
    assert {int(number) for number, _ in pictured} >= {number for number, pieces in groups.items() if pieces}
    for number, drawn in pictured:
        laid = drawn.count(" as it lies")
        assert laid == groups[int(number)]  # each group of a run
        assert drawn.count("<svg") > laid  # and a section at the tool
