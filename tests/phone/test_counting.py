"""Counting with a glove: wide buttons, one button for a whole run, a pedal, what is felt."""

import pytest
from playwright.sync_api import Page, expect
from tests.conftest import a_phone
from tests.phone.taps import GO, ON_SCREEN, begin_counting, hurry, number_on_screen, run_address, tap, wait_until_sent

from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import default_shop

PX_PER_MM = 390 / 65
"""A phone of 390 CSS pixels is 65 mm wide."""
WHOLE = "run-stepper footer [data-do=whole]"
CUT = f"{ON_SCREEN} [data-say=cut] >> nth=0"
FEEL = "() => { window.felt = []; navigator.vibrate = (pattern) => felt.push(pattern); }"
SETTLED = "run-stepper:not([data-settling])"
BETWEEN_PRESSES = 310
"""Milliseconds: nobody cuts a piece in less, and a worn switch bounces for less."""


def press(page: Page, key: str, times: int = 1) -> None:
    for _ in range(times):
        page.keyboard.press(key)
        page.wait_for_timeout(BETWEEN_PRESSES)


def learn(page: Page, key: str) -> None:
    tap(page, "shown-ways summary")
    tap(page, "[data-pedal=learn]")
    expect(page.locator("[data-pedal=learn]")).to_have_text("Press it now")
    press(page, key)
    expect(page.locator("[data-pedal=learn]")).to_have_text(f"{key} counts one")
    tap(page, "shown-ways summary")


@pytest.mark.parametrize("width", [320, 360, 390])
def test_what_is_tapped_for_every_piece_is_20_mm_wide(running_server, chromium, width):
    with a_phone(chromium, width, 740) as page:
        page.goto(run_address(running_server, "crosscut"))
        begin_counting(page)
        for which in ("1", "all"):
            box = page.locator(f"{ON_SCREEN} [data-count='{which}'] >> nth=0").bounding_box()
            assert box["width"] >= 20 * PX_PER_MM, (which, box)


