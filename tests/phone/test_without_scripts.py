"""A browser without scripts: the stops set, pieces counted one by one, the run done, by a plain form."""

from playwright.sync_api import expect
from tests.conftest import a_phone
from tests.phone.taps import ON_SCREEN, run_address

from stopwright.actions.floor.working import job_state


def test_a_run_is_worked_by_a_plain_form(running_server, chromium):
    with a_phone(chromium, java_script_enabled=False) as page:
        page.goto(run_address(running_server, "crosscut"))
        form = page.locator(".plain-taps")  # the style that hides the buttons for scripts may come a moment later
        form.get_by_role("button", name="All is set").tap()
        for cut in (1, 2):
            form.get_by_role("button", name="A +1, one Leg cut").tap()
            expect(page.locator(".plain-taps p").first).to_contain_text(f"{cut} of 24")
        expect(page.locator("[data-do=go]")).to_be_hidden()
        form.get_by_role("button", name="Run done").tap()
        expect(page.locator(f"{ON_SCREEN} .plain-taps")).to_contain_text("Done.")
    (state,) = job_state(running_server.store, running_server.job).runs.values()
    assert state.is_set and state.done and dict(state.cut) == {("A", False): 2}


def test_a_form_sent_twice_counts_once(running_server, phone):
    address = run_address(running_server, "crosscut")
    for _ in range(2):
        form = {"tap": "cut A", "id": "0123456789abcdef"}
        assert phone.request.post(f"{address}/tap", form=form, max_redirects=0).status == 303
    assert phone.request.post(f"{address}/tap", form={"tap": "burn A", "id": "0123456789abcdef"}).status == 404
    (state,) = job_state(running_server.store, running_server.job).runs.values()
    assert dict(state.cut) == {("A", False): 1}
