"""Pages of a job opened without network: kept as last loaded, said to be so, never taken for fresh.

A page on this machine may do so; over the shop's network it takes --tls.
"""

import re

from playwright.sync_api import expect
from tests.conftest import a_phone
from tests.phone.taps import ON_SCREEN, begin_counting, run_address, tap
from tests.store.test_pictures import a_photo

from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.numbering import code_of, pieces_of
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import default_shop
from stopwright.web.access.doorway import Doorway

CUT = f"{ON_SCREEN} [data-say=cut] >> nth=0"
ONE = f"{ON_SCREEN} [data-count='1'] >> nth=0"
IN_CHARGE = "() => navigator.serviceWorker.controller !== null"
KEPT = "async () => (await (await caches.open('stopwright pages')).keys()).map(({ url }) => new URL(url).pathname)"
PICTURES_KEPT = "async () => (await (await caches.open('stopwright pictures')).keys()).length"
LET_GO = "() => !Object.keys(localStorage).some((name) => name.startsWith('stopwright tap'))"
LAST_KEPT = "/jobs/1/glue-up/6/3"
OPENED_WITHOUT = "Opened without the bench, as it stood on"


def cut_in(running):
    return sum(sum(state.cut.values()) for state in job_state(running.store, running.job).runs.values())


def wait_until_kept(page, last=LAST_KEPT):
    """Until this page has come, unless told otherwise the last that is worth keeping."""
    for _ in range(400):
        if last in page.evaluate(KEPT):
            return
        page.wait_for_timeout(20)
    raise AssertionError(page.evaluate(KEPT))


def wait_for_picture(page):
    """Until one picture is kept; a function that waits would take the promise of an answer for the answer."""
    for _ in range(400):
        if page.evaluate(PICTURES_KEPT) == 1:
            return
        page.wait_for_timeout(20)
    raise AssertionError(f"{page.evaluate(PICTURES_KEPT)} pictures are kept")


def wait_for_cut(page, running, count):
    for _ in range(100):
        if cut_in(running) == count:
            return
        page.wait_for_timeout(20)
    raise AssertionError(f"{cut_in(running)} are counted, not {count}")


def test_a_page_opened_once_opens_without_network_says_so_and_goes_on_counting(running_server, phone):
    address = run_address(running_server, "crosscut")
    phone.goto(address)  # the only time with the bench in reach
    phone.wait_for_function(IN_CHARGE)
    begin_counting(phone)
    tap(phone, ONE)
    tap(phone, ONE)
    wait_for_cut(phone, running_server, 2)
    wait_until_kept(phone)
    expect(phone.locator(CUT)).to_have_text("2")
    phone.context.set_offline(True)
    phone.goto(f"{running_server.address}/jobs/{running_server.job}/runs")  # another address of the same job
    line = phone.locator("sending-line")
    expect(line).to_contain_text(OPENED_WITHOUT)
    phone.goto(address)
    expect(line).to_contain_text(OPENED_WITHOUT)
    expect(phone.locator(CUT)).to_have_text(
        "2"
    )  # by the bench's last word or by what is kept until that is, both newer than the page
    tap(phone, ONE)
    expect(phone.locator(CUT)).to_have_text("3")
    assert cut_in(running_server) == 2
    phone.context.set_offline(False)
    expect(line).to_be_hidden(timeout=20_000)
    expect(phone.locator(CUT)).to_have_text("3")
    wait_for_cut(phone, running_server, 3)


