"""How many settings the visits of a job need at least, whatever their order: the bound that a sheet is held against."""

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterator, Sequence
from dataclasses import replace
from itertools import chain
from typing import TypeAlias

from stopwright.model.stations import Shop
from stopwright.plan.run_sheet import AllStanding, Run
from stopwright.plan.schedule import Visit
from stopwright.plan.stations.moves import ShopStop, stops_of

Group: TypeAlias = tuple[Visit, ...]
"""Visits of one station that got one order; the bound of all of them stands with the first."""


def of_what_is_left(visits: Sequence[Visit], followed: Sequence[Run], shop: Shop, standing: AllStanding) -> list[Visit]:
    """The visits without the runs that fell away because an earlier one had done their work already.

    A bound was made for all runs of its group; for those that are left only the places are certain at which nothing
    stood.
    """
    ids = {run.id for run in followed}
    left = [replace(visit, runs=tuple(run for run in visit.runs if run.id in ids)) for visit in visits]
    changed = {one.group for one, two in zip(visits, left, strict=True) if len(one.runs) > len(two.runs)}
    if not changed:
        return left
    stops = tuple(stops_of(shop))
    certain = {
        here[0].group: _distinct(stops, [run for visit in here for run in visit.runs], standing)
        for here in _groups(left)
    }
    return [replace(one, least=min(one.least, certain[one.group])) if one.group in changed else one for one in left]


def least_settings(visits: Sequence[Visit], shop: Shop, standing: AllStanding) -> int:
    """The settings that the visits need at least: those of each group, less what groups may spare each other.

    A place at which a stop stands may serve the next group, so a group is spared what it has in common with those
    before it, as many as the stop holds. A stop that several stations read may be moved in between, so each of its
    uses that another group has too may be spared. And each place is set once at least, unless it stood before.
    """
    stops = tuple(stops_of(shop))
    groups = list(_groups(visits))
    uses = [_uses(stops, [run for visit in group for run in visit.runs]) for group in groups]
    before: list[set[Hashable]] = [set() for _ in stops]
    spared = 0
    for place, group in enumerate(groups):
        others = uses[:place] + uses[place + 1 :]
        shared = 0
        for number, stop in enumerate(stops):
            here = uses[place][number]
            if stop.is_shared:
                elsewhere = set(chain.from_iterable(other[number] for other in others))
                shared += sum(times for one, times in here.items() if one in elsewhere)
            else:
                shared += min(len(here.keys() & before[number]), stop.holds)
            before[number] |= here.keys()
        spared += min(shared, sum(visit.least for visit in group))
    in_all = sum(visit.least for visit in visits) - spared
    return max(in_all, _distinct(stops, [run for visit in visits for run in visit.runs], standing))


def _groups(visits: Sequence[Visit]) -> Iterator[Group]:
    found: dict[Hashable, list[Visit]] = defaultdict(list)
    for visit in visits:
        found[visit.group].append(visit)
    yield from map(tuple, found.values())


def _uses(stops: Sequence[ShopStop], runs: Sequence[Run]) -> list[Counter[Hashable]]:
    """Of each stop the places at which these runs use it, and how often."""
    return [Counter(stop.place_of(runs[at], use) for at, use in stop.uses_in(runs)) for stop in stops]


def _distinct(stops: Sequence[ShopStop], runs: Sequence[Run], standing: AllStanding) -> int:
    """The places at which stops of these runs must stand and did not stand before."""
    return sum(
        stop.is_set([place], standing)[0]
        for stop, places in zip(stops, _uses(stops, runs), strict=True)
        for place in places
    )
