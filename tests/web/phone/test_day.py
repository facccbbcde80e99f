"""The day at bench and phone: orders to choose from, when runs fall from now on, what was done late moves the rest."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from tests.plan.day.test_choose import PLANER_SIDE, SHOP, TABLES
from tests.web.conftest import Shopfloor

from stopwright.actions.floor.day_now import day_now, runs_left, stages_of
from stopwright.actions.floor.worked_together import run_states
from stopwright.actions.floor.working import record
from stopwright.actions.jobs.keeping import chosen, create_job
from stopwright.actions.jobs.planning import plan_for
from stopwright.actions.shop.keeping import save_shop, shop_state
from stopwright.errors import StopwrightError
from stopwright.intake.job_file import job_to_document
from stopwright.intake.shop_file import default_shop, shop_to_document
from stopwright.lengths import Show
from stopwright.model.machines import Machine
from stopwright.store.events import Event, checked, written
from stopwright.web.phone.day import day_facts

HTML = {"accept": "text/html"}


def at(hour: int, minute: int = 0, day: int = 2) -> datetime:
    return datetime(2026, 3, day, hour, minute, tzinfo=UTC)


def use(floor: Shopfloor, shop) -> None:
    save_shop(floor.store, shop_to_document(shop), shop_state(floor.store).version, "bench")


def tap(floor: Shopfloor, kind: str, when: datetime, **body) -> None:
    events = [
        {"id": f"{kind.replace(' ', '-')}-{abs(hash(str(body)))}", "kind": kind, "at": written(when), "body": body}
    ]
    assert record(floor.store, floor.job, events, "bench", now=lambda: when).refused == ()


def facts(floor: Shopfloor, now: datetime) -> dict:
    planned = plan_for(floor.store, floor.job, default_shop())
    states = run_states(floor.store, floor.job, planned)
    day = day_now(planned, states, stages_of(floor.store, floor.job, planned), now, UTC)
    assert day is not None
    return day_facts(day, Show.MM)


def test_where_the_shop_says_no_day_no_time_is_shown(floor):
    assert floor.bench.get(f"/jobs/{floor.job}/day").json() == {"day": None}
    for page in ("sheet", "runs", "runs/1"):
        text = floor.bench.get(f"/jobs/{floor.job}/{page}", headers=HTML).text
        assert "data-falls" not in text and "The day" not in text


def test_bench_and_phone_have_a_place_for_the_times(floor):
    use(floor, SHOP)
    plan_for(floor.store, floor.job, default_shop())
    sheet = floor.bench.get(f"/jobs/{floor.job}/sheet", headers=HTML).text
    assert "done on day 2, 10:09, clamps off; sooner is not possible" in sheet
    assert "glue-up, stage 1 of unit 1, 2 clamps of 600 mm" in sheet and "day 1, 07:33–07:35" in sheet
    assert "Assumed: white glue: 8 min a glue-up, 45 min in clamps" in sheet
    for page in ("runs", "runs/2"):
        assert 'data-falls="2"' in floor.bench.get(f"/jobs/{floor.job}/{page}", headers=HTML).text
    told = floor.bench.get(f"/jobs/{floor.job}/day").json()["day"]
    assert len(told["runs"]) == 30 and told["done"].startswith("all done")


def test_begun_in_the_morning_and_done_late_at_the_machine(floor):
    use(floor, SHOP)
    sheet = plan_for(floor.store, floor.job, default_shop()).sheet
    said = facts(floor, at(7, 30))
    assert said["runs"]["1"].startswith("now, until about 07:33") and said["runs"]["2"] == "about 07:33 to 07:35"
    assert said["done"] == "all done on the next working day, about 10:09"
    tap(floor, "run done", at(8, 0), run=sheet.runs[0].id)
    late = facts(floor, at(8, 0))
    assert "1" not in late["runs"] and late["runs"]["3"] == "about 08:02 to 08:03"


def test_before_and_after_the_day_everything_falls_into_its_hours(floor):
    use(floor, SHOP)
    assert facts(floor, at(5))["runs"]["1"] == "about 07:30 to 07:33"
    assert facts(floor, at(20))["runs"]["1"] == "on the next working day, about 07:30 to 07:33"
    assert facts(floor, at(10, 5))["runs"]["1"] == "about 10:15 to 10:18"


def test_clamps_that_are_on_come_free_and_the_next_glue_up_waits(floor):
    use(floor, replace(SHOP, bench_places=1))
    for run in plan_for(floor.store, floor.job, default_shop()).sheet.runs:
        tap(floor, "run done", at(10, 30), run=run.id)
    tap(floor, "glue-up begun", at(10, 32), unit=1, stage=1, glue="white glue")
    begun = facts(floor, at(10, 36))
    assert begun["glued"] == "glue-up next: stage 1 of unit 1, now, until about 10:40"  # 4 of 8 minutes are over
    tap(floor, "glue-up done", at(10, 41), unit=1, stage=1)
    said = facts(floor, at(10, 45))
    assert said["held"] == ["2 clamps of 600 mm come free about 11:26"]
    assert said["glued"] == "glue-up next: stage 1 of unit 2, about 11:26 to 11:34"
    assert said["runs"] == {}


def test_what_can_be_done_while_the_panels_rest_is_said(floor):
    shop = replace(SHOP, machines=(PLANER_SIDE, Machine("saw side", ("saw", "spindle"), 5)))
    use(floor, shop)
    floor.job = create_job(floor.store, job_to_document(TABLES), "bench")
    sheet = plan_for(floor.store, floor.job, default_shop()).sheet
    glue = next(run for run in sheet.runs if run.work == "glue")
    for run in sheet.runs[: glue.number]:
        tap(floor, "run done", at(9, 0), run=run.id)
    said = facts(floor, at(9, 1))
    assert said["held"] == [f"4 clamps of {one} mm come free about 09:45" for one in (600, 1000)]
    after = next(run for run in sheet.runs if run.number == glue.number + 1)
    assert after.work == "plane" and said["runs"][str(after.number)].startswith("on the next working day, about 09:00")


def test_what_is_counted_shortens_what_a_run_still_takes(floor):
    use(floor, SHOP)
    planned = plan_for(floor.store, floor.job, default_shop())
    run = next(run for run in planned.sheet.runs if run.work == "crosscut" and not run.lines)
    mark = run.pieces[0].mark

    def seconds() -> int:
        states = run_states(floor.store, floor.job, planned)
        day = day_now(planned, states, stages_of(floor.store, floor.job, planned), at(8), UTC)
        assert day is not None
        one = next(one for left, one in runs_left(day) if left.id == run.id)
        return one.end - one.begin

    whole = seconds()
    tap(floor, "piece cut", at(8), run=run.id, mark=mark, count=run.pieces[0].count)
    assert seconds() < whole / 2


def test_the_other_order_is_laid_beside_and_taken(floor):
    shop = replace(SHOP, machines=(PLANER_SIDE, Machine("saw side", ("saw", "spindle"), 5)))
    use(floor, shop)
    job = create_job(floor.store, job_to_document(TABLES), "bench")
    plan_for(floor.store, job, default_shop())
    page = floor.bench.get(f"/jobs/{job}/sheet", headers=HTML).text
    assert "Fewest changeovers: day 2" in page and "Done soonest: day 2, 10:45; 6 changeovers, 20 min" in page
    taken = floor.bench.post(f"/jobs/{job}/sheet/order", data={"soonest": "yes"})
    assert taken.status_code == 303 and taken.headers["location"] == f"/jobs/{job}/sheet#day"
    sheet = plan_for(floor.store, job, default_shop()).sheet
    assert sheet.day is not None and sheet.day.chosen == "done soonest"
    again = floor.bench.get(f"/jobs/{job}/sheet", headers=HTML).text
    assert "Chosen: done soonest" in " ".join(again.split())
    floor.bench.post(f"/jobs/{job}/choices", data={"flow": "station by station"})
    assert chosen(floor.store, job)["soonest"] is True
    floor.bench.post(f"/jobs/{job}/choices", data={"usual": "yes"})
    assert plan_for(floor.store, job, default_shop()).sheet.day.chosen == "fewest changeovers"


def test_an_order_of_the_day_is_chosen_with_yes_or_no_only():
    event = Event("chosen-0001", "1", "plan chosen", written(at(8)), "bench", {"choices": {"soonest": True}})
    assert checked(event) == event
    with pytest.raises(StopwrightError, match="soonest"):
        checked(replace(event, body={"choices": {"soonest": "yes"}}))
