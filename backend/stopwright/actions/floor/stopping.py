"""How the machines stand, and stopping in the middle: one is needed for something else, and what is true afterwards."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from stopwright.actions.jobs.keeping import job_document
from stopwright.errors import NotFound
from stopwright.lengths import Nm
from stopwright.model.machines import Machine
from stopwright.model.stations import Shop
from stopwright.plan.run_sheet import Move, Run, Stop
from stopwright.store.events import Clock, Event, new_id, utc_now, written
from stopwright.store.floor import FLOOR_KINDS, FloorSoFar, Place
from stopwright.store.log import Store
from stopwright.store.machine_fold import Machines, StopName
from stopwright.store.run_fold import RunState


@dataclass(frozen=True, slots=True)
class Floor:
    """How all machines stand by the taps of whatever job: where each stop was set last and not moved or lost since.

    `stops` by station and stop, nm or a name; `of_run` by station those of them that the run set last there needs;
    `ready` for which of its stations each machine of the shop stands ready,
    what nobody told is left out.
    """

    stops: Mapping[StopName, Nm | str]
    of_run: Mapping[str, frozenset[Place]]
    ready: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class SetAgain:
    """A stop that was moved or lost since it was set, and the first run that is not done and needs it where it was."""

    station: str
    axis: str
    run: int


def floor_of(store: Store, shop: Shop) -> Floor:
    """How the machines stand now. Of a stop that holds several places only the one set last is sure to stand."""
    told = store.settled("floor", FLOOR_KINDS, FloorSoFar)
    there = {(station.name, axis.name) for station in shop.stations for axis in station.axes}
    ready: dict[str, str] = {}
    for machine in shop.machines:
        at = [(tap, station) for station, tap in told.set_at.items() if station in machine.stations]
        station, tap = told.ready.get(machine.name, ("", 0))
        at += [(tap, station)] if station in machine.stations else []
        ready |= {machine.name: max(at)[1]} if at else {}
    stops = {name: place for name, place in told.stops.items() if name in there}
    of_run = {
        station: frozenset(one for one in needed if stops.get((station, one[0])) == one[1])
        for station, needed in told.of_run.items()
    }
    return Floor(stops, of_run, ready)


def lengths_on(floor: Floor, shop: Shop) -> tuple[tuple[str, str, Nm], ...]:
    """What stands at a length: (station, axis, nm), in the order of the shop."""
    named = ((station.name, axis.name) for station in shop.stations for axis in station.axes)
    return tuple((*name, place) for name in named if isinstance(place := floor.stops.get(name), int))


def lost_in_change(shop: Shop, machine: Machine, from_: str, to: str) -> list[StopName]:
    """The stops of a machine that do not stand after this change."""
    lost = machine.lost(from_, to)
    stations = (station for station in shop.stations if station.name in machine.stations)
    return [(station.name, axis.name) for station in stations for axis in station.axes if axis.sets in lost]


def machine_used(
    store: Store,
    job: str,
    shop: Shop,
    moved: Iterable[StopName],
    ready: Mapping[str, str],
    device: str,
    now: Clock = utc_now,
) -> None:
    """Takes down that machines were needed for something else: which stops were moved, and, by machine, for which
    station each was made ready. What a change to it loses counts as moved. Raises NotFound for what the shop has not.
    """
    job_document(store, job)
    floor = floor_of(store, shop)
    known = {(station.name, axis.name) for station in shop.stations for axis in station.axes}
    gone = set(moved)
    for station, axis in sorted(gone - known):
        raise NotFound(f"the shop has no {axis!r} at {station!r}", "the shop", "reload the page")
    changed: list[tuple[Machine, str]] = []
    for name, station in ready.items():
        machine = next((one for one in shop.machines if one.name == name), None)
        if machine is None or station not in machine.stations:
            raise NotFound(f"the shop has no {station!r} at a machine {name!r}", "the shop", "reload the page")
        before = floor.ready.get(name)
        if before != station:
            changed.append((machine, station))
            gone |= set(lost_in_change(shop, machine, before, station)) if before else set()
    stands = [[station, axis, place] for (station, axis), place in floor.stops.items()]
    bodies = [{"machine": machine.name, "ready": station} for machine, station in changed] or [{}]
    told = [
        {"moved": sorted(map(list, gone)) if not place else [], "stands": stands} | body
        for place, body in enumerate(bodies)
    ]
    store.append([Event(new_id(), job, "machine used", written(now()), device, body) for body in told])


def set_again(runs: Sequence[Run], states: Mapping[str, RunState], machines: Machines) -> tuple[SetAgain, ...]:
    """Every stop that was moved or lost and that a run not done needs, though by the sheet it stands there by now."""
    found: dict[StopName, SetAgain] = {}
    for at, run in enumerate(runs):
        if not states.get(run.id, _UNTOUCHED).done:
            for stop in moved_stops(run, runs[: at + 1], states, machines):
                found.setdefault((run.station, stop.axis), SetAgain(run.station, stop.axis, run.number))
    return tuple(found.values())


def moved_stops(run: Run, upto: Sequence[Run], states: Mapping[str, RunState], machines: Machines) -> Iterator[Stop]:
    """The stops of a run that were set for it, moved or lost since, and do not stand where it needs them.

    `upto` are the runs of the sheet up to this one. A stop that by the sheet an earlier run sets, which nobody has set
    yet, is as the sheet says.
    """
    by_id = {one.id: one for one in upto} if machines.moved else {}
    for stop in run.stops:
        moved = machines.moved.get((run.station, stop.axis))
        if moved is None:
            continue
        sets = next((one for one in reversed(upto) if _sets(one, run.station, stop)), None)
        was_set = sets is None or (state := states.get(sets.id, _UNTOUCHED)).is_set or state.done
        stands = any(
            place == stop.told or _same_mark(stop, run.station, by_id.get(other)) for other, place in moved.since
        )
        if was_set and not stands:
            yield stop


_UNTOUCHED = RunState()


def _sets(other: Run, station: str, stop: Stop) -> bool:
    if other.station != station:
        return False
    return any((one.axis, one.place, one.move) == (stop.axis, stop.place, Move.SET) for one in other.stops)


def _same_mark(stop: Stop, station: str, other: Run | None) -> bool:
    if other is None or other.station != station:
        return False
    return any((one.axis, one.place) == (stop.axis, stop.place) for one in other.stops)
