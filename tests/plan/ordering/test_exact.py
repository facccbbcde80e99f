"""The layers find the best of all orders from any ceiling above it, and none where none is cheaper."""

from itertools import permutations

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.plan.ordering.test_stretches import tasks

from stopwright.plan.ordering.exact import Layers
from stopwright.plan.ordering.loading import cost_of
from stopwright.plan.ordering.task import Task


def found_below(task: Task, ceiling: int) -> int | None:
    """The cost of the order that the layers find below a ceiling; their floor agrees with it."""
    layers = Layers(task, ceiling)
    for _ in layers.advance():
        pass
    if layers.order is None:
        assert layers.floor == ceiling
        return None
    assert layers.floor == cost_of(task, layers.order)[0]
    return layers.floor


@given(tasks(most=6), st.integers(1, 4))
@settings(deadline=None, max_examples=200)
def test_the_best_of_all_orders_is_found_below_any_ceiling(task: Task, above: int) -> None:
    best = min(cost_of(task, order)[0] for order in permutations(range(task.runs)))
    assert found_below(task, best + above) == best
    assert found_below(task, best) is None


def test_a_run_that_is_free_in_both_halves_does_not_hide_the_best_order() -> None:
    # a, b and twice nothing on one place: nothing costs nothing after a and, read backwards, after b
    task = Task(((1,), (2,), (0,), (0,)), (1,), (1,), (3,), (0,), (0,) * 4, ({},))
    assert found_below(task, 4) == 2
