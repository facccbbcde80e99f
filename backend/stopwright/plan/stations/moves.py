"""Which stops of a sequence of runs are set and which stand already, given what stands on the machines."""

from collections.abc import Hashable, Iterable, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace

from stopwright.lengths import Nm
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan import sequence
from stopwright.plan.operations.known import ROLES
from stopwright.plan.run_sheet import Move, Run, Standing, Stop
from stopwright.plan.stations.sequence_axis import sequence_axis

NOTHING: Standing = {}


def settle_moves(runs: Sequence[Run], shop: Shop, standing: Standing) -> list[Run]:
    """The same runs in the same order, every stop told "set" or "stands" so that the fewest are set.

    An axis that holds several positions keeps those needed soonest (Tang & Denardo 1988); what stands on a machine
    from before is used. Each station's runs are looked at by themselves, whatever comes between.
    """
    settled = list(runs)
    for station in shop.stations:
        places = [place for place, run in enumerate(runs) if run.station == station.name]
        needs = [places_of(runs[place].stops, station) for place in places]
        axes = [sequence_axis(axis) for axis in station.axes]
        stands = standing_at(standing, station, station.axes)
        for place, moves in zip(places, sequence.load_stops(range(len(needs)), needs, axes, stands), strict=True):
            stops = (replace(stop, move=Move.SET if moves[stop.axis][0] else Move.STANDS) for stop in runs[place].stops)
            settled[place] = replace(runs[place], stops=tuple(stops))
    return settled


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
        return (tool, stop.target) if tool else stop.target

    return {stop.axis: {place(stop)} for stop in stops}


def standing_at(standing: Standing, station: Station, axes: Iterable[Axis]) -> dict[str, AbstractSet[Nm]]:
    """What stands at these axes of a station, by the axis's name."""
    there = standing.get(station.name, {})
    return {axis.name: there[axis.name] for axis in axes if axis.name in there}
