"""A whole job by tapping, in a real browser at the size of a phone: reloaded on the way, half of it without network."""

from collections import Counter

from playwright.sync_api import expect
from tests.phone.taps import GO, ON_SCREEN, hurry, work_a_run

from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import default_shop


def test_a_whole_job_is_worked_by_tapping_half_of_it_without_network(running_server, phone):
    page, store, job = phone, running_server.store, running_server.job
    runs = plan_for(store, job, default_shop()).sheet.runs
    reload_at, offline_from, online_from = len(runs) // 4, len(runs) // 3, len(runs) * 5 // 6
    hurry(page)
    page.goto(f"{running_server.address}/jobs/{job}/phone")
    for place, run in enumerate(runs):
        if place == reload_at:
            page.reload()
        if place == offline_from:
            page.context.set_offline(True)
        if place == online_from:
            assert len(job_state(store, job).runs) <= offline_from
            expect(page.locator("sending-line")).to_contain_text("taps not sent yet, kept on this phone")
            page.context.set_offline(False)
        expect(page.locator(ON_SCREEN)).to_have_attribute("data-number", str(run.number))
        work_a_run(page)
    expect(page.locator(GO)).to_have_text("All runs are done")
    expect(page.locator("sending-line")).to_be_hidden(timeout=20_000)
    states = job_state(store, job)
    for run in runs:
        state = states.run(run.id)
        assert state.is_set and state.done
        counted = {(line.lot, False): line.count for line in run.lines}
        counted = counted or {(piece.mark, piece.mirrored): piece.count for piece in run.pieces}
        assert counted == dict(state.cut), run
    layouts = plan_for(store, job, default_shop()).sheet.wood.layouts
    strips = {one.lot: one.times * len({placed.y for placed in one.placements}) for one in layouts}
    ripped = Counter[str]()
    for run in runs:
        if run.work == "rip":
            ripped.update({lot: count for (lot, _), count in states.run(run.id).cut.items()})
    assert ripped == strips
