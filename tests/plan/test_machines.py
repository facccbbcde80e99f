"""The order of visits over machines that are several stations: the worked example, brute force, and what is refused."""

from itertools import permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.errors import StopwrightError
from stopwright.plan.effort import Steps
from stopwright.plan.machines import order_visits

ROUTES = [["J", "P", "S", "O"], ["J", "P", "S", "P", "S"], ["P", "S", "M", "S"], ["J", "P", "S", "M", "O"]]
GROUPS = [{"J", "P", "O"}, {"S", "M"}]
MINUTES = {("J", "P"): 1, ("J", "O"): 4, ("P", "O"): 4, ("S", "M"): 5}


def serves(order: list[str], routes) -> bool:
    for route in routes:
        there = iter(order)
        if not all(station in there for station in route):
            return False
    return True


def cost(order: list[str], machines, minutes) -> float:
    modes: dict[int | str, str] = {}
    total = 0.0
    for station in order:
        machine = next((number for number, body in enumerate(machines) if station in body), station)
        before = modes.get(machine)
        if before not in (None, station):
            total += minutes.get((before, station), minutes.get((station, before), 0))
        modes[machine] = station
    return total


def test_the_worked_example_takes_fifteen_minutes():
    """Worked by hand, checked by brute force: 15 is least; the fewest visits alone would allow 19."""
    visits = order_visits(ROUTES, GROUPS, MINUTES)
    assert (visits.minutes, visits.least, visits.proven) == (15, 15, True)
    assert serves(visits.order, ROUTES) and cost(visits.order, GROUPS, MINUTES) == 15
    assert len(visits.order) == 7


def test_in_one_machine_every_change_counts():
    """One group, three minutes each: seven visits, six changes; proven, since seven visits are needed."""
    all_pairs = {(a, b): 3 for a in "JPOSM" for b in "JPOSM" if a < b}
    visits = order_visits(ROUTES, [set("JPOSM")], all_pairs)
    assert (visits.minutes, visits.proven, len(visits.order)) == (18, True, 7)


def test_pairs_that_are_left_out_cost_nothing_and_stations_of_no_machine_change_nothing():
    visits = order_visits([["a", "b", "a", "c", "b"]], [{"a", "b"}], {})
    assert (visits.order, visits.minutes, visits.proven) == (["a", "b", "a", "c", "b"], 0, True)


def test_both_ways_may_differ():
    minutes = {("saw", "spindle"): 5, ("spindle", "saw"): 6}
    assert order_visits([["saw", "spindle", "saw"]], [{"saw", "spindle"}], minutes).minutes == 11
    assert order_visits([["spindle", "saw", "spindle"]], [{"saw", "spindle"}], minutes).minutes == 11
    assert order_visits([["saw", "spindle"]], [{"saw", "spindle"}], minutes).minutes == 5


@pytest.mark.parametrize(
    ("machines", "minutes", "said"),
    [
        ([{"a", "b"}, {"b", "c"}], {}, "stands in two machines"),
        ([{"a", "b"}], {("a", "b"): -1}, "a change takes -1 minutes"),
        (
            [{"a", "b", "c"}],
            {("a", "b"): 5, ("a", "c"): 2, ("c", "b"): 2},
            "over c it would take 4 minutes instead of 5",
        ),
    ],
)
def test_what_no_machine_allows_is_refused_in_words(machines, minutes, said):
    with pytest.raises(StopwrightError, match=said):
        order_visits([["a", "b"]], machines, minutes)


def test_nothing_to_visit_takes_no_time():
    visits = order_visits([], [{"a", "b"}], {})
    assert (visits.order, visits.minutes, visits.least, visits.proven) == ([], 0, 0, True)


def test_stopped_early_it_gives_an_order_that_serves_and_a_bound_that_holds():
    routes = [[("abcde")[(i * 7 + j * 3) % 5] for j in range(6)] for i in range(6)]
    minutes = {(a, b): 3 + (ord(a) + ord(b)) % 3 for a in "abcde" for b in "abcde" if a < b}
    full = order_visits(routes, [set("abcde")], minutes)
    early = order_visits(routes, [set("abcde")], minutes, effort=Steps(3))
    assert full.proven and serves(early.order, routes)
    assert early.least <= full.minutes <= early.minutes == cost(early.order, [set("abcde")], minutes)


@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_no_order_of_up_to_eight_visits_takes_fewer_minutes(data):
    stations = "abcd"
    routes = data.draw(st.lists(st.lists(st.sampled_from(stations), min_size=1, max_size=3), min_size=1, max_size=3))
    split = data.draw(st.sampled_from([[set("abcd")], [set("ab"), set("cd")], [set("abc")], [set("ac"), set("bd")]]))
    minutes = {
        (a, b): data.draw(st.integers(4, 8)) for body in split for a, b in permutations(sorted(body), 2)
    }  # no detour is shorter: twice 4 is 8
    visits = order_visits(routes, split, minutes)
    assert serves(visits.order, routes)
    assert visits.minutes == pytest.approx(cost(visits.order, split, minutes)) and visits.proven
    used = sorted({one for route in routes for one in route})
    best = min(
        cost(list(order), split, minutes)
        for length in range(min(sum(map(len, routes)), 7) + 1)
        for order in product(used, repeat=length)
        if serves(list(order), routes)
    )
    assert visits.minutes <= best
    assert visits.least <= best
