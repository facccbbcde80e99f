"""Contrast, the colours of the device, text of 200 %, the left hand: nothing lost, nothing cut."""

from io import BytesIO

import pytest
from PIL import Image
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


def share_of_letters(page: Page, where: str) -> float:
    """How much of what is seen there is letters."""
    seen = Image.open(BytesIO(page.locator(where).first.screenshot())).convert("L")
    return sum(seen.histogram()[:180]) / (seen.width * seen.height)


@pytest.mark.parametrize("work", ["crosscut", "mortise"])
def test_forced_colours_lay_nothing_over_a_reading_or_over_the_words_above_it(running_server, chromium, work):
    """A large figure had its plate over the line before it; one of several stops was under a plate itself."""
    shares = {}
    for forced in (None, "active"):
        with a_phone(chromium, forced_colors=forced) as page:
            page.goto(run_address(running_server, work))
            expect(page.locator(GO)).to_be_enabled()
            places = (f"{ON_SCREEN} .near .digits", f"{ON_SCREEN} .near .say")
            shares[forced] = [share_of_letters(page, place) for place in places]
    for plain, seen in zip(shares[None], shares["active"], strict=True):
        assert plain > 0.05 and seen >= 0.9 * plain


def test_at_200_percent_the_foot_of_a_glue_up_leaves_room_for_the_step(running_server, chromium):
    with a_phone(chromium, 360, 640) as page:
        page.goto(f"{running_server.address}/jobs/{running_server.job}/glue-up/1/1")
        tap(page, "glue-up [data-do=go]")
        tap(page, "glue-up [data-do=go]")  # now there are two buttons
        at_200_percent(page)
        page.evaluate("scrollTo(0, 0)")
        foot = page.locator("glue-up > footer").bounding_box()
        time = page.locator(".clock .time").bounding_box()
        assert foot["height"] < 640 / 4 and time["y"] + time["height"] <= foot["y"]


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
