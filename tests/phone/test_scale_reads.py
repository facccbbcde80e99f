"""What the scale reads: a stop corrected by a trial piece is shown so wherever it stands."""

from playwright.sync_api import expect
from tests.phone.taps import ON_SCREEN

from stopwright.actions.floor.working import record
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM
from stopwright.plan.run_sheet import Move


def test_a_stop_put_right_is_shown_so_in_every_later_run_where_it_stands(running_server, phone):
    """Table height 14: the piece measured .3 over, so the scale reads 13.7 from then on."""
    store, job = running_server.store, running_server.job
    runs = plan_for(store, job, default_shop()).sheet.runs
    heights = [(run, stop) for run in runs for stop in run.stops if stop.axis == "table height"]
    first, stop = heights[0]
    later = [run for run, one in heights[1:] if one.move is Move.STANDS]
    assert stop.target == 14 * MM and stop.move is Move.SET and len(later) > 2
    phone.goto(f"{running_server.address}/jobs/{job}/runs/{later[0].number}")
    body = {"run": first.id, "axis": stop.axis, "target_nm": stop.target, "reading_nm": stop.reading}
    trial = body | {"measured_nm": 14_300_000, "tolerance_nm": stop.tolerance, "station": "mortiser", "blade": ""}
    event = {"id": "trial-0001", "kind": "piece measured", "at": "2026-03-01T07:00:00.000Z", "body": trial}
    assert not record(store, job, [event], "bench").refused
    said = f"13.7 mm corrected in run {first.number}; the sheet says 14 mm"
    for run in later[:3]:
        phone.evaluate("(number) => document.querySelector('run-stepper').open(number)", run.number)
        line = phone.locator(f"{ON_SCREEN} .stands-at", has_text="table height")
        expect(line).to_contain_text(f"table height {said}")
    answer = phone.context.request.get(f"{running_server.address}/jobs/{job}/runs/{later[0].number}")
    assert "corrected in run" in answer.text()
