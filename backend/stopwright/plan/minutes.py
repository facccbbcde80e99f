"""How long a run takes: setting its stops, working its pieces, carrying and starting."""

from collections.abc import Sequence

from stopwright.model.stations import Station
from stopwright.plan.run_sheet import Move, Stop


def setting_minutes(station: Station, stops: Sequence[Stop]) -> float:
    """Minutes for the stops that move, by the shop's figure for each axis."""
    cost = {axis.name: axis.minutes for axis in station.axes}
    return sum(cost[stop.axis] for stop in stops if stop.move is Move.SET)


def run_minutes(station: Station, stops: Sequence[Stop], pieces: int) -> float:
    """Minutes for a whole run: its settings, its pieces, and once the carrying and starting."""
    return setting_minutes(station, stops) + pieces * station.minutes_per_piece + station.minutes_between
