"""The sliding table, part by part: fence and flip stops both stand right for every part, in the best order."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from stopwright.lengths import Nm
from stopwright.model.counts import counted
from stopwright.model.job import Flow, Job
from stopwright.model.parts import Kind, row_of
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.operation import Setup, Setups, Stage
from stopwright.plan.operations.roles import LENGTH, WIDTH
from stopwright.plan.ordering.flip_stops import bound_stops
from stopwright.plan.run_sheet import Move, Remark, Run
from stopwright.plan.stations.runs_long import runs_long
from stopwright.plan.stations.sawing import CROSSCUT, NOTES, RIP, SQUARE, crosscut_at, rip_note, ripped_at, saw_remarks
from stopwright.plan.stations.stop_settings import set_stop, strictest_tolerance
from stopwright.plan.timber.sawn import Sawn, count_sawn


def can_go_part_by_part(station: Station) -> bool:
    """True for a saw that rips and crosscuts, with a stop for the width and one for the length."""
    both = RIP in station.work and CROSSCUT in station.work
    return both and station.axis(WIDTH.name) is not None and station.axis(LENGTH.name) is not None


def by_flow(sawn: Sequence[Sawn], job: Job, shop: Shop, flow: Flow) -> tuple[list[Sawn], list[Sawn]]:
    """What goes part by part, and what station by station: all that gets its length after the fence and the stop.

    That is what is moulded while it is long, what is mitred, and strips that are as wide as their boards.
    """
    saw = shop.station_for(RIP)
    if flow is Flow.STATION_BY_STATION or saw is None or not can_go_part_by_part(saw):
        return [], list(sawn)
    last = {mitre.part for mitre in job.mitres} | {part.mark for part in job.parts if part.kind is Kind.MOULDING}
    last.update(mark for one in job.mouldings for mark in one.parts if runs_long(one, job.part(mark)))
    last.update(part.mark for part in job.parts if row_of(part) is not None)
    now = [one for one in sawn if one.part.mark not in last]
    return now, [one for one in sawn if one.part.mark in last]


def became_station_by_station(sawn: Sequence[Sawn], shop: Shop, flow: Flow) -> Iterator[Remark]:
    """Said of a shop whose saw cannot go part by part, where that was asked for."""
    saw = shop.station_for(RIP)
    if flow is Flow.PART_BY_PART and sawn and saw is not None and not can_go_part_by_part(saw):
        text = "cannot go part by part: for that one saw rips and crosscuts, with stops for both width and length"
        yield Remark(saw.name, f"{text}; the plan goes station by station")


def part_by_part(sawn: Sequence[Sawn], with_them: Sequence[Sawn], shop: Shop, station: Station) -> Setups:
    """Rip, square and crosscut one size after the other: a setup of three runs for each distinct (width, length).

    Strips that get their length later, `with_them`, are ripped at the first setup of their width; which that is,
    and which stops stand already, is told when the order is known. The station must be one that `can_go_part_by_part`.
    """
    fence, stops = station.axis(WIDTH.name), station.axis(LENGTH.name)
    if not sawn or fence is None or stops is None:
        return Setups()
    sizes: dict[tuple[Nm, Nm], list[Sawn]] = defaultdict(list)
    for one in sawn:
        sizes[(one.rip, one.crosscut)].append(one)
    setups = []
    for (width, length), here in sorted(sizes.items(), reverse=True):
        together = [*here, *(one for one in with_them if one.rip == width)]
        rip, crosscut = (
            set_stop(axis, target, Move.SET, strictest_tolerance([one.part for one in worked], target))
            for axis, target, worked in ((fence, width, together), (stops, length, here))
        )
        pieces, size = count_sawn(here), (width, length)
        runs = (
            Run(0, station.name, RIP, (rip,), count_sawn(together), note=rip_note(together), size=size),
            Run(0, station.name, SQUARE, (), pieces, note=NOTES[SQUARE], size=size),
            Run(0, station.name, CROSSCUT, (crosscut,), pieces, note=NOTES[CROSSCUT], size=size),
        )
        setups.append(Setup(Stage.WIDTH, runs))
    fence_faults, fence_warnings = saw_remarks([*sawn, *with_them], fence, shop, station, ripped_at)
    stop_faults, stop_warnings = saw_remarks(sawn, stops, shop, station, crosscut_at)
    return Setups(
        tuple(setups),
        wide_first=True,
        faults=fence_faults + stop_faults,
        warnings=fence_warnings + stop_warnings,
    )


def flip_stop_note(sawn: Sequence[Sawn], station: Station) -> str:
    """How many flip stops would set nothing twice part by part, against those the saw has; empty if it cannot.

    Exact up to some 20 widths, and said so where it is not.
    """
    stops = station.axis(LENGTH.name)
    if not sawn or stops is None or not can_go_part_by_part(station):
        return ""
    needed = bound_stops({(one.rip, one.crosscut) for one in sawn})
    exact = needed.least == needed.enough
    count = counted(needed.enough, "flip stop")
    return f"Part by part {'' if exact else 'at most '}{count} would set nothing twice; this saw has {stops.holds}."
