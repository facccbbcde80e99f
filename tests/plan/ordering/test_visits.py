"""The order of visits over machines with what they lose: brute force, the worked example, the detour, heights lost."""

from dataclasses import dataclass
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.model.machines import Change, Machine
from stopwright.plan.effort import Steps
from stopwright.plan.machines import order_visits
from stopwright.plan.ordering.visits import LostStop, as_given, order_of_visits


@dataclass(frozen=True)
class OneStop:
    """A stop that holds one position: by visit the places it takes one after the other; a setting takes `minutes`."""

    machine: int
    loses: frozenset
    places: dict
    minutes: float
    shared: bool = False
    """Its visits stand in no order of their own."""

    def as_lost(self) -> LostStop:
        return LostStop(self.machine, self.loses, frozenset(self.places), self._settings, self.shared)

    def _settings(self, through) -> float:
        return self.minutes * self.count([place for visit in through if visit >= 0 for place in self.places[visit]])

    @staticmethod
    def count(places) -> int:
        return sum(one != before for one, before in zip(places, [None, *places], strict=False))


def told(order, stations, machines, stops) -> tuple[float, float]:
    """Minutes of changing over and of setting, step by step, by nothing of the engine."""
    modes: dict[int, str] = {}
    stand: dict[int, int | str] = {}
    changing = setting = 0.0
    for visit in order:
        station = stations[visit]
        for number, machine in enumerate(machines):
            if station in machine.stations:
                mode = modes.get(number, station)
                if mode != station:
                    changing += machine.between[mode, station]
                    for at, stop in enumerate(stops):
                        if stop.machine == number and (mode, station) in stop.loses:
                            stand.pop(at, None)
                modes[number] = station
        for at, stop in enumerate(stops):
            for place in stop.places.get(visit, ()):
                setting += stop.minutes * (stand.get(at) != place)
                stand[at] = place
    return changing, setting


def may_be(order, before) -> bool:
    return all(not before[visit] & ~sum(1 << one for one in order[:at]) for at, visit in enumerate(order))


def best_of_all(stations, before, machines, stops) -> float:
    orders = (order for order in permutations(range(len(stations))) if may_be(order, before))
    return min(sum(told(order, stations, machines, stops)) for order in orders)


def checked(stations, before, machines, stops=(), effort=None):
    found = order_of_visits(stations, before, machines, [one.as_lost() for one in stops], effort=effort)
    assert sorted(found.places) == list(range(len(stations))) and may_be(found.places, before)
    assert (found.changing, found.setting) == pytest.approx(told(found.places, stations, machines, stops))
    assert found.least <= found.minutes
    return found


def chains(*routes: str) -> tuple[list[str], list[int]]:
    """Visits of several kinds of parts, each route in its own order, route after route."""
    stations: list[str] = []
    before: list[int] = []
    for route in routes:
        for at, station in enumerate(route):
            before.append(1 << len(stations) - 1 if at else 0)
            stations.append(station)
    return stations, before


GROUP_B = Machine("planer side", ("J", "P", "O"), 4, (Change("J", "P", 1), Change("P", "J", 1)))
GROUP_A = Machine("saw side", ("S", "M"), 5)


def test_the_worked_example_takes_fifteen_minutes_and_that_is_proven():
    """Routes J P S O, J P S P S, P S M S, J P S M O: 1 + 4 and 5 + 5 (handbook of the trade, calculated)."""
    found = checked(*chains("JPSO", "JPSPS", "PSMS", "JPSMO"), [GROUP_A, GROUP_B])
    assert (found.minutes, found.proven) == (15, True)
    as_it_comes = as_given(*chains("JPSO", "JPSPS", "PSMS", "JPSMO"), [GROUP_A, GROUP_B])
    assert as_it_comes.changing == 31  # kind after kind


def test_no_detour_over_the_other_side_spares_making_the_spindle_ready():
    """The machine keeps its mode while the other works: S P M takes the five minutes of S M."""
    sides = [Machine("saw side", ("S", "M"), 5), Machine("planer side", ("J", "P"), 1)]
    assert checked(*chains("SPM"), sides).minutes == 5


def test_a_lost_height_is_set_again_unless_the_jointing_comes_first():
    """Heights 40, 24, 22, then a panel of 22: three settings; with jointing between, the height lost, four (31.4)."""
    machine = Machine("planer", ("J", "P"), 0.1, (Change("P", "J", 0.1, ("thickness",)),))
    height = OneStop(0, frozenset({("P", "J")}), {0: (40, 24, 22), 2: (22,)}, 1.0)
    joint_between = checked(["P", "J", "P"], [0, 1, 3], [machine], [height])
    assert (joint_between.setting, joint_between.changing) == (4, pytest.approx(0.2))
    free = checked(["P", "J", "P"], [0, 0, 1], [machine], [height])
    assert (free.setting, free.changing, free.places) == (3, pytest.approx(0.1), (0, 2, 1))
    kept = OneStop(0, frozenset(), {0: (40, 24, 22), 2: (22,)}, 1.0)
    assert checked(["P", "J", "P"], [0, 1, 3], [machine], [kept]).setting == 3


