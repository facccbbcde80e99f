"""The order of the runs: against every order there is, replayed by a reader that shares nothing with the planner."""

from collections.abc import Mapping, Sequence
from itertools import combinations, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import at_length

from stopwright.errors import StopwrightError
from stopwright.plan.effort import Steps
from stopwright.plan.ordering import Axis, Order, load_stops, order_runs

Need = dict[str, set[int]]


def least_settings(needs: Sequence[set[int]], axis: Axis, standing: frozenset[int]) -> int:
    """Fewest settings on one axis for a fixed order, by trying everything that could be left standing."""
    ways = {standing: 0}
    for need in needs:
        new: dict[frozenset[int], int] = {}
        for stood, made in ways.items():
            fits = [p for p in stood if p not in need and all(abs(p - q) >= axis.clearance for q in need)]
            for size in range(min(len(fits), axis.holds - len(need)) + 1):
                for kept in combinations(fits, size):
                    now = frozenset(need) | frozenset(kept)
                    new[now] = min(new.get(now, 10**9), made + len(need - stood))
        ways = new
    return min(ways.values())


def brute_force(
    needs: Sequence[Need], axes: Sequence[Axis], standing: Mapping[str, set[int]], before: Sequence[tuple[int, int]]
) -> float:
    """The least cost over all orders."""
    best = float("inf")
    for order in permutations(range(len(needs))):
        if all(order.index(a) < order.index(b) for a, b in before):
            cost = sum(
                axis.cost
                * least_settings(
                    [needs[run].get(axis.name, set()) for run in order], axis, frozenset(standing.get(axis.name, ()))
                )
                for axis in axes
            )
            best = min(best, cost)
    return best


def replay(found: Order, needs: Sequence[Need], axes: Sequence[Axis], standing: Mapping[str, set[int]]) -> None:
    """Follow the moves stop by stop and count; everything a run needs must stand right, and nothing in its way."""
    assert sorted(found.order) == list(range(len(needs)))
    total = 0
    cost = 0.0
    for axis in axes:
        now = set(standing.get(axis.name, ()))
        made = 0
        for at, run in enumerate(found.order):
            need = needs[run].get(axis.name, set())
            put, stays = found.moves[at].get(axis.name, (frozenset(), frozenset()))
            idle = found.idle[at].get(axis.name, frozenset())
            assert put | stays == need
            assert not put & now
            assert stays | idle <= now
            now = set(map(at_length, put | stays | idle))
            assert len(now) <= axis.holds
            if put:
                assert all(abs(p - q) >= axis.clearance for p, q in combinations(now, 2))
            made += len(put)
        assert found.settings_on[axis.name] == made
        total += made
        cost += made * axis.cost
    assert found.settings == total
    assert found.cost == pytest.approx(cost)
    assert found.least_possible <= found.settings
    assert found.least_cost <= found.cost + 1e-9
    assert found.proven == (found.least_cost == found.cost)


@st.composite
def jobs(draw: st.DrawFn, clearance: bool = False, most: int = 6) -> tuple[list[Need], list[Axis]]:
    axes = [
        Axis(
            name,
            holds=draw(st.integers(1, 4)),
            cost=draw(st.sampled_from([1.0, 0.75, 0.5, 3.0])),
            clearance=draw(st.integers(0, 3)) if clearance else 0,
        )
        for name in ("rip", "stop", "bit")[: draw(st.integers(1, 3))]
    ]
    needs = []
    for _ in range(draw(st.integers(0, most))):
        need: Need = {}
        for axis in axes:
            wanted = draw(st.sets(st.integers(0, 7), max_size=axis.holds))
            kept: set[int] = set()
            for position in sorted(wanted):
                if all(abs(position - other) >= axis.clearance for other in kept):
                    kept.add(position)
            need[axis.name] = kept
        needs.append(need)
    return needs, axes


def standing_on(draw: st.DataObject, axes: Sequence[Axis]) -> dict[str, set[int]]:
    return {
        axis.name: draw.draw(st.sets(st.integers(0, 7), max_size=axis.holds if not axis.clearance else 1))
        for axis in axes
    }