def test_sorting_glue_up_spoiled_and_pieces_open_without_network_though_never_opened_before(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    wait_until_kept(phone)
    phone.context.set_offline(True)
    job = f"{running_server.address}/jobs/{running_server.job}"
    for page, seen in (
        ("spoiled", "Spoiled pieces"),
        ("pieces", "66 pieces for 6 units"),
        ("rack", ""),
        ("glue-up", "Unit 6"),
        ("glue-up/2/dry-fit", "Dry fit, unit 2"),
    ):
        phone.goto(f"{job}/{page}")
        expect(phone.locator("sending-line")).to_contain_text(OPENED_WITHOUT)
        expect(phone.locator("body")).to_contain_text(seen)
    phone.goto(f"{job}/glue-up/1/1")
    tap(phone, "footer [data-do=go]")
    expect(phone.locator("[data-say=clock] .time")).to_have_text(re.compile(r"^[78]:[0-5]\d$"))
    phone.goto(f"{job}/sort")
    piece = pieces_of(running_server.store, running_server.job, plan_for(running_server.store, "1", default_shop()))[0]
    phone.fill("code-entry input", code_of(running_server.job, piece))
    expect(phone.locator(".unit-number")).to_have_text("1")
    phone.goto(f"{job}/spoiled")
    expect(phone.locator("sending-line")).to_contain_text("2 taps not sent yet, kept on this phone")
    phone.context.set_offline(False)  # sent from a page that has nothing to do with them
    expect(phone.locator("sending-line")).not_to_contain_text("not sent yet", timeout=20_000)
    state = job_state(running_server.store, running_server.job)
    assert state.pieces[piece.index].unit == 1 and state.assembly.stages[1, 1].begun


def test_what_was_sent_from_another_page_is_still_counted_when_its_own_page_opens_without_network(
    running_server, phone
):
    address = run_address(running_server, "crosscut")
    phone.goto(address)
    wait_until_kept(phone)
    begin_counting(phone)
    phone.context.set_offline(True)
    tap(phone, ONE)
    phone.goto(f"{running_server.address}/jobs/{running_server.job}/pieces")
    phone.context.set_offline(False)
    wait_for_cut(phone, running_server, 1)
    phone.wait_for_function(LET_GO)
    phone.context.set_offline(True)
    phone.goto(address)
    expect(phone.locator(CUT)).to_have_text("1")


def test_a_page_that_is_not_kept_and_a_form_out_of_reach_end_on_a_page_of_ours(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    wait_until_kept(phone)
    begin_counting(phone)
    for _ in range(2):
        tap(phone, f"{ON_SCREEN} .spoil >> nth=0")
    phone.goto(f"{running_server.address}/jobs/{running_server.job}/spoiled")
    phone.context.set_offline(True)
    phone.get_by_role("button", name="Make it again").tap()
    expect(phone.locator("h1")).to_have_text("The bench is out of reach, and this page is not kept on this phone.")
    phone.goto(f"{running_server.address}/phones")
    expect(phone.locator("h1")).to_have_text("The bench is out of reach, and this page is not kept on this phone.")


def test_without_a_service_worker_a_tap_out_of_reach_stays_on_the_page(running_server, chromium):
    with a_phone(chromium, service_workers="block") as page:
        page.goto(f"{running_server.address}/jobs/{running_server.job}/runs")
        expect(page.locator("footer [data-do=go]")).to_be_enabled()
        page.context.set_offline(True)
        tap(page, "#list .after a >> text=Sort into units")
        expect(page.locator(".out-of-reach")).to_contain_text("out of reach; this page stays open")
        page.context.set_offline(False)
        tap(page, "#list .after a >> text=Sort into units")
        page.wait_for_url("**/sort")


def test_a_phone_that_was_shut_out_keeps_nothing(running_server, phone, monkeypatch):
    phone.goto(run_address(running_server, "crosscut"))
    phone.wait_for_function(IN_CHARGE)
    wait_until_kept(phone)
    monkeypatch.setattr(Doorway, "_who", lambda *_: None)  # this machine itself cannot be removed
    phone.reload()
    expect(phone.locator("h1")).to_contain_text("is not paired")
    assert phone.evaluate("async () => (await caches.keys()).filter((name) => name !== 'stopwright files').length") == 0


def test_a_photo_of_a_set_up_that_was_seen_is_seen_without_network(running_server, phone):
    address = run_address(running_server, "crosscut")
    phone.goto(address)
    phone.wait_for_function(IN_CHARGE)
    expect(phone.locator("[data-do=go]")).to_be_enabled()
    taken = {"name": "bench.jpg", "mimeType": "image/jpeg", "buffer": a_photo()}
    phone.set_input_files(f"{ON_SCREEN} [data-photo]", files=[taken])
    image = f"{ON_SCREEN} [data-say=notes] img"
    seen = "(where) => document.querySelector(where)?.naturalHeight > 0"
    for reach in ("within", "without"):
        expect(phone.locator(image)).to_have_count(1)
        phone.locator(image).scroll_into_view_if_needed()
        phone.wait_for_function(seen, arg=image)
        if reach == "within":
            wait_until_kept(phone)
            wait_for_picture(phone)
            phone.wait_for_function(LET_GO)
            phone.context.set_offline(True)
            phone.goto(address)
    expect(phone.locator("sending-line")).to_contain_text(OPENED_WITHOUT)