def test_a_dear_setting_outweighs_a_changeover():
    """Back to the spindle with its cutter lost takes five minutes more than going there once after all sawing."""
    machine = Machine("saw side", ("S", "M"), 1)
    cutter = OneStop(0, frozenset({("M", "S")}), {0: ("cove",), 3: ("cove",)}, 5.0)
    found = checked(["M", "S", "S", "M"], [0, 0, 0, 5], [machine], [cutter])
    assert (found.minutes, found.proven) == (6, True)


VISITS = st.lists(st.sampled_from("abcd"), min_size=1, max_size=7)
PAIRS = [(a, b) for a in "abcd" for b in "abcd" if a != b]


@st.composite
def shops(draw):
    stations = draw(VISITS)
    count = len(stations)
    pairs = [(a, b) for b in range(count) for a in range(b)]
    links = draw(st.sets(st.sampled_from(pairs), max_size=6)) if pairs else set()
    links |= {(a, b) for a, b in pairs if stations[a] == stations[b]}
    before = [sum(1 << a for a, other in links if other == b) for b in range(count)]
    split = draw(st.sampled_from([("abcd",), ("ab", "cd"), ("abc",), ("ac", "bd")]))
    machines = []
    for number, body in enumerate(split):
        changes = [Change(a, b, draw(st.integers(3, 6))) for a in body for b in body if a != b]
        machines.append(Machine(f"machine {number}", tuple(body), 6, tuple(changes)))
    stops = []
    for _ in range(draw(st.integers(0, 2))):
        number = draw(st.integers(0, len(split) - 1))
        inside = [(a, b) for a, b in PAIRS if a in split[number] and b in split[number]]
        shared = draw(st.booleans())
        owner = draw(st.sampled_from(split[number]))
        uses = [v for v in range(count) if (stations[v] in split[number] if shared else stations[v] == owner)]
        places = {visit: tuple(draw(st.lists(st.integers(1, 3), min_size=1, max_size=2))) for visit in uses}
        loses = frozenset(draw(st.sets(st.sampled_from(inside), max_size=4)))
        stops.append(OneStop(number, loses, places, draw(st.integers(1, 4)), shared))
    return stations, before, machines, stops


@settings(max_examples=120, deadline=None)
@given(shop=shops())
def test_no_order_of_up_to_seven_visits_takes_fewer_minutes(shop):
    best = best_of_all(*shop)
    stations, before, machines, stops = shop
    found = checked(stations, before, machines, stops)
    assert (found.minutes, found.proven) == (pytest.approx(best), True)
    early = checked(stations, before, machines, stops, effort=Steps(1))
    assert early.least <= best + 1e-6 and early.minutes >= best - 1e-6


@pytest.mark.parametrize("seed", range(4))
def test_no_order_of_nine_visits_takes_fewer_minutes(seed):
    """Three routes of three visits: 1680 orders, each priced."""
    draw = Draw(seed)
    stations, before = chains(*("".join("abcd"[draw(4)] for _ in range(3)) for _ in range(3)))
    changes = tuple(Change(a, b, 3 + draw(3)) for a, b in PAIRS)
    machine = Machine("all in one", tuple("abcd"), 3, changes)
    loses = frozenset(pair for pair in PAIRS if draw(3) == 0)
    stops = [
        OneStop(0, loses, {v: (1 + draw(2),) for v in range(9) if stations[v] == name}, 2.0, shared=True)
        for name in "ab"
    ]
    found = checked(stations, before, [machine], stops)
    assert (found.minutes, found.proven) == (pytest.approx(best_of_all(stations, before, [machine], stops)), True)


class Draw:
    """Numbers below a bound, the same for the same seed on every machine (Lehmer's multiplier)."""

    def __init__(self, seed: int) -> None:
        self.now = seed * 7919 + 1

    def __call__(self, below: int) -> int:
        self.now = self.now * 48271 % 2147483647
        return self.now % below


@pytest.mark.parametrize("seed", range(6))
def test_six_routes_of_six_steps_in_two_groups_are_proven_within_a_number_of_states(seed):
    """As routes by themselves: every visit of a machine serves all parts that wait for it."""
    draw = Draw(seed)
    routes = [_route(draw) for _ in range(6)]
    minutes = {("J", "P"): 1, ("J", "O"): 4, ("P", "O"): 4, ("S", "M"): 5}
    found = order_visits(routes, [{"J", "P", "O"}, {"S", "M"}], minutes, effort=Steps(20_000))
    assert found.proven
    stations, before = chains(*map("".join, routes))
    again = checked(stations, before, [GROUP_A, GROUP_B], effort=Steps(20_000))
    assert (again.minutes, again.proven) == (pytest.approx(found.minutes), True)


def _route(draw) -> list[str]:
    route: list[str] = []
    while len(route) < 6:
        station = "JPOSM"[draw(5)]
        if not route or route[-1] != station:
            route.append(station)
    return route


@pytest.mark.parametrize("seed", range(3))
def test_a_bound_holds_where_the_search_gives_up(seed):
    draw = Draw(seed)
    stations, before = chains(*("".join(_route(draw)) for _ in range(4)))
    one = Machine("all in one", tuple("JPOSM"), 4)
    full, early = checked(stations, before, [one]), checked(stations, before, [one], effort=Steps(5))
    assert full.proven and early.least <= full.minutes <= early.minutes
