"""The visits of a plan in the order with the least minutes of changing machines over, and what every change does."""

from collections import Counter
from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeAlias

from stopwright.model.machines import Machine
from stopwright.model.stations import Shop
from stopwright.plan.ordering.visits import LostStop, Through, VisitOrder, as_given, order_of_visits
from stopwright.plan.run_sheet import AllStanding, MachineChanges, Run
from stopwright.plan.schedule import Visit
from stopwright.plan.stations.making_ready import changeover
from stopwright.plan.stations.moves import NOTHING, ShopStop, stops_of

Ready: TypeAlias = Mapping[str, str]
"""For which of its stations each machine stands ready, by their names; what is not known is left out."""


def in_order_of_changeovers(
    visits: Sequence[Visit], followed: Sequence[Run], shop: Shop, standing: AllStanding, ready: Ready
) -> tuple[list[Visit], "Found"]:
    """The visits in the order with the least minutes that takes no lot before it is given, and what is known of it.

    Minutes are those of changing machines over and of setting again what that loses; carrying is the same in any
    order. Visits of one station keep their order. Where nothing is saved, the order of the stages stands.
    """
    machines = [machine for machine in shop.machines if _is_shared(machine, visits, ready)]
    task = _Task(
        visits, _before(visits, followed), machines, tuple(_lost_stops(visits, machines, shop, standing)), ready
    )
    if not machines:
        return list(visits), Found(task, task.usual)
    best = order_of_visits(task.stations, task.before, machines, task.stops, ready)
    usual = replace(task.usual, least=min(best.least, task.usual.minutes))
    found = Found(task, best if best.minutes < usual.minutes else usual)
    return [visits[place] for place in found.order.places], found


@dataclass(frozen=True)
class _Task:
    """What is to be put in order: the visits stage by stage, and what the order decides about."""

    visits: Sequence[Visit]
    before: Sequence[int]
    machines: Sequence[Machine]
    stops: tuple[LostStop, ...]
    ready: Ready

    @property
    def stations(self) -> list[str]:
        """Of the visits."""
        return [visit.station for visit in self.visits]

    @cached_property
    def usual(self) -> VisitOrder:
        """The order of the stages."""
        return as_given(self.stations, self.before, self.machines, self.stops, self.ready)


@dataclass(frozen=True)
class Found:
    """The order of the visits that was found for a task."""

    task: _Task
    order: VisitOrder

    def least_of(self, machine: Machine) -> float:
        """Minutes that changing this machine over takes at least for these visits, whatever the others do."""
        return order_of_visits(self.task.stations, self.task.before, [machine], (), self.task.ready).least

    def drawn_forward(self, machine: Machine) -> Iterator[tuple[Visit, Visit]]:
        """Each visit of a machine that comes before one of it that is of an earlier stage, and the first of these."""
        own = [place for place in self.order.places if self.task.visits[place].station in machine.stations]
        for at, place in enumerate(own):
            later = [other for other in own[at + 1 :] if other < place]
            if later:
                yield self.task.visits[place], self.task.visits[later[0]]

    def usual_changes(self, machine: Machine) -> tuple[Counter[str], float]:
        """How often a machine is made ready for each of its stations in the order of the stages, and the minutes."""
        mode, times, minutes = self.task.ready.get(machine.name, ""), Counter[str](), 0.0
        for station in self.task.stations:
            if station in machine.stations:
                if mode not in ("", station):
                    times[station] += 1
                    minutes += machine.between[mode, station]
                mode = station
        return times, minutes


def with_changes(runs: Sequence[Run], shop: Shop, ready: Ready) -> list[Run]:
    """The runs with the changeover that comes before each: a machine keeps its mode while another works."""
    modes = dict(ready)
    changed = []
    for run in runs:
        machine = shop.machine_of(run.station)
        if machine:
            mode = modes.get(machine.name, run.station)
            run = replace(run, change=changeover(shop, machine, mode, run.station) if mode != run.station else None)
            modes[machine.name] = run.station
        changed.append(run)
    return changed


def changes_of(runs: Sequence[Run], shop: Shop, found: Found, as_found: bool = True) -> tuple[MachineChanges, ...]:
    """Of every machine the changes in the order of the sheet, their minutes, and the least that these visits take.

    The bound is that of each machine by itself, whatever the others do. `as_found` False: the day wants another order
    than the one that was found.
    """
    number_of = {run.id: run.number for run in runs}
    is_least = found.order.proven and as_found
    told = []
    for machine in shop.machines:
        changes = tuple((run.number, run.change) for run in runs if run.change and run.change.machine == machine.name)
        minutes = round(sum(change.minutes for _, change in changes), 6)
        least = min(minutes, found.least_of(machine)) if changes else minutes
        times, usual = found.usual_changes(machine)
        forward = tuple(
            (number_of[visit.runs[0].id], number_of[other.runs[0].id])
            for visit, other in (found.drawn_forward(machine) if as_found else ())
        )
        told.append(
            MachineChanges(
                machine.name, changes, minutes, least, least == minutes, is_least, forward, tuple(times.items()), usual
            )
        )
    return tuple(told)


def _is_shared(machine: Machine, visits: Sequence[Visit], ready: Ready) -> bool:
    used = {visit.station for visit in visits if visit.station in machine.stations}
    return len(used | ({ready[machine.name]} if used and machine.name in ready else set())) > 1


def _before(visits: Sequence[Visit], runs: Sequence[Run]) -> list[int]:
    """For each visit those that must come before it, as bits: they give what it takes, or are at the same station."""
    visit_of = {run.id: place for place, visit in enumerate(visits) for run in visit.runs}
    masks = [0] * len(visits)
    for place, visit in enumerate(visits):
        for earlier in range(place):
            if visits[earlier].station == visit.station:
                masks[place] |= 1 << earlier
    for run in runs:
        place = visit_of[run.id]
        for other in run.after:
            if visit_of[other] != place:
                masks[place] |= 1 << visit_of[other]
    return masks


def _lost_stops(
    visits: Sequence[Visit], machines: Sequence[Machine], shop: Shop, standing: AllStanding
) -> Iterator[LostStop]:
    """The stops of these machines that are used in several visits and that a changeover loses or stations share."""
    number = {machine.name: place for place, machine in enumerate(machines)}
    for stop in stops_of(shop):
        machine = shop.machine_of(stop.stations[0])
        if machine is None or machine.name not in number:
            continue
        lost_by = {(change.from_, change.to) for change in machine.changes if stop.sets & set(change.loses)}
        places = [[stop.place_of(visit.runs[at], use) for at, use in stop.uses_in(visit.runs)] for visit in visits]
        uses = frozenset(place for place, here in enumerate(places) if here)
        if len(uses) > 1 and (lost_by or stop.is_shared):
            yield LostStop(number[machine.name], lost_by, uses, _minutes(stop, places, standing), stop.is_shared)


def _minutes(stop: ShopStop, places: Sequence[Sequence[Hashable]], standing: AllStanding) -> Callable[[Through], float]:
    """What setting a stop takes for visits that follow each other, by the places that each wants it to take."""

    def minutes(through: Through) -> float:
        wanted = [place for visit in through if visit >= 0 for place in places[visit]]
        return stop.minutes * sum(stop.is_set(wanted, standing if through[:1] == (-1,) else NOTHING))

    return minutes
