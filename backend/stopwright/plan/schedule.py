"""One scheduler for all operations: setups put in order stage by stage, each stop set as seldom as that allows."""

from collections import defaultdict
from collections.abc import Hashable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from typing import TypeAlias

from stopwright.model.stations import Shop, Station
from stopwright.plan.effort import Effort
from stopwright.plan.operations.operation import Setup, Setups, Stage, together
from stopwright.plan.ordering import Order, order_runs
from stopwright.plan.run_sheet import AllStanding, Run
from stopwright.plan.stations.moves import NOTHING, places_of, settle_moves, standing_at
from stopwright.plan.stations.ordering_axis import ordering_axis

MOST_LINKED = 60
"""So many setups of several stages are put into one order at most."""

Places: TypeAlias = Mapping[str, AbstractSet[Hashable]]


@dataclass(frozen=True, slots=True)
class Visit:
    """What one station does in one stage: its runs in working order, not numbered.

    `least` settings for the same setups however they are ordered and whatever stood before the job, `proven` if the
    order found makes no more. Where several stages got one order, `first_of_order` is the first of them: the bound of
    all stands with that one, and is 0 with the others.
    """

    stage: Stage
    station: str
    runs: tuple[Run, ...]
    first_of_order: Stage
    least: int = 0
    proven: bool = True

    @property
    def group(self) -> tuple[str, Stage]:
        """What is the same for the visits that got one order."""
        return self.station, self.first_of_order


def schedule(asked: Sequence[Setups], shop: Shop, effort: Effort | None, standing: AllStanding) -> list[Visit]:
    """The visits to the stations, stage by stage, each in the order with the least minutes of setting found.

    What stands after a visit is used by the next one to that station. Setups without a stop come first in their visit.
    """
    by_visit: dict[tuple[str, Stage], list[Setups]] = defaultdict(list)
    for setups in asked:
        for visit, here in _shared_out(setups).items():
            by_visit[visit].append(here)
    visits = []
    for station in shop.stations:
        stages = [(stage, together(*several)) for (name, stage), several in by_visit.items() if name == station.name]
        wanted: dict[str, set[Hashable]] = defaultdict(set)
        for need in (_needs(setup, station) for _, setups in stages for setup in setups.setups):
            for axis, places in need.items():
                wanted[axis] |= places
        at_first: Places = standing_at(standing, station, station.axes, wanted)
        stands: Places = at_first
        for linked in _linked(sorted(stages, key=lambda one: one[0]), station):
            visiting = _Visiting(station, linked, effort)
            found, stands = visiting.planned(stands, at_first)
            visits += found
            at_first = visiting.may_still_stand(at_first)
    return sorted(visits, key=lambda visit: visit.stage)


def _linked(stages: Sequence[tuple[Stage, Setups]], station: Station) -> list[list[tuple[Stage, Setups]]]:
    """The stages of a station, those together that follow each other and share a place of a stop: one order for both.

    What stands at the end of the earlier one then serves the later one. Beyond some setups they go one by one.
    """
    groups: list[list[tuple[Stage, Setups]]] = []
    places: list[set[tuple[str, Hashable]]] = []
    for stage, setups in stages:
        here = {(axis, one) for setup in setups.setups for axis, some in _needs(setup, station).items() for one in some}
        size = len(setups.setups) + sum(len(one.setups) for _, one in groups[-1]) if groups else 0
        if groups and places[-1] & here and size <= MOST_LINKED:
            groups[-1].append((stage, setups))
            places[-1] |= here
        else:
            groups.append([(stage, setups)])
            places.append(here)
    return groups


def _needs(setup: Setup, station: Station) -> dict[str, set[Hashable]]:
    return places_of([stop for run in setup.runs for stop in run.stops], station)


def runs_of(asked: Setups, shop: Shop) -> tuple[Run, ...]:
    """The runs of one operation by itself, in order, every stop told "set" or "stands"."""
    visits = schedule([asked], shop, None, NOTHING)
    return tuple(settle_moves([run for visit in visits for run in visit.runs], shop, NOTHING))


def _shared_out(setups: Setups) -> dict[tuple[str, Stage], Setups]:
    """The setups of an operation by station and stage; what must come before what is kept within each."""
    places: dict[tuple[str, Stage], list[int]] = defaultdict(list)
    for place, setup in enumerate(setups.setups):
        places[setup.runs[0].station, setup.stage].append(place)
    shared = {}
    for key, here in places.items():
        new = {old: place for place, old in enumerate(here)}
        shared[key] = replace(
            setups,
            setups=tuple(setups.setups[place] for place in here),
            before=frozenset((new[a], new[b]) for a, b in setups.before if a in new and b in new),
            rather=frozenset((new[a], new[b]) for a, b in setups.rather if a in new and b in new),
        )
    return shared


