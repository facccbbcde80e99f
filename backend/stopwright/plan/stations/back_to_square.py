"""A saw set back to square: gauge and blade are turned for some runs, and what comes after needs them as they were.

Before a job they stand square. A run that needs them so after another has turned them gets a stop for it, which is set
and counted like every other; where they stand square already nothing is said of them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan.operations.known import ROLES
from stopwright.plan.operations.operation import Setup, Setups, Stage
from stopwright.plan.run_sheet import AllStanding, Angle, Move, Run, Stop
from stopwright.plan.stations.stop_settings import set_stop

SQUARE = Angle(Fraction(0))


def with_square(asked: Sequence[Setups], shop: Shop) -> list[Setups]:
    """The same setups, those that come after something turned with all that must be square again for them."""
    turned = {station.name: dict(_turned(asked, station)) for station in shop.stations}

    def squared(setup: Setup) -> Setup:
        since = turned[setup.runs[0].station].items()
        axes = [axis for axis, stage in since if stage <= setup.stage]
        return replace(setup, runs=tuple(_squared(run, axes) for run in setup.runs)) if axes else setup

    return [replace(one, setups=tuple(map(squared, one.setups))) for one in asked]


def square_at_first(asked: Sequence[Setups], shop: Shop, standing: AllStanding) -> AllStanding:
    """What stands before a job, gauge and blade square wherever it turns them and nothing else is known."""
    known = {name: dict(axes) for name, axes in standing.items()}
    for station in shop.stations:
        for axis, _ in _turned(asked, station):
            known.setdefault(station.name, {}).setdefault(axis.name, {SQUARE})
    return known


def only_set_back(runs: Sequence[Run]) -> list[Run]:
    """The runs without the stops that are square anyway."""
    return [replace(run, stops=tuple(stop for stop in run.stops if not _is_square_anyway(stop))) for run in runs]


def left_turned(runs: Sequence[Run]) -> set[int]:
    """The places of the runs after which something stays turned to the end of the sheet."""
    left: set[int] = set()
    seen: set[tuple[str, str]] = set()
    for place in reversed(range(len(runs))):
        run = runs[place]
        for stop in run.stops:
            last = (run.station, stop.axis) not in seen
            seen.add((run.station, stop.axis))
            if last and isinstance(stop.target, Angle) and stop.target != SQUARE:
                left.add(place)
    return left


def _turned(asked: Sequence[Setups], station: Station) -> Iterator[tuple[Axis, Stage]]:
    """The axes that some run turns, and at which stage first."""
    for axis in station.axes:
        if ROLES[axis.sets].is_turned:
            stages = [
                setup.stage
                for setups in asked
                for setup in setups.setups
                for run in setup.runs
                if run.station == station.name
                and any(stop.axis == axis.name and stop.target != SQUARE for stop in run.stops)
            ]
            if stages:
                yield axis, min(stages)


def _squared(run: Run, axes: Sequence[Axis]) -> Run:
    there = {stop.axis for stop in run.stops}
    is_guided = any(ROLES[stop.sets].guides for stop in run.stops)
    needed = (axis for axis in axes if axis.name not in there and not (is_guided and ROLES[axis.sets].is_gauge))
    return replace(run, stops=(*run.stops, *(_square(axis) for axis in needed)))


def _square(axis: Axis) -> Stop:
    return replace(set_stop(axis, SQUARE, Move.SET), is_set_back=True)


def _is_square_anyway(stop: Stop) -> bool:
    return stop.is_set_back and stop.move is Move.STANDS
