"""How a person works at the phone: what is tapped for each step of a run."""

from playwright.sync_api import Error, Locator, Page
from tests.conftest import Running

from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM

GO = "run-stepper footer [data-do=go]"
ON_SCREEN = ".run:not([hidden])"
PHASE = f"{ON_SCREEN}[data-phase={{}}]"


DEAD_TIME = 500
"""How long taps are kept out after a change of the screen, in milliseconds of the page's clock."""
SETTLED = "() => !document.querySelector('[data-settling]')"
SWALLOWED = """() => {
  if (window.swallowed === undefined) {
    window.swallowed = 0;
    document.addEventListener("swallowed", () => { window.swallowed += 1; });
  }
  return window.swallowed;
}"""


DRAWN_HEIGHTS = """(which) => [...document.querySelectorAll(which)]
  .filter((one) => one.checkVisibility() && one.textContent.trim())
  .map((one) => {
    const pen = document.createElement('canvas').getContext('2d'), style = getComputedStyle(one);
    pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
    return pen.measureText(/[0-9]/.test(one.textContent) ? '0' : 'H').actualBoundingBoxAscent;
  })"""
"""How tall the figures, or capitals, of what is to be seen are drawn, in CSS pixels."""


def hurry(page: Page) -> None:
    """From here on `tap` puts the page's clock on where it would wait: for long walks that do not ask about time."""
    page.clock.install()
    page.add_init_script("window.hurried = true")


def tap(page: Page, where: str | Locator) -> None:
    """A tap that is taken: made when the screen has settled, made again if something moved under it all the same.

    Another phone, the day's times and the bench's word move things at any moment; a person looks and taps again too.
    """
    place = page.locator(where) if isinstance(where, str) else where
    for _ in range(20):
        if page.evaluate("() => window.hurried"):
            page.clock.run_for(DEAD_TIME)
        page.wait_for_function(SETTLED)
        before = page.evaluate(SWALLOWED)
        place.tap()
        try:
            if page.evaluate(SWALLOWED) <= before:
                return
        except Error:  # the page that was asked is gone: the tap led to another one
            return
    raise AssertionError(f"every tap on {where} was swallowed")


def run_address(running: Running, work: str, target_mm: int | None = None) -> str:
    """Where the first run of this work is, or the one whose stop is set for `target_mm`."""
    runs = plan_for(running.store, running.job, default_shop()).sheet.runs
    found = next(
        run
        for run in runs
        if run.work == work and (target_mm is None or any(stop.target == target_mm * MM for stop in run.stops))
    )
    return f"{running.address}/jobs/{running.job}/runs/{found.number}"


def number_on_screen(page: Page) -> int:
    """The number of the run on the screen, 0 when it is the list."""
    run = page.locator(ON_SCREEN)
    return int(run.get_attribute("data-number") or 0) if run.count() else 0


def work_a_run(page: Page) -> None:
    """From setting the stops to done, whatever the run asks for."""
    run, number = page.locator(ON_SCREEN), number_on_screen(page)
    for _ in range(40):
        phase = run.get_attribute("data-phase")
        if phase == "trial":
            tap(page, f"{ON_SCREEN} [data-do=past]")
        elif phase == "count":
            tap(page, f"{ON_SCREEN} .pieces > li:not(.full) [data-do=cut]:not(.less) >> nth=-1")
        else:
            tap(page, GO)
        if number_on_screen(page) != number:
            return
    raise AssertionError(f"run {number} did not end")


def begin_counting(page: Page) -> None:
    """The stops set, no trial piece measured, ready to count."""
    for _ in range(12):
        phase = page.locator(ON_SCREEN).get_attribute("data-phase")
        if phase == "count":
            return
        tap(page, f"{ON_SCREEN} [data-do=past]" if phase == "trial" else GO)
    raise AssertionError("counting did not begin")


def count_all(page: Page) -> None:
    """All of the first line, which asks while nothing of it was counted."""
    button = page.locator(f"{ON_SCREEN} [data-count=all] >> nth=0")
    tap(page, button)
    if "tap again" in button.inner_text():
        tap(page, button)


def measure(page: Page, keys: str) -> None:
    """A trial piece typed on the number pad."""
    tap(page, GO if page.locator(PHASE.format("trial")).count() else f"{ON_SCREEN} [data-do=measure]")
    for key in keys:
        tap(page, f'number-pad .keys button[value="{key}"]')
    tap(page, "number-pad .enter")


ALL_SENT = """() => Object.keys(localStorage).filter((name) => name.startsWith('stopwright tap'))
  .every((name) => JSON.parse(localStorage.getItem(name)).seq)"""


def wait_until_sent(page: Page) -> None:
    """Until every tap of this phone is on the bench's disk."""
    page.wait_for_function(ALL_SENT)
