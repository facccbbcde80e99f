"""Which flip stops stand on a fence while a run is worked: the one in use, those in its way, which one is moved."""

from collections.abc import Sequence
from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.stations import Axis, Shop
from stopwright.plan.run_sheet import Move, Run


@dataclass(frozen=True, slots=True)
class FlipStops:
    """The flip stops besides the one that a run uses, by their readings in nm.

    `away` stand nearer the blade: a piece would hit them first, so they are flipped away. `clear` stand farther out
    and do no harm. `moved` is the stop that is taken for a new setting, None where one is still free or none is set.
    """

    axis: str
    is_set: bool
    away: tuple[Nm, ...] = ()
    clear: tuple[Nm, ...] = ()
    moved: Nm | None = None

    @property
    def left(self) -> tuple[Nm, ...]:
        """All that are left where they stand."""
        return tuple(sorted((*self.away, *self.clear)))


def flip_stops_up(runs: Sequence[Run], shop: Shop) -> dict[int, FlipStops]:
    """By the run's number, for every run whose axis holds several stops, as the sheet has them worked in order.

    A stop that a later run leaves standing is never the one that is moved. Of the others it is one in the new one's
    way (nearer than the clearance, else nearer the blade), else the one next to the new place.
    """
    found: dict[int, FlipStops] = {}
    for station in shop.stations:
        here = [run for run in runs if run.station == station.name]
        for axis in (axis for axis in station.axes if axis.holds > 1):
            found |= _followed(here, axis)
    return found


def _followed(runs: Sequence[Run], axis: Axis) -> dict[int, FlipStops]:
    found: dict[int, FlipStops] = {}
    standing: set[Nm] = set()
    for place, run in enumerate(runs):
        stop = next((stop for stop in run.stops if stop.axis == axis.name), None)
        if stop is None or not isinstance(stop.reading, int):
            continue
        reading, moved = stop.reading, None
        if reading not in standing:
            kept = _kept(runs[place + 1 :], axis)
            close = {one for one in standing if abs(one - reading) < axis.clearance} - kept
            standing -= close
            moved = min(close, default=None)
            if len(standing) >= axis.holds:
                moved = min(standing, key=lambda one: (one in kept, one > reading, abs(one - reading)))
                standing.discard(moved)
            standing.add(reading)
        others = sorted(standing - {reading})
        found[run.number] = FlipStops(
            axis.name,
            stop.move is Move.SET,
            tuple(one for one in others if one < reading),
            tuple(one for one in others if one > reading),
            moved if stop.move is Move.SET else None,
        )
    return found


def _kept(later: Sequence[Run], axis: Axis) -> set[Nm]:
    """Readings that a later run finds standing before they are set anew."""
    kept: dict[Nm, bool] = {}
    for run in later:
        for stop in run.stops:
            if stop.axis == axis.name and isinstance(stop.reading, int):
                kept.setdefault(stop.reading, stop.move is Move.STANDS)
    return {reading for reading, stands in kept.items() if stands}
