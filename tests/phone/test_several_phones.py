"""Several people at one job: pages follow each other, nothing is counted twice, each sees who has a run open."""

from io import BytesIO

import zxingcpp
from PIL import Image
from playwright.sync_api import expect
from tests.conftest import a_phone
from tests.phone.taps import GO, ON_SCREEN, begin_counting, count_all, run_address, tap, work_a_run

from stopwright.actions.floor.working import job_state
from stopwright.web.access.doorway import COOKIE

CUT = f"{ON_SCREEN} [data-say=cut] >> nth=0"


def test_two_phones_at_one_run_count_together(running_server, chromium):
    address = run_address(running_server, "crosscut")
    with a_phone(chromium) as one, a_phone(chromium) as other:
        one.goto(address)
        begin_counting(one)
        other.goto(address)
        begin_counting(other)  # that run asks each phone for a trial piece until something is counted
        for page, expected in ((one, 1), (other, 2), (one, 3)):
            tap(page, f"{ON_SCREEN} [data-count='1'] >> nth=0")
            for seen in (one, other):
                expect(seen.locator(CUT)).to_have_text(str(expected), timeout=1000)
        one.context.set_offline(True)
        count_all(one)
        count_all(other)
        one.context.set_offline(False)
        for seen in (one, other):  # 3 + 21 + 21: both counted what was left, and that is asked, not hidden
            expect(seen.locator(CUT)).to_have_text("45")
            expect(seen.locator(f"{ON_SCREEN} [data-say=over]")).to_contain_text("45 counted of 24 × A: which?")
        tap(other, f"{ON_SCREEN} [data-do=undo]")
        for seen in (one, other):
            expect(seen.locator(CUT)).to_have_text("24")
        expect(one.locator("sending-line")).to_be_hidden(timeout=20_000)
        assert not job_state(running_server.store, running_server.job).run("").done


STANDS = """() => { const { runs } = document.querySelector('run-stepper').word; return runs; }"""
SHOWN = """() => Object.values(document.querySelector('run-stepper').states).map(({ cut, spoiled, made, set, done }) =>
  [cut, spoiled, [...made].sort(), set, done])"""
MADE = f"{ON_SCREEN} .stop-set.made"


def test_two_phones_that_worked_without_network_agree_afterwards_and_what_was_counted_twice_is_asked(
    running_server, chromium
):
    address = run_address(running_server, "crosscut")
    with a_phone(chromium) as one, a_phone(chromium) as other:
        for page in (one, other):
            page.goto(address)
            expect(page.locator(GO)).to_be_enabled()
            page.context.set_offline(True)
            work_a_run(page)  # both cut the 24 legs, or one of them taps for the other: nobody knows but they
            tap(page, "footer [data-do=list]")
        number = address.rsplit("/", 1)[1]
        for page in (one, other):
            expect(page.locator(f"#list [data-number='{number}'] .state")).to_have_text("done")
        for page in (one, other):
            page.context.set_offline(False)
        for page in (one, other):
            expect(page.locator(f"#list [data-number='{number}'] .state")).to_have_text(
                "done, but 48 of 24 cut: which?", timeout=20_000
            )
            expect(page.locator("sending-line")).to_be_hidden(timeout=20_000)
        assert one.evaluate(STANDS) == other.evaluate(STANDS)
        assert one.evaluate(SHOWN) == other.evaluate(SHOWN)
        (state,) = job_state(running_server.store, running_server.job).runs.values()
        assert state.done and state.cut == {("A", False): 48}


def test_stops_made_one_by_one_survive_a_reload_and_are_seen_by_a_second_phone(running_server, chromium):
    address = run_address(running_server, "mortise")
    with a_phone(chromium) as one, a_phone(chromium) as other:
        one.goto(address)
        count = one.locator(f"{ON_SCREEN} .stop-set").count()
        assert count == 6
        for _ in range(4):
            tap(one, GO)
        expect(one.locator(MADE)).to_have_count(4)
        one.reload()
        expect(one.locator(MADE)).to_have_count(4)
        other.goto(address)
        expect(other.locator(MADE)).to_have_count(4)
        fifth = other.locator(f"{ON_SCREEN} .stop-set.near").get_attribute("data-axis")
        tap(other, GO)
        expect(one.locator(f"{ON_SCREEN} .stop-set.made[data-axis='{fifth}']")).to_have_count(1)
        tap(one, GO)
        for page in (one, other):
            expect(page.locator(ON_SCREEN)).to_have_attribute("data-phase", "trial")


def test_stops_made_apart_without_network_stand_together_afterwards(running_server, chromium):
    address = run_address(running_server, "mortise")
    with a_phone(chromium) as one, a_phone(chromium) as other:
        for page in (one, other):
            page.goto(address)
            expect(page.locator(GO)).to_be_enabled()
            page.context.set_offline(True)
        axes = [stop.get_attribute("data-axis") for stop in one.locator(f"{ON_SCREEN} .stop-set").all()]
        for page, mine in ((one, axes[:3]), (other, axes[3:])):
            for axis in mine:
                page.wait_for_selector("run-stepper:not([data-settling])")
                if page.locator(f"{ON_SCREEN} .stop-set.near").get_attribute("data-axis") != axis:
                    tap(page, f"{ON_SCREEN} .stop-set[data-axis='{axis}']")
                tap(page, GO)
            expect(page.locator(MADE)).to_have_count(3)
        for page in (one, other):
            page.context.set_offline(False)
        for page in (one, other):
            expect(page.locator(MADE)).to_have_count(6, timeout=20_000)
            expect(page.locator(GO)).to_have_text("All stops are set")
        tap(one, GO)
        expect(other.locator(ON_SCREEN)).to_have_attribute("data-phase", "trial")


def test_a_run_that_another_phone_has_open_says_so(running_server, chromium):
    with a_phone(chromium) as one, a_phone(chromium) as other:
        one.goto(run_address(running_server, "crosscut"))
        other.goto(run_address(running_server, "crosscut"))
        here = f"{ON_SCREEN} [data-say=here]"
        expect(one.locator(here)).to_have_text("Also at this run: The bench")
        tap(other, "footer [data-do=list]")
        expect(one.locator(here)).to_be_hidden()
        expect(other.locator("#list .state", has_text="at it: The bench")).to_have_count(1)
        other.close()
        expect(one.locator(here)).to_be_hidden()


def test_a_phone_reads_the_code_on_the_bench_from_its_pixels(running_server, phone):
    phone.goto(f"{running_server.address}/phones")
    phone.get_by_role("button", name="Show a code").tap()
    shown = Image.open(BytesIO(phone.locator(".code svg").screenshot()))
    read = zxingcpp.read_barcodes(shown)
    assert [one.text for one in read] == [phone.locator(".address").inner_text()]
    expect(phone.locator("code-clock")).to_contain_text("seconds more")


def test_the_cookie_of_a_phone_is_out_of_reach_of_scripts(running_server, phone):
    code = running_server.app.state.web.door.new_code()
    phone.goto(f"{running_server.address}/pair/{code}")
    phone.fill("#name", "Saw phone")
    phone.get_by_role("button", name="Pair it").tap()
    expect(phone).to_have_url(f"{running_server.address}/")
    assert COOKIE in {cookie["name"] for cookie in phone.context.cookies()}
    assert COOKIE not in phone.evaluate("document.cookie")
    assert running_server.app.state.web.door.devices()[0].name == "Saw phone"
