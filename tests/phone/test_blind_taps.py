"""What was tapped blind is not taken: a bounce of the button, a tap on a screen that has just changed or moved."""

from playwright.sync_api import Page, expect
from tests.conftest import a_phone
from tests.phone.taps import (
    GO,
    ON_SCREEN,
    SWALLOWED,
    begin_counting,
    count_all,
    measure,
    run_address,
    tap,
    wait_until_sent,
)

from stopwright.actions.floor.working import job_state, record

TIMES = """([where, times]) => { for (let n = 0; n < times; n += 1) document.querySelector(where).click(); }"""
"""So many taps within a few milliseconds, as a worn button or a wet glove gives them."""
SETTLED = "run-stepper:not([data-settling])"
PLACES = """() => [...document.querySelectorAll('.run:not([hidden]) :is(.counting, .beside) button')]
  .filter((one) => one.checkVisibility())
  .map((one) => one.getBoundingClientRect())
  .map(({ x, y, width, height }) => [x, y, width, height].map(Math.round))"""
ON_THE_PAGE = f"() => ({PLACES})().map(([x, y, ...size]) => [x, Math.round(y + scrollY), ...size])"


def bounce(page: Page, where: str, times: int = 4) -> None:
    page.wait_for_selector(SETTLED)
    page.evaluate(TIMES, [where, times])