@settings(deadline=None, max_examples=150)
@given(jobs())
def test_the_order_costs_what_the_best_of_all_orders_costs(job: tuple[list[Need], list[Axis]]) -> None:
    needs, axes = job
    found = order_runs(needs, axes)
    replay(found, needs, axes, {})
    assert found.proven
    assert found.cost == pytest.approx(brute_force(needs, axes, {}, ()))


@settings(deadline=None, max_examples=80)
@given(jobs(clearance=True, most=5), st.data())
def test_clearances_precedences_and_what_stands_are_planned_exactly(
    job: tuple[list[Need], list[Axis]], data: st.DataObject
) -> None:
    needs, axes = job
    standing = standing_on(data, axes)
    pairs = [(a, b) for a in range(len(needs)) for b in range(a + 1, len(needs))]
    before = data.draw(st.lists(st.sampled_from(pairs), max_size=3)) if pairs else []
    found = order_runs(needs, axes, standing=standing, before=before)
    replay(found, needs, axes, standing)
    assert all(found.order.index(a) < found.order.index(b) for a, b in before)
    assert found.proven
    assert found.cost == pytest.approx(brute_force(needs, axes, standing, before))


@settings(deadline=None, max_examples=60)
@given(jobs(most=6), st.data())
def test_what_stands_alone_is_planned_exactly(job: tuple[list[Need], list[Axis]], data: st.DataObject) -> None:
    needs, axes = job
    standing = standing_on(data, axes)
    found = order_runs(needs, axes, standing=standing)
    replay(found, needs, axes, standing)
    assert found.cost == pytest.approx(brute_force(needs, axes, standing, ()))


@settings(deadline=None, max_examples=60)
@given(jobs(clearance=True, most=9), st.data(), st.integers(0, 60))
def test_the_same_runs_in_any_sequence_get_the_same_order(
    job: tuple[list[Need], list[Axis]], data: st.DataObject, steps: int
) -> None:
    needs, axes = job
    shuffled = data.draw(st.permutations(needs))
    one = order_runs(needs, axes, Steps(steps))
    two = order_runs(shuffled, axes, Steps(steps))
    replay(one, needs, axes, {})
    assert [needs[run] for run in one.order] == [shuffled[run] for run in two.order]
    assert (one.cost, one.least_possible, one.proven) == (two.cost, two.least_possible, two.proven)


@settings(deadline=None, max_examples=60)
@given(jobs(most=6), st.integers(0, 40))
def test_stopped_at_any_time_the_bound_is_below_the_best_and_the_answer_above(
    job: tuple[list[Need], list[Axis]], steps: int
) -> None:
    needs, axes = job
    found = order_runs(needs, axes, Steps(steps))
    best = brute_force(needs, axes, {}, ())
    replay(found, needs, axes, {})
    assert found.least_cost <= best + 1e-9 <= found.cost + 2e-9
    assert found.least_possible <= brute_force(needs, [Axis(a.name, a.holds) for a in axes], {}, ())


def test_no_runs_need_no_settings() -> None:
    found = order_runs([], [Axis("rip")])
    assert (found.order, found.settings, found.least_possible, found.proven) == ([], 0, 0, True)


def test_runs_that_need_nothing_are_in_the_order_all_the_same() -> None:
    assert sorted(order_runs([{}, {"rip": {84}}, {}], [Axis("rip")]).order) == [0, 1, 2]


def test_equal_runs_stand_side_by_side() -> None:
    needs = [{"rip": {84}}, {"rip": {60}}, {"rip": {84}}, {"rip": {60}}]
    assert order_runs(needs, [Axis("rip")]).order == [0, 2, 1, 3]


def test_long_comes_before_short() -> None:
    assert order_runs([{"stop": {300}}, {"stop": {720}}, {"stop": {450}}], [Axis("stop")]).order == [1, 2, 0]


