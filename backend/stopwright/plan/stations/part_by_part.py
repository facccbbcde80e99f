"""The sliding table, part by part: fence and flip stops both stand right for every part, in the best order."""

from collections import defaultdict
from collections.abc import Sequence

from stopwright.lengths import Nm
from stopwright.model.counts import counted
from stopwright.model.stations import Sets, Shop, Station, Work
from stopwright.plan import sequence
from stopwright.plan.effort import Effort
from stopwright.plan.flip_stops import bound_stops
from stopwright.plan.run_sheet import Move, Run
from stopwright.plan.stations.moves import NOTHING, Standing, sequence_axis, standing_at
from stopwright.plan.stations.sawing import NOTES, crosscut_at, ripped_at, saw_remarks
from stopwright.plan.stations.station_plan import StationPlan
from stopwright.plan.stations.stop_settings import set_stop, strictest_tolerance
from stopwright.plan.timber.sawn import Sawn, count_sawn


def can_go_part_by_part(station: Station) -> bool:
    """True for a saw that rips and crosscuts, with a stop for the width and one for the length."""
    both = Work.RIP in station.work and Work.CROSSCUT in station.work
    return both and station.axis(Sets.WIDTH) is not None and station.axis(Sets.LENGTH) is not None


def plan_part_by_part(
    sawn: Sequence[Sawn],
    shop: Shop,
    station: Station,
    effort: Effort | None = None,
    standing: Standing = NOTHING,
    with_them: Sequence[Sawn] = (),
) -> StationPlan:
    """Rip, square and crosscut one size after the other, in the order with the least minutes of setting.

    Three runs for each distinct (width, length); which stops then stand already is told by `settle_moves`. Strips
    that get their length later, `with_them`, are ripped where the fence first stands at their width. The station must
    be one that `can_go_part_by_part`.
    """
    fence, stops = station.axis(Sets.WIDTH), station.axis(Sets.LENGTH)
    if not sawn or fence is None or stops is None:
        return StationPlan()
    sizes: dict[tuple[Nm, Nm], list[Sawn]] = defaultdict(list)
    for one in sawn:
        sizes[(one.rip, one.crosscut)].append(one)
    pairs = sorted(sizes, reverse=True)
    found = sequence.order_runs(
        [{fence.name: {rip}, stops.name: {crosscut}} for rip, crosscut in pairs],
        [sequence_axis(fence), sequence_axis(stops)],
        effort,
        standing=standing_at(standing, station, (fence, stops)),
    )
    runs: list[Run] = []
    strips: dict[Nm, list[Sawn]] = defaultdict(list)
    for one in with_them:
        strips[one.rip].append(one)
    for place in found.order if standing else _from_the_wide_end(found.order, pairs):
        width, length = pairs[place]
        here = sizes[width, length]
        together = [*here, *strips.pop(width, ())]
        rip, crosscut = (
            set_stop(axis, target, Move.SET, strictest_tolerance([one.part for one in worked], target))
            for axis, target, worked in ((fence, width, together), (stops, length, here))
        )
        pieces = count_sawn(here)
        size = (width, length)
        runs += [
            Run(0, station.name, Work.RIP, (rip,), count_sawn(together), note=NOTES[Work.RIP], size=size),
            Run(0, station.name, Work.SQUARE, (), pieces, note=NOTES[Work.SQUARE], size=size),
            Run(0, station.name, Work.CROSSCUT, (crosscut,), pieces, note=NOTES[Work.CROSSCUT], size=size),
        ]
    proven = found.proven and found.settings == found.least_possible
    fence_faults, fence_warnings = saw_remarks([*sawn, *with_them], fence, shop, station, ripped_at)
    stop_faults, stop_warnings = saw_remarks(sawn, stops, shop, station, crosscut_at)
    faults, warnings = fence_faults + stop_faults, fence_warnings + stop_warnings
    return StationPlan(tuple(runs), found.least_possible, proven, faults, warnings)


def _from_the_wide_end(order: Sequence[int], pairs: Sequence[tuple[Nm, Nm]]) -> list[int]:
    """The same settings with the wide and long as early as can be; lower places are wider, then longer.

    Sizes that share no stop, not even through others, are worked group after group in any order, and a group read
    backwards costs the same where nothing stands.
    """
    groups: list[list[int]] = []
    for place in order:
        near = [group for group in groups if any(set(pairs[place]) & set(pairs[other]) for other in group)]
        groups = [group for group in groups if group not in near]
        joined = {other for group in near for other in group} | {place}
        groups.append([other for other in order if other in joined])
    return [place for group in sorted(min(group, group[::-1]) for group in groups) for place in group]


def flip_stop_note(sawn: Sequence[Sawn], station: Station) -> str:
    """How many flip stops would set nothing twice part by part, against those the saw has; empty if it cannot.

    Exact up to some 20 widths, and said so where it is not.
    """
    stops = station.axis(Sets.LENGTH)
    if not sawn or stops is None or not can_go_part_by_part(station):
        return ""
    needed = bound_stops({(one.rip, one.crosscut) for one in sawn})
    exact = needed.least == needed.enough
    count = counted(needed.enough, "flip stop")
    return f"Part by part {'' if exact else 'at most '}{count} would set nothing twice; this saw has {stops.holds}."
