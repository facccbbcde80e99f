"""Several people at one job: pages follow each other, nothing is counted twice, each sees who has a run open."""

from io import BytesIO

import zxingcpp
from PIL import Image
from playwright.sync_api import expect
from tests.conftest import a_phone
from tests.phone.taps import ON_SCREEN, begin_counting, run_address

from stopwright.actions.working import job_state
from stopwright.web.doorway import COOKIE

CUT = f"{ON_SCREEN} [data-say=cut] >> nth=0"


def test_two_phones_at_one_run_count_together(running_server, chromium):
    address = run_address(running_server, "crosscut")
    with a_phone(chromium) as one, a_phone(chromium) as other:
        one.goto(address)
        begin_counting(one)
        other.goto(address)
        begin_counting(other)  # that run asks each phone for a trial piece until something is counted
        for page, expected in ((one, 1), (other, 2), (one, 3)):
            page.tap(f"{ON_SCREEN} [data-count='1'] >> nth=0")
            for seen in (one, other):
                expect(seen.locator(CUT)).to_have_text(str(expected), timeout=1000)
        one.context.set_offline(True)
        one.tap(f"{ON_SCREEN} [data-count=all] >> nth=0")
        other.tap(f"{ON_SCREEN} [data-count=all] >> nth=0")
        one.context.set_offline(False)
        for seen in (one, other):  # 3 + 21 + 21: both counted what was left, and that is asked, not hidden
            expect(seen.locator(CUT)).to_have_text("45")
            expect(seen.locator(f"{ON_SCREEN} [data-say=over]")).to_contain_text("45 counted of 24 × A: which?")
        other.tap(f"{ON_SCREEN} [data-do=undo]")
        for seen in (one, other):
            expect(seen.locator(CUT)).to_have_text("24")
        expect(one.locator("sending-line")).to_be_hidden(timeout=20_000)
        assert not job_state(running_server.store, running_server.job).run("").done


def test_a_run_that_another_phone_has_open_says_so(running_server, chromium):
    with a_phone(chromium) as one, a_phone(chromium) as other:
        one.goto(run_address(running_server, "crosscut"))
        other.goto(run_address(running_server, "crosscut"))
        here = f"{ON_SCREEN} [data-say=here]"
        expect(one.locator(here)).to_have_text("Also at this run: The bench")
        other.tap("footer [data-do=list]")
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
    phone.goto(f"{running_server.address}/let-in/{code}")
    phone.fill("#name", "Saw phone")
    phone.get_by_role("button", name="Let it in").tap()
    expect(phone).to_have_url(f"{running_server.address}/")
    assert COOKIE in {cookie["name"] for cookie in phone.context.cookies()}
    assert COOKIE not in phone.evaluate("document.cookie")
    assert running_server.app.state.web.door.devices()[0].name == "Saw phone"
