"""Taps without network: shown at once, kept through a closed page, sent in order, never lost, never doubled."""

import json

from playwright.sync_api import expect
from tests.phone.taps import ON_SCREEN, begin_counting, measure, run_address, tap, wait_until_sent

from stopwright.actions.floor.working import job_state

CUT = f"{ON_SCREEN} [data-say=cut] >> nth=0"
ONE = f"{ON_SCREEN} [data-count='1'] >> nth=0"


def cut_in(running):
    runs = job_state(running.store, running.job).runs
    return sum(sum(state.cut.values()) for state in runs.values())


def expect_nothing_kept(page):
    for _ in range(100):
        if (
            page.evaluate("() => Object.keys(localStorage).filter((name) => name.startsWith('stopwright tap ')).length")
            == 0
        ):
            return
        page.wait_for_timeout(50)
    raise AssertionError("taps are still kept on the phone")


def test_taps_without_network_survive_a_closed_page_and_arrive_once(running_server, phone):
    address = run_address(running_server, "crosscut")
    phone.goto(address)
    begin_counting(phone)
    tap(phone, ONE)
    wait_until_sent(phone)
    phone.context.set_offline(True)
    for _ in range(3):
        tap(phone, ONE)
    expect(phone.locator(CUT)).to_have_text("4")
    expect(phone.locator("sending-line")).to_contain_text("3 taps not sent yet")
    assert cut_in(running_server) == 1
    other = phone.context.new_page()
    phone.close()  # the tab is closed while nothing can be sent
    phone.context.set_offline(False)
    other.goto(address)
    expect(other.locator(CUT)).to_have_text("4")
    wait_until_sent(other)
    expect_nothing_kept(other)
    assert cut_in(running_server) == 4


def test_an_answer_that_is_lost_does_not_double_a_tap(running_server, phone):
    lost = []

    def lose(route):
        lost.append(route.fetch())  # the bench has it on disk, the phone never hears of it
        route.abort()

    phone.goto(run_address(running_server, "crosscut"))
    begin_counting(phone)
    wait_until_sent(phone)
    phone.route("**/events", lose, times=1)
    tap(phone, ONE)
    expect(phone.locator(CUT)).to_have_text("1")
    expect_nothing_kept(phone)
    assert len(lost) == 1 and cut_in(running_server) == 1
    expect(phone.locator(CUT)).to_have_text("1")


def test_what_the_bench_does_not_take_is_said_and_not_lost_in_silence(running_server, phone):
    phone.goto(run_address(running_server, "plane", 38))  # planer, 38 mm, ± 0.3
    tap(phone, "footer [data-do=go]")
    measure(phone, "3")
    line = phone.locator("sending-line")
    expect(line).to_contain_text("far from what the piece was to be. Measure again")
    away = line.get_by_role("button", name="Throw away")
    away.tap()
    expect(line.get_by_role("button", name="Lost for good. Tap again")).to_be_visible()
    line.get_by_role("button", name="Lost for good. Tap again").tap()
    expect(line).to_be_hidden()


KEEP = """([name, text]) => localStorage.setItem(`stopwright tap ${name}`, text)"""
GONE = json.dumps(
    {
        "id": "tap-of-a-gone-job",
        "kind": "piece cut",
        "at": "2026-03-01T07:30:00.000Z",
        "job": "77",
        "body": {"run": "saw", "mark": "A", "count": 5},
    }
)


def test_a_gone_job_and_damaged_storage_hold_up_no_other_tap_and_are_shown_until_thrown_away(running_server, phone):
    address = run_address(running_server, "crosscut")
    phone.goto(address)
    begin_counting(phone)
    wait_until_sent(phone)
    phone.evaluate(KEEP, ["1", GONE])
    phone.evaluate(KEEP, ["2", '{"id":"cut off in the'])
    tap(phone, ONE)  # kept behind both
    line = phone.locator("sending-line")
    expect(line).to_contain_text("2 taps were not taken and set aside")
    expect(line).to_contain_text("Job 77, piece cut 5 × A")
    expect(line).to_contain_text("is damaged and cannot be read")
    expect(phone.locator(CUT)).to_have_text("1")
    assert cut_in(running_server) == 1
    line.get_by_role("button", name="Send again").tap()  # the job is still gone
    expect(line).to_contain_text("Job 77, piece cut 5 × A")
    phone.wait_for_timeout(600)  # a bounce confirms nothing
    line.get_by_role("button", name="Throw away").tap()
    phone.wait_for_timeout(600)
    line.get_by_role("button", name="Lost for good. Tap again").tap()
    expect(line).to_be_hidden()
    expect_nothing_kept(phone)


def test_one_tap_that_the_bench_stumbles_over_is_passed_over_and_the_others_go_on(running_server, phone):
    address = run_address(running_server, "crosscut")
    phone.goto(address)
    begin_counting(phone)
    wait_until_sent(phone)
    phone.context.set_offline(True)
    for _ in range(3):
        tap(phone, ONE)
    second = phone.evaluate("() => JSON.parse(localStorage.getItem(Object.keys(localStorage).sort()[1])).id")

    def stumble(route):
        if second in (route.request.post_data or ""):
            route.fulfill(status=500, json={"error": {"what": "unforeseen", "where": "", "next_step": ""}})
        else:
            route.continue_()

    phone.route("**/events", stumble)
    phone.context.set_offline(False)
    expect(phone.locator("sending-line")).to_have_text("1 tap not sent yet, kept on this phone.", timeout=20_000)
    assert cut_in(running_server) == 2
    phone.unroute("**/events")
    expect(phone.locator("sending-line")).to_be_hidden(timeout=20_000)
    assert cut_in(running_server) == 3


def test_what_waits_is_sent_from_every_page(running_server, phone):
    address = run_address(running_server, "crosscut")
    for count, page in enumerate(("", "shop", "scan", f"jobs/{running_server.job}/parts"), start=1):
        phone.goto(address)
        begin_counting(phone)
        wait_until_sent(phone)
        phone.route("**/events", lambda route: route.abort())
        tap(phone, ONE)
        expect(phone.locator("sending-line")).to_contain_text("1 tap not sent yet")
        phone.unroute("**/events")
        phone.goto("about:blank")
        other = phone.context.new_page()
        other.goto(f"{running_server.address}/{page}")
        expect_nothing_kept(other)
        assert cut_in(running_server) == count
        other.close()


def test_a_phone_that_cannot_keep_taps_says_so(running_server, phone):
    phone.add_init_script("Storage.prototype.setItem = () => { throw new Error('full') }")
    phone.goto(run_address(running_server, "crosscut"))
    begin_counting(phone)
    tap(phone, ONE)
    expect(phone.locator("sending-line")).to_contain_text("cannot keep taps")
    expect(phone.locator(CUT)).to_have_text("1")