def test_all_asks_once_while_nothing_was_counted(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    begin_counting(phone)
    every = phone.locator(f"{ON_SCREEN} [data-count=all] >> nth=0")
    every.tap()
    expect(every).to_have_text("all 24? tap again")
    expect(phone.locator(CUT)).to_have_text("0")
    tap(phone, f"{ON_SCREEN} [data-count='1'] >> nth=0")
    every.tap()  # the other 23: somebody is counting here
    expect(phone.locator(CUT)).to_have_text("24")


def test_the_demo_job_is_worked_in_120_taps(running_server, phone):
    page, store, job = phone, running_server.store, running_server.job
    runs = plan_for(store, job, default_shop()).sheet.runs
    taps = 0
    hurry(page)
    page.goto(f"{running_server.address}/jobs/{job}/phone")
    while number_on_screen(page):
        phase = page.locator(ON_SCREEN).get_attribute("data-phase")
        if phase == "done":
            break
        tap(page, GO if phase == "set" else WHOLE)
        taps += 1
        assert taps <= 120, number_on_screen(page)
    wait_until_sent(page)
    states = job_state(store, job)
    for run in runs:
        counted = {(line.lot, False): line.count for line in run.lines}
        counted = counted or {(piece.mark, piece.mirrored): piece.count for piece in run.pieces}
        assert states.run(run.id).done and dict(states.run(run.id).cut) == counted, run
    assert 2 * len(runs) < taps  # each run asks, none is done by one tap


def test_a_whole_run_is_one_tap_that_asks_and_what_was_counted_before_stays(running_server, phone):
    phone.goto(run_address(running_server, "square"))
    begin_counting(phone)
    expect(phone.locator(f"{ON_SCREEN} .pieces > li")).to_have_count(6)
    tap(phone, f"{ON_SCREEN} [data-count='1'] >> nth=0")
    number = number_on_screen(phone)
    tap(phone, WHOLE)
    expect(phone.locator(WHOLE)).to_have_text("The other 13 cut, run done? Tap again")
    expect(phone.locator(ON_SCREEN)).to_have_attribute("data-number", str(number))
    tap(phone, WHOLE)
    expect(phone.locator(ON_SCREEN)).to_have_attribute("data-number", str(number + 1))
    wait_until_sent(phone)
    (state,) = [one for one in job_state(running_server.store, running_server.job).runs.values() if one.done]
    assert sum(state.cut.values()) == 14


def test_a_pedal_whose_key_was_learned_counts_20_pieces_in_20_presses_between_two_taps(running_server, phone):
    phone.add_init_script(f"({FEEL})()")
    phone.goto(run_address(running_server, "crosscut"))
    learn(phone, "PageDown")
    begin_counting(phone)
    tap(phone, f"{ON_SCREEN} [data-count='1'] >> nth=0")
    phone.wait_for_selector(SETTLED)
    scrolled = phone.evaluate("() => { felt.length = 0; return scrollY; }")
    press(phone, "PageDown", 20)
    expect(phone.locator(CUT)).to_have_text("21")
    assert phone.evaluate("felt") == [60] * 20
    assert phone.evaluate("scrollY") == scrolled  # the key does not turn the page as well
    phone.keyboard.press("PageDown")
    phone.keyboard.press("PageDown")  # the bounce of a worn switch
    expect(phone.locator(CUT)).to_have_text("22")
    tap(phone, f"{ON_SCREEN} [data-count=all] >> nth=0")
    phone.wait_for_selector(SETTLED)
    phone.evaluate("felt.length = 0")
    press(phone, "PageDown")
    assert phone.evaluate("felt") == [[200, 80, 200]]  # nothing is left to count
    expect(phone.locator(CUT)).to_have_text("24")
    tap(phone, GO)
    wait_until_sent(phone)
    (state,) = job_state(running_server.store, running_server.job).runs.values()
    assert state.done and state.cut == {("A", False): 24}


@pytest.mark.parametrize("key", ["Space", "Enter", "AudioVolumeUp"])
def test_any_key_can_be_learned_does_nothing_else_and_is_remembered(running_server, phone, key):
    phone.goto(run_address(running_server, "crosscut"))
    learn(phone, key)
    begin_counting(phone)
    phone.wait_for_selector(SETTLED)
    press(phone, key)
    expect(phone.locator(CUT)).to_have_text("1")
    phone.reload()
    expect(phone.locator(CUT)).to_have_text("1")
    phone.wait_for_selector(SETTLED)
    press(phone, key)
    expect(phone.locator(CUT)).to_have_text("2")
    expect(phone.locator(ON_SCREEN)).to_have_attribute("data-phase", "count")
    tap(phone, "shown-ways summary")
    tap(phone, "[data-pedal=forget]")
    tap(phone, "shown-ways summary")
    phone.focus("body")
    press(phone, key)
    expect(phone.locator(CUT)).to_have_text("2")


def test_the_pedal_counts_the_line_tapped_last_and_never_a_screen_that_has_just_changed(running_server, phone):
    phone.goto(run_address(running_server, "crosscut", 244))
    learn(phone, "PageDown")
    lines = phone.locator(f"{ON_SCREEN} .pieces > li")
    expect(lines).to_have_count(2)
    press(phone, "PageDown")  # the stop is not set
    begin_counting(phone)
    phone.keyboard.press("PageDown")  # blind
    expect(phone.locator("html")).to_have_attribute("data-signal", "refused")
    phone.wait_for_selector(SETTLED)
    expect(lines.nth(0)).to_have_class("at-pedal")
    lines.nth(1).locator("[data-count='1']").tap()
    expect(lines.nth(1)).to_have_class("at-pedal")
    press(phone, "PageDown")
    expect(phone.locator(f"{ON_SCREEN} [data-say=cut]")).to_have_text(["0", "2"])
