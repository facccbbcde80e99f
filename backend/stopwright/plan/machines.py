"""In which order stations are visited where several share one body: the fewest minutes of changing it over.

Work comes as routes: stations in the order in which a kind of part meets them. All parts of a route may wait, so an
order of visits serves every route that is a subsequence of it (shortest common supersequence, weighted by changeovers;
the problem is loading time scheduling, Bhatia, Khuller and Naor 2000). A machine keeps its mode while another works.
"""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from heapq import heappop, heappush, nsmallest
from typing import TypeAlias

from stopwright.errors import StopwrightError
from stopwright.model.machines import Minutes, cost_of_changes
from stopwright.plan.effort import Effort, Steps

PATIENCE = 150_000
"""States looked at while a person waits: a second or two."""
BEAM = 40
"""States kept a visit while a first order is looked for."""

Done: TypeAlias = tuple[int, ...]
"""How far each route is worked."""
Modes: TypeAlias = tuple[int, ...]
"""Which station each machine is made ready for, as a number; −1 before its first one."""


@dataclass(frozen=True, slots=True)
class Visits:
    """Stations in the order of the visits, the minutes of their changeovers, and how few any order takes at least."""

    order: list[str]
    minutes: float
    least: float
    proven: bool


def order_visits(
    routes: Sequence[Sequence[str]],
    machines: Sequence[Collection[str]],
    minutes: Minutes,
    effort: Effort | None = None,
) -> Visits:
    """The order of visits that serves all routes with the fewest minutes of changeovers, then with the fewest visits.

    `machines` are the stations of each body; a station in none is a machine of its own. `minutes` from one station to
    another of its machine; a pair that is left out costs nothing, both ways cost the same unless both are given. The
    first mode of a machine is free. `effort` answers True when it is time to stop; None is fit for a person waiting.

    Raises StopwrightError for a station in two machines, a negative change, or one that takes longer
    than a detour over a third station: nobody makes a machine ready for what is not worked.

    >>> order_visits([["J", "P", "S", "O"], ["J", "P", "S", "P", "S"], ["P", "S", "M", "S"], ["J", "P", "S", "M", "O"]],
    ...     [{"J", "P", "O"}, {"S", "M"}], {("J", "P"): 1, ("J", "O"): 4, ("P", "O"): 4, ("S", "M"): 5}).minutes
    15.0
    """
    return _Search(routes, machines, minutes).found(effort or Steps(PATIENCE))


