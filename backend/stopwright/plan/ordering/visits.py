"""Visits to stations in the order with the least minutes of changing machines over and of setting what that loses.

A* over which visits are done, for what each machine stands ready, and which visits each stop has stood through. Its
bound takes every machine by itself: its cheapest order of the visits that are left, whatever the others do (routes by
themselves, of one machine: 31.3 of the handbook of the trade; loading time scheduling, Bhatia, Khuller and Naor 2000),
and every stop as if nothing more were lost. Where that takes too long, visit after visit the most promising few go on.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cache
from heapq import heappop, heappush, nsmallest
from typing import TypeAlias

from stopwright.model.machines import Machine
from stopwright.plan.effort import Effort, Steps

MOST_STATES = 20_000
"""So many states are looked at before the most promising few go on."""
MOST_WAYS = 50_000
"""So many ways in which the visits of one machine can be done are looked at for its bound."""
BEAM = 30

Through: TypeAlias = tuple[int, ...]
"""The visits that used a stop since it was last lost, in the order of working; the first stretch begins with −1."""
State: TypeAlias = tuple[int, tuple[str, ...], tuple[Through, ...]]
"""Visits done, as bits; for which station each machine stands ready, "" for none yet; each stop's visits."""


@dataclass(frozen=True, slots=True)
class LostStop:
    """A stop that the order of the visits decides about: a changeover loses it, or several stations share it.

    `uses` the visits that need it. `minutes` of setting it for visits worked one after the other, nothing lost between
    them, from what stood at first (−1 comes first) or from nothing. `is_shared` says that no order of them is given.
    """

    machine: int
    lost_by: AbstractSet[tuple[str, str]]
    uses: AbstractSet[int]
    minutes: Callable[[Through], float]
    is_shared: bool = False


@dataclass(frozen=True, slots=True)
class VisitOrder:
    """Visits by their places in order; minutes of changing over and of setting lost stops; how few any order takes."""

    places: tuple[int, ...]
    changing: float
    setting: float
    least: float

    @property
    def minutes(self) -> float:
        """Of both together."""
        return round(self.changing + self.setting, 6)

    @property
    def proven(self) -> bool:
        """Whether no order takes less."""
        return self.least >= self.minutes


def order_of_visits(
    stations: Sequence[str],
    before: Sequence[int],
    machines: Sequence[Machine],
    stops: Sequence[LostStop] = (),
    ready: Mapping[str, str] | None = None,
    effort: Effort | None = None,
) -> VisitOrder:
    """The order of the visits that takes the fewest minutes; among equal ones the order given as far as it can.

    `stations` of the visits, `before` for each as bits those that must come before it. `ready` for which station a
    machine, by name, stands ready at first; else its first one is free. `effort` answers True when it is time to stop.

    Two visits to the spindle with one to the saw between, which only the second needs not wait for:

    >>> machine = Machine("combination", ("saw", "spindle"), 5)
    >>> found = order_of_visits(["saw", "spindle", "saw", "spindle"], [0, 1, 0, 2], [machine])
    >>> found.places, found.minutes, found.proven
    ((0, 2, 1, 3), 5.0, True)
    """
    return _Search(stations, before, machines, stops, ready or {}).found(effort or Steps(MOST_STATES))


def as_given(
    stations: Sequence[str],
    before: Sequence[int],
    machines: Sequence[Machine],
    stops: Sequence[LostStop] = (),
    ready: Mapping[str, str] | None = None,
) -> VisitOrder:
    """The visits in the order given, and what it takes."""
    return _Search(stations, before, machines, stops, ready or {}).priced(range(len(stations)))


