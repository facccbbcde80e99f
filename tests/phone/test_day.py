"""When runs fall, on the phone: from now on, moved by what is done; no time at all where the bench is out of reach."""

from dataclasses import replace

import pytest
from playwright.sync_api import expect
from tests.conftest import Running
from tests.phone.taps import GO, ON_SCREEN

from stopwright.actions.floor.working import record
from stopwright.actions.jobs.planning import plan_for
from stopwright.actions.shop.keeping import save_shop, shop_state
from stopwright.intake.shop_file import default_shop, shop_to_document
from stopwright.lengths import MM
from stopwright.model.day import Clamps, Day
from stopwright.store.events import utc_now, written

ROUND_THE_CLOCK = replace(default_shop(), day=Day("00:00", "24:00"), clamps=(Clamps(600 * MM, 4),), bench_places=2)


@pytest.fixture
def running(start_server) -> Running:
    running = start_server("bakery-stools")
    store = running.store
    save_shop(store, shop_to_document(ROUND_THE_CLOCK), shop_state(store).version, "bench")
    plan_for(store, running.job, default_shop())
    return running


def done(running: Running, number: int) -> None:
    run = plan_for(running.store, running.job, default_shop()).sheet.runs[number - 1]
    tap = {"id": f"run-done-{number:04}", "kind": "run done", "at": written(utc_now()), "body": {"run": run.id}}
    assert record(running.store, running.job, [tap], "bench").refused == ()


def test_a_run_says_when_it_falls_and_what_is_done_moves_the_rest(running, phone):
    phone.set_default_timeout(30_000)
    phone.goto(f"{running.address}/jobs/{running.job}/runs/2")
    expect(phone.locator(GO)).to_be_enabled()
    line = phone.locator(f"{ON_SCREEN} .falls")
    expect(line).to_contain_text("about ")
    expect(line).not_to_contain_text("now")
    done(running, 1)
    expect(line).to_contain_text("now, until")
    done(running, 2)
    expect(line).to_have_text("")


def test_the_list_says_when_clamps_and_all_else_come_and_nothing_moves_when_it_is_told(running, phone):
    phone.set_default_timeout(30_000)
    told = f"{running.address}/jobs/{running.job}/day"
    phone.route(told, lambda route: route.abort())
    phone.goto(f"{running.address}/jobs/{running.job}/runs")
    expect(phone.locator("[data-day]")).to_have_text("When runs fall is known in reach of the bench only.")
    third = phone.locator(".list [data-number='3']")
    before = third.bounding_box()
    phone.unroute(told)
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.locator("[data-day]")).to_contain_text("glue-up next: stage 1 of unit 1")
    expect(third.locator(".falls")).to_contain_text("about ")
    assert third.bounding_box() == pytest.approx(before, abs=1)
