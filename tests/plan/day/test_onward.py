"""A day that has begun: late or early moves what is left, clamps run from when they were really put on."""

from dataclasses import replace

import pytest
from tests.conftest import ROOT
from tests.plan.day.test_choose import SHOP, TABLES

from stopwright.intake.job_file import read_job
from stopwright.model.day import Clamps
from stopwright.plan.day.hours import DAY
from stopwright.plan.day.onward import Onward, onward
from stopwright.plan.day.timetable import DayPlan, day_and_time
from stopwright.plan.plan import make_plan

MORNING = 450 * 60


def stools(**shop) -> DayPlan:
    plan = make_plan(read_job(ROOT / "fixtures" / "bakery-stools"), replace(SHOP, **shop)).day
    assert plan is not None
    return plan


def gone_on(plan: DayPlan, *given) -> Onward:
    found = onward(plan, *given)
    assert found is not None
    return found


@pytest.mark.parametrize("plan", [stools(), make_plan(TABLES, SHOP).day], ids=["stools", "tables"])
def test_begun_in_the_morning_it_is_the_day_of_the_sheet(plan):
    found = gone_on(plan, MORNING, {}, {})
    assert found.left == plan.entries and found.done == plan.done and found.held == ()


def test_half_an_hour_late_at_the_machine_moves_the_rest_by_half_an_hour_of_work():
    plan = stools()
    first, second, *_ = plan.entries
    found = gone_on(plan, first.end + 1800, {first.id: first.end + 1800}, {})
    assert found.left[0].id == second.id and found.left[0].begin == second.begin + 1800
    assert found.done > plan.done
    early = gone_on(plan, MORNING + 60, {first.id: MORNING + 60}, {})
    assert early.left[0].begin == MORNING + 60 < second.begin


def test_clamps_come_free_by_when_they_were_really_put_on_and_the_next_glue_up_waits_for_them():
    """Two lie on the bench: the third waits until 45 minutes after the first was closed, at 11:00 instead of 10:41."""
    plan = stools()
    runs = {one.id: one.end for one in plan.entries if one.run}
    one, two, three, *_ = [one for one in plan.entries if one.stage]
    at = 11 * 3600 + 600
    found = gone_on(plan, at, runs | {one.id: 11 * 3600, two.id: at}, {})
    assert [held.free for held in found.held] == [11 * 3600 + 45 * 60, at + 45 * 60]
    assert found.left[0].id == three.id and found.left[0].begin == 11 * 3600 + 45 * 60


def test_few_clamps_are_waited_for_too():
    plan = stools(clamps=(Clamps(600 * 10**6, 2),), bench_places=0)
    runs = {one.id: one.end for one in plan.entries if one.run}
    one, two, *_ = [one for one in plan.entries if one.stage]
    found = gone_on(plan, 11 * 3600, runs | {one.id: 11 * 3600}, {})
    assert (found.left[0].id, found.left[0].begin) == (two.id, 11 * 3600 + 45 * 60)


def test_a_panel_rests_from_when_it_was_really_glued():
    plan = make_plan(TABLES, SHOP).day
    assert plan is not None
    panels = [one for one in plan.entries if one.nth]
    glued = {one.id: one.end for one in plan.entries if one.begin < panels[0].begin} | {
        panels[0].id: 15 * 3600,
        panels[1].id: 15 * 3600 + 1200,
    }
    found = gone_on(plan, 16 * 3600, glued, {})
    waiting = next(one for one in found.left if one.begin >= DAY + 12 * 3600)
    assert day_and_time(waiting.begin) == (2, "15:20")


def test_what_is_half_done_takes_half_and_what_is_all_done_leaves_nothing():
    plan = stools()
    first = plan.entries[0]
    half = gone_on(plan, MORNING, {}, {first.id: first.hands // 2})
    assert half.left[0].end == MORNING + first.hands // 2
    ended = {one.id: one.end for one in plan.entries}
    over = gone_on(plan, plan.done + 60, ended, {})
    assert over.left == () and over.held == ()


def test_what_is_done_out_of_turn_is_not_done_again():
    plan = stools()
    later = plan.entries[3]
    found = gone_on(plan, MORNING + 600, {later.id: MORNING + 600}, {})
    assert later.id not in {one.id for one in found.left} and found.left[0].id == plan.entries[0].id
