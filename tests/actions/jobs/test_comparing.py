"""Plans compared, stopped and chosen; searching longer; planning again from where the machines stand."""

from dataclasses import replace
from pathlib import Path

import pytest
from tests.builders import a_board, a_job, a_part, a_shop
from tests.conftest import ROOT

from stopwright.actions.floor.replanning import plan_from_the_machines, still_to_make, worked_before
from stopwright.actions.floor.stopping import floor_of, lengths_on
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.comparing import choose, chosen_of, compare_again, compare_plans, compared
from stopwright.actions.jobs.keeping import choose_plan, chosen, create_job, job_document, save_job
from stopwright.actions.jobs.longer import longer_search, search_longer, take_the_quick_plan
from stopwright.actions.jobs.planning import asked_for, plan_for, sheet_search
from stopwright.actions.jobs.searching import Searches
from stopwright.errors import StopwrightError
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Flow
from stopwright.plan.run_sheet import Move
from stopwright.plan.weighing.alternatives import figures
from stopwright.store.events import Event, new_id
from stopwright.store.log import Store

SHOP = default_shop()


@pytest.fixture
def store(tmp_path: Path):
    with Store.open(tmp_path / "shop.db") as one:
        yield one


@pytest.fixture
def job(store: Store) -> str:
    return create_job(store, job_to_document(read_job(ROOT / "fixtures" / "bakery-stools")), "bench")


def tap(store: Store, job: str, kind: str, run: str, at: str = "2026-03-01T07:00:00.000Z", **more) -> None:
    store.append([Event(new_id(), job, kind, at, "phone", {"run": run, **more})])


def stood(store: Store, job: str, *stops: list[object], at: str = "2026-03-01T07:00:00.000Z") -> None:
    tap(store, job, "stop set", "r0", at, station="saw", work="rip", stops=list(stops))


def test_a_comparison_holds_the_plan_as_it_is_and_one_of_each_flow(store: Store, job: str) -> None:
    found = compare_plans(store, job, SHOP).answer()
    assert found is not None and found.whole
    planned = plan_for(store, job, SHOP)
    assert found.now.costs == figures(planned.sheet, found.now.choices).costs
    assert [one.choices.flow for one in found.flows] == list(Flow)
    assert found.front == compared(planned.job, planned.shop)
    assert found.flip_stops is not None and found.flip_stops.again == 0
    assert any(cost.settings == 4 for cost in found.costs), found.costs


def test_a_comparison_that_is_stopped_answers_with_what_it_has_and_can_go_on(store: Store, job: str) -> None:
    compare_again(store, job, SHOP)
    search = compare_plans(store, job, SHOP)
    search.stop()
    found = search.answer()
    assert found is not None and not found.whole
    assert search.at < search.of
    compare_again(store, job, SHOP)
    again = compare_plans(store, job, SHOP)
    assert again is not search
    again_found = again.answer()
    assert again_found is not None and again_found.whole


def test_a_chosen_plan_is_the_plan_from_then_on(store: Store, job: str) -> None:
    front = compared(plan_for(store, job, SHOP).job, SHOP)
    for number, one in enumerate(front, start=1):
        choose(store, job, chosen_of(front, number), "bench")
        planned = plan_for(store, job, SHOP)
        assert figures(planned.sheet, one.choices) == one
    with pytest.raises(StopwrightError, match="there is no plan 9"):
        chosen_of(front, 9)


def test_what_stands_is_the_last_setting_of_each_axis_over_all_jobs(store: Store, job: str) -> None:
    stood(store, job, ["rip fence", 60_000_000])
    stood(store, job, ["rip fence", 38_000_000], at="2026-03-01T08:00:00.000Z")
    stood(store, "2", ["flip stops", 450_000_000], at="2026-03-01T09:00:00.000Z")
    stood(store, "2", ["mitre angle", "45"], ["no such axis", 7_000_000], at="2026-03-01T09:30:00.000Z")
    stands = lengths_on(floor_of(store, SHOP), SHOP)
    assert stands == (("saw", "rip fence", 38_000_000), ("saw", "flip stops", 450_000_000))


def test_planning_from_the_machines_uses_what_stands_and_is_taken_down(store: Store, job: str) -> None:
    before = plan_for(store, job, SHOP).sheet
    stood(store, job, ["flip stops", 244_000_000])
    assert plan_from_the_machines(store, job, SHOP, "bench") == 1
    assert chosen(store, job)["standing"] == [["saw", "flip stops", 244_000_000]]
    after = plan_for(store, job, SHOP).sheet
    assert after.settings.made == before.settings.made - 1
    first = next(run for run in after.runs if run.work == "crosscut")
    assert first.stops[0].target == 244_000_000 and first.stops[0].move is Move.STANDS
    assert {run.id for run in after.runs} == {run.id for run in before.runs}  # what was worked keeps its name


