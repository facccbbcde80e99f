"""Which stops of a sequence of runs are set and which stand already, given what stands on the machines."""

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from itertools import pairwise

from stopwright.lengths import nearest
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan import ordering
from stopwright.plan.operations.known import ROLES
from stopwright.plan.run_sheet import AllStanding, Move, Position, Run, Stop
from stopwright.plan.stations.ordering_axis import ordering_axis

NOTHING: AllStanding = {}


@dataclass(frozen=True)
class ShopStop:
    """One physical stop, as each of the stations that read it knows it: several where a machine shares it."""

    known_as: tuple[tuple[Station, Axis], ...]

    @property
    def stations(self) -> tuple[str, ...]:
        """The names of the stations that read it."""
        return tuple(station.name for station, _ in self.known_as)

    @property
    def sets(self) -> AbstractSet[str]:
        """What it sets at them."""
        return {axis.sets for _, axis in self.known_as}

    @property
    def is_shared(self) -> bool:
        """Whether several stations read it."""
        return len(self.known_as) > 1

    @property
    def holds(self) -> int:
        """At how many places it can stand at a time."""
        return self.known_as[0][1].holds

    @property
    def minutes(self) -> float:
        """What one setting takes; a little even where the shop says 0."""
        return ordering_axis(self.known_as[0][1]).cost

    def uses_in(self, runs: Sequence[Run]) -> Iterator[tuple[int, Stop]]:
        """The runs that use it, by their place, and how."""
        names = {(station.name, axis.name) for station, axis in self.known_as}
        for place, run in enumerate(runs):
            yield from ((place, stop) for stop in run.stops if (run.station, stop.axis) in names)

    def place_of(self, run: Run, stop: Stop) -> Hashable:
        """Where it must stand; of a shared one the place on its rail, for each station has a zero of its own."""
        station, axis = next(one for one in self.known_as if one[0].name == run.station)
        if self.is_shared and isinstance(stop.place, int):
            return stop.place + axis.zero
        (place,) = places_of(run.stops, station)[stop.axis]
        return place

    def is_set(self, places: Sequence[Hashable], standing: AllStanding) -> list[bool]:
        """For places it must take one after the other, whether it is set there, so that it is set as seldom as can be.

        An axis that holds several positions keeps those needed soonest (Tang & Denardo 1988).
        """
        station, axis = self.known_as[0]
        needs = [{axis.name: {place}} for place in places]
        stands = {} if self.is_shared else standing_at(standing, station, [axis], {axis.name: set(places)})
        moves = ordering.load_stops(range(len(needs)), needs, [ordering_axis(axis)], stands)
        return [bool(move[axis.name][0]) for move in moves]


def stops_of(shop: Shop) -> Iterator[ShopStop]:
    """Every stop of the shop once; one that several stations share with all of them."""
    shared: set[tuple[str, str]] = set()
    stations = {station.name: station for station in shop.stations}
    for machine in shop.machines:
        for share in machine.shares:
            here = [(stations[name], axis) for name in share.stations for axis in stations[name].axes]
            together = tuple((station, axis) for station, axis in here if axis.name == share.axis)
            if len(together) > 1:
                shared |= {(station.name, axis.name) for station, axis in together}
                yield ShopStop(together)
    for station in shop.stations:
        yield from (ShopStop(((station, axis),)) for axis in station.axes if (station.name, axis.name) not in shared)


def settle_moves(runs: Sequence[Run], shop: Shop, standing: AllStanding) -> list[Run]:
    """The same runs in the same order, every stop told "set" or "stands" so that the fewest are set.

    What stands on a machine from before is used. Each stop is looked at by itself, whatever comes between, unless a
    changeover loses it.
    """
    settled = list(runs)
    for shop_stop in stops_of(shop):
        stands = standing
        for stretch in _between_losses(runs, shop_stop, shop):
            places = [shop_stop.place_of(runs[place], stop) for place, stop in stretch]
            for (place, stop), is_set in zip(stretch, shop_stop.is_set(places, stands), strict=True):
                moved = replace(stop, move=Move.SET if is_set else Move.STANDS)
                stops = tuple(moved if one.axis == stop.axis else one for one in settled[place].stops)
                settled[place] = replace(settled[place], stops=stops)
            stands = NOTHING
    return settled


def _between_losses(runs: Sequence[Run], shop_stop: ShopStop, shop: Shop) -> Iterator[list[tuple[int, Stop]]]:
    """The uses of a stop, run by run, in stretches within which nothing is lost."""
    machine = shop.machine_of(shop_stop.stations[0])
    losses = [
        place
        for place, run in enumerate(runs)
        if run.change and machine and run.change.machine == machine.name and shop_stop.sets & set(run.change.lost)
    ]
    uses = list(shop_stop.uses_in(runs))
    for start, end in pairwise([0, *losses, len(runs)]):
        yield [(place, stop) for place, stop in uses if start <= place < end]


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
