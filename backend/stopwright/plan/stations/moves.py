"""Which stops of a sequence of runs are set and which stand already, given what stands on the machines."""

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace
from typing import TypeAlias

from stopwright.lengths import nearest
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan import sequence
from stopwright.plan.operations.known import ROLES
from stopwright.plan.run_sheet import AllStanding, Move, Position, Run, Stop
from stopwright.plan.stations.sequence_axis import sequence_axis

NOTHING: AllStanding = {}


def settle_moves(runs: Sequence[Run], shop: Shop, standing: AllStanding) -> list[Run]:
    """The same runs in the same order, every stop told "set" or "stands" so that the fewest are set.

    An axis that holds several positions keeps those needed soonest (Tang & Denardo 1988); what stands on a machine
    from before is used. Each axis is looked at by itself, whatever comes between, unless a changeover loses it; an axis
    that several stations share is one.
    """
    settled = list(runs)
    for together in _physical_axes(shop):
        for first, stretch in _between_losses(runs, together, shop):
            (station, axis), *others = together
            needs = [{axis.name: {_place(runs[place], stop, together)}} for place, stop in stretch]
            wanted = {axis.name: set().union(*(need[axis.name] for need in needs))}
            stands = standing_at(standing, station, [axis], wanted) if first and not others else {}
            moves = sequence.load_stops(range(len(needs)), needs, [sequence_axis(axis)], stands)
            for (place, stop), move in zip(stretch, moves, strict=True):
                moved = replace(stop, move=Move.SET if move[axis.name][0] else Move.STANDS)
                stops = tuple(moved if one.axis == stop.axis else one for one in settled[place].stops)
                settled[place] = replace(settled[place], stops=stops)
    return settled


Physical: TypeAlias = tuple[tuple[Station, Axis], ...]
"""One stop as the stations that read it know it."""


def _physical_axes(shop: Shop) -> Iterator[Physical]:
    """Every stop of the shop once; one that several stations share with all of them."""
    shared: set[tuple[str, str]] = set()
    stations = {station.name: station for station in shop.stations}
    for machine in shop.machines:
        for share in machine.shares:
            here = [(stations[name], axis) for name in share.stations for axis in stations[name].axes]
            together = tuple((station, axis) for station, axis in here if axis.name == share.axis)
            if len(together) > 1:
                shared |= {(station.name, axis.name) for station, axis in together}
                yield together
    for station in shop.stations:
        yield from (((station, axis),) for axis in station.axes if (station.name, axis.name) not in shared)


def _between_losses(
    runs: Sequence[Run], together: Physical, shop: Shop
) -> Iterator[tuple[bool, list[tuple[int, Stop]]]]:
    """The uses of a stop, run by run, in stretches within which nothing is lost; whether it is the first stretch."""
    names = {(station.name, axis.name) for station, axis in together}
    sets = {axis.sets for _, axis in together}
    machine = shop.machine_of(together[0][0].name)
    first, stretch = True, list[tuple[int, Stop]]()
    for place, run in enumerate(runs):
        change = run.change
        if change and machine and change.machine == machine.name and sets & set(change.lost):
            yield first, stretch
            first, stretch = False, []
        stretch += [(place, stop) for stop in run.stops if (run.station, stop.axis) in names]
    yield first, stretch


def _place(run: Run, stop: Stop, together: Physical) -> Hashable:
    """Where the stop must stand; of a shared one the place on its rail, for each station has a zero of its own."""
    station, axis = next(one for one in together if one[0].name == run.station)
    if len(together) > 1 and isinstance(stop.place, int):
        return stop.place + axis.zero
    (place,) = places_of(run.stops, station)[stop.axis]
    return place


def places_of(stops: Iterable[Stop], station: Station) -> dict[str, set[Hashable]]:
    """Where the stops of a run must stand, by axis, so that equal places are one setting.

    What stands only as long as a tool stays in (spindle height and fence are measured from the cutter) has that tool
    as part of its place.
    """
    stops = list(stops)
    targets = {stop.sets: stop.target for stop in stops}
    single = {axis.name for axis in station.axes if axis.holds == 1}

    def place(stop: Stop) -> Hashable:
        tool = targets.get(ROLES[stop.sets].stands_with) if stop.axis in single else None
        return (tool, stop.place) if tool else stop.place

    return {stop.axis: {place(stop)} for stop in stops}


def standing_at(
    standing: AllStanding, station: Station, axes: Iterable[Axis], wanted: Mapping[str, AbstractSet[Hashable]]
) -> dict[str, AbstractSet[Position]]:
    """What stands at these axes of a station, by the axis's name: the place as it is `wanted`, else its mark."""
    there = standing.get(station.name, {})

    def place(position: Position, axis: Axis) -> Position:
        if not isinstance(position, int) or axis.step is None or position in wanted.get(axis.name, ()):
            return position
        return nearest(position + axis.zero, axis.step) - axis.zero

    return {axis.name: {place(one, axis) for one in there[axis.name]} for axis in axes if axis.name in there}
