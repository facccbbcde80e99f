"""Contrast, the colours of the device, text of 200 %, the left hand: nothing lost, nothing cut."""

import pytest
from playwright.sync_api import Page, expect
from tests.conftest import a_phone
from tests.phone.taps import GO, ON_SCREEN, begin_counting, run_address, tap

COLOURS = """() => Object.fromEntries(
  ['ground', 'card', 'chalk-wash', 'ink', 'soft', 'chalk', 'oxide', 'moss', 'chalk-ink', 'wood']
    .map((name) => [name, getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim()]))"""
CUT_OFF = """() => [...document.querySelectorAll('run-stepper button, run-stepper a, run-stepper h1')]
  .filter((one) => one.checkVisibility() && one.textContent.trim())
  .filter((one) => one.scrollWidth > one.clientWidth + 1 || one.scrollHeight > one.clientHeight + 1)
  .map((one) => [one.textContent.trim(), one.scrollWidth, one.clientWidth, one.scrollHeight, one.clientHeight])"""
COLOUR_OF = "(where) => getComputedStyle(document.querySelector(where)).backgroundColor"


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2 (S)."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_what_is_read_at_the_machine_has_a_contrast_of_7_and_what_is_drawn_of_3(running_server, chromium, scheme):
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    with a_phone(chromium, color_scheme=scheme) as page:
        page.goto(run_address(running_server, "crosscut"))
        found = page.evaluate(COLOURS)
    for text in ("ink", "soft", "chalk", "oxide", "moss"):
        for ground in ("ground", "card", "chalk-wash"):
            assert contrast(found[text], found[ground]) >= 7, (text, ground)
    assert contrast(found["chalk-ink"], found["chalk"]) >= 7
    for line in ("ink", "chalk"):
        for beside in ("wood", "ground"):
            assert contrast(found[line], found[beside]) >= 3, (line, beside)


def at_200_percent(page: Page) -> None:
    page.evaluate("() => { document.documentElement.style.fontSize = '200%' }")


def test_no_button_is_cut_at_200_percent_whatever_it_asks(running_server, chromium):
    for width, height in ((360, 640), (390, 844), (844, 390)):
        with a_phone(chromium, width, height) as page:
            page.goto(run_address(running_server, "crosscut"))
            at_200_percent(page)
            begin_counting(page)
            assert page.evaluate(CUT_OFF) == [], width
            for asks in ("footer [data-do=whole]", GO, f"{ON_SCREEN} [data-count=all]", f"{ON_SCREEN} .spoil"):
                tap(page, asks)
                assert page.evaluate(CUT_OFF) == [], (width, asks)


def test_number_and_buttons_are_on_one_screen_of_360_by_640(running_server, chromium):
    with a_phone(chromium, 360, 640) as page:
        page.goto(run_address(running_server, "crosscut"))  # with a line about what is not worked before it
        begin_counting(page)
        page.evaluate("scrollTo(0, 0)")
        number = page.locator(f"{ON_SCREEN} .near .digits").bounding_box()
        button = page.locator(f"{ON_SCREEN} [data-count='1']").bounding_box()
        foot = page.locator("run-stepper > footer").bounding_box()
        assert number["y"] >= 0 and button["y"] + button["height"] <= foot["y"]
        at_200_percent(page)
        assert page.locator("run-stepper > footer").bounding_box()["height"] < 640 / 4


def test_forced_colours_keep_what_is_chosen_done_and_asked_apart(running_server, chromium):
    with a_phone(chromium, forced_colors="active") as page:
        page.goto(run_address(running_server, "crosscut"))
        expect(page.locator(GO)).to_be_enabled()
        tap(page, "shown-ways summary")
        pressed, other = "[data-show='mm'][aria-pressed=true]", "[data-show='1/32 in'][aria-pressed=false]"
        assert page.evaluate(COLOUR_OF, f"shown-ways {pressed}") != page.evaluate(COLOUR_OF, f"shown-ways {other}")
        assert page.evaluate(COLOUR_OF, GO) != page.evaluate(COLOUR_OF, "footer .all")
        fill = "(where) => getComputedStyle(document.querySelector(where)).fill"
        assert page.evaluate(fill, f"{ON_SCREEN} .drawn .stop") != page.evaluate(fill, f"{ON_SCREEN} .drawn .wood")


def test_for_the_left_thumb_what_is_tapped_most_lies_left_and_stays_so(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    begin_counting(phone)
    places = {}
    for thumb in ("right", "left"):
        tap(phone, "shown-ways summary")
        tap(phone, f"shown-ways [data-thumb={thumb}]")
        tap(phone, "shown-ways summary")
        buttons = (GO, "footer .all", f"{ON_SCREEN} [data-count='1']", f"{ON_SCREEN} [data-count=all]")
        places[thumb] = [phone.locator(one).bounding_box()["x"] for one in buttons]
    go, every_run, one, every = places["right"]
    assert every_run < go and every < one
    go, every_run, one, every = places["left"]
    assert go < every_run and one < every
    phone.reload()
    expect(phone.locator("html")).to_have_attribute("data-thumb", "left")
