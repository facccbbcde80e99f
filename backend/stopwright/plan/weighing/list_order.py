"""What setting would cost if every line of the part list were worked through before the next one is begun."""

from collections import defaultdict
from collections.abc import Hashable, Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.gear import Knives, Sander
from stopwright.model.job import Job
from stopwright.model.stations import Axis, Shop
from stopwright.plan import ordering
from stopwright.plan.run_sheet import Run, RunSheet
from stopwright.plan.stations.moves import places_of
from stopwright.plan.stations.ordering_axis import ordering_axis
from stopwright.plan.stations.thickness import planing_heights
from stopwright.plan.timber.calibrating import CALIBRATE

Needs: TypeAlias = Mapping[str, AbstractSet[Hashable]]


@dataclass(frozen=True, slots=True)
class AsListed:
    """Settings made when the list is worked line by line, and the minutes for them."""

    settings: int
    minutes: float


def settings_as_listed(job: Job, shop: Shop, sheet: RunSheet) -> AsListed:
    """The settings of the same work, each line of the list taken through all stations before the next is begun.

    Every line gets the fewest heights of its own; a stop that still stands right is left alone, and of several
    positions those needed soonest are kept. So it is the least that working down the list can cost.
    """
    by_station: dict[str, list[Needs]] = defaultdict(list)
    for mark in _marks(job, sheet):
        own = [run for run in sheet.runs if any(pieces.mark == mark for pieces in run.pieces)]
        for name, needs in _own_needs(mark, own, shop):
            by_station[name].append(needs)
    settings, minutes = 0, 0.0
    for station in shop.stations:
        needs_here = by_station[station.name]
        axes = [ordering_axis(axis) for axis in station.axes]
        costs = {axis.name: axis.minutes for axis in station.axes}
        for moves in ordering.load_stops(range(len(needs_here)), needs_here, axes):
            for name, (set_now, _) in moves.items():
                settings += len(set_now)
                minutes += costs[name] * len(set_now)
    return AsListed(settings, minutes)


def _marks(job: Job, sheet: RunSheet) -> list[str]:
    """The lines in the order of the list, then what the plan adds to them: tenon stock."""
    listed = [part.mark for part in job.parts]
    added = [pieces.mark for run in sheet.runs for pieces in run.pieces if pieces.mark not in listed]
    return [*listed, *dict.fromkeys(added)]


def _own_needs(mark: str, own: list[Run], shop: Shop) -> Iterator[tuple[str, Needs]]:
    """What one line needs, station after station; the heights of others that it merely passes are left out."""
    for run in own:
        station = next(one for one in shop.stations if one.name == run.station)
        height = station.axis("thickness")
        alike = [one for one in own if (one.station, one.work) == (run.station, run.work)]
        if run.work not in ("plane", CALIBRATE):
            yield run.station, places_of(run.stops, station)
        elif run is alike[-1] and height is not None:
            deepest = station.of(Sander).greatest_pass if run.work == CALIBRATE else station.of(Knives).greatest_cut
            for passed in _own_heights(mark, alike, height, deepest):
                yield run.station, {height.name: {passed}}


def _own_heights(mark: str, planed: list[Run], height: Axis, greatest_cut: Nm) -> tuple[Nm, ...]:
    last = next(stop for stop in planed[-1].stops if stop.axis == height.name)
    assert isinstance(last.target, int)
    rough = max(lot.thickness for run in planed for lot in run.takes if mark in dict(lot.becomes))
    scale = height.step, height.zero, lambda thickness: thickness + last.off
    return planing_heights([(rough, last.target)], greatest_cut, *scale)
