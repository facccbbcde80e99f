"""Mitres: how far off square the saw stands, where the stop stands, and which point touches it."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import cos, pi, radians, tan

from stopwright.lengths import INCH, Nm, format_length
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds
from stopwright.model.parts import Hand, Kind, Part, mark_order
from stopwright.model.shaping import MeasuredTo, Mitre, MitrePoints
from stopwright.model.stations import Sets, Shop, Station, Work
from stopwright.plan.effort import Effort
from stopwright.plan.run_sheet import Angle, Move, Pieces, Remark, Run
from stopwright.plan.sequence import Order, order_runs
from stopwright.plan.stations.moves import sequence_axis
from stopwright.plan.stations.station_plan import StationPlan
from stopwright.plan.stations.stop_settings import axis_remarks, count_pieces, set_stop, strictest_tolerance


def lead(width: Nm, degrees: Fraction) -> Nm:
    """How far the long point of one mitre lies beyond its short point: width × tan, nm."""
    return round(width * tan(radians(degrees)))


def long_point(short_point: Nm, width: Nm, degrees: Fraction, mitres: int = 2) -> Nm:
    """Length from long point to long point of a piece mitred at both ends (or at one), nm.

    >>> from stopwright.lengths import MM
    >>> long_point(200 * MM, 10 * MM, Fraction(45)) // MM, long_point(250 * MM, 10 * MM, Fraction(45)) // MM
    (220, 270)
    """
    return short_point + mitres * lead(width, degrees)


def frame_stop(opening: Nm, rebate_to_edge: Nm, degrees: Fraction = Fraction(45), ease: Nm = INCH // 16) -> Nm:
    """Where the stop stands for one side of a frame with a rebate: opening + 1/16 in + 2 × (rebate to outer edge).

    For other frames than square ones the rebate's distance counts as often as the tangent says.

    >>> from stopwright.lengths import MM
    >>> frame_stop(200 * MM, 12 * MM) / MM  # 200 + 1.5875 + 24
    225.5875
    """
    return opening + ease + 2 * lead(rebate_to_edge, degrees)


def kerf_along_fence(kerf: Nm, degrees: Fraction) -> Nm:
    """What one mitre cut takes of the stick, measured along the fence: kerf / cos, nm.

    >>> kerf_along_fence(3_000_000, Fraction(60))
    6000000
    """
    return round(kerf / cos(pi * degrees / 180))


@dataclass(frozen=True, slots=True)
class MitreCut:
    """How one mitred part is cut: long-point and short-point length and where the stop stands, nm."""

    mitre: Mitre
    part: Part
    long_point: Nm
    short_point: Nm
    stop: Nm
    turns_over: bool


def mitre_cut(job: Job, mitre: Mitre) -> MitreCut:
    """Lengths and stop of a mitred part.

    The long edge lies against the fence, so the stop measures from long point to long point; where the mitres are
    parallel it measures one edge. A profiled piece cannot be turned over, its second mitre is cut to the other hand.
    """
    part = job.part(mitre.part)
    each, both = lead(part.width, mitre.degrees), 1 if mitre.ends is not RailEnds.BOTH else 2
    if mitre.opening is not None:
        longest = frame_stop(mitre.opening, mitre.rebate_to_edge, mitre.degrees, mitre.ease)
    else:
        longest = part.length + (both * each if mitre.length is MeasuredTo.SHORT_POINT else 0)
    parallel = mitre.points is MitrePoints.PARALLEL and both == 2
    profiled = part.kind is Kind.MOULDING or any(part.mark in moulding.parts for moulding in job.mouldings)
    stop = longest - each if parallel else longest
    return MitreCut(mitre, part, longest, longest - both * each, stop, not (parallel or profiled))


@dataclass(frozen=True, slots=True)
class _Setting:
    """One set-up of the saw; `stop` None where the first mitre is cut without one. `end` tells apart what is cut."""

    degrees: Fraction
    stop: Nm | None
    end: str
    note: str


def plan_mitres(job: Job, shop: Shop, station: Station, effort: Effort | None = None) -> StationPlan:
    """The mitre runs: first ends without a stop, then second ends at the stop, each angle and stop set as seldom as
    the order allows. The notes say which edge lies at the fence and which point touches the stop.
    """
    if not job.mitres:
        return StationPlan()
    angle, length = station.axis(Sets.ANGLE), station.axis(Sets.LENGTH)
    if angle is None or length is None:
        missing = "angle" if angle is None else "length"
        text = f"the {station.name} has no axis that sets the {missing}; add it, mitres need both angle and length"
        return StationPlan(faults=(Remark(station.name, text),))
    cuts = [mitre_cut(job, mitre) for mitre in sorted(job.mitres, key=lambda one: mark_order(one.part))]
    groups: dict[_Setting, list[Part]] = defaultdict(list)
    follows: set[tuple[_Setting, _Setting]] = set()
    for cut in cuts:
        steps = list(_settings(cut))
        for step in steps:
            groups[step].append(cut.part)
        follows |= set(pairwise(steps))
    found = _order(list(groups), follows, angle.name, length.name, station, effort)
    runs = []
    for index, moves in zip(found.order, found.moves, strict=True):
        setting, parts = list(groups.items())[index]
        stops = [set_stop(angle, Angle(setting.degrees), _move(moves, angle.name))]
        if setting.stop is not None:
            tolerance = strictest_tolerance(parts, setting.stop)
            stops.append(set_stop(length, setting.stop, _move(moves, length.name), tolerance))
        runs.append(Run(0, station.name, Work.MITRE, tuple(stops), _by_hand(parts), note=setting.note, lot=setting.end))
    targets: dict[Nm, list[Part]] = defaultdict(list)
    for setting, parts in groups.items():
        if setting.stop is not None:
            targets[setting.stop] += parts
    faults, warnings = axis_remarks(length, station, targets, shop)
    return StationPlan(
        tuple(runs),
        found.least_possible,
        found.proven,
        (*faults, *(fault for cut in cuts for fault in _faults(cut, shop))),
        (*warnings, *(warning for cut in cuts for warning in _warnings(cut, shop))),
    )


def _by_hand(parts: Sequence[Part]) -> tuple[Pieces, ...]:
    """The pieces of these parts; of what comes in pairs one half lies mirrored: the other side on the table."""
    lines: list[Pieces] = []
    for pieces, part in zip(count_pieces(parts), sorted(parts, key=lambda one: mark_order(one.mark)), strict=True):
        if part.hand is Hand.PAIRS:
            half = replace(pieces, count=pieces.count // 2)
            lines += [half, replace(half, mirrored=True)]
        else:
            lines.append(pieces)
    return tuple(lines)


def _settings(cut: MitreCut) -> Iterator[_Setting]:
    degrees = cut.mitre.degrees
    if cut.mitre.ends is not RailEnds.BOTH:
        end = "other end" if cut.mitre.ends is RailEnds.MARKED else "marked end"
        note = f"long edge against the fence, square {end} touches the stop"
        yield _Setting(degrees, cut.stop, f"square {end}", note)
    elif cut.mitre.points is MitrePoints.PARALLEL:
        yield _Setting(degrees, None, "first end, parallel", "first end, without a stop")
        note = "same edge against the fence, slid along: its point touches the stop"
        yield _Setting(degrees, cut.stop, "second end, slid along", note)
    elif cut.turns_over:
        yield _Setting(degrees, None, "first end", "first end, without a stop: long edge against the fence")
        note = "turned over, long edge against the fence: the long point touches the stop"
        yield _Setting(degrees, cut.stop, "second end, turned over", note)
    else:
        note = "first end, without a stop, to the other hand: long edge against the fence"
        yield _Setting(-degrees, None, "first end, other hand", note)
        note = "not turned, long edge against the fence: the long point touches the stop"
        yield _Setting(degrees, cut.stop, "second end, not turned", note)


def _order(
    settings: list[_Setting],
    follows: set[tuple[_Setting, _Setting]],
    angle: str,
    length: str,
    station: Station,
    effort: Effort | None,
) -> Order:
    """The order of the cheapest settings; long before short at one angle, where that costs nothing."""
    axes = [sequence_axis(axis) for axis in station.axes if axis.name in (angle, length)]
    needs = [{angle: {one.degrees}} | ({} if one.stop is None else {length: {one.stop}}) for one in settings]
    before = sorted((settings.index(first), settings.index(second)) for first, second in follows)
    longest_first = [
        (i, j)
        for i, one in enumerate(settings)
        for j, two in enumerate(settings)
        if one.degrees == two.degrees and (one.stop or 0) > (two.stop or 0) > 0
    ]
    found = order_runs(needs, axes, effort, before=before)
    orderly = order_runs(needs, axes, effort, before=[*before, *longest_first])
    if orderly.cost > found.cost:
        return found
    return replace(found, order=orderly.order, moves=orderly.moves, settings=orderly.settings, cost=orderly.cost)


def _move(moves: dict[str, tuple[frozenset[object], frozenset[object]]], axis: str) -> Move:
    return Move.SET if moves[axis][0] else Move.STANDS


def _faults(cut: MitreCut, shop: Shop) -> Iterator[Remark]:
    if min(cut.stop, cut.short_point) < 0 and cut.mitre.points is not MitrePoints.PARALLEL:
        text = f"the two mitres meet: {format_length(cut.long_point, shop.show)} from long point to long point is too"
        yield Remark(cut.part.mark, f"{text} short for its width; lengthen the part or mitre it narrower")


def _warnings(cut: MitreCut, shop: Shop) -> Iterator[Remark]:
    measured = cut.short_point if cut.mitre.length is MeasuredTo.SHORT_POINT else cut.long_point
    if cut.mitre.opening is not None and cut.part.length != measured:
        wanted, given = format_length(measured, shop.show), format_length(cut.part.length, shop.show)
        text = f"the opening wants {wanted} to the {cut.mitre.length}, the part list says {given}; {wanted} is planned"
        yield Remark(cut.part.mark, text)
