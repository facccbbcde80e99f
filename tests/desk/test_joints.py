"""Joints entered at the bench as a stranger would: by keyboard alone, from the part list to the mortiser's runs."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from tests.conftest import ROOT, Running, Scheme

from stopwright.actions.jobs.keeping import create_job, job_document
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop

# mark, rail, side (so many steps down the list), then slot from, to, bit, rail, post, drop, setback
JOINTS = (
    ("B", "far edge", "14", "46", "8", "25", "19", "", "3"),
    ("B", "back", "14", "46", "8", "25", "19", "", "3"),
    ("C", "far edge", "8", "30", "8", "25", "26", "320", "3"),
)
SIDES = ("face", "edge", "back", "far edge")


@pytest.fixture
def parts_only(running_server: Running) -> str:
    """The number of a job that holds the stools' part list and wood, and no joint."""
    document = job_to_document(read_job(ROOT / "fixtures" / "bakery-stools"))
    del document["joint"]
    return create_job(running_server.store, document, "bench")


def press_to(page: Page, name: str) -> None:
    """Goes on with the tab key until the named field or button has the focus."""
    for _ in range(60):
        page.keyboard.press("Tab")
        here = page.evaluate("[document.activeElement.name, document.activeElement.textContent.trim()]")
        if name in here:
            return
    raise AssertionError(f"{name} is not reached with the tab key")


def mortise_runs(running: Running, job: str) -> list[object]:
    """Stops, pieces and spacers of every run of the mortiser."""
    sheet = plan_for(running.store, job, default_shop()).sheet
    return [(run.stops, run.pieces, run.spacer) for run in sheet.runs if run.work == "mortise"]


def test_a_stranger_enters_the_stools_joints_by_keyboard_and_gets_their_runs(
    running_server: Running, parts_only: str, laptop: Page
) -> None:
    laptop.goto(f"{running_server.address}/jobs/{parts_only}/joints")
    for number, (rail, side, *figures) in enumerate(JOINTS, start=1):
        press_to(laptop, "Add a joint")
        laptop.keyboard.press("Enter")
        expect(laptop.locator("[name=mark]")).to_have_value(f"J{number}")
        expect(laptop.locator("[name=rail]")).to_be_focused()
        laptop.keyboard.type(rail)
        press_to(laptop, "post")
        laptop.keyboard.type("A")
        press_to(laptop, "side")
        laptop.keyboard.press("Space")
        for _ in range(SIDES.index(side)):
            laptop.keyboard.press("ArrowDown")
        for field, figure in zip(
            ("slot_from", "slot_to", "bit", "depth_rail", "depth_post", "drop", "setback"), figures, strict=True
        ):
            press_to(laptop, field)
            laptop.keyboard.type(figure)
        laptop.keyboard.press("Tab")
        expect(laptop.locator("[data-state]")).to_have_text("Saved")
        laptop.evaluate("document.activeElement.blur()")
    assert mortise_runs(running_server, parts_only) == mortise_runs(running_server, running_server.job)


def test_what_is_typed_is_drawn_and_answered_while_typing(
    running_server: Running, parts_only: str, laptop: Page
) -> None:
    laptop.goto(f"{running_server.address}/jobs/{parts_only}/joints")
    laptop.click("text=Add a joint")
    laptop.select_option("[name=rail]", "B")
    laptop.select_option("[name=post]", "A")
    laptop.click("[data-side='back']")
    expect(laptop.locator("[name=side][value=back]")).to_be_checked()
    expect(laptop.locator("svg[aria-label*='comes from the right to its back']")).to_be_visible()
    laptop.click("text=Do that")
    expect(laptop.locator("[name=bit]")).to_have_value("8")
    expect(laptop.locator("text=At the mortiser")).to_be_visible()
    laptop.locator("[name=slot_to]").press_sequentially("x")
    expect(laptop.locator("[data-fault=slot_to]")).to_contain_text("is not a length")
    expect(laptop.locator("[name=slot_to]")).to_be_focused()


def test_nothing_typed_is_lost_when_one_goes_straight_on(
    running_server: Running, parts_only: str, laptop: Page
) -> None:
    laptop.goto(f"{running_server.address}/jobs/{parts_only}/joints")
    laptop.click("text=Add a joint")
    laptop.locator("[name=slot_from]").press_sequentially("17 3/4 in")
    laptop.click("nav[aria-label=Pages] >> text=Phones")
    laptop.wait_for_url("**/phones")
    assert job_document(running_server.store, parts_only).document["joint"][0]["slot_from"] == "17 3/4 in"


def test_the_second_window_is_told_and_may_keep_its_own(
    running_server: Running, chromium: Browser, laptop: Page
) -> None:
    address = f"{running_server.address}/jobs/{running_server.job}/joints"
    other = chromium.new_context().new_page()
    for page in (laptop, other):
        page.goto(address)
    other.fill("[name=slot_to]", "44")
    other.press("[name=slot_to]", "Tab")
    expect(other.locator("[data-state]")).to_have_text("Saved")
    other.context.close()
    laptop.fill("[name=slot_to]", "48")
    laptop.press("[name=slot_to]", "Tab")
    expect(laptop.locator("[data-conflict]")).to_be_visible()
    laptop.click("text=Keep what stands here")
    expect(laptop.locator("[data-state]")).to_have_text("Saved")
    assert job_document(running_server.store, running_server.job).document["joint"][0]["slot_to"] == "48"


@pytest.mark.parametrize("path", ["joints", "joints?at=joint.2", "master/A", "story-stick"])
@pytest.mark.parametrize(("width", "scheme"), [(360, "dark"), (1920, "light")])
def test_every_page_fits_and_has_no_barrier(
    running_server: Running, chromium: Browser, path: str, width: int, scheme: Scheme
) -> None:
    page = chromium.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme).new_page()
    page.goto(f"{running_server.address}/jobs/{running_server.job}/{path}")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    for size in ("100%", "200%"):
        page.evaluate("size => document.documentElement.style.setProperty('font-size', size)", size)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, size
    page.context.close()
