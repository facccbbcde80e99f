"""The shop set up and kept in a real browser: eleven questions, entries saved as one goes, undo, widths and schemes."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from tests.conftest import Running, Scheme

from stopwright.actions.shop.keeping import current_shop
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM
from stopwright.model.gear import Blade


def shop_of(running: Running):
    return current_shop(running.store, default_shop())


def test_eleven_questions_are_answered_by_keyboard_and_end_in_a_saved_shop(
    running_server: Running, laptop: Page
) -> None:
    laptop.goto(f"{running_server.address}/shop")
    laptop.locator("text=Set it up with eleven questions").focus()
    laptop.keyboard.press("Enter")
    laptop.wait_for_url("**/set-up")
    laptop.locator("[name=name]").focus()
    laptop.keyboard.press("Control+a")
    laptop.keyboard.type("Our shop")
    for _ in range(3):
        laptop.keyboard.press("Tab")
    laptop.keyboard.press("Control+a")
    laptop.keyboard.type("2,8")
    laptop.keyboard.press("Enter")
    laptop.wait_for_url("**/shop")
    expect(laptop.locator("[data-state]")).to_have_text("Saved")
    assert (shop_of(running_server).name, shop_of(running_server).station_for("rip").of(Blade).kerf) == (
        "Our shop",
        2_800_000,
    )


def test_an_entry_is_answered_while_typing_and_saved_when_right(running_server: Running, laptop: Page) -> None:
    laptop.goto(f"{running_server.address}/shop")
    kerf = laptop.locator("[name='station.2.kerf']")
    kerf.fill("3 m m")
    expect(laptop.locator("[data-fault='station.2.kerf']")).to_contain_text("is not a length")
    expect(kerf).to_have_attribute("aria-invalid", "true")
    kerf.fill("3")
    kerf.press("Tab")
    expect(laptop.locator("[data-state]")).to_have_text("Saved")
    assert shop_of(running_server).station_for("rip").of(Blade).kerf == 3 * MM


def test_a_stop_taken_out_comes_back_and_what_was_typed_before_is_kept(running_server: Running, laptop: Page) -> None:
    laptop.goto(f"{running_server.address}/shop")
    laptop.locator("[name=name]").first.fill("Ours")
    laptop.locator("summary:has-text('flip stops')").click()
    laptop.get_by_role("button", name="Remove this stop: flip stops of saw").click()
    expect(laptop.locator("text=The shop was changed.")).to_be_visible()
    assert shop_of(running_server).station_for("rip").axis("length") is None
    laptop.click("text=Put back what stood before")
    expect(laptop.locator("summary:has-text('flip stops')")).to_be_visible()
    assert shop_of(running_server).name == "Ours"


def test_a_station_that_does_other_work_asks_for_other_entries(running_server: Running, laptop: Page) -> None:
    laptop.goto(f"{running_server.address}/shop")
    expect(laptop.locator("#station-0 [name='station.0.rollers']:not([type=hidden])")).to_have_count(0)
    laptop.locator("#station-0 label:has-text('plane')").click()
    expect(laptop.locator("#station-0 [name='station.0.rollers']:not([type=hidden])")).to_have_count(1)


@pytest.mark.parametrize("path", ["shop", "shop/set-up", "sources"])
@pytest.mark.parametrize(("width", "scheme"), [(360, "dark"), (1920, "light")])
def test_every_page_fits_and_has_no_barrier(
    running_server: Running, chromium: Browser, path: str, width: int, scheme: Scheme
) -> None:
    page = chromium.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme).new_page()
    page.goto(f"{running_server.address}/{path}")
    for more in page.locator("details").all():
        more.evaluate("one => one.open = true")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    for size in ("100%", "200%"):
        page.evaluate("size => document.documentElement.style.setProperty('font-size', size)", size)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, size
    page.context.close()
