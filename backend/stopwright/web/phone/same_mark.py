"""A stop to be set to the mark at which it stands already: two targets between which the scale has no graduation."""

from collections.abc import Sequence

from stopwright.model.stations import Station
from stopwright.plan.run_sheet import Move, Run, Stop


def same_mark(stop: Stop, station: Station, earlier: Sequence[Run]) -> int | None:
    """The number of the run that left the stop at the very mark it is to be set to; None where it has to be moved.

    Only for an axis that holds one stop and has a scale, and where the mark is within what both runs allow.
    """
    axis = next((one for one in station.axes if one.name == stop.axis), None)
    if stop.move is not Move.SET or axis is None or axis.holds != 1 or axis.step is None or not _fits(stop):
        return None
    for run in reversed(earlier):
        before = next((one for one in run.stops if one.axis == stop.axis and run.station == station.name), None)
        if before is not None:
            is_same = before.reading == stop.reading and before.target != stop.target and _fits(before)
            return run.number if is_same else None
    return None


def _fits(stop: Stop) -> bool:
    return stop.tolerance is None or abs(stop.residual) <= stop.tolerance
