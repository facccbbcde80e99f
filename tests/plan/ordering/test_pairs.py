"""Parts of one width and one length: the bounds and the trails against every order there is."""

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.plan.ordering import Axis, load_stops, order_runs
from stopwright.plan.ordering.loading import cost_of
from stopwright.plan.ordering.pairs import fences, least_of_pairs
from stopwright.plan.ordering.positions import read_runs
from stopwright.plan.ordering.trails import Trails, fits

Pairs = list[tuple[int, int]]

pairs_of_parts = st.lists(st.tuples(st.integers(0, 3), st.integers(10, 13)), min_size=1, max_size=6, unique=True)


def needs_of(pairs: Pairs) -> list[dict[str, set[int]]]:
    return [{"rip": {width}, "stop": {length}} for width, length in pairs]


def fewest(pairs: Pairs, axes: list[Axis]) -> float:
    """The least cost over all orders, each loaded by keep-needed-soonest."""
    needs = needs_of(pairs)
    return min(
        sum(len(move[axis.name][0]) * axis.cost for move in load_stops(order, needs, axes) for axis in axes)
        for order in permutations(range(len(pairs)))
    )


@settings(deadline=None, max_examples=30)
@given(pairs_of_parts, st.integers(1, 3), st.sampled_from([0.25, 1.0, 3.0]))
def test_the_bound_is_below_the_best_order_and_the_answer_is_that_order(
    pairs: Pairs, holds: int, fence_cost: float
) -> None:
    axes = [Axis("rip", cost=fence_cost), Axis("stop", holds)]
    best = fewest(pairs, axes)
    reading = read_runs(needs_of(pairs), axes, {}, ())
    assert reading.cost(least_of_pairs(reading.task)) <= best
    found = order_runs(needs_of(pairs), axes)
    assert (found.cost, found.proven) == (best, True)


@settings(deadline=None, max_examples=30)
@given(pairs_of_parts, st.sampled_from([0.25, 1.0, 3.0]))
def test_trails_give_the_best_order_on_one_fence_and_one_stop(pairs: Pairs, fence_cost: float) -> None:
    axes = [Axis("rip", cost=fence_cost), Axis("stop")]
    reading = read_runs(needs_of(pairs), axes, {}, ())
    trails = Trails(reading.task, lambda: False)
    for _ in trails.advance():
        assert reading.cost(trails.floor) <= fewest(pairs, axes)
    assert trails.order is not None
    assert sorted(trails.order) == list(range(len(pairs)))
    assert cost_of(reading.task, trails.order)[0] == trails.floor
    assert reading.cost(trails.floor) == fewest(pairs, axes)


def test_what_is_left_after_a_run_is_what_is_counted_afresh() -> None:
    pairs = [(w, n) for w in range(5) for n in range(6) if (w * w + 3 * n) % 4 < 2]
    task = read_runs(needs_of(pairs), [Axis("rip"), Axis("stop", 2)], {}, ()).task
    (fence,) = fences(task)
    left = (1 << task.runs) - 1
    rest = fence.remaining(left)
    for run in range(task.runs - 1):
        left &= ~(1 << run)
        rest = rest.without(run)
        fresh = fence.remaining(left)
        assert (rest.widths, rest.once, rest.lengths, rest.made) == (
            fresh.widths,
            fresh.once,
            fresh.lengths,
            fresh.made,
        )
        assert rest.gains[1:] == fresh.gains[1:]


@pytest.mark.parametrize(
    ("needs", "axes"),
    [
        ([{"rip": {1}}, {"rip": {2}}], [Axis("rip"), Axis("stop")]),
        ([{"rip": {1}, "stop": {2}}], [Axis("rip"), Axis("stop", 2)]),
        ([{"rip": {1}, "stop": {2}}, {"rip": {1}, "stop": {2}}], [Axis("rip"), Axis("stop")]),
    ],
)
def test_other_tasks_are_not_read_as_trails(needs: list[dict[str, set[int]]], axes: list[Axis]) -> None:
    assert not fits(read_runs(needs, axes, {}, ()).task)
