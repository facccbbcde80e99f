"""A drawer from its opening, typed by a person: few entries, every figure explained, nonsense answered."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from tests.builders import mm
from tests.conftest import Running

from stopwright.actions.jobs.editing import save_section
from stopwright.actions.jobs.keeping import create_job, job_document
from stopwright.actions.jobs.planning import asked_for, plan_for
from stopwright.intake.shop_file import default_shop
from stopwright.model.parts import Part
from stopwright.store.events import Event, new_id


@pytest.fixture
def empty(running_server: Running) -> str:
    return create_job(running_server.store, {"name": "Chest", "units": 2}, "bench")


def part(running: Running, job: str, mark: str) -> Part:
    return asked_for(running.store, job, default_shop()).job.part(mark)


def saved(page: Page) -> None:
    """Goes on from the field, and waits until all is kept."""
    page.keyboard.press("Tab")
    expect(page.locator("[data-state]")).to_have_text("Saved")


def test_a_drawer_takes_no_more_than_eight_entries(running_server: Running, empty: str, laptop: Page) -> None:
    laptop.goto(f"{running_server.address}/jobs/{empty}/things")
    laptop.get_by_role("button", name="Add a drawer").click()
    typed = {"width": "450", "height": "132.7", "depth": "400", "material": "oak"}
    for name, value in typed.items():
        laptop.locator(f"#at-{name}").fill(value)
    laptop.locator("#at-guide").select_option("hidden slides")
    assert len(typed) + 1 <= 8
    saved(laptop)
    assert part(running_server, empty, "D1f").length == mm(450 - 41.275 + 12)
    assert part(running_server, empty, "D1f").material == "oak"
    front = laptop.locator("#line-D1f")
    front.locator(".formula summary").first.click()
    expect(front).to_contain_text("opening width − hidden slides + 2 × side = 450 − 41.28 + 2 × 12")
    assert Axe().run(laptop).response["violations"] == []


def test_a_changed_opening_changes_what_hangs_on_it_but_for_what_was_changed_by_hand(
    running_server: Running, empty: str, laptop: Page
) -> None:
    laptop.goto(f"{running_server.address}/jobs/{empty}/things")
    laptop.get_by_role("button", name="Add a drawer").click()
    for name, value in {"width": "450", "height": "132.7", "depth": "400"}.items():
        laptop.locator(f"#at-{name}").fill(value)
    saved(laptop)
    back = laptop.locator("#line-D1b")
    back.get_by_text("Change D1b by hand").click()
    back.get_by_label("Length").fill("405")
    back.get_by_role("button", name="Change it").click()
    expect(back).to_contain_text("Length changed by hand: 405 mm. The drawer says 412.6 mm.")
    laptop.locator("#at-width").fill("460")
    laptop.keyboard.press("Tab")
    expect(back).to_contain_text("The drawer says 422.6 mm.")
    saved(laptop)
    assert part(running_server, empty, "D1f").length == mm(422.6)
    assert part(running_server, empty, "D1b").length == mm(405)
    back.get_by_role("button", name="Take the change back").click()
    expect(back).not_to_contain_text("changed by hand")
    assert part(running_server, empty, "D1b").length == mm(422.6)


def test_slides_wider_than_the_opening_are_answered_with_the_number_that_would_do(
    running_server: Running, empty: str, laptop: Page
) -> None:
    laptop.goto(f"{running_server.address}/jobs/{empty}/things")
    laptop.get_by_role("button", name="Add a drawer").click()
    for name, value in {"width": "20", "height": "132.7", "depth": "400"}.items():
        laptop.locator(f"#at-{name}").fill(value)
    expect(laptop.locator("[data-fault=width]")).to_contain_text("make the opening width more than 49.4 mm")
    laptop.locator("#at-width").fill("49.5")
    expect(laptop.locator("[data-fault=width]")).to_be_empty()
    expect(laptop.locator("#line-D1f")).to_be_visible()


def test_the_third_opening_gets_measures_of_its_own(running_server: Running, empty: str, laptop: Page) -> None:
    laptop.goto(f"{running_server.address}/jobs/{empty}/things")
    laptop.get_by_role("button", name="Add a drawer").click()
    for name, value in {"width": "450", "height": "132.7", "depth": "400", "count": "2"}.items():
        laptop.locator(f"#at-{name}").fill(value)
    laptop.get_by_text("Openings as measured").click()
    laptop.locator("[name='opening.0.number']").fill("3")
    laptop.locator("[name='opening.0.width']").fill("449; 448.5")
    laptop.keyboard.press("Tab")
    expect(laptop.locator("[name='opening.1.number']")).to_be_visible()
    expect(laptop.get_by_role("heading", name="Number 3")).to_be_visible()
    saved(laptop)
    assert job_document(running_server.store, empty).document["drawer"][0]["opening"] == [
        {"number": 3, "width": ["449", "448.5"]}
    ]


def test_an_opening_changed_after_half_of_the_fronts_were_cut(
    running_server: Running, empty: str, laptop: Page
) -> None:
    store = running_server.store
    drawer = {"mark": "D", "width": "450", "height": "132.7", "depth": "400", "front": "16"}
    save_section(store, empty, {"drawer": [drawer]}, job_document(store, empty).version, "bench")
    sheet = plan_for(store, empty, default_shop()).sheet
    run = next(one for one in sheet.runs if one.work == "crosscut" and any(p.mark == "Df" for p in one.pieces))
    for kind, more in (
        ("stop set", {"station": "saw", "work": "crosscut", "stops": []}),
        ("piece cut", {"mark": "Df", "count": 1}),
    ):
        store.append([Event(new_id(), empty, kind, "2026-03-01T07:00:00.000Z", "phone", {"run": run.id} | more)])

    laptop.goto(f"{running_server.address}/jobs/{empty}/things")
    laptop.locator("#at-width").fill("455")
    saved(laptop)
    laptop.get_by_role("link", name="Run sheet").first.click()
    lot = laptop.locator("#outdated li")
    expect(lot).to_contain_text("1 × Df")
    expect(lot).to_contain_text("length 412.6 mm, now 417.6 mm: 5 mm too little")
    lot.get_by_role("button", name="Make just this one again").click()
    expect(laptop).to_have_url(re.compile("/spoiled$"))
    expect(laptop.get_by_role("main")).to_contain_text("Df-01")
    laptop.goto(f"{running_server.address}/jobs/{empty}/sheet")
    expect(laptop.locator("#outdated")).to_have_count(0)
