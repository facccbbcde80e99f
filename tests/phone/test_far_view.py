"""Read from one and a half metres: sizes in millimetres, measured on the rendered page."""

import pytest
from playwright.sync_api import Page, expect
from tests.conftest import a_phone
from tests.phone.taps import GO, ON_SCREEN, PHASE, begin_counting, run_address, tap

PX_PER_MM = 390 / 65
"""A phone of 390 CSS pixels is 65 mm wide."""
LEAST = 9.6
"""mm: 22 minutes of arc at 1.5 m, 1500 × tan(22′) = 9.6 (K)."""
FAR = "far-view"
HEIGHTS = """() => [...document.querySelectorAll('far-view :is(.figure .whole, .fraction > span, .words p)')]
  .filter((one) => one.checkVisibility() && one.textContent)
  .map((one) => {
    const pen = document.createElement('canvas').getContext('2d'), style = getComputedStyle(one);
    pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
    const text = /[0-9]/.test(one.textContent) ? '0' : 'H';
    return [one.textContent, pen.measureText(text).actualBoundingBoxAscent];
  })"""
FITS = """() => [...document.querySelectorAll('far-view *')].filter((one) => one.checkVisibility())
  .every((one) => one.getBoundingClientRect().right <= innerWidth + 1)"""
SHOW = "(show) => document.querySelector('shown-ways').choose('show', show)"


def expect_legible(page: Page) -> list[str]:
    heights = page.evaluate(HEIGHTS)
    assert heights and all(height / PX_PER_MM >= LEAST for _, height in heights), heights
    assert page.evaluate(FITS), heights
    return [text for text, _ in heights]


@pytest.mark.parametrize("width", [360, 390])
@pytest.mark.parametrize(("show", "number"), [("mm", ["450"]), ("1/32 in", ["17", "23", "32"])])
def test_number_fraction_and_stop_are_9_6_mm_tall_while_setting(running_server, chromium, width, show, number):
    with a_phone(chromium, width, 844) as page:
        page.goto(run_address(running_server, "crosscut"))
        tap(page, "[data-far]")
        page.evaluate(SHOW, show)
        assert expect_legible(page) == [*number, "flip stop"]
        expect(page.locator(GO)).to_be_in_viewport(ratio=1)


def test_how_the_piece_lies_and_how_many_are_left_are_as_large_while_counting(running_server, phone):
    phone.goto(run_address(running_server, "mortise"))
    tap(phone, "[data-far]")
    place = phone.locator(f"{FAR} .figure").bounding_box()
    axes = []
    for _ in range(6):
        axes.append(expect_legible(phone)[-1])
        box = phone.locator(f"{FAR} .figure").bounding_box()
        assert (box["x"], box["y"]) == (place["x"], place["y"])  # the number keeps its place
        tap(phone, GO)
    assert len(set(axes)) == 6
    expect(phone.locator(PHASE.format("trial"))).to_have_count(1)
    tap(phone, "[data-far]")  # the rest is one touch away
    begin_counting(phone)
    tap(phone, "[data-far]")
    assert expect_legible(phone) == ["12", "more of A", "mirrored", "face down", "marked end left"]
    expect(phone.locator(f"{FAR} [data-do=far-one]")).to_be_in_viewport(ratio=1)
    tap(phone, f"{FAR} [data-do=far-one]")
    assert expect_legible(phone)[0] == "11"
    phone.reload()
    assert expect_legible(phone)[0] == "11"  # it stays large


@pytest.mark.parametrize(
    ("work", "said"),
    [
        ("rip", ["face down", "face edge fence"]),
        ("crosscut", ["face down", "marked end stop"]),
        ("plane", ["face down"]),
    ],
)
def test_of_wood_into_which_nothing_is_cut_the_true_sides_are_told_as_large(running_server, phone, work, said):
    phone.goto(run_address(running_server, work, 60 if work == "rip" else None))
    begin_counting(phone)
    tap(phone, "[data-far]")
    left, of, *lies = expect_legible(phone)
    assert (left.isdigit(), of.split(" of ")[0], lies) == (True, "more", said)


def test_number_and_button_are_on_one_screen_of_360_by_640_and_in_landscape(running_server, chromium):
    for width, height, work in ((360, 640, "mortise"), (844, 390, "mortise"), (360, 640, "crosscut")):
        with a_phone(chromium, width, height) as page:
            page.goto(run_address(running_server, work))
            begin_counting(page)
            tap(page, "[data-far]")
            page.evaluate("scrollTo(0, 0)")
            for which in (f"{FAR} .digits", f"{FAR} [data-do=far-one]", GO):
                expect(page.locator(which)).to_be_in_viewport(ratio=1)
            expect(page.locator(f"{ON_SCREEN}")).to_be_hidden()


def test_how_many_are_left_is_shown_whatever_the_unit(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    begin_counting(phone)
    tap(phone, "[data-far]")
    for show in ("1/32 in", "mm"):
        phone.evaluate(SHOW, show)
        assert expect_legible(phone)[0] == "24", show
