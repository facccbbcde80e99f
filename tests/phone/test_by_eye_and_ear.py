"""Every screen at the machine: contrast, names of all that is tapped, changes told, nothing cut."""

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.conftest import Running, a_phone
from tests.phone.taps import GO, ON_SCREEN, begin_counting, run_address, tap

TOLD = "run-stepper > [data-say=told]"
SHOWS = "(one) => one.checkVisibility({ visibilityProperty: true })"
FAINT = """() => {
  const light = (part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4);
  const shade = ([red, green, blue]) => 0.2126 * light(red) + 0.7152 * light(green) + 0.0722 * light(blue);
  const canvas = Object.assign(document.createElement('canvas'), { width: 1, height: 1 });
  const pen = canvas.getContext('2d', { willReadFrequently: true });
  const colour = (text) => {
    pen.clearRect(0, 0, 1, 1);
    pen.fillStyle = text;
    pen.fillRect(0, 0, 1, 1);
    const [red, green, blue, alpha] = pen.getImageData(0, 0, 1, 1).data;
    return { seen: [red / 255, green / 255, blue / 255], alpha };
  };
  const ground = (one) => {
    for (let at = one; at; at = at.parentElement) {
      const found = colour(getComputedStyle(at).backgroundColor);
      if (found.alpha === 255) return found.seen;
    }
    return [1, 1, 1];
  };
  const said = (one) => [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim());
  const besides = 'svg, .heard, button:disabled, noscript, script, template';
  return [...document.querySelectorAll('body *')]
    .filter((one) => said(one) && (SHOWS)(one) && !one.closest(besides))
    .map((one) => {
      const shades = [colour(getComputedStyle(one).color).seen, ground(one)].map(shade).sort((a, b) => a - b);
      return [one.textContent.trim().slice(0, 40), (shades[1] + 0.05) / (shades[0] + 0.05)];
    })
    .filter(([, contrast]) => contrast < 7);
}""".replace("SHOWS", SHOWS)
NAMELESS = """() => [...document.querySelectorAll('button, a[href], input, select, textarea, summary, [role=img], img')]
  .filter((one) => (SHOWS)(one) && one.type !== 'hidden')
  .filter((one) => ![one.ariaLabel, one.alt, one.textContent.trim(), ...[...(one.labels ?? [])].map((label) =>
    label.textContent.trim())].some(Boolean))
  .map((one) => one.outerHTML.slice(0, 90))""".replace("SHOWS", SHOWS)
SAME_NAMES = """() => {
  const names = [...document.querySelectorAll('.run .counting button')].map((one) => one.ariaLabel);
  return names.filter((name, place) => names.indexOf(name) !== place);
}"""
TWICE = """() => {
  const ids = [...document.querySelectorAll('[id]')].map(({ id }) => id);
  return ids.filter((id, place) => ids.indexOf(id) !== place);
}"""
SMALL = """() => [...document.querySelectorAll('button, .button, .list summary')]
  .filter((one) => one.closest('main, footer, dialog[open]') && (SHOWS)(one))
  .map((one) => [one.textContent.trim(), one.getBoundingClientRect()])
  .filter(([, box]) => box.height < 43.5 || box.width < 43.5)
  .map(([text, box]) => [text, box.width, box.height])""".replace("SHOWS", SHOWS)
CUT = """() => [...document.querySelectorAll('main *, header *, footer *')]
  .filter((one) => one.children.length === 0 && one.textContent.trim() && (SHOWS)(one))
  .filter((one) => !one.closest('svg, .heard, input, textarea'))
  .map((one) => [one.textContent.trim().slice(0, 40), one.getBoundingClientRect()])
  .filter(([, box]) => box.right > innerWidth + 1 || box.left < -1)
  .map(([text, box]) => [text, box.left, box.right])""".replace("SHOWS", SHOWS)


def screens(page: Page, running: Running):
    """Goes from screen to screen, saying the name of each."""
    job = f"{running.address}/jobs/{running.job}"
    page.goto(f"{job}/runs")
    expect(page.locator(GO)).to_be_enabled()
    yield "list"
    page.goto(run_address(running, "mortise"))
    expect(page.locator(GO)).to_be_enabled()
    yield "set"
    page.goto(f"{job}/runs/26")  # pieces and mirrored pieces
    begin_counting(page)
    yield "count"
    tap(page, f"{ON_SCREEN} [data-do=write]")
    yield "note"
    page.keyboard.press("Escape")
    tap(page, "[data-far]")
    yield "far"
    tap(page, "[data-far]")
    tap(page, "shown-ways summary")
    yield "ways"
    page.goto(f"{job}/glue-up/1/1")
    tap(page, "glue-up [data-do=go]")
    yield "glue-up"
    page.goto(f"{job}/board")
    expect(page.locator("[data-say=left]")).to_contain_text("left")
    yield "board"


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_all_that_is_read_has_a_contrast_of_7_and_all_that_is_tapped_a_name_and_44_pixels(
    running_server, chromium: Browser, scheme
):
    with a_phone(chromium, color_scheme=scheme) as page:
        for screen in screens(page, running_server):
            assert page.evaluate(FAINT) == [], screen
            assert page.evaluate(NAMELESS) == [], screen
            assert page.evaluate(TWICE) == [], screen
            assert page.evaluate(SAME_NAMES) == [], screen
            if screen != "ways":
                assert page.evaluate(SMALL) == [], screen


@pytest.mark.parametrize(("width", "height"), [(360, 640), (844, 390)])
def test_nothing_runs_out_of_a_small_screen_at_200_percent_for_either_thumb(
    running_server, chromium: Browser, width, height
):
    with a_phone(chromium, width, height, forced_colors="active") as page:
        page.add_init_script(
            """document.addEventListener('DOMContentLoaded', () => {
              document.documentElement.style.fontSize = '200%'; document.documentElement.dataset.thumb = 'left'; })"""
        )
        for screen in screens(page, running_server):
            if screen not in ("far", "ways"):  # what is shown large does not grow with the text
                assert page.evaluate(CUT) == [], screen


def test_what_changes_is_told_to_who_does_not_look(running_server, chromium: Browser):
    with a_phone(chromium) as one, a_phone(chromium) as other:
        for page in (one, other):
            page.goto(run_address(running_server, "crosscut"))
            expect(page.locator(GO)).to_be_enabled()
        expect(one.locator(f"{ON_SCREEN} [data-say=here]")).to_be_visible()
        one.wait_for_selector("run-stepper:not([data-settling])")
        told = one.locator(TOLD)
        expect(told).to_have_attribute("role", "status")
        expect(told).to_have_text("")
        tap(one, GO)
        expect(told).to_have_text("Measure the trial piece")
        tap(one, f"{ON_SCREEN} [data-do=past]")
        expect(told).to_have_text("Ready to count")
        tap(other, f"{ON_SCREEN} [data-do=past]")
        tap(other, f"{ON_SCREEN} [data-count='1']")
        expect(told).to_have_text("A: 1 of 24")
        tap(one, "footer [data-do=list]")
        expect(one.locator("h1")).to_be_focused()
