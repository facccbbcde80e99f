"""What some runs cost among themselves beyond each position once: at no time more than their best order does."""

from itertools import permutations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.plan.ordering.test_stretches import tasks

from stopwright.plan.ordering import exact as sequence_exact
from stopwright.plan.ordering import excess as sequence_excess
from stopwright.plan.ordering.bounds import each_once
from stopwright.plan.ordering.exact import Layers
from stopwright.plan.ordering.loading import cost_of
from stopwright.plan.ordering.task import Task, bits, union


def least(task: Task) -> int:
    """The cost of the best of all orders."""
    return min(cost_of(task, order)[0] for order in permutations(range(task.runs)))


def beyond_once(task: Task) -> dict[int, int]:
    """For every choice of runs what the best of all their orders costs beyond each of their positions once."""
    choices = (bits(choice) for choice in range(1, 1 << task.runs))
    parts = {sum(1 << run for run in chosen): task.part(chosen) for chosen in choices}
    return {choice: least(part) - each_once(part) for choice, part in parts.items()}


@given(tasks(most=6), st.integers(-2, 3))
@settings(deadline=None, max_examples=100)
def test_no_choice_of_runs_is_held_dearer_than_it_is(task: Task, above: int) -> None:
    assume(task.free and not task.crowded and task.runs > sequence_exact.FEW)
    true = beyond_once(task)
    ceiling = max(1, least(task) + above)
    layers = Layers(task, ceiling)
    assert layers.excess is not None
    for _ in [*layers.advance(), None]:
        for choice, beyond in true.items():
            assert layers.excess.beyond(choice) <= beyond


def test_layers_that_tell_what_crowds_the_runs_still_to_do_prove_an_order_in_fewer_steps(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # twelve runs of up to four of 16 positions on five places
    chosen = [{i * i % 16, 5 * i % 16, (i**3 + 1) % 16, (7 * i + 3) % 16} for i in range(12)]
    needs = tuple((union(1 << position for position in positions),) for positions in chosen)
    task = Task(needs, (5,), (1,), (union(need for (need,) in needs),), (0,), (0,) * 12, ({},))
    told = sum(1 for _ in Layers(task, 20).advance())
    monkeypatch.setattr(sequence_excess.Excess, "beyond", lambda *_: 0)
    untold = sum(1 for _ in Layers(task, 20).advance())
    assert told < 0.8 * untold