class _Search:
    """A* over how far every route is and how every machine stands, by the bound of all pairs of routes."""

    def __init__(self, routes: Sequence[Sequence[str]], machines: Sequence[Collection[str]], minutes: Minutes) -> None:
        bodies = [frozenset(machine) for machine in machines]
        for number, body in enumerate(bodies):
            for other in bodies[number + 1 :]:
                for twice in sorted(body & other):
                    raise StopwrightError("stands in two machines", twice, "put each station into one")
        named = [station for route in routes for station in route]
        alone = sorted(set(named) - set().union(*bodies))
        bodies += [frozenset({station}) for station in alone]
        self.stations = sorted(set(named) | set().union(*bodies))
        number_of = {station: number for number, station in enumerate(self.stations)}
        self.machine_of = [next(m for m, body in enumerate(bodies) if one in body) for one in self.stations]
        self.cost: dict[tuple[int, int], float] = {}
        for body in bodies:
            for (a, b), cost in cost_of_changes(body, minutes).items():
                self.cost[number_of[a], number_of[b]] = cost
        once = {tuple(number_of[one] for one in route) for route in routes}
        kept = [one for one in once if not any(one != other and _is_inside(one, other) for other in once)]
        self.routes = sorted(kept, key=lambda route: (-len(route), route))
        self.machines = range(len(bodies))
        self.own = [
            [tuple(s for s in route if self.machine_of[s] == m) for route in self.routes] for m in self.machines
        ]
        self.before = [
            [_counts_before(route, [self.machine_of[s] == m for s in route]) for route in self.routes]
            for m in self.machines
        ]
        self._pair: Callable[[int, int, int, int, int, int], float] = cache(self._of_pair)
        self._of_pairs: Callable[[int, tuple[int, ...], int], float] = cache(self._most_of_pairs)

    def found(self, effort: Effort) -> Visits:
        start: tuple[Done, Modes] = ((0,) * len(self.routes), (-1,) * len(self.machines))
        end = tuple(map(len, self.routes))
        best = self._beam(start, end)
        open_: list[tuple[float, int, int, tuple[Done, Modes]]] = [(self._bound(start), 0, 0, start)]
        reached: dict[tuple[Done, Modes], tuple[float, int]] = {start: (0.0, 0)}
        came: dict[tuple[Done, Modes], tuple[tuple[Done, Modes], int]] = {}
        least, tie = self._bound(start), 0
        while open_:
            estimate, visits, _, state = heappop(open_)
            spent, steps = reached[state]
            if (estimate, visits) > (spent + self._bound(state), steps):
                continue
            least = max(least, round(estimate, 6))
            if state[0] == end:
                order = self._way_to(state, came)
                return Visits([self.stations[one] for one in order], round(spent, 6), round(spent, 6), True)
            if (round(estimate, 6), visits) > best[:2]:
                break
            if effort():
                return self._as_found(best, least)
            for station, cost, following in self._onwards(state):
                worth = (round(spent + cost, 6), steps + 1)
                if worth < reached.get(following, (float("inf"), 0)):
                    reached[following] = worth
                    came[following] = (state, station)
                    tie += 1
                    heappush(open_, (worth[0] + self._bound(following), worth[1], tie, following))
        return self._as_found(best, best[0])

    def _as_found(self, best: tuple[float, int, list[int]], least: float) -> Visits:
        minutes, _, order = best
        least = min(least, minutes)
        return Visits([self.stations[one] for one in order], minutes, least, least == minutes)

    def _onwards(self, state: tuple[Done, Modes]) -> Iterator[tuple[int, float, tuple[Done, Modes]]]:
        """Every station that some route wants next, what it costs, and the state when all that want it went on."""
        done, modes = state
        nexts = [route[at] if at < len(route) else -1 for route, at in zip(self.routes, done, strict=True)]
        for station in sorted(set(nexts) - {-1}):
            machine = self.machine_of[station]
            mode = modes[machine]
            cost = 0.0 if mode in (-1, station) else self.cost[mode, station]
            further = tuple(at + (want == station) for at, want in zip(done, nexts, strict=True))
            yield station, cost, (further, (*modes[:machine], station, *modes[machine + 1 :]))

    def _bound(self, state: tuple[Done, Modes]) -> float:
        """Minutes that are still needed at least: of each machine the most that any two routes want of it."""
        done, modes = state
        total = 0.0
        for machine in self.machines:
            own = [self.before[machine][route][at] for route, at in enumerate(done)]
            total += self._of_pairs(machine, tuple(own), modes[machine])
        return total

    def _most_of_pairs(self, machine: int, own: tuple[int, ...], mode: int) -> float:
        lines = self.own[machine]
        open_ = [route for route, at in enumerate(own) if at < len(lines[route])]
        if not open_:
            return 0.0
        if len(open_) == 1:
            return self._pair(machine, open_[0], open_[0], own[open_[0]], own[open_[0]], mode)
        return max(
            self._pair(machine, one, two, own[one], own[two], mode)
            for place, one in enumerate(open_)
            for two in open_[place + 1 :]
        )

    def _of_pair(self, machine: int, one: int, two: int, at: int, of: int, mode: int) -> float:
        """What this machine costs for two routes alone, from here to their ends: their cheapest supersequence."""
        first, second = self.own[machine][one], self.own[machine][two]
        wants = {line[place] for line, place in ((first, at), (second, of)) if place < len(line)}
        best = float("inf")
        for station in wants:
            further = at + (at < len(first) and first[at] == station), of + (of < len(second) and second[of] == station)
            cost = 0.0 if mode in (-1, station) else self.cost[mode, station]
            best = min(best, cost + self._pair(machine, one, two, *further, station))
        return best if wants else 0.0

    def _beam(self, start: tuple[Done, Modes], end: Done) -> tuple[float, int, list[int]]:
        """An order to begin with: visit after visit the most promising few states go on."""
        layer: dict[tuple[Done, Modes], tuple[float, list[int]]] = {start: (0.0, [])}
        best: tuple[float, int, list[int]] | None = None
        while layer:
            following: dict[tuple[Done, Modes], tuple[float, list[int]]] = {}
            for state, (spent, order) in layer.items():
                if state[0] == end:
                    found = (round(spent, 6), len(order), order)
                    best = min(best, found) if best else found
                    continue
                for station, cost, onward in self._onwards(state):
                    worth = (spent + cost, [*order, station])
                    if onward not in following or worth < following[onward]:
                        following[onward] = worth
            kept = nsmallest(
                BEAM,
                following.items(),
                key=lambda one: (one[1][0] + self._bound(one[0]), -sum(one[0][0]), one[1][1]),
            )
            layer = dict(kept)
        assert best is not None  # every layer works some route further
        return best

    @staticmethod
    def _way_to(
        state: tuple[Done, Modes], came: Mapping[tuple[Done, Modes], tuple[tuple[Done, Modes], int]]
    ) -> list[int]:
        order = []
        while state in came:
            state, station = came[state]
            order.append(station)
        return order[::-1]


def _is_inside(one: Sequence[int], other: Sequence[int]) -> bool:
    """Whether a route is a subsequence of another: it is served on the way."""
    there = iter(other)
    return all(station in there for station in one)


def _counts_before(route: Sequence[int], is_own: Sequence[bool]) -> list[int]:
    """For each place of a route how many of its stations before it are marked."""
    counts = [0]
    for one in is_own[: len(route)]:
        counts.append(counts[-1] + one)
    return counts
