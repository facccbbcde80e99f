"""The visits of a plan in the order with the least minutes of changing machines over, and what every change does."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush

from stopwright.model.machines import Machine
from stopwright.model.stations import Shop
from stopwright.plan.run_sheet import Changeover, MachineChanges, Run
from stopwright.plan.schedule import Visit

MOST_STATES = 50_000
"""So many states are looked at; beyond, the visits stay in the order of the stages."""


@dataclass(frozen=True, slots=True)
class _Order:
    """Places of visits in order, its minutes, and whether no order takes fewer."""

    places: tuple[int, ...]
    minutes: float
    proven: bool


def in_order_of_changeovers(visits: Sequence[Visit], followed: Sequence[Run], shop: Shop) -> list[Visit]:
    """The visits in the order with the least minutes of changeovers that takes no lot before it is given.

    Visits of one station keep their order. Where nothing is saved, the order of the stages stands.
    """
    machines = [machine for machine in shop.machines if _is_shared(machine, visits)]
    if not machines:
        return list(visits)
    before = _before(visits, followed)
    best = _least(visits, before, machines)
    as_it_is = _Order(tuple(range(len(visits))), _cost(visits, machines), False)
    chosen = best if best and best.minutes < as_it_is.minutes else as_it_is
    return [visits[place] for place in chosen.places]


def with_changes(runs: Sequence[Run], shop: Shop) -> list[Run]:
    """The runs with the changeover that comes before each: a machine keeps its mode while another works."""
    modes: dict[str, str] = {}
    changed = []
    for run in runs:
        machine = shop.machine_of(run.station)
        if machine:
            mode = modes.get(machine.name, run.station)
            if mode != run.station:
                lost = tuple(sorted(machine.lost(mode, run.station)))
                minutes = machine.between[mode, run.station]
                run = replace(run, change=Changeover(machine.name, mode, run.station, minutes, lost))
            modes[machine.name] = run.station
        changed.append(run)
    return changed


def changes_of(visits: Sequence[Visit], runs: Sequence[Run], shop: Shop) -> tuple[MachineChanges, ...]:
    """Of every machine the changes in the order of the sheet, their minutes, and the least that these visits take.

    The bound is that of each machine by itself, whatever the others do.
    """
    found = []
    for machine in shop.machines:
        changes = tuple((run.number, run.change) for run in runs if run.change and run.change.machine == machine.name)
        minutes = sum(change.minutes for _, change in changes)
        alone = _least(visits, _before(visits, runs), [machine]) if _is_shared(machine, visits) else None
        least = alone.minutes if alone else (0.0 if changes else minutes)
        found.append(
            MachineChanges(machine.name, changes, minutes, least, bool(not changes or alone) and least == minutes)
        )
    return tuple(found)


def _is_shared(machine: Machine, visits: Sequence[Visit]) -> bool:
    return len({visit.station for visit in visits if visit.station in machine.stations}) > 1


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


def _least(visits: Sequence[Visit], before: Sequence[int], machines: Sequence[Machine]) -> _Order | None:
    """Dijkstra over which visits are done and how the machines stand; None beyond `MOST_STATES`."""
    whole = (1 << len(visits)) - 1
    between = [machine.between for machine in machines]
    body = {station: number for number, machine in enumerate(machines) for station in machine.stations}
    start = (0, ("",) * len(machines))
    heap: list[tuple[float, tuple[int, ...], tuple[int, tuple[str, ...]]]] = [(0.0, (), start)]
    done: set[tuple[int, tuple[str, ...]]] = set()
    while heap:
        minutes, order, state = heappop(heap)
        if state in done:
            continue
        done.add(state)
        mask, modes = state
        if mask == whole:
            return _Order(order, minutes, True)
        if len(done) > MOST_STATES:
            return None
        for place, needed in enumerate(before):
            if mask >> place & 1 or needed & ~mask:
                continue
            station = visits[place].station
            machine = body.get(station)
            cost, onward = 0.0, modes
            if machine is not None:
                mode = modes[machine]
                cost = between[machine][mode, station] if mode not in ("", station) else 0.0
                onward = (*modes[:machine], station, *modes[machine + 1 :])
            heappush(heap, (round(minutes + cost, 6), (*order, place), (mask | 1 << place, onward)))
    return None


def _cost(visits: Sequence[Visit], machines: Sequence[Machine]) -> float:
    total = 0.0
    modes: dict[str, str] = {}
    of: Mapping[str, Machine] = {station: machine for machine in machines for station in machine.stations}
    for visit in visits:
        machine = of.get(visit.station)
        if machine:
            mode = modes.get(machine.name, visit.station)
            total += machine.between[mode, visit.station] if mode != visit.station else 0.0
            modes[machine.name] = visit.station
    return total
