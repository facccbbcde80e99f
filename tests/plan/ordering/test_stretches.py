"""What an order costs from its gaps is what keeping the positions needed soonest costs."""

from itertools import permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.plan.ordering.loading import cost_of
from stopwright.plan.ordering.stretches import Sides
from stopwright.plan.ordering.task import Task, union


@st.composite
def tasks(draw: st.DrawFn, least: int = 1, most: int = 7, close: bool = False) -> Task:
    """Runs with needs on one axis or two, with stops that stand at first; where stops meet, two places at most."""
    runs = draw(st.integers(least, most))
    axes = draw(st.integers(1, 2))
    needs, holds, areas, standing, meeting = [], [], [], [], []
    for axis in range(axes):
        places = draw(st.integers(1, 2 if close else 4))
        bits = [1 << 8 * axis + at for at in range(draw(st.integers(places, 8)))]
        some = st.lists(st.sampled_from(bits), max_size=1 if close else places, unique=True).map(union)
        needs.append([draw(some) for _ in range(runs)])
        areas.append(union(needs[-1]))
        holds.append(places)
        standing.append(draw(some) & areas[-1])
        meeting.append(_neighbours(bits) if close else {})
    weights = tuple(draw(st.integers(1, 3)) for _ in range(axes))
    rows = tuple(zip(*needs, strict=True))
    return Task(rows, tuple(holds), weights, tuple(areas), tuple(standing), (0,) * runs, tuple(meeting))


def _neighbours(bits: list[int]) -> dict[int, int]:
    beside = {bit.bit_length() - 1: (bit << 1 | bit >> 1) & union(bits) for bit in bits}
    return {position: positions for position, positions in beside.items() if positions}


def costs_from_every_gap(task: Task) -> list[int]:
    """What the runs as they are numbered cost, seen from each gap; no cost is cut short that is not too high."""
    sides, order = Sides(task), range(task.runs)
    ahead, behind = sides.ahead(order), sides.behind(order)
    limit = cost_of(task, order)[0]
    return [sides.joined(*both, limit=limit) for both in zip(ahead, behind, strict=True)]


@given(tasks())
@settings(deadline=None, max_examples=150)
def test_the_cost_is_the_same_from_every_gap_and_that_of_keeping_what_is_needed_soonest(task: Task) -> None:
    costs = costs_from_every_gap(task)
    assert costs == [cost_of(task, range(task.runs))[0]] * (task.runs + 1)


@given(tasks(close=True))
@settings(deadline=None, max_examples=150)
def test_one_position_beside_the_runs_own_is_priced_exactly_where_stops_meet(task: Task) -> None:
    costs = costs_from_every_gap(task)
    assert costs == [cost_of(task, range(task.runs))[0]] * (task.runs + 1)


@given(tasks(least=2), st.data())
@settings(deadline=None, max_examples=150)
def test_a_run_put_into_a_gap_costs_what_the_whole_order_costs(task: Task, data: st.DataObject) -> None:
    sides = Sides(task)
    run, *others = data.draw(st.permutations(range(task.runs)))
    exact = [cost_of(task, [*others[:gap], run, *others[gap:]])[0] for gap in range(task.runs)]
    ahead, behind = sides.ahead(others), sides.behind(others)
    assert sides.gaps(run, ahead, behind, range(task.runs), far=1000) == list(enumerate(exact))
    near = sides.gaps(run, ahead, behind, range(task.runs), far=1)
    assert (
        {(gap, cost) for gap, cost in enumerate(exact) if cost <= min(exact) + 1} <= set(near) <= set(enumerate(exact))
    )
    assert sides.gaps(run, ahead, behind, range(task.runs), limit=min(exact) - 1) == []


@given(tasks(least=2, most=5))
@settings(deadline=None, max_examples=60)
def test_a_side_grown_alike_ends_alike_whatever_order_cost_it(task: Task) -> None:
    """Orders that end alike differ in cost alone from there on: the search relies on it to stop early."""
    sides = Sides(task)
    ends: dict[tuple[object, int], int] = {}
    for order in permutations(range(task.runs)):
        ahead = sides.ahead(order)
        for before, after, run in zip(ahead, ahead[1:], order, strict=False):
            more = after[0] - before[0]
            assert ends.setdefault((before[1], run), more) == more
