"""Jointer and thickness planer: one face and one edge true, then every thickness at as few heights as possible."""

from collections.abc import Iterable, Iterator, Sequence

from stopwright.lengths import INCH, MM, Nm, format_length
from stopwright.model.parts import Kind, LooseTenon, Part
from stopwright.model.stations import Sets, Shop, Station, Work
from stopwright.plan.run_sheet import Move, Remark, Run
from stopwright.plan.sourcing.shop_figures import about
from stopwright.plan.stations.station_plan import StationPlan
from stopwright.plan.stations.stop_settings import axis_remarks, count_pieces, set_stop, strictest_tolerance
from stopwright.plan.stations.thickness import joins_at, planing_heights
from stopwright.plan.timber.sawn import Rough, count_sawn

QUARTER_SCALE: tuple[tuple[Nm, Nm], ...] = tuple(
    (quarters * INCH // 4, planed * INCH // 16) for quarters, planed in ((4, 13), (5, 17), (6, 21), (8, 28))
)
"""Rough thickness and what it planes to, nm: 4/4 → 13/16, 5/4 → 1 1/16, 6/4 → 1 5/16, 8/4 → 1 3/4 (guild Q&A, S)."""

GREATEST_SAFE_CUT: Nm = 32 * MM // 10
"""No pass may take off more than 3.2 mm (insurer's sheet, S)."""
GREATEST_SAFE_CUT_UP_TO: Nm = 140 * MM
"""So much only on stock up to 140 mm wide (training sheet, C)."""


def rough_from_quarter_scale(finished: Nm) -> Nm:
    """The rough thickness to get for a finished one, nm; beyond 8/4 the next quarter that leaves 1/4 in.

    >>> rough_from_quarter_scale(22 * MM) / INCH  # 22 mm is more than 13/16 in, so 5/4
    1.25
    """
    for rough, planed in QUARTER_SCALE:
        if finished <= planed:
            return rough
    quarter = INCH // 4
    return -(-(finished + quarter) // quarter) * quarter


def plan_jointing(parts: Sequence[Part], station: Station) -> StationPlan:
    """One run without a stop: face side and face edge of every solid part are made true."""
    solid = [part for part in parts if part.kind is not Kind.SHEET]
    if not solid:
        return StationPlan()
    note = "one face side and one face edge true; mark them"
    return StationPlan((Run(0, station.name, Work.JOINT, (), count_pieces(solid), note=note),))


def plan_planing(rough: Sequence[Rough], shop: Shop, station: Station) -> StationPlan:
    """A run a height, thick to thin, each set once.

    A run holds all pieces still thicker than its height, from the first height below their rough thickness on.
    """
    worked = [one for one in rough if one.thickness > one.part.thickness]
    axis = station.axis(Sets.THICKNESS)
    doubtful = (*_too_deep(shop, station), *_better_resawn(worked, shop, station))
    if not worked:
        return StationPlan(warnings=doubtful)
    if axis is None:
        text = f"the {station.name} has no height to set; add an axis that sets thickness"
        return StationPlan(faults=(Remark(station.name, text),))
    heights = planing_heights([(one.thickness, one.part.thickness) for one in worked], station.greatest_cut, axis.step)
    finished = {height: _distinct(one.part for one in worked if one.part.thickness == height) for height in heights}
    runs = []
    for height in heights:
        here = [one for one in worked if one.part.thickness <= height <= joins_at(one.thickness, heights)]
        done = finished[height]
        stop = set_stop(axis, height, Move.SET, _allowed(done, height, shop))
        note = f"finished thickness of {', '.join(part.mark for part in done)}" if done else "on the way down"
        runs.append(Run(0, station.name, Work.PLANE, (stop,), count_sawn(here), note=note))
    faults, warnings = axis_remarks(axis, station, {h: parts for h, parts in finished.items() if parts}, shop)
    return StationPlan(tuple(runs), len(runs), True, faults, (*warnings, *doubtful))


def _allowed(parts: Sequence[Part], height: Nm, shop: Shop) -> Nm | None:
    """± what the strictest part allows; a loose tenon half its fit, for it must go into a slot as wide as the bit."""
    allowed = strictest_tolerance(parts, height)
    if allowed and shop.tenon.fit and any(isinstance(part, LooseTenon) for part in parts):
        return min(allowed, shop.tenon.fit // 2)
    return allowed


def _distinct(parts: Iterable[Part]) -> list[Part]:
    return list({part.mark: part for part in parts}.values())


def too_short_to_plane(runs: Sequence[Run], shop: Shop) -> Iterator[Remark]:
    """Workpieces that the feed rollers cannot carry, as long as they are when they come to the planer."""
    stations = {station.name: station for station in shop.stations}
    told: set[str] = set()
    for run in runs:
        rollers = stations[run.station].rollers
        for lot in run.takes if run.work is Work.PLANE else ():
            if lot.length < rollers and lot.name not in told:
                told.add(lot.name)
                long, apart = format_length(lot.length, shop.show), format_length(rollers, shop.show)
                text = f"{lot.name}: {long} long, the feed rollers of the {run.station} are {apart} apart"
                marks = ", ".join(mark for mark, _ in lot.becomes)
                yield Remark(marks, f"{text}; plane it as a longer piece and crosscut after")


def _too_deep(shop: Shop, station: Station) -> Iterator[Remark]:
    if station.greatest_cut > GREATEST_SAFE_CUT:
        text = f"takes {format_length(station.greatest_cut, shop.show)} in one pass, more than "
        yield Remark(station.name, f"{text}{about(GREATEST_SAFE_CUT, shop.show)}; set a smaller greatest cut")


def _better_resawn(worked: Sequence[Rough], shop: Shop, station: Station) -> Iterator[Remark]:
    """Pieces from wood so thick that sawn flat it would give two, each with a cut of the planer left to take off."""
    saw = shop.station_for(Work.RIP)
    for one in worked:
        if 2 * (one.part.thickness + station.greatest_cut) + (saw.kerf if saw else 0) <= one.wood:
            thick, away = (format_length(it, shop.show) for it in (one.wood, one.wood - one.part.thickness))
            come = "1 piece comes" if one.count == 1 else f"{one.count} pieces come"
            text = f"{come} from wood of {thick}, {away} of it planed away; resaw it first, or bring thinner wood"
            yield Remark(one.part.mark, text)
