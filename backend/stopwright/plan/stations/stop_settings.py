"""Where a stop is set: target, scale reading, and what the nearest graduation is off by."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from stopwright.lengths import Nm, Show, format_difference, format_length, nearest
from stopwright.model.parts import Part, mark_order
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan.run_sheet import Angle, Move, Pieces, Position, Remark, Stop
from stopwright.plan.stations.tolerances import general_tolerance


def set_stop(axis: Axis, target: Position, move: Move, tolerance: Nm | None = None, to_mark: str = "") -> Stop:
    """The stop of one run at `target`: reading = target + zero, at the nearest graduation of the scale.

    Piece between stop and blade, so the kerf does not enter. The residual is what the piece comes out too long
    because the scale has no finer mark. Without a scale the stop is set to `to_mark` and the reading is the target.
    Angles and names (a cutter) have no residual. Another target at the same mark lies within half a step of it, also
    where a trial piece has brought the stop there: what the tolerance leaves room for needs no setting of its own.

    >>> from stopwright.lengths import MM
    >>> from stopwright.model.stations import Sets
    >>> fence = Axis("rip fence", "width", step=MM // 2, zero=MM)
    >>> stop = set_stop(fence, 83_700_000, Move.SET)
    >>> stop.reading, stop.residual  # 83.7 + 1 = 84.7; the nearest half millimetre is 84.5
    (84500000, -200000)
    >>> [set_stop(fence, 83_700_000, Move.SET, allowed).any_at_mark for allowed in (449_999, 450_000)]
    [False, True]
    """
    if isinstance(target, Angle | str):
        return Stop(axis.name, axis.sets, target, target, move)
    if axis.step is None:
        return Stop(axis.name, axis.sets, target, target, move, tolerance=tolerance, to_mark=to_mark)
    reading = nearest(target + axis.zero, axis.step)
    residual = reading - axis.zero - target
    any_at_mark = tolerance is not None and abs(residual) + axis.step // 2 <= tolerance
    return Stop(axis.name, axis.sets, target, reading, move, residual, tolerance, any_at_mark=any_at_mark)


def strictest_tolerance(parts: Iterable[Part], size: Nm) -> Nm | None:
    """± what the strictest of the parts allows at this size, in nm: its own tolerance, else ISO 2768-1 class m."""
    allowed = [part.tolerance or general_tolerance(size) for part in parts]
    return min((one for one in allowed if one is not None), default=None)


def count_pieces(parts: Iterable[Part]) -> tuple[Pieces, ...]:
    """All pieces of these parts, a line a part, in the order of their marks: A … Z, AA …"""
    return tuple(
        Pieces(part.mark, part.name, part.quantity) for part in sorted(parts, key=lambda part: mark_order(part.mark))
    )


def axis_remarks(
    axis: Axis, station: Station, targets: Mapping[Nm, Sequence[Part]], shop: Shop
) -> tuple[tuple[Remark, ...], tuple[Remark, ...]]:
    """Faults and warnings of an axis for its targets (nm) and the parts finished at each.

    A fault: the axis does not reach. Warnings: the scale's nearest mark is off by more than a part allows, or two
    targets are so near each other that they are probably meant to be the same; they are never merged silently.
    """
    faults, warnings = [], []
    for target, parts in sorted(targets.items(), reverse=True):
        reading = target if axis.step is None else target + axis.zero
        if not axis.low <= reading <= axis.high:
            faults.append(Remark(_marks(parts), _out_of_reach(axis, station, target, reading, shop.show)))
        stop = set_stop(axis, target, Move.SET, strictest_tolerance(parts, target))
        if stop.tolerance is not None and abs(stop.residual) > stop.tolerance:
            warnings.append(Remark(_marks(parts), _coarse_scale(stop, stop.tolerance, shop.show)))
    limit = max(2 * (axis.step or 0), shop.limits.nearly_equal)
    for low, high in pairwise(sorted(targets)):
        if high - low < limit:
            one, other = (set_stop(axis, at, Move.SET, strictest_tolerance(targets[at], at)) for at in (low, high))
            text = f"differ by {format_difference(high - low, shop.show)} in {axis.sets}. Meant to be the same? "
            text += _if_equal(one, other, shop.show)
            warnings.append(Remark(_marks([*targets[low], *targets[high]]), text))
    return tuple(faults), tuple(warnings)


def cannot_be_set(station: Station, needed: Iterable[str]) -> list[Remark]:
    """A fault for everything that a work needs set and the station has no axis for: its number would be missing."""
    return [
        Remark(station.name, f"the {station.name} has no {sets} to set; add an axis that sets {sets}")
        for sets in dict.fromkeys(needed)
        if station.axis(sets) is None
    ]


def _if_equal(one: Stop, other: Stop, show: Show) -> str:
    """What it would change if two targets were one."""
    if one.reads != other.reads:
        return "Made equal, they save a setting"
    both = f"Both are read as {format_length(one.reads, show)}"
    return both if one.place == other.place else f"{both}, and only a trial piece tells them apart"


def _out_of_reach(axis: Axis, station: Station, target: Nm, reading: Nm, show: Show) -> str:
    span = f"{format_length(axis.low, show)} to {format_length(axis.high, show)}"
    reads = f" (it would read {format_length(reading, show)})" if reading != target else ""
    text = f"{format_length(target, show)}{reads} is out of reach of the {axis.name} of the {station.name}, {span}"
    return f"{text}; work these pieces another way, or correct the shop"


def _coarse_scale(stop: Stop, tolerance: Nm, show: Show) -> str:
    off = f"the nearest mark of the {stop.axis} is {format_difference(abs(stop.residual), show)} off"
    return f"{off}, ±{format_difference(tolerance, show)} is allowed; set it by a trial piece"


def _marks(parts: Iterable[Part]) -> str:
    return ", ".join(sorted({part.mark for part in parts}, key=mark_order))
