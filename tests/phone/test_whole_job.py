"""A whole job by tapping, in a real browser at the size of a phone."""

from playwright.sync_api import Page, expect

from stopwright.actions.planning import plan_for
from stopwright.actions.working import job_state
from stopwright.intake.shop_file import default_shop

GO = "run-stepper footer [data-do=go]"
ON_SCREEN = ".run:not([hidden])"


def work_a_run(page: Page) -> None:
    """From setting the stops to done, whatever the run asks for."""
    run = page.locator(ON_SCREEN)
    number = run.get_attribute("data-number")
    for _ in range(40):
        phase = run.get_attribute("data-phase")
        if phase == "trial":
            page.tap(f"{ON_SCREEN} [data-do=past]")
        elif phase == "count":
            page.tap(f"{ON_SCREEN} .pieces > li:not(.full) [data-count=all]")
        else:
            page.tap(GO)
        if page.locator(ON_SCREEN).count() == 0 or page.locator(ON_SCREEN).get_attribute("data-number") != number:
            return
    raise AssertionError(f"run {number} did not end")


def test_a_whole_job_is_worked_by_tapping_at_390_by_844(running_server, phone):
    page, store, job = phone, running_server.store, running_server.job
    sheet = plan_for(store, job, default_shop()).sheet
    page.goto(f"{running_server.address}/jobs/{job}/phone")
    for place, run in enumerate(sheet.runs):
        expect(page.locator(ON_SCREEN)).to_have_attribute("data-number", str(run.number))
        work_a_run(page)
        if place == len(sheet.runs) // 2:
            page.reload()
    expect(page.locator(GO)).to_have_text("All runs are done")
    expect(page.locator("sending-line")).to_be_hidden()
    states = job_state(store, job)
    for run in sheet.runs:
        state = states.run(run.key)
        assert state.is_set and state.done
        assert {(p.mark, p.mirrored): p.count for p in run.pieces} == dict(state.cut)
