"""The bound by a few runs: never above the best order, and above each position once where runs crowd each other."""

from itertools import combinations, permutations

import pytest
from hypothesis import given, settings
from tests.plan.ordering.test_stretches import tasks

from stopwright.plan.effort import Steps
from stopwright.plan.ordering import Axis, order_runs
from stopwright.plan.ordering import few as sequence_few
from stopwright.plan.ordering.bounds import each_once
from stopwright.plan.ordering.few import FewRuns
from stopwright.plan.ordering.loading import cost_of
from stopwright.plan.ordering.task import Task


@given(tasks(most=6))
@settings(deadline=None, max_examples=40)
def test_the_bound_is_never_above_the_best_of_all_orders(task: Task) -> None:
    orders = [
        order
        for order in permutations(range(task.runs))
        if not any(task.before[run] & ~sum(1 << other for other in order[:at]) for at, run in enumerate(order))
    ]
    best = min(cost_of(task, order)[0] for order in orders)
    with pytest.MonkeyPatch.context() as changed:
        changed.setattr(sequence_few, "FEW_RUNS", (3, 4))  # so that runs are left out
        few = FewRuns(task)
        for _ in few.advance():
            assert few.floor <= best
        assert each_once(task) <= few.floor <= best


def test_many_runs_in_each_others_way_have_a_bound_above_each_position_once() -> None:
    # every pair of 8 positions on two places: 28 runs; the eight settings of each position once are far too few
    needs = [{"stop": set(pair)} for pair in combinations(range(8), 2)]
    found = order_runs(needs, [Axis("stop", holds=2)], Steps(6000))
    # one setting leads from pair to pair and no run is free: 2 for the first, 1 for each of the other 27
    assert found.settings == 29
    assert 8 < found.least_possible <= 29


def test_the_bound_grows_with_the_runs_that_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    # every pair of 7 positions on two places: k runs in each other's way cost k + 1 settings at least
    monkeypatch.setattr(sequence_few, "FEW_RUNS", (10, 12, 13))
    pairs = tuple((1 << one | 1 << two,) for one, two in combinations(range(7), 2))
    few = FewRuns(Task(pairs, (2,), (1,), (127,), (0,), (0,) * 21, ({},)))
    floors = [few.floor for _ in few.advance()]
    assert floors == sorted(floors)
    assert 11 in floors and few.floor == 14
