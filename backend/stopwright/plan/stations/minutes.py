"""How long a run takes: setting its stops, working its pieces, carrying and starting."""

from collections.abc import Mapping, Sequence

from stopwright.model.stations import Station
from stopwright.plan.run_sheet import Move, Run, Stop


def setting_minutes(station: Station, stops: Sequence[Stop]) -> float:
    """Minutes for the stops that move, by the shop's figure for each axis."""
    cost = {axis.name: axis.minutes for axis in station.axes}
    return sum(cost[stop.axis] for stop in stops if stop.move is Move.SET)


def run_minutes(station: Station, run: Run, carried: bool, in_hand: Mapping[str, float]) -> float:
    """Minutes for a whole run: its settings, its pieces, and the carrying and starting where a stack is fetched.

    `in_hand` tells by the mark how many things a piece is in the hand: a part of one while several are one strip.
    """
    between = station.minutes_between if carried else 0.0
    worked = sum(pieces.count * in_hand.get(pieces.mark, 1) for pieces in run.pieces)
    return setting_minutes(station, run.stops) + worked * station.minutes_per_piece + between


def is_carried(run: Run, before: Run | None) -> bool:
    """Whether the pieces of a run are fetched from a stack: not where the same lot goes straight on."""
    return not (run.lot and before is not None and before.lot == run.lot)
