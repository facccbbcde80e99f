"""Which stops of a sequence of runs are set and which stand already, given what stands on the machines."""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.stations import Axis, Sets, Shop, Station
from stopwright.plan import sequence
from stopwright.plan.run_sheet import Move, Run, Stop

Standing: TypeAlias = Mapping[str, Mapping[str, AbstractSet[Nm]]]
"""By station and axis, the positions that stand now, nm."""

NOTHING: Standing = {}

FROM_THE_CUTTER = (Sets.SPINDLE_HEIGHT, Sets.SPINDLE_FENCE)
"""What has to be set again after a change of cutter."""

LEAST_COST = 1e-6
"""What a setting costs at least, in minutes: even where the shop says 0, fewer settings are better."""


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

    Spindle height and fence are measured from the cutter: they stand only as long as it stays in, so the cutter is
    part of their place.
    """
    stops = list(stops)
    cutter = next((stop.target for stop in stops if stop.sets is Sets.CUTTER), None)
    single = {axis.name for axis in station.axes if axis.holds == 1 and axis.sets in FROM_THE_CUTTER}
    return {stop.axis: {(cutter, stop.target) if cutter and stop.axis in single else stop.target} for stop in stops}


def standing_at(standing: Standing, station: Station, axes: Iterable[Axis]) -> dict[str, AbstractSet[Nm]]:
    """What stands at these axes of a station, by the axis's name."""
    there = standing.get(station.name, {})
    return {axis.name: there[axis.name] for axis in axes if axis.name in there}


def sequence_axis(axis: Axis) -> sequence.Axis:
    """A stop of the shop as the sequence sees it: what it holds, what a setting costs, how near two may stand."""
    clearance = axis.clearance if axis.holds > 1 else 0
    return sequence.Axis(axis.name, axis.holds, max(axis.minutes, LEAST_COST), clearance)