class _Visiting:
    """Visits of one station while their order is looked for."""

    def __init__(self, station: Station, stages: Sequence[tuple[Stage, Setups]], effort: Effort | None) -> None:
        self.whole = together(*(setups for _, setups in stages))
        self.stages = [stage for stage, setups in stages for _ in setups.setups]
        self.station, self.effort = station, effort
        self.needs = [_needs(setup, station) for setup in self.whole.setups]
        used = {axis for need in self.needs for axis in need}
        self.axes = [ordering_axis(axis) for axis in station.axes if axis.name in used]
        numbers = range(len(self.stages))
        later = {(a, b) for a in numbers for b in numbers if self.stages[a] < self.stages[b]}
        self.before = self.whole.before | (later if len(stages) > 1 else set())

    def planned(self, stands: Places, at_first: Places) -> tuple[list[Visit], Places]:
        """The visits, and what stands after them; `stands` is what stands before, `at_first` before the whole job."""
        if not self.axes:
            return self._visits(range(len(self.stages)), 0, True), stands
        found = self._ordered(stands)
        as_at_first = self._of(stands) == self._of(at_first)
        least = (found if as_at_first else self._ordered(at_first)).least_possible
        order = self._as_liked(found, stands)
        proven = found.proven and found.settings == found.least_possible
        last = order[-1]
        idle = found.idle[-1] if last == found.order[-1] else {}
        after = {name: frozenset(idle.get(name, ())) | self.needs[last].get(name, set()) for name in self._names()}
        return self._visits(order, min(least, found.settings), proven), {**stands, **after}

    def may_still_stand(self, at_first: Places) -> Places:
        """What stood before the whole job and may stand after these visits: not at an axis of one place they used."""
        moved = {axis.name for axis in self.axes if axis.holds == 1}
        return {name: places for name, places in at_first.items() if name not in moved}

    def _ordered(self, stands: Places) -> Order:
        before = sorted(self.before)
        return order_runs(self.needs, self.axes, self.effort, standing=self._of(stands), before=before)

    def _as_liked(self, found: Order, stands: Places) -> list[int]:
        """An order of the same cost that people like better: as the setups say, from the wide end."""
        if self.whole.rather:
            before = sorted(self.before | self.whole.rather)
            orderly = order_runs(self.needs, self.axes, self.effort, standing=self._of(stands), before=before)
            return orderly.order if orderly.cost <= found.cost else found.order
        if self.whole.wide_first and not self.before and not any(self._of(stands).values()):
            return self._from_the_wide_end(found.order)
        return found.order

    def _from_the_wide_end(self, order: Sequence[int]) -> list[int]:
        """The same settings with the first setups as early as can be.

        Setups that share no stop, not even through others, are worked group after group in any order, and a group
        read backwards costs the same where nothing stands.
        """
        groups: list[list[int]] = []
        for place in order:
            near = [group for group in groups if any(self._share(place, other) for other in group)]
            groups = [group for group in groups if group not in near]
            joined = {other for group in near for other in group} | {place}
            groups.append([other for other in order if other in joined])
        return [place for group in sorted(min(group, group[::-1]) for group in groups) for place in group]

    def _share(self, one: int, two: int) -> bool:
        return any(self.needs[one][axis] & self.needs[two].get(axis, set()) for axis in self.needs[one])

    def _visits(self, order: Sequence[int], least: int, proven: bool) -> list[Visit]:
        """Stage by stage; the bound is that of all of them and stands with the first."""
        in_order = sorted(order, key=lambda place: (self.stages[place], bool(self.needs[place])))
        visits: list[Visit] = []
        for stage in dict.fromkeys(self.stages[place] for place in in_order):
            here = (place for place in in_order if self.stages[place] is stage)
            runs = tuple(run for place in here for run in self.whole.setups[place].runs)
            first = visits[0].stage if visits else stage
            visits.append(Visit(stage, self.station.name, runs, first, 0 if visits else least, proven))
        return visits

    def _names(self) -> list[str]:
        return [axis.name for axis in self.axes]

    def _of(self, stands: Places) -> Places:
        return {name: stands[name] for name in self._names() if name in stands}
