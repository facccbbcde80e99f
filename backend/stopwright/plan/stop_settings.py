"""Where a stop is set: target, scale reading, and what the nearest graduation is off by."""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from stopwright.lengths import Nm, Show, format_length, nearest
from stopwright.model.parts import Part
from stopwright.model.stations import Axis, Station
from stopwright.plan.run_sheet import Angle, Move, Pieces, Position, Remark, Stop
from stopwright.plan.tolerances import general_tolerance


def set_stop(axis: Axis, target: Position, move: Move, tolerance: Nm | None = None, to_mark: str = "") -> Stop:
    """The stop of one run at `target`: reading = target + zero, at the nearest graduation of the scale.

    Piece between stop and blade, so the kerf does not enter. The residual is what the piece comes out too long
    because the scale has no finer mark. Without a scale the stop is set to `to_mark` and the reading is the target.
    Angles and names (a cutter) have no residual.

    >>> from stopwright.lengths import MM
    >>> from stopwright.model.stations import Sets
    >>> fence = Axis("rip fence", Sets.WIDTH, step=MM // 2, zero=MM)
    >>> stop = set_stop(fence, 83_700_000, Move.SET)
    >>> stop.reading, stop.residual  # 83.7 + 1 = 84.7; the nearest half millimetre is 84.5
    (84500000, -200000)
    """
    if isinstance(target, Angle | str):
        return Stop(axis.name, axis.sets, target, target, move)
    if axis.step is None:
        return Stop(axis.name, axis.sets, target, target, move, tolerance=tolerance, to_mark=to_mark)
    reading = nearest(target + axis.zero, axis.step)
    return Stop(axis.name, axis.sets, target, reading, move, reading - axis.zero - target, tolerance)


def strictest_tolerance(parts: Iterable[Part], size: Nm) -> Nm | None:
    """± what the strictest of the parts allows at this size, in nm: its own tolerance, else ISO 2768-1 class m."""
    allowed = [part.tolerance or general_tolerance(size) for part in parts]
    return min((one for one in allowed if one is not None), default=None)


def count_pieces(parts: Iterable[Part]) -> tuple[Pieces, ...]:
    """All pieces of these parts, a line a part, in the order of their marks: A … Z, AA …"""
    return tuple(
        Pieces(part.mark, part.name, part.quantity)
        for part in sorted(parts, key=lambda part: (len(part.mark), part.mark))
    )


def out_of_reach(axis: Axis, station: Station, target: Nm, parts: Iterable[Part], show: Show) -> Remark | None:
    """The fault of a target that the axis does not reach, None if it does."""
    if axis.low <= target + axis.zero <= axis.high:
        return None
    span = f"{format_length(axis.low, show)} to {format_length(axis.high, show)}"
    text = f"the {axis.name} of the {station.name} reaches {span}, not {format_length(target, show)}"
    return Remark(_marks(parts), f"{text}; work these pieces another way, or correct the shop")


def coarse_scale(stop: Stop, parts: Iterable[Part], show: Show) -> Remark | None:
    """The warning of a residual beyond what the run allows, None within it."""
    if stop.tolerance is None or abs(stop.residual) <= stop.tolerance:
        return None
    return Remark(
        _marks(parts),
        f"the scale of the {stop.axis} is {format_length(abs(stop.residual), show)} off at its nearest mark, "
        f"± {format_length(stop.tolerance, show)} is allowed; set it with a trial piece",
    )


def nearly_equal(axis: Axis, targets: dict[Nm, list[Part]], least_difference: Nm, show: Show) -> Iterator[Remark]:
    """A question for every two neighbouring targets that are probably meant to be the same.

    Closer than twice the scale's step, or than `least_difference` (nm). They are never merged silently.
    """
    limit = max(2 * (axis.step or 0), least_difference)
    for low, high in pairwise(sorted(targets)):
        if high - low < limit:
            off = format_length(high - low, show)
            yield Remark(
                _marks([*targets[low], *targets[high]]),
                f"differ by {off} in {axis.sets}. Meant to be the same? With one {axis.sets} a setting is saved",
            )


def _marks(parts: Iterable[Part]) -> str:
    return ", ".join(sorted({part.mark for part in parts}, key=lambda mark: (len(mark), mark)))