def test_a_bouncing_button_ends_one_run_and_does_not_touch_the_next(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    begin_counting(phone)
    count_all(phone)
    run = int(phone.locator(ON_SCREEN).get_attribute("data-number") or 0)
    bounce(phone, GO)
    expect(phone.locator(ON_SCREEN)).to_have_attribute("data-number", str(run + 1))
    expect(phone.locator(ON_SCREEN)).to_have_attribute("data-phase", "set")
    wait_until_sent(phone)
    states = job_state(running_server.store, running_server.job).runs.values()
    assert [state.is_set for state in states if not state.done] == []


def test_a_bounce_confirms_nothing(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    begin_counting(phone)
    bounce(phone, GO)
    expect(phone.locator(GO)).to_contain_text("Not cut: 24 × A")
    bounce(phone, f"{ON_SCREEN} .spoil")
    expect(phone.locator(f"{ON_SCREEN} .spoil >> nth=0")).to_have_text("spoiled? tap again")
    states = job_state(running_server.store, running_server.job).runs.values()
    assert not any(state.done or state.spoiled for state in states)


def test_a_tap_meant_for_the_screen_before_is_not_taken(running_server, phone):
    """Another phone ends the run while the thumb is on its way."""
    phone.goto(run_address(running_server, "crosscut"))
    begin_counting(phone)
    phone.wait_for_selector(SETTLED)
    number = phone.locator(ON_SCREEN).get_attribute("data-number") or ""
    phone.evaluate(
        """() => { const stepper = document.querySelector('run-stepper'), run = stepper.run.key;
          const runs = { ...stepper.states, [run]: { ...stepper.states[run], done: true } };
          stepper.hear({ ...stepper.word, all: true, seq: stepper.word.seq + 1, ids: [], runs });
          document.querySelector('run-stepper footer [data-do=go]').click(); }"""
    )
    expect(phone.locator(ON_SCREEN)).to_have_attribute("data-phase", "done")
    expect(phone.locator(ON_SCREEN)).to_have_attribute("data-number", number)


def test_nothing_under_the_thumb_moves_while_pieces_are_counted(running_server, chromium):
    for width, text in ((360, "normal"), (390, "normal"), (360, "largest")):
        with a_phone(chromium, width, 780) as page:
            page.goto(run_address(running_server, "crosscut"))
            page.evaluate("(text) => document.querySelector('shown-ways').choose('text', text)", text)
            begin_counting(page)
            page.wait_for_selector(SETTLED)
            before = page.evaluate(ON_THE_PAGE)
            for where in ("[data-count='1']", "[data-count='5']", ".spoil"):
                page.tap(f"{ON_SCREEN} {where} >> nth=0")
                assert page.evaluate(ON_THE_PAGE) == before, (width, text, where)
            page.tap(f"{ON_SCREEN} .spoil >> nth=0")
            expect(page.locator(f"{ON_SCREEN} .piece .cut >> nth=0")).to_contain_text(" spoiled")
            assert page.evaluate(ON_THE_PAGE)[:4] == before[:4], (width, text)


def test_a_line_that_comes_above_does_not_move_the_buttons(running_server, chromium):
    with a_phone(chromium, 360, 640) as page:
        page.goto(run_address(running_server, "crosscut"))
        begin_counting(page)
        page.evaluate("scrollTo(0, 60)")
        page.wait_for_selector(SETTLED)
        before = page.evaluate(PLACES)
        page.evaluate(
            """() => { const stepper = document.querySelector('run-stepper');
              const here = [{ page: 'other', name: 'Saw phone', run: stepper.number }];
              stepper.hear({ ...stepper.word, all: true, ids: [], here }); }"""
        )
        expect(page.locator(f"{ON_SCREEN} [data-say=here]")).to_have_text("Also at this run: Saw phone")
        after = page.evaluate(PLACES)
        assert len(after) == len(before) > 4
        for pair in zip(after, before, strict=True):
            assert all(abs(now - was) <= 1 for now, was in zip(*pair, strict=True))


def test_the_keys_of_the_pad_do_not_take_the_bounce_that_opened_it(running_server, phone):
    phone.goto(run_address(running_server, "plane", 38))
    phone.tap(GO)
    phone.wait_for_selector(SETTLED)
    phone.evaluate(
        """() => { document.querySelector('run-stepper footer [data-do=go]').click();
          document.querySelector('number-pad .keys button[value="3"]').click(); }"""
    )
    assert phone.locator("number-pad input").input_value() == ""
    phone.tap("number-pad [value='']")
    measure(phone, "38.1")
    expect(phone.locator(f"{ON_SCREEN} .trial")).to_contain_text("Proved: 38.1 mm")


def test_two_phones_at_the_last_piece_are_asked_which_and_a_spoiled_one_is_still_missed(running_server, phone):
    store, job = running_server.store, running_server.job
    phone.goto(run_address(running_server, "crosscut"))
    begin_counting(phone)
    count_all(phone)
    wait_until_sent(phone)
    (run,) = job_state(store, job).runs
    twice = {
        "id": "other-phone-1",
        "kind": "piece cut",
        "at": "2026-03-01T07:00:00.000Z",
        "body": {"run": run, "mark": "A", "count": 1},
    }
    record(store, job, [twice], "phone-0002")
    over = phone.locator(f"{ON_SCREEN} [data-say=over]")
    expect(over).to_contain_text("25 counted of 24 × A: which?")
    for _ in range(2):
        phone.tap(f"{ON_SCREEN} .spoil >> nth=0")
    expect(over).to_be_hidden()
    expect(phone.locator(f"{ON_SCREEN} .piece .cut >> nth=0")).to_have_text("23 of 24 1 spoiled")
    wait_until_sent(phone)
    assert job_state(store, job).run(run).cut == {("A", False): 23}


def test_a_tap_that_is_kept_out_is_felt_as_refused_and_a_bounce_is_not(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    phone.wait_for_selector(SETTLED)
    bounce(phone, GO)  # the first is taken, the others are the same press
    expect(phone.locator("html")).not_to_have_attribute("data-signal", "refused")
    begin_counting(phone)
    phone.wait_for_selector(SETTLED)
    phone.evaluate("document.querySelector('run-stepper').blind.moved()")
    box = phone.locator(f"{ON_SCREEN} [data-count='1'] >> nth=0").bounding_box()
    assert phone.evaluate(SWALLOWED) == 0
    phone.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    phone.wait_for_function("() => window.swallowed === 1")
    expect(phone.locator("html")).to_have_attribute("data-signal", "refused")
    expect(phone.locator(f"{ON_SCREEN} [data-say=cut] >> nth=0")).to_have_text("0")


def test_a_tap_of_the_tests_is_made_again_where_something_moved_under_it(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    begin_counting(phone)
    phone.evaluate(
        """() => { let moved = 0;
          document.addEventListener("pointerdown", () => {
            if ((moved += 1) < 3) document.querySelector("run-stepper").blind.moved(); }, true); }"""
    )
    tap(phone, f"{ON_SCREEN} [data-count='1'] >> nth=0")
    expect(phone.locator(f"{ON_SCREEN} [data-say=cut] >> nth=0")).to_have_text("1")
    assert phone.evaluate(SWALLOWED) == 2
