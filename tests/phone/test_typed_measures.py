"""A trial piece measured with callipers that type, in either unit, with the quick fractions of the pad."""

from playwright.sync_api import Page, expect
from tests.phone.taps import GO, ON_SCREEN, PHASE, run_address, tap, wait_until_sent
from tests.phone.test_counting import CUT, learn, press

from stopwright.actions.floor.working import job_state
from stopwright.lengths import MM

SETTLED = "run-stepper:not([data-settling])"
TRIAL = f"{ON_SCREEN} .trial"
PAD = "number-pad dialog[open]"


def calliper(page: Page, text: str) -> None:
    """What callipers send at the press of their button: what they show, key by key, and Enter."""
    page.wait_for_selector(SETTLED)
    for key in [*text, "Enter"]:
        page.keyboard.press(key)


def test_callipers_that_type_fill_the_field_and_prove_the_run_without_a_tap(running_server, phone):
    phone.goto(run_address(running_server, "plane", 38))
    tap(phone, GO)
    expect(phone.locator(PHASE.format("trial"))).to_be_visible()
    calliper(phone, "38.90")
    expect(phone.locator(TRIAL)).to_contain_text("Measured 38.9 mm, 0.9 mm over")
    calliper(phone, "+0038.10")
    expect(phone.locator(TRIAL)).to_contain_text("Proved: ")
    tap(phone, f"{ON_SCREEN} [data-do=measure]")
    calliper(phone, "38,10")  # with the pad open already, and a comma
    expect(phone.locator(TRIAL)).to_contain_text("Proved: 38.1 mm")
    expect(phone.locator(PAD)).to_have_count(0)


def test_20_pieces_are_counted_singly_in_20_presses_of_a_pedal_and_2_taps(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    learn(phone, "PageDown")
    phone.wait_for_selector(SETTLED)
    tap(phone, GO)  # the first tap: the stop is set
    expect(phone.locator(PHASE.format("trial"))).to_be_visible()
    calliper(phone, "450.0")
    expect(phone.locator(PHASE.format("count"))).to_be_visible()
    phone.wait_for_selector(SETTLED)
    press(phone, "PageDown", 20)
    expect(phone.locator(CUT)).to_have_text("20")
    press(phone, "PageDown", 4)
    phone.wait_for_selector(SETTLED)
    tap(phone, GO)  # the second: the run is done
    wait_until_sent(phone)
    (state,) = job_state(running_server.store, running_server.job).runs.values()
    assert state.done and state.proved and state.cut == {("A", False): 24}


def test_which_of_several_measures_it_is_is_asked_before_it_counts(running_server, phone):
    phone.goto(run_address(running_server, "mortise"))
    for _ in range(6):
        tap(phone, GO)
    expect(phone.locator(PHASE.format("trial"))).to_be_visible()
    calliper(phone, "328.0")
    expect(phone.locator(PAD)).to_be_visible()
    assert phone.locator("number-pad input").input_value() == "328.0"
    phone.wait_for_selector(SETTLED)
    phone.locator("number-pad select").select_option("start of the slot from the marked end")
    expect(phone.locator("number-pad .wanted")).to_have_text("wanted: 328 mm")
    tap(phone, "number-pad .enter")
    expect(phone.locator(TRIAL)).to_contain_text("Proved: start of the slot from the marked end: 328 mm")


def test_what_callipers_send_blind_or_where_nothing_is_measured_is_refused_whole(running_server, phone):
    phone.goto(run_address(running_server, "plane", 38))
    phone.wait_for_selector(SETTLED)
    calliper(phone, "38.00")  # the height is not set yet
    expect(phone.locator("html")).to_have_attribute("data-signal", "refused")
    tap(phone, GO)
    for key in "38.00":  # the screen has just changed
        phone.keyboard.press(key)
    phone.wait_for_selector(SETTLED)
    expect(phone.locator(PHASE.format("trial"))).to_be_visible()
    expect(phone.locator(PAD)).to_have_count(0)
    phone.reload()
    expect(phone.locator(TRIAL)).to_be_hidden()


def test_the_unit_of_the_pad_is_changed_on_it_and_fractions_take_few_taps(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    tap(phone, GO)
    tap(phone, GO)
    expect(phone.locator("number-pad .wanted")).to_have_text("wanted: 450 mm")
    tap(phone, "number-pad [data-unit=in]")
    expect(phone.locator("number-pad .wanted")).to_contain_text("wanted: 17.717 in")
    keys = ("1", "7", " ", "2", "3", "/32")
    for key in keys:
        tap(phone, f'number-pad .keys button[value="{key}"]')
    assert phone.locator("number-pad input").input_value() == "17 23/32"
    tap(phone, "number-pad .enter")
    wait_until_sent(phone)
    (state,) = job_state(running_server.store, running_server.job).runs.values()
    (trial,) = state.measured
    assert trial.by_the_person == (17 * 32 + 23) * 254 * MM // 320
    tap(phone, f"{ON_SCREEN} [data-do=measure]")
    expect(phone.locator("number-pad [data-unit=in]")).to_have_attribute("aria-pressed", "true")  # it stays
    for which in ("number-pad .keys button", "number-pad .enter", "number-pad .units button"):
        for box in [one.bounding_box() for one in phone.locator(which).all()]:
            assert box["height"] >= 44 and box["y"] + box["height"] <= 844, which