def test_a_stop_that_stands_is_free() -> None:
    # 450 stands; 720 is set once: one setting where there would be two.
    found = order_runs([{"stop": {720}}, {"stop": {450}}], [Axis("stop")], standing={"stop": {450}})
    assert (found.order, found.settings, found.moves[0]) == ([1, 0], 1, {"stop": (frozenset(), frozenset({450}))})


def test_a_stop_no_run_needs_stays_until_its_place_is_wanted() -> None:
    found = order_runs([{"stop": {720}}], [Axis("stop", holds=2)], standing={"stop": {450}})
    assert (found.settings, found.idle[0]) == (1, {"stop": frozenset({450})})


def test_two_stops_too_close_to_stand_together_are_set_in_turn() -> None:
    # 450 and 480 are 30 apart, the stops are 60 long: a-b-a costs three settings whatever the axis holds.
    needs = [{"rip": {90}, "stop": {450}}, {"rip": {90}, "stop": {480}}]
    axes = [Axis("rip"), Axis("stop", holds=2, clearance=60)]
    moves = load_stops([0, 1, 0], needs, axes)
    assert [set(move["stop"][0]) for move in moves] == [{450}, {480}, {450}]
    assert [set(move["stop"][0]) for move in load_stops([0, 1, 0], needs, [axes[0], Axis("stop", 2)])] == [
        {450},
        {480},
        set(),
    ]


def test_a_dearer_axis_is_moved_less() -> None:
    # Four pairs in a ring of two widths and two lengths, one place each: five settings, the cheap axis moves thrice.
    needs = [{"rip": {w}, "stop": {n}} for w in (84, 60) for n in (720, 450)]
    found = order_runs(needs, [Axis("rip", cost=3.0), Axis("stop", cost=0.5)])
    assert (found.settings_on, found.cost, found.proven) == ({"rip": 2, "stop": 3}, 7.5, True)


@pytest.mark.parametrize(
    ("needs", "axes", "more", "what"),
    [
        ([{"stop": {1, 2, 3}}], [Axis("stop", 2)], {}, "needs 3 positions at once, the axis holds 2"),
        ([{"stop": {450, 480}}], [Axis("stop", 2, clearance=60)], {}, "closer than the 60"),
        ([{"fence": {450}}], [Axis("stop")], {}, "there is no axis 'fence'"),
        ([{"stop": {450}}], [Axis("stop")], {"standing": {"stop": {1, 2}}}, "more stands on the axis"),
        ([{}, {}], [Axis("stop")], {"before": [(0, 1), (1, 0)]}, "waits for another"),
        ([{}], [Axis("stop")], {"before": [(0, 7)]}, "there is no such run"),
        ([], [Axis("stop"), Axis("stop")], {}, "two axes have the same name"),
        ([{"stop": {"left"}}], [Axis("stop", 2, clearance=60)], {}, "is not a length"),
    ],
)
def test_what_cannot_be_made_is_said_with_the_place_and_the_next_step(
    needs: list[Need], axes: list[Axis], more: dict[str, object], what: str
) -> None:
    with pytest.raises(StopwrightError) as caught:
        order_runs(needs, axes, **more)  # type: ignore[arg-type]
    assert what in caught.value.what
    assert caught.value.where or caught.value.next_step
    assert caught.value.next_step


@pytest.mark.parametrize("wrong", [{"holds": 0}, {"cost": 0.0}, {"clearance": -1}])
def test_an_axis_that_cannot_be_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(StopwrightError):
        Axis("stop", **wrong)  # type: ignore[arg-type]


def test_progress_tells_cost_and_bound_as_they_close_in() -> None:
    told: list[tuple[float, float]] = []
    needs = [{"rip": {w}, "stop": {n}} for w in range(4) for n in range(4)]
    found = order_runs(needs, [Axis("rip"), Axis("stop")], progress=lambda cost, least: told.append((cost, least)))
    assert told[-1] == (found.cost, found.least_cost)
    assert all(least <= cost for cost, least in told)
