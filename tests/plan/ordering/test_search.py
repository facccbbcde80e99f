"""The search keeps its books right, heeds what must come before what, and finds what few orders reach."""

from itertools import islice, permutations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from tests.plan.ordering.test_stretches import tasks

from stopwright.plan.ordering.loading import cost_of
from stopwright.plan.ordering.search import Search, first_order, reach
from stopwright.plan.ordering.task import Task


def after_steps(search: Search, count: int) -> Search:
    for _ in islice(search.advance(), count):
        pass
    return search


@given(tasks(most=9))
@settings(deadline=None, max_examples=60)
def test_after_every_step_the_sides_are_those_of_the_order_as_it_stands(task: Task) -> None:
    search = Search(task, first_order(task))
    for _ in islice(search.advance(), 12):
        assert sorted(search.now) == list(range(task.runs))
        assert search.ahead == search.sides.ahead(search.now)
        assert search.behind == search.sides.behind(search.now)
        assert search.here == cost_of(task, search.now)[0]
        assert search.cost == cost_of(task, search.order)[0] <= search.here


@given(tasks(least=2, most=6))
@example(
    Task(((0, 8), (1, 0), (1, 4), (0, 8)), (1, 1), (1, 1), (1, 12), (0, 8), (0,) * 4, ({}, {}))
)  # two pairs to swap
@settings(deadline=None, max_examples=60)
def test_a_hundred_steps_find_the_best_order_of_six_runs(task: Task) -> None:
    best = min(cost_of(task, order)[0] for order in permutations(range(task.runs)))
    assert after_steps(Search(task, range(task.runs)), 100).cost == best


@given(tasks(least=3, most=8), st.data())
@settings(deadline=None, max_examples=60)
def test_what_must_come_before_comes_before_in_every_order_the_search_goes_through(
    task: Task, data: st.DataObject
) -> None:
    before = tuple(data.draw(st.integers(0, (1 << run) - 1)) for run in range(task.runs))
    task = Task(task.needs, task.holds, task.weights, task.areas, task.standing, before, task.close)
    search = Search(task, first_order(task))
    for _ in islice(search.advance(), 30):
        place = {run: at for at, run in enumerate(search.now)}
        for run in range(task.runs):
            assert all(place[other] < place[run] for other in range(run) if before[run] >> other & 1)


def test_the_search_goes_on_from_a_better_order_handed_to_it() -> None:
    needs = tuple((3 << at,) for at in range(12))  # each run shares a position with the next: in a row 13 settings
    task = Task(needs, (2,), (1,), ((1 << 13) - 1,), (0,), (0,) * 12, ({},))
    search = Search(task, [0, 6, 1, 7, 2, 8, 3, 9, 4, 10, 5, 11])
    assert search.cost == 24
    search.go_on_from(list(range(12)), 13)
    assert after_steps(search, 5).cost == 13 and search.order == list(range(12))


@pytest.mark.parametrize(
    ("before", "after", "gaps"),
    [(0, 0, range(4)), (0b001, 0, range(2, 4)), (0, 0b100, range(3)), (0b010, 0b100, range(1, 3))],
)
def test_the_gaps_a_run_may_go_to_lie_between_what_comes_before_and_after(before: int, after: int, gaps: range) -> None:
    assert reach([1, 0, 2], before, after) == gaps
