"""A run page opened without network: kept as last loaded, said to be so, never taken for fresh.

A page on this machine may do so; over the shop's network it takes --tls.
"""

from playwright.sync_api import expect
from tests.phone.taps import ON_SCREEN, begin_counting, run_address

from stopwright.actions.working import job_state
from stopwright.web.doorway import Doorway

CUT = f"{ON_SCREEN} [data-say=cut] >> nth=0"
ONE = f"{ON_SCREEN} [data-count='1'] >> nth=0"
IN_CHARGE = "() => navigator.serviceWorker.controller !== null"
PAGE_KEPT = "async () => (await (await caches.open('stopwright pages')).keys()).length === 1"


def cut_in(running):
    return sum(sum(state.cut.values()) for state in job_state(running.store, running.job).runs.values())


def test_the_page_opens_without_network_says_so_and_goes_on_counting(running_server, phone):
    address = run_address(running_server, "crosscut")
    phone.goto(address)
    phone.wait_for_function(IN_CHARGE)
    phone.reload()  # now through the worker, which keeps it
    phone.wait_for_function(PAGE_KEPT)
    begin_counting(phone)
    phone.tap(ONE)
    phone.tap(ONE)
    for _ in range(100):
        if cut_in(running_server) == 2:
            break
        phone.wait_for_timeout(20)
    expect(phone.locator(CUT)).to_have_text("2")
    phone.context.set_offline(True)
    phone.goto(f"{running_server.address}/jobs/{running_server.job}/runs")  # another address of the same job
    line = phone.locator("sending-line")
    expect(line).to_contain_text("Opened without the bench, as it stood on")
    phone.goto(address)
    expect(line).to_contain_text("Opened without the bench")
    expect(phone.locator(CUT)).to_have_text(
        "2"
    )  # by the bench's last word or by what is kept until that is, both newer than the page
    phone.tap(ONE)
    expect(phone.locator(CUT)).to_have_text("3")
    assert cut_in(running_server) == 2
    phone.context.set_offline(False)
    expect(line).to_be_hidden(timeout=20_000)
    expect(phone.locator(CUT)).to_have_text("3")
    assert cut_in(running_server) == 3


def test_pages_other_than_runs_are_never_shown_from_before(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    phone.wait_for_function(IN_CHARGE)
    phone.goto(f"{running_server.address}/phones")
    phone.context.set_offline(True)
    try:
        phone.goto(f"{running_server.address}/phones")
    except Exception as error:
        assert "ERR_INTERNET_DISCONNECTED" in str(error)
    else:
        raise AssertionError("a page came from nowhere")


def test_a_phone_that_was_shut_out_keeps_nothing(running_server, phone, monkeypatch):
    phone.goto(run_address(running_server, "crosscut"))
    phone.wait_for_function(IN_CHARGE)
    phone.reload()
    phone.wait_for_function(PAGE_KEPT)
    monkeypatch.setattr(Doorway, "_who", lambda *_: None)  # this machine itself cannot be shut out
    phone.reload()
    expect(phone.locator("h1")).to_contain_text("has not been let in")
    assert phone.evaluate("async () => (await caches.keys()).filter((name) => name !== 'stopwright files').length") == 0
