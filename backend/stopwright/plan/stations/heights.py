"""Heights of a planer or drum sander: every thickness at as few as possible, thick to thin, each set once."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from stopwright.lengths import Nm, format_length
from stopwright.model.gear import Throat
from stopwright.model.parts import LooseTenon, Part
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan.operations.operation import Setup, Setups, Stage, Worked
from stopwright.plan.operations.roles import THICKNESS
from stopwright.plan.run_sheet import Form, Move, Remark, Run
from stopwright.plan.sourcing.shop_figures import own_show
from stopwright.plan.stations.sawing import PANELS
from stopwright.plan.stations.stop_settings import axis_remarks, set_stop, strictest_tolerance
from stopwright.plan.stations.thickness import joins_at, planing_heights
from stopwright.plan.timber.rack import Stack
from stopwright.plan.timber.sawn import Rough, count_sawn
from stopwright.plan.timber.way import Way, target_of


@dataclass(frozen=True, slots=True)
class Down:
    """How a station brings wood down: its work, the most that a pass takes off (nm), what is said of a last height."""

    work: str
    greatest_cut: Nm
    note: Callable[[Sequence[Part]], str]


def heights_down(
    rough: Sequence[Rough], shop: Shop, station: Station, down: Down, stage: Stage, lot: str = ""
) -> Setups:
    """A run a height for all that is thicker than it is to leave the station, thick to thin, each height once."""
    worked = [one for one in rough if one.thickness > one.part.thickness]
    axis = station.axis(THICKNESS.name)
    if not worked:
        return Setups()
    if axis is None:
        text = f"the {station.name} has no height to set; add an axis that sets thickness"
        return Setups(faults=(Remark(station.name, text),))
    stops = {
        thickness: set_stop(axis, thickness, Move.SET, _allowed(done, thickness, shop))
        for thickness, done in _finished(worked).items()
    }
    heights = planing_heights(
        [(one.thickness, one.part.thickness) for one in worked],
        down.greatest_cut,
        axis.step,
        axis.zero,
        lambda thickness: thickness + stops[thickness].off,
    )
    finished = _finished(worked)
    setups = []
    for height in heights:
        here = [one for one in worked if one.part.thickness <= height <= joins_at(one.thickness, heights)]
        done = finished.get(height, [])
        stop = stops.get(height) or set_stop(axis, height, Move.SET)
        note = down.note(done) if done else "on the way down"
        run = Run(0, station.name, down.work, (stop,), count_sawn(here), note=note, lot=lot)
        setups.append(Setup(stage, (run,)))
    faults, warnings = axis_remarks(axis, station, finished, shop)
    between = _between_marks(
        [height for height in heights if height not in stops], axis, down.greatest_cut, station, shop
    )
    in_order = frozenset(pairwise(range(len(setups))))
    return Setups(tuple(setups), in_order, faults=faults, warnings=(*warnings, *between))


def _allowed(parts: Sequence[Part], height: Nm, shop: Shop) -> Nm | None:
    """± what the strictest part allows; a loose tenon half its fit, for it must go into a slot as wide as the bit."""
    allowed = strictest_tolerance(parts, height)
    if allowed and shop.tenon.fit and any(isinstance(part, LooseTenon) for part in parts):
        return min(allowed, shop.tenon.fit // 2)
    return allowed


def _finished(worked: Iterable[Rough]) -> dict[Nm, list[Part]]:
    """The parts by their finished thickness, each once."""
    finished: dict[Nm, dict[str, Part]] = defaultdict(dict)
    for one in worked:
        finished[one.part.thickness][one.part.mark] = one.part
    return {thickness: list(parts.values()) for thickness, parts in finished.items()}


def _between_marks(
    on_the_way: Iterable[Nm], axis: Axis, greatest_cut: Nm, station: Station, shop: Shop
) -> Iterator[Remark]:
    """Heights on the way down that the scale cannot show, for from mark to mark is more than the greatest cut."""
    if axis.step and any((height + axis.zero) % axis.step for height in on_the_way):
        step, cut = (format_length(one, own_show(shop)) for one in (axis.step, greatest_cut))
        text = f"the marks of the {axis.name} are {step} apart, the greatest cut is {cut}; set the heights on the way "
        yield Remark(station.name, f"{text}down between the marks, by a trial cut")


def come_down(way: Way, run: Run, last: Callable[[Stack], Nm]) -> Worked:
    """Every board, or panel, that is still thicker comes down to the run's height; `last` is how thin a board may get.

    Sheets are neither planed nor calibrated.
    """
    height = target_of(run, THICKNESS.name)
    if height is None:
        return [], []
    if run.lot == PANELS:
        return way.panels(run, lambda lot: replace(lot, thickness=height))
    here = [one for one in way.stacks if not one.is_sheet and last(one) <= height < one.lot.thickness]
    takes = [stack.lot for stack in here]
    for stack in here:
        stack.lot = replace(stack.lot, thickness=height)
    return takes, [stack.lot for stack in here]


def too_wide_for(work: str, runs: Sequence[Run], shop: Shop, instead: str) -> Iterator[Remark]:
    """Boards wider than what passes through the station of a work, each told of once, and what to do `instead`.

    A panel is glued in sub-panels that pass, or has a fault.
    """
    stations = {station.name: station for station in shop.stations}
    told: set[str] = set()
    for run in runs:
        widest = stations[run.station].of(Throat).widest
        for lot in run.takes if run.work == work and widest is not None else ():
            if lot.width > (widest or 0) and lot.name not in told and lot.form is not Form.PANEL:
                told.add(lot.name)
                wide, most = format_length(lot.width, shop.show), format_length(widest or 0, shop.show)
                text = f"{lot.name}: {wide} wide, the {run.station} takes {most}; {instead}"
                yield Remark(", ".join(mark for mark, _ in lot.becomes), text)
