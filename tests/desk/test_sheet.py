"""The pages about the plan in a real browser: narrow and wide, dark, large text, by keyboard, live with a phone."""

import threading

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect
from tests.conftest import a_phone

from stopwright.actions.jobs import comparing, planning
from stopwright.actions.jobs.keeping import create_job, job_document, save_job
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import default_shop
from stopwright.plan.plan import make_plan
from stopwright.store.events import Event, new_id
from stopwright.web.desk import choices as bench_choices
from stopwright.web.desk import sheet as bench_sheet

WHERE = ("sheet", "layouts", "choices", "paper")
FAULTY = {"name": "F", "part": [{"name": "Leg", "quantity": 4, "length": "abc", "width": 38, "thickness": 38}]}


def held_until(told: threading.Event, plan):
    """The planner on a slow machine: it goes on when it is told to, or in the end by itself."""
    return lambda *said, **more: (told.wait(30), plan(*said, **more))[1]


def open_page(page, running, where: str, job: str = "") -> None:
    page.goto(f"{running.address}/jobs/{job or running.job}/{where}")
    expect(page.locator("[data-search=plan], [data-search=choices]")).to_have_count(0)


@pytest.mark.parametrize(("width", "dark"), [(360, False), (1920, True)], ids=["narrow-light", "wide-dark"])
def test_every_page_fits_and_has_nothing_that_axe_finds(running_server, chromium, width, dark) -> None:
    faulty = create_job(running_server.store, FAULTY, "bench")
    with a_phone(chromium, width, 900, color_scheme="dark" if dark else "light") as page:
        for where, job in [*((where, "") for where in WHERE), ("sheet", faulty)]:
            open_page(page, running_server, where, job)
            found = Axe().run(page)
            assert found.violations_count == 0, f"{where}: {found.generate_report()}"
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), where


def test_text_of_twice_the_size_stays_inside_the_page(running_server, chromium) -> None:
    with a_phone(chromium, 720, 900) as page:
        for where in WHERE:
            open_page(page, running_server, where)
            page.evaluate("document.documentElement.style.fontSize = '200%'")
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), where


def test_a_run_done_on_a_phone_is_seen_on_the_bench_at_once_and_who_is_there(running_server, laptop, chromium) -> None:
    open_page(laptop, running_server, "sheet")
    expect(laptop.locator("[data-say=done]")).to_have_text("0 of 30 runs done")
    with a_phone(chromium) as phone:
        phone.goto(f"{running_server.address}/jobs/{running_server.job}/runs/2")
        expect(laptop.locator("[data-say=here] li")).to_contain_text("run 2")
        expect(laptop.locator("tr.here th a")).to_have_text("2")
    run = plan_for(running_server.store, running_server.job, default_shop()).sheet.runs[1]
    done = Event(new_id(), running_server.job, "run done", "2026-03-01T07:00:00.000Z", "phone", {"run": run.id})
    running_server.store.append([done])
    expect(laptop.locator("#run-2 [data-say=state]")).to_have_text("done")
    expect(laptop.locator("[data-say=done]")).to_have_text("1 of 30 runs done")


def test_the_sheet_is_planned_anew_as_soon_as_the_part_list_changes(running_server, laptop) -> None:
    open_page(laptop, running_server, "sheet")
    expect(laptop.locator("h2.big")).to_contain_text("36 settings")
    saved = job_document(running_server.store, running_server.job)
    parts = [dict(part) | ({"length": "460"} if part["mark"] == "A" else {}) for part in saved.document["part"]]
    save_job(running_server.store, running_server.job, {**saved.document, "part": parts}, saved.version, "bench")
    expect(laptop.locator("#run-18 .set")).to_contain_text("460 mm")


def test_another_plan_is_taken_with_the_keyboard_alone(running_server, laptop) -> None:
    open_page(laptop, running_server, "sheet")
    laptop.get_by_role("link", name="Compare plans").focus()
    laptop.keyboard.press("Enter")
    take = laptop.get_by_role("button", name="Take it: plan 1")
    expect(take).to_be_visible()
    take.focus()
    laptop.keyboard.press("Enter")
    expect(laptop.locator(".chosen")).to_contain_text("part by part")
    laptop.get_by_role("button", name="Back to the usual plan").focus()
    laptop.keyboard.press("Enter")
    expect(laptop.locator(".chosen")).to_have_count(0)
    expect(laptop.locator("h2.big")).to_contain_text("36 settings")


def test_a_plan_that_takes_long_is_waited_for_and_comes_by_itself(running_server, laptop, monkeypatch) -> None:
    monkeypatch.setattr(bench_sheet, "PATIENCE", 0.0)
    go_on = threading.Event()
    monkeypatch.setattr(planning, "make_plan", held_until(go_on, make_plan))
    saved = job_document(running_server.store, running_server.job)
    save_job(running_server.store, running_server.job, {**saved.document, "units": 7}, saved.version, "bench")
    laptop.goto(f"{running_server.address}/jobs/{running_server.job}/sheet")
    expect(laptop.get_by_role("heading", level=2)).to_contain_text("Planning 66 pieces of 4 parts.")
    go_on.set()
    monkeypatch.setattr(bench_sheet, "PATIENCE", 0.7)
    expect(laptop.locator("h2.big")).to_contain_text("settings")


def test_comparing_says_how_far_it_is_and_shows_its_plans_when_done(running_server, laptop, monkeypatch) -> None:
    monkeypatch.setattr(bench_choices, "PATIENCE", 0.0)
    go_on = threading.Event()
    monkeypatch.setattr(comparing, "make_plan", held_until(go_on, make_plan))
    saved = job_document(running_server.store, running_server.job)
    save_job(running_server.store, running_server.job, {**saved.document, "units": 8}, saved.version, "bench")
    laptop.goto(f"{running_server.address}/jobs/{running_server.job}/choices")
    expect(laptop.locator("h2.big")).to_have_text("Comparing plans.")
    expect(laptop.get_by_role("button", name="Stop and show what is there")).to_be_visible()
    go_on.set()
    expect(laptop.locator("table.plans tbody tr").first).to_be_visible(timeout=60_000)
