"""Pages of jobs, parts, import, wood, shelf, labels, phones: axe finds nothing, nothing is wider than the screen."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect
from tests.desk.conftest import cell, expect_saved

from stopwright.actions.floor.shelf import NewOffcut, shelve
from stopwright.actions.jobs.keeping import create_job
from stopwright.lengths import MM

PAGES = ("/", "/jobs/1/parts", "/jobs/2/parts", "/import", "/jobs/1/import", "/jobs/1/wood?width=300", "/shelf",
         "/jobs/1/hardware", "/jobs/1/labels", "/phones", "/memory")  # fmt: skip
SIZES = ((360, 1), (360, 2), (800, 2), (1280, 1), (1920, 1))
"""Width of the screen in pixels, and how many times the usual size of text."""


@pytest.fixture
def full_server(running_server):
    """The demo job, a faulty one, one archived, an offcut on the shelf, and a paired phone."""
    store = running_server.store
    nasty = {"name": "A very long name of a job <b>with markup</b> and more of it than any shop would ever write"}
    create_job(
        store, nasty | {"part": [{"name": "Leg", "length": "abc", "note": "x" * 300}, {"name": "Only"}]}, "bench"
    )
    shelve(store, [NewOffcut("offcut-0001", 600 * MM, 120 * MM, 45 * MM, "ash", note="Six bakery stools")], "bench")
    door = running_server.app.state.web.door
    door.pair(door.new_code(), "The red phone of the assembly bench")
    return running_server


def looked_at_list(page, address):
    page.goto(f"{address}/import")
    page.fill("#rows", "Name\tQty\tL\tW\tT\tPaint\nLeg\tsome\t450\t38\t38\tred\nRail\t4\t244\t60\t22\tred")
    page.get_by_role("button", name="Look at it").click()
    expect(page.get_by_text("1 thing to fix")).to_be_visible()
    return page.url.removeprefix(address)


def test_no_page_breaks_a_rule_of_access_or_grows_wider_than_the_screen(full_server, laptop):
    for path in (*PAGES, looked_at_list(laptop, full_server.address)):
        laptop.goto(full_server.address + path)
        laptop.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true })")
        for width, text in SIZES:
            laptop.set_viewport_size({"width": width, "height": 900})
            laptop.evaluate("size => document.documentElement.style.fontSize = size", f"{text:.0%}")
            assert laptop.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{path} at {width} x {text}"
        for scheme in ("light", "dark"):
            laptop.emulate_media(color_scheme=scheme)
            found = Axe().run(laptop)
            assert found.violations_count == 0, f"{path} {scheme}: {found.generate_report()}"


def test_a_list_is_brought_in_with_the_keyboard_alone(full_server, laptop):
    laptop.goto(f"{full_server.address}/import")
    laptop.locator("#rows").focus()
    laptop.keyboard.insert_text("What\tQty\tL\tW\tT\nPeg\t4\t60\t10\t10")
    laptop.keyboard.press("Tab")
    laptop.keyboard.press("Enter")
    laptop.wait_for_url("**/import/*")  # and its script is there: typing is quicker than any hand
    laptop.locator("#column-0").focus()
    laptop.keyboard.type("Name")  # chosen: the page looks again by itself
    expect(laptop.get_by_role("button", name="Import it")).to_be_visible()
    expect(laptop.locator("#column-0")).to_be_focused()
    laptop.get_by_role("button", name="Import it").focus()
    laptop.keyboard.press("Enter")
    expect(cell(laptop, 1, "name")).to_have_text("Peg")


def test_a_file_that_is_far_too_large_is_refused_before_it_is_sent(full_server, laptop, tmp_path):
    giant = tmp_path / "giant.csv"
    with giant.open("wb") as file:
        file.truncate(200_000_000)
    laptop.goto(f"{full_server.address}/import")
    laptop.set_input_files("#file", giant)
    expect(laptop.locator("#file-said")).to_contain_text("is 200 MB large, the most is 8 MB")
    laptop.get_by_role("button", name="Look at it").click()
    expect(laptop).to_have_url(f"{full_server.address}/import")
    expect(laptop.locator("#file")).to_have_attribute("aria-invalid", "true")
    for _ in range(2):  # taken back, and once more: no file is no fault
        laptop.set_input_files("#file", [])
        laptop.locator("#file").dispatch_event("change")
        expect(laptop.locator("#file-said")).to_have_text("")
        expect(laptop.locator("#file")).not_to_have_attribute("aria-invalid", re.compile(""))


def test_what_to_buy_follows_the_wood_as_it_is_typed(full_server, laptop):
    laptop.goto(f"{full_server.address}/jobs/1/wood")
    expect(laptop.get_by_role("heading", name="Nothing to buy.")).to_be_visible()
    cell(laptop, 1, "quantity").focus()
    laptop.keyboard.press("Delete")
    expect(cell(laptop, 1, "quantity")).to_have_text("as needed")
    expect_saved(laptop)
    expect(laptop.get_by_role("heading", name="To buy")).to_be_visible()


def test_a_job_is_archived_and_that_is_undone(full_server, laptop):
    laptop.goto(full_server.address)
    row = laptop.locator("li", has_text="Six bakery stools")
    row.locator("summary").click()
    row.get_by_role("button", name="Archive").click()
    expect(laptop.get_by_text("Six bakery stools is archived.")).to_be_visible()
    laptop.get_by_role("button", name="Undo").click()
    expect(laptop.locator("a.what", has_text="Six bakery stools")).to_be_visible()