def test_runs_that_are_done_and_stops_that_stand_need_no_setting_any_more(store: Store, job: str) -> None:
    planned = plan_for(store, job, SHOP)
    assert still_to_make(planned, {}, ()).settings == planned.sheet.settings.made
    heights = [run for run in planned.sheet.runs if run.work == "plane"]
    for run in heights:
        tap(store, job, "run done", run.id)
    left = still_to_make(planned, job_state(store, job).runs, (("saw", "rip fence", 360_000_000),))
    # 9 heights are done, and the fence stands at 360
    assert left.settings == planned.sheet.settings.made - 9 - 1
    assert left.runs == len(planned.sheet.runs) - 9


def test_work_done_by_an_earlier_plan_is_not_lost_when_the_part_list_changes(store: Store, job: str) -> None:
    sheet = plan_for(store, job, SHOP).sheet
    legs, seat = (
        next(run for run in sheet.runs if run.work == "crosscut" and run.stops[0].target == target)
        for target in (450_000_000, 360_000_000)
    )
    stops = [[stop.axis, stop.told] for stop in legs.stops]
    tap(store, job, "stop set", legs.id, station=legs.station, work=legs.work, stops=stops)
    tap(store, job, "piece cut", legs.id, mark="A", count=24)
    tap(store, job, "run done", legs.id)
    tap(store, job, "run done", seat.id)
    saved = job_document(store, job)
    parts = [dict(part) | ({"length": "460"} if part["mark"] == "A" else {}) for part in saved.document["part"]]
    save_job(store, job, {**saved.document, "part": parts}, saved.version, "bench")
    after = plan_for(store, job, SHOP).sheet
    states = job_state(store, job).runs
    assert states[seat.id].done and after.run(seat.id) is not None
    (gone,) = worked_before(after, states)
    assert (gone.station, gone.work, gone.stops) == ("saw", "crosscut", (("flip stops", 450_000_000),))
    assert gone.cut == {("A", False): 24}


def test_the_quick_plan_holds_for_this_version_of_the_job_only(store: Store, job: str) -> None:
    take_the_quick_plan(store, job, "bench")
    assert asked_for(store, job, SHOP).steps == 0
    saved = job_document(store, job)
    save_job(store, job, {**saved.document, "units": 6, "glue": ""}, saved.version, "bench")
    assert asked_for(store, job, SHOP).steps is None


def hard_job(store: Store) -> str:
    """Ten seconds do not prove the order of its 48 lines, part by part."""
    sizes = [(310 + 40 * (n * 7 % 12), 40 + 5 * (n * 5 % 13 % 9), 22) for n in range(48)]
    parts = [a_part(f"P{n}", 2, size, material="ash") for n, size in enumerate(sizes)]
    stock = (a_board(None, (2400, 130, 27), material="ash"),)
    job = replace(a_job(*parts), flow=Flow.PART_BY_PART, stock=stock)
    return create_job(store, job_to_document(job), "bench")


def test_a_longer_search_never_ends_with_a_worse_plan_and_what_it_found_is_made_again_alike(store: Store) -> None:
    job, shop = hard_job(store), a_shop()
    before = plan_for(store, job, shop).sheet
    search = search_longer(store, job, shop, 2.0, "bench")
    found = search.answer(30)
    assert found is not None
    after = plan_for(store, job, shop).sheet
    assert after.wood.boards_used <= before.wood.boards_used
    assert after.settings.made <= before.settings.made
    if found.better:
        assert asked_for(store, job, shop).steps == found.steps
        assert after == found.sheet
    else:
        assert after == before
        assert longer_search(store, job, shop) is search


def test_a_longer_search_that_is_stopped_at_once_leaves_a_whole_plan(store: Store) -> None:
    job, shop = hard_job(store), a_shop()
    search = search_longer(store, job, shop, 60, "bench")
    assert search_longer(store, job, shop, 60, "bench") is search, "one search a job"
    search.stop()
    found = search.answer(30)
    assert found is not None and not found.better
    assert plan_for(store, job, shop).sheet.runs


def test_the_same_sheet_is_planned_once_for_all_who_ask(store: Store, job: str) -> None:
    assert sheet_search(asked_for(store, job, SHOP)) is sheet_search(asked_for(store, job, SHOP))


def test_an_error_of_the_planner_comes_out_where_the_answer_is_asked_for() -> None:
    def fail(_):
        raise StopwrightError("no such wood")

    searches = Searches()
    search = searches.begin("key", fail)
    with pytest.raises(StopwrightError, match="no such wood"):
        search.answer()
    assert searches.begin("key", lambda _: 3).answer() == 3


def test_only_the_last_searches_are_kept() -> None:
    searches = Searches(2)

    def answer(number: int) -> int:
        return searches.begin(number, lambda _: number).answer()

    assert [answer(number) for number in range(5)] == [0, 1, 2, 3, 4]
    assert [number for number in range(5) if searches.known(number)] == [3, 4]


def test_a_choice_from_a_file_of_another_time_is_read_as_far_as_it_is_known(store: Store, job: str) -> None:
    choose_plan(store, job, {"flow": "part by part", "colour": "blue", "may_turn": None}, "bench")
    assert asked_for(store, job, SHOP).choices.flow is Flow.PART_BY_PART
