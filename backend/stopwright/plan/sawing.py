"""The saw, station by station: every width at one fence position, one end square, every length at one stop."""

from collections import defaultdict
from collections.abc import Callable, Sequence

from stopwright.lengths import Nm
from stopwright.model.stations import Sets, Shop, Station, Work
from stopwright.plan.run_sheet import Move, Remark, Run
from stopwright.plan.sawn import Sawn, count_sawn
from stopwright.plan.station_plan import StationPlan
from stopwright.plan.stop_settings import (
    coarse_scale,
    nearly_equal,
    out_of_reach,
    set_stop,
    strictest_tolerance,
)

NOTES = {
    Work.RIP: "face edge against the fence, widest strips first",
    Work.SQUARE: "one end square: it becomes the marked end",
    Work.CROSSCUT: "marked end against the stop, longest first",
}


def plan_ripping(sawn: Sequence[Sawn], shop: Shop, station: Station) -> StationPlan:
    """A run a width, widest first, so that the rest of the board stays wide enough to hold."""
    return _one_stop_a_size(sawn, shop, station, Work.RIP, Sets.WIDTH, lambda one: one.rip)


def plan_squaring(sawn: Sequence[Sawn], station: Station) -> StationPlan:
    """One run without a stop: one end of every piece cut square."""
    if not sawn:
        return StationPlan()
    return StationPlan((Run(0, station.name, Work.SQUARE, (), count_sawn(sawn), note=NOTES[Work.SQUARE]),))


def plan_crosscutting(sawn: Sequence[Sawn], shop: Shop, station: Station) -> StationPlan:
    """A run a length, longest first, so that what is too short for one stop still serves the next."""
    return _one_stop_a_size(sawn, shop, station, Work.CROSSCUT, Sets.LENGTH, lambda one: one.crosscut)


def _one_stop_a_size(
    sawn: Sequence[Sawn], shop: Shop, station: Station, work: Work, sets: Sets, size: Callable[[Sawn], Nm]
) -> StationPlan:
    if not sawn:
        return StationPlan()
    axis = station.axis(sets)
    if axis is None:
        text = f"the {station.name} has no stop for the {sets}; add an axis that sets {sets}"
        return StationPlan(faults=(Remark(station.name, text),))
    by_size: dict[Nm, list[Sawn]] = defaultdict(list)
    for one in sawn:
        by_size[size(one)].append(one)
    parts = {target: [one.part for one in here] for target, here in by_size.items()}
    runs, faults, warnings = [], [], []
    for target in sorted(by_size, reverse=True):
        stop = set_stop(axis, target, Move.SET, strictest_tolerance(parts[target], target))
        faults.append(out_of_reach(axis, station, target, parts[target], shop.show))
        warnings.append(coarse_scale(stop, parts[target], shop.show))
        runs.append(Run(0, station.name, work, (stop,), count_sawn(by_size[target]), note=NOTES[work]))
    return StationPlan(
        tuple(runs),
        len(runs),
        len(runs),
        True,
        len(runs) * axis.minutes,
        tuple(fault for fault in faults if fault),
        (
            *(warning for warning in warnings if warning),
            *nearly_equal(axis, parts, shop.limits.nearly_equal, shop.show),
        ),
    )
