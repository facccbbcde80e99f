"""The saw, station by station: every width at one fence position, one end square, every length at one stop."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from operator import attrgetter

from stopwright.lengths import Nm, format_length
from stopwright.model.parts import mark_order
from stopwright.model.stations import Axis, Sets, Shop, Station, Work
from stopwright.plan.run_sheet import Move, Remark, Run
from stopwright.plan.stations.moves import NOTHING, Standing, standing_at
from stopwright.plan.stations.station_plan import StationPlan
from stopwright.plan.stations.stop_settings import axis_remarks, set_stop, strictest_tolerance
from stopwright.plan.timber.sawn import Sawn, count_sawn

NOTES = {
    Work.RIP: "face edge against the fence, widest strips first",
    Work.SQUARE: "one end square: it becomes the marked end",
    Work.CROSSCUT: "marked end against the stop, longest first",
}


ripped_at: Callable[[Sawn], Nm] = attrgetter("rip")
crosscut_at: Callable[[Sawn], Nm] = attrgetter("crosscut")


def plan_ripping(sawn: Sequence[Sawn], shop: Shop, station: Station, standing: Standing = NOTHING) -> StationPlan:
    """A run a width, widest first, so that the rest of the board stays wide enough to hold; what stands goes first."""
    return _one_stop_a_size(sawn, shop, station, Work.RIP, Sets.WIDTH, ripped_at, standing)


def plan_squaring(sawn: Sequence[Sawn], station: Station, lot: str = "", note: str = NOTES[Work.SQUARE]) -> StationPlan:
    """One run without a stop: one end of every strip, or of every blank, cut square."""
    if not sawn:
        return StationPlan()
    return StationPlan((Run(0, station.name, Work.SQUARE, (), count_sawn(sawn), note=note, lot=lot),))


def plan_rough_crosscut(sawn: Sequence[Sawn], shop: Shop, station: Station) -> StationPlan:
    """One run without a stop: what gets its length at the mitre is cut off by mark, the shop's allowance longer."""
    lengths = {one.part.mark: format_length(one.crosscut, shop.show) for one in sawn}
    note = "roughly, by mark: " + ", ".join(f"{mark} {lengths[mark]}" for mark in sorted(lengths, key=mark_order))
    return StationPlan((Run(0, station.name, Work.CROSSCUT, (), count_sawn(sawn), note=note, lot="rough"),))


def plan_crosscutting(sawn: Sequence[Sawn], shop: Shop, station: Station, standing: Standing = NOTHING) -> StationPlan:
    """A run a length, longest first, so that what is too short for one stop serves the next; what stands goes first."""
    return _one_stop_a_size(sawn, shop, station, Work.CROSSCUT, Sets.LENGTH, crosscut_at, standing)


def saw_remarks(
    sawn: Sequence[Sawn], axis: Axis, shop: Shop, station: Station, size: Callable[[Sawn], Nm]
) -> tuple[tuple[Remark, ...], tuple[Remark, ...]]:
    """Faults and warnings of a saw's axis for the sizes that these pieces need there."""
    return axis_remarks(
        axis, station, {t: [one.part for one in here] for t, here in _by_size(sawn, size).items()}, shop
    )


def _one_stop_a_size(
    sawn: Sequence[Sawn],
    shop: Shop,
    station: Station,
    work: Work,
    sets: Sets,
    size: Callable[[Sawn], Nm],
    standing: Standing,
) -> StationPlan:
    if not sawn:
        return StationPlan()
    axis = station.axis(sets)
    if axis is None:
        text = f"the {station.name} has no stop for the {sets}; add an axis that sets {sets}"
        return StationPlan(faults=(Remark(station.name, text),))
    by_size = _by_size(sawn, size)
    runs = []
    stands = standing_at(standing, station, [axis]).get(axis.name, set())
    for target in sorted(by_size, key=lambda target: (target not in stands, -target)):
        here = by_size[target]
        stop = set_stop(axis, target, Move.SET, strictest_tolerance([one.part for one in here], target))
        runs.append(Run(0, station.name, work, (stop,), count_sawn(here), note=NOTES[work]))
    faults, warnings = saw_remarks(sawn, axis, shop, station, size)
    least = len(by_size.keys() - stands)
    return StationPlan(tuple(runs), least, True, faults, warnings)


def _by_size(sawn: Sequence[Sawn], size: Callable[[Sawn], Nm]) -> dict[Nm, list[Sawn]]:
    by_size: dict[Nm, list[Sawn]] = defaultdict(list)
    for one in sawn:
        by_size[size(one)].append(one)
    return by_size
