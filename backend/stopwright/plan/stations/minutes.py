"""How long a run takes: setting its stops, working its boards, strips or pieces, carrying and starting."""

from collections.abc import Sequence

from stopwright.model.stations import Station
from stopwright.plan.run_sheet import Move, Run, Stop


def setting_minutes(station: Station, stops: Sequence[Stop]) -> float:
    """Minutes for the stops that move, by the shop's figure for each axis."""
    cost = {axis.name: axis.minutes for axis in station.axes}
    return sum(cost[stop.axis] for stop in stops if stop.move is Move.SET)


def run_minutes(station: Station, run: Run, carried: bool) -> float:
    """Minutes for a whole run: changeover, settings, what it works, carrying and starting where a stack is fetched."""
    between = station.minutes_between if carried else 0.0
    between += run.change.minutes if run.change else 0.0
    return setting_minutes(station, run.stops) + run.passes * station.minutes_per_piece + between


def is_carried(run: Run, before: Run | None) -> bool:
    """Whether what a run works is fetched from a stack: not where one size goes straight on, part by part."""
    return not (run.size and before is not None and before.size == run.size)
