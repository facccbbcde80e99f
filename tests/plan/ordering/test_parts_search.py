"""The search for parts on a fence and some stops keeps its books right, and finds what few orders reach."""

from itertools import islice, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.plan.effort import Steps
from stopwright.plan.ordering import Axis, order_runs
from stopwright.plan.ordering.loading import cost_of
from stopwright.plan.ordering.pairs import fences
from stopwright.plan.ordering.parts_search import PartsSearch, width_by_width
from stopwright.plan.ordering.positions import read_runs
from stopwright.plan.ordering.stretches import Sides
from stopwright.plan.ordering.task import Task

PAIRS = st.tuples(st.integers(1, 4), st.integers(1, 7))


@st.composite
def parts(draw: st.DrawFn, most: int) -> Task:
    """Parts on a fence and one stop to three, some stops too close to others, some of all standing at first."""
    pairs = draw(st.lists(PAIRS, min_size=2, max_size=most, unique=True))
    stops = draw(st.integers(1, 3))
    clearance = draw(st.sampled_from([0, 0, 2])) if stops > 1 else 0
    standing = {}
    if draw(st.booleans()):
        standing = {"rip": {pairs[-1][0]}, "stop": {pairs[-1][1]}}
    axes = [Axis("rip", cost=draw(st.integers(1, 3))), Axis("stop", holds=stops, clearance=clearance)]
    return read_runs([{"rip": {width}, "stop": {length}} for width, length in pairs], axes, standing, ()).task


def search_of(task: Task) -> PartsSearch:
    return PartsSearch(task, fences(task)[0], width_by_width(task, fences(task)[0]))


@given(parts(most=14))
@settings(deadline=None, max_examples=150)
def test_after_every_step_the_books_are_those_of_the_order_as_it_stands(task: Task) -> None:
    search = search_of(task)
    for _ in islice(search.advance(), 8):
        assert sorted(search.now) == list(range(task.runs))
        assert [search.now[place] for place in search.place] == list(range(task.runs))
        assert search.here == sum(search.costs) == Sides(task).ahead(search.now)[-1][0]
        assert search.here == cost_of(task, search.now)[0] or (task.crowded and task.holds[1] == 3)
        assert search.cost == cost_of(task, search.order)[0]
        anew = PartsSearch(task, fences(task)[0], search.now)
        assert (search.costs, search.free) == (anew.costs, anew.free)


@given(parts(most=6))
@settings(deadline=None, max_examples=60)
def test_fifty_steps_find_the_best_order_of_six_parts(task: Task) -> None:
    best = min(cost_of(task, order)[0] for order in permutations(range(task.runs)))
    search = search_of(task)
    for _ in islice(search.advance(), 50):
        pass
    assert search.cost == best


@pytest.mark.parametrize(("stops", "settings_made"), [(2, 102), (3, 80)])
def test_parts_that_share_a_width_or_a_length_are_brought_together_among_many(stops: int, settings_made: int) -> None:
    # 135 pairs of 40 widths and 90 lengths; with two stops, drawing from all gaps and stretches leaves 109.
    pairs = sorted({(7 * i * i % 40, (13 * i + i**3) % 90) for i in range(200)})
    needs = [{"rip": {width}, "stop": {length}} for width, length in pairs]
    found = order_runs(needs, [Axis("rip"), Axis("stop", stops)], Steps(2000))
    assert len(pairs) == 135
    assert found.settings <= settings_made