class _Search:
    def __init__(
        self,
        stations: Sequence[str],
        before: Sequence[int],
        machines: Sequence[Machine],
        stops: Sequence[LostStop],
        ready: Mapping[str, str],
    ) -> None:
        self.stations, self.stops, self.machines = stations, stops, machines
        self.whole = (1 << len(stations)) - 1
        self.before = _closed(before)
        self.between = [machine.between for machine in machines]
        number = {station: place for place, machine in enumerate(machines) for station in machine.stations}
        self.machine_of = [number.get(station, -1) for station in stations]
        self.own = [
            sum(1 << visit for visit, one in enumerate(self.machine_of) if one == place)
            for place in range(len(machines))
        ]
        self.stops_of = [
            [place for place, stop in enumerate(stops) if visit in stop.uses] for visit in range(len(stations))
        ]
        self.plain = [
            _loses_no_more(machine, [one for one in stops if one.machine == m]) for m, machine in enumerate(machines)
        ]
        modes = tuple(ready.get(machine.name, "") for machine in machines)
        self.start: State = (0, modes, tuple((-1,) for _ in stops))
        self.ways = 0
        self._onward: Callable[[int, int, str], float] = cache(self._cheapest)
        self._chain: Callable[[int], float] = cache(self._longest_chain)
        self._settings: Callable[[int, Through], float] = cache(lambda stop, through: self.stops[stop].minutes(through))

    def found(self, effort: Effort) -> VisitOrder:
        """By A*; by a beam where the effort is spent, with the least that A* had shown by then."""
        heap: list[tuple[float, tuple[int, ...], float, State]] = [(self._bound(self.start), (), 0.0, self.start)]
        reached: dict[State, float] = {self.start: 0.0}
        least = 0.0
        while heap:
            estimate, order, minutes, state = heappop(heap)
            if minutes > reached[state]:
                continue
            least = max(least, estimate)
            if state[0] == self.whole:
                return self.priced(self._as_given(order), least)
            if effort():
                break
            for visit, cost, following in self._onwards(state):
                spent = round(minutes + cost, 6)
                if spent < reached.get(following, float("inf")):
                    reached[following] = spent
                    heappush(heap, (round(spent + self._bound(following), 6), (*order, visit), spent, following))
        return self.priced(self._as_given(self._beam()), least)

    def priced(self, order: Sequence[int], least: float = 0.0) -> VisitOrder:
        """What the visits take in this order."""
        state, changing, whole = self.start, 0.0, 0.0
        for visit in order:
            changing += self._change(state, visit)
            cost, state = self._after(state, visit)
            whole += cost
        changing, setting = round(changing, 6), round(whole - changing, 6)
        return VisitOrder(tuple(order), changing, setting, min(least, round(changing + setting, 6)))

    def _onwards(self, state: State) -> Iterator[tuple[int, float, State]]:
        """Every visit that may come next; only one, where another order of it cannot be better."""
        mask, modes, _ = state
        free = [visit for visit, needed in enumerate(self.before) if not (mask >> visit & 1 or needed & ~mask)]
        at_once = next((visit for visit in free if self._costs_nothing_now(visit, modes)), None)
        for visit in free if at_once is None else [at_once]:
            yield visit, *self._after(state, visit)

    def _costs_nothing_now(self, visit: int, modes: tuple[str, ...]) -> bool:
        """Whether its station stands ready, so that no order in which it comes later takes less.

        Where a change loses what the way over a third station would not, that is not sure.
        """
        machine = self.machine_of[visit]
        if machine < 0:
            return True
        is_ready = modes[machine] == self.stations[visit]
        return is_ready and self.plain[machine] and not any(self.stops[stop].is_shared for stop in self.stops_of[visit])

    def _change(self, state: State, visit: int) -> float:
        machine = self.machine_of[visit]
        return self._into(machine, state[1][machine], visit) if machine >= 0 else 0.0

    def _after(self, state: State, visit: int) -> tuple[float, State]:
        """What a visit costs now, changing over and setting, and how things stand after it."""
        mask, modes, throughs = state
        cost = self._change(state, visit)
        machine, station = self.machine_of[visit], self.stations[visit]
        if machine >= 0:
            change = (modes[machine], station)
            throughs = tuple(
                () if stop.machine == machine and change in stop.lost_by else through
                for stop, through in zip(self.stops, throughs, strict=True)
            )
            modes = (*modes[:machine], station, *modes[machine + 1 :])
        for stop in self.stops_of[visit]:
            through = (*throughs[stop], visit)
            cost += self._settings(stop, through) - self._settings(stop, throughs[stop])
            throughs = (*throughs[:stop], through, *throughs[stop + 1 :])
        return cost, (mask | 1 << visit, modes, throughs)

    def _bound(self, state: State) -> float:
        mask, modes, throughs = state
        total = sum(self._onward(machine, own & mask, modes[machine]) for machine, own in enumerate(self.own))
        for place, stop in enumerate(self.stops):
            left = tuple(sorted(visit for visit in stop.uses if not mask >> visit & 1))
            if left and not stop.is_shared:
                through = throughs[place]
                total += self._settings(place, through + left) - self._settings(place, through)
        return total

    def _cheapest(self, machine: int, done: int, mode: str) -> float:
        """Minutes of changing this machine alone over until its visits are done, in the cheapest order of them."""
        left = [visit for visit in range(len(self.stations)) if (self.own[machine] & ~done) >> visit & 1]
        if not left:
            return 0.0
        self.ways += 1
        if self.ways > MOST_WAYS:
            once_each = self._once_each(machine, frozenset(self.stations[visit] for visit in left), mode)
            return max(once_each, *(self._into(machine, mode, visit) + self._chain(visit) for visit in left))
        free = [visit for visit in left if not self.before[visit] & self.own[machine] & ~done]
        here = [visit for visit in free if self.stations[visit] == mode]
        best = float("inf")
        for visit in here[:1] or free:
            onward = self._onward(machine, done | 1 << visit, self.stations[visit])
            best = min(best, self._into(machine, mode, visit) + onward)
        return best

    def _longest_chain(self, visit: int) -> float:
        """Minutes of changing its machine over for the dearest chain of later visits, each after the one before."""
        machine, station = self.machine_of[visit], self.stations[visit]
        later = (
            one for one, before in enumerate(self.before) if before >> visit & 1 and self.machine_of[one] == machine
        )
        return max((self._into(machine, station, one) + self._chain(one) for one in later), default=0.0)

    def _into(self, machine: int, mode: str, visit: int) -> float:
        """Minutes of making a machine that stands ready for `mode` ready for this visit."""
        station = self.stations[visit]
        return self.between[machine][mode, station] if mode not in ("", station) else 0.0

    def _once_each(self, machine: int, stations: frozenset[str], mode: str) -> float:
        """Minutes to have been at each of these stations once: no fewer than the cheapest ways to each of them."""
        costs = self.between[machine]
        into = [
            min(costs[other, station] for other in self.machines[machine].stations if other != station)
            for station in stations
            if station != mode
        ]
        return sum(into) - (max(into, default=0.0) if mode == "" else 0.0)

    def _beam(self) -> tuple[int, ...]:
        layer: dict[State, tuple[float, tuple[int, ...]]] = {self.start: (0.0, ())}
        for _ in self.stations:
            following: dict[State, tuple[float, tuple[int, ...]]] = {}
            for state, (spent, order) in layer.items():
                for visit, cost, onward in self._onwards(state):
                    worth = (spent + cost, (*order, visit))
                    if onward not in following or worth < following[onward]:
                        following[onward] = worth
            layer = dict(
                nsmallest(BEAM, following.items(), key=lambda one: (one[1][0] + self._bound(one[0]), one[1][1]))
            )
        return min(layer.values())[1]

    def _as_given(self, order: Sequence[int]) -> tuple[int, ...]:
        """The same visits of each machine in the same order, all else as early as it was given."""
        needed = list(self.before)
        last: dict[int, int] = {}
        for visit in order:
            machine = self.machine_of[visit]
            if machine >= 0 and machine in last:
                needed[visit] |= 1 << last[machine]
            last[machine] = visit
        mask, placed = 0, []
        while mask != self.whole:
            visit = next(one for one, want in enumerate(needed) if not mask >> one & 1 and not want & ~mask)
            placed.append(visit)
            mask |= 1 << visit
        return tuple(placed)


def _loses_no_more(machine: Machine, stops: Sequence[LostStop]) -> bool:
    """Whether no change of a machine loses a stop that the way over any third station leaves alone."""
    return all(
        (one, over) in stop.lost_by or (over, other) in stop.lost_by
        for stop in stops
        for one, other in stop.lost_by
        for over in machine.stations
        if over not in (one, other)
    )


def _closed(before: Sequence[int]) -> list[int]:
    """What must come before each, over others too."""
    closed = list(before)
    changed = True
    while changed:
        changed = False
        for visit, mask in enumerate(closed):
            wider = mask
            for other, more in enumerate(closed):
                if mask >> other & 1:
                    wider |= more
            if wider != mask:
                closed[visit], changed = wider, True
    return closed
