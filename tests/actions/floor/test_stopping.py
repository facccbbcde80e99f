"""Stop in the middle: what stands, what was moved or lost, and that the plan goes on from what is true."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.actions.jobs import several
from tests.builders import mm
from tests.conftest import ROOT
from tests.store import taps

from stopwright.actions.floor.replanning import plan_from_the_machines, still_to_make
from stopwright.actions.floor.stopping import floor_of, lengths_on, machine_used, set_again
from stopwright.actions.floor.worked_together import machines_of, run_states
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.file_planning import Planned
from stopwright.actions.jobs.keeping import create_job
from stopwright.actions.jobs.planning import plan_for
from stopwright.errors import NotFound
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop
from stopwright.model.machines import Change, Machine
from stopwright.plan.run_sheet import Move, Run
from stopwright.store import settled
from stopwright.store.events import Event, new_id
from stopwright.store.log import Store

SAW_SIDE = Machine("saw side", ("saw", "spindle"), 5, (Change("saw", "spindle", 6, ("width",)),))
SHOP = replace(default_shop(), machines=(SAW_SIDE,))
AT = "2026-03-01T07:00:00.000Z"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "shop.db") as one:
        create_job(one, job_to_document(read_job(ROOT / "fixtures" / "bakery-stools")), "bench")
        yield one


def planned(store: Store) -> Planned:
    return plan_for(store, "1", SHOP)


def tap(store: Store, kind: str, run: Run, **body: object) -> None:
    store.append([Event(new_id(), "1", kind, AT, "phone", {"run": run.id, **body})])


def set_stops(store: Store, run: Run) -> None:
    stops = [[stop.axis, stop.told] for stop in run.stops]
    tap(store, "stop set", run, station=run.station, work=run.work, stops=stops)


def again(store: Store) -> list[tuple[str, str, int]]:
    sheet = planned(store).sheet
    found = set_again(sheet.runs, job_state(store, "1").runs, machines_of(store, "1", planned(store)))
    return [(one.station, one.axis, one.run) for one in found]


def runs_at(store: Store, work: str) -> list[Run]:
    return [run for run in planned(store).sheet.runs if run.work == work]


def test_a_stop_that_was_moved_counts_as_not_standing_until_it_is_set_again(store: Store) -> None:
    first, second = runs_at(store, "mortise")[:2]
    assert {stop.axis for stop in second.stops if stop.move is Move.STANDS} > {"depth"}
    set_stops(store, first)
    assert again(store) == []
    machine_used(store, "1", SHOP, [("mortiser", "depth")], {}, "bench")
    assert again(store) == [("mortiser", "depth", first.number)]
    tap(store, "run done", first)
    assert again(store) == [("mortiser", "depth", second.number)]
    set_stops(store, second)
    assert again(store) == []


def test_the_count_of_settings_and_what_stands_follow_what_is_true(store: Store) -> None:
    set_stops(store, runs_at(store, "rip")[0])

    def left() -> tuple[int, int]:
        floor = floor_of(store, SHOP)
        still = still_to_make(planned(store), job_state(store, "1").runs, lengths_on(floor, SHOP), floor.ready)
        return still.settings, still.changes

    settings, changes = left()
    assert [one for one in lengths_on(floor_of(store, SHOP), SHOP) if one[0] == "saw"] != []
    machine_used(store, "1", SHOP, [], {"saw side": "spindle"}, "bench")
    assert lengths_on(floor_of(store, SHOP), SHOP) == ()  # the width goes with the change to the spindle
    assert left() == (settings + 1, changes + 1)
    assert floor_of(store, SHOP).ready == {"saw side": "spindle"}


def test_a_piece_made_again_finds_no_stop_standing_that_was_moved_since(store: Store) -> None:
    first, second = runs_at(store, "mortise")[:2]
    set_stops(store, first)
    set_stops(store, second)
    own = {(stop.axis, stop.told) for stop in second.stops}
    assert floor_of(store, SHOP).of_run["mortiser"] == own
    machine_used(store, "1", SHOP, [("mortiser", "depth")], {}, "bench")
    assert floor_of(store, SHOP).of_run["mortiser"] == {one for one in own if one[0] != "depth"}


def test_a_plan_made_from_the_machines_begins_with_what_they_stand_ready_for(store: Store) -> None:
    machine_used(store, "1", SHOP, [], {"saw side": "spindle"}, "bench")
    plan_from_the_machines(store, "1", SHOP, "bench")
    first = next(run for run in planned(store).sheet.runs if run.station in SAW_SIDE.stations)
    assert first.station == "spindle" or (first.change is not None and first.change.from_ == "spindle")


def test_what_stood_is_noted_with_it(store: Store) -> None:
    crosscut = runs_at(store, "crosscut")[0]
    set_stops(store, crosscut)
    machine_used(store, "1", SHOP, [("saw", "flip stops")], {}, "bench")
    noted = machines_of(store, "1", planned(store)).noted
    assert noted is not None and noted.body["stands"] == [["saw", "flip stops", crosscut.stops[0].told]]


def test_what_the_shop_does_not_have_is_refused_in_words(store: Store) -> None:
    with pytest.raises(NotFound, match="no 'crank'"):
        machine_used(store, "1", SHOP, [("saw", "crank")], {}, "bench")
    with pytest.raises(NotFound, match="'lathe'"):
        machine_used(store, "1", SHOP, [], {"saw side": "lathe"}, "bench")
    with pytest.raises(NotFound):
        machine_used(store, "9", SHOP, [], {}, "bench")
    assert floor_of(store, SHOP).ready == {}


def test_what_was_moved_counts_for_all_jobs_worked_together_and_for_each_alone(tmp_path: Path) -> None:
    with Store.open(tmp_path / "several.db") as store:
        plan = several.worked_together(store)
        run = several.the_run(plan, "crosscut", 450)  # of both jobs
        several.send(store, several.tapped(plan, run, "stop set"))
        used = several.tapped(plan, run, "machine used", id_="used-0001", moved=[["saw", "flip stops"]], stands=[])
        assert not several.send(store, used).refused

        def moved(job: str) -> list[tuple[str, str]]:
            plan = several.planned(store, job)
            sheet, states = plan.sheet, run_states(store, job, plan)
            found = set_again(sheet.runs, states, machines_of(store, job, plan))
            return [(one.axis, sheet.runs[one.run - 1].work) for one in found]

        for job in (several.BOTH, several.STOOLS, several.DRAWERS):
            assert moved(job) == [("flip stops", "crosscut")], job
        several.send(store, several.tapped(plan, run, "stop set"))
        for job in (several.BOTH, several.STOOLS, several.DRAWERS):
            assert moved(job) == [], job
        again = several.tapped(plan, run, "machine used", id_="used-0002", moved=[["saw", "flip stops"]], stands=[])
        several.send(store, again, several.tapped(plan, run, "undo", event="used-0002"))
        assert moved(several.BOTH) == []


def test_of_the_stops_of_all_years_only_the_last_are_read_for_a_piece_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(settled, "OPEN", 3)
    path = tmp_path / "years.db"
    with Store.open(path) as store:
        create_job(store, {"name": "Drawers"}, "bench")
        for at in range(50):
            store.append([taps.tap("stop set", at=at, stops=[["rip fence", at * mm(1)]])])
        floor_of(store, SHOP)
    with Store.open(path) as store:
        read: list[int] = []
        events = store.events

        def counted(*a: Any, **k: Any) -> list[Event]:
            found = events(*a, **k)
            read.append(len(found))
            return found

        monkeypatch.setattr(store, "events", counted)
        monkeypatch.setattr(store, "as_they_count", lambda *_, **__: pytest.fail("read from the beginning"))
        assert floor_of(store, SHOP).of_run == {"saw": {("rip fence", mm(49))}}
        assert sum(read) <= 3
