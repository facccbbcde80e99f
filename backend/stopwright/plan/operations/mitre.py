"""Mitre: how far off square the saw stands, where the stop stands, and which point touches it."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import cos, pi, radians, tan

from stopwright.lengths import INCH, Nm, format_length
from stopwright.model.gear import Blade
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds
from stopwright.model.parts import Hand, Kind, Part, mark_order
from stopwright.model.shaping import MeasuredTo, Mitre, MitrePoints
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import ACROSS_AT_A_SAW, BACK_TO_SQUARE
from stopwright.plan.operations.operation import (
    Operation,
    Setup,
    Setups,
    Stage,
    Task,
    Worked,
    as_the_stop_stands,
    at_station,
)
from stopwright.plan.operations.roles import ANGLE, LENGTH
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.pictures.crosscut import draw_crosscut
from stopwright.plan.run_sheet import Angle, Form, Lot, Move, Pieces, Remark, Run
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.stop_settings import axis_remarks, count_pieces, set_stop, strictest_tolerance
from stopwright.plan.timber.way import Way

WORK = "mitre"


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


def _setups(task: Task) -> Setups:
    """First ends without a stop, then second ends at the stop; the notes say which edge lies at the fence."""
    if not task.job.mitres:
        return Setups()
    return at_station(task.shop, WORK, lambda station: mitre_setups(task.job, task.shop, station))


def mitre_setups(job: Job, shop: Shop, station: Station) -> Setups:
    """The setups of all mitres at a saw; second ends after their first ones, long before short where that is free."""
    angle, length = station.axis(ANGLE.name), station.axis(LENGTH.name)
    if angle is None or length is None:
        missing = "angle" if angle is None else "length"
        text = f"the {station.name} has no axis that sets the {missing}; add it, mitres need both angle and length"
        return Setups(faults=(Remark(station.name, text),))
    cuts = [mitre_cut(job, mitre) for mitre in sorted(job.mitres, key=lambda one: mark_order(one.part))]
    groups: dict[_Setting, list[Part]] = defaultdict(list)
    follows: set[tuple[_Setting, _Setting]] = set()
    for cut in cuts:
        steps = list(_settings(cut))
        for step in steps:
            groups[step].append(cut.part)
        follows |= set(pairwise(steps))
    places = {setting: place for place, setting in enumerate(groups)}
    setups = []
    targets: dict[Nm, list[Part]] = defaultdict(list)
    for setting, parts in groups.items():
        stops = [set_stop(angle, Angle(setting.degrees), Move.SET)]
        if setting.stop is not None:
            targets[setting.stop] += parts
            stops.append(set_stop(length, setting.stop, Move.SET, strictest_tolerance(parts, setting.stop)))
        run = Run(0, station.name, WORK, tuple(stops), _by_hand(parts), note=setting.note, lot=setting.end)
        setups.append(Setup(Stage.MITRE, (run,)))
    faults, warnings = axis_remarks(length, station, targets, shop)
    return Setups(
        tuple(setups),
        frozenset((places[first], places[second]) for first, second in follows),
        _long_before_short(list(groups)),
        faults=(*faults, *(fault for cut in cuts for fault in _faults(cut, shop))),
        warnings=(*warnings, *(warning for cut in cuts for warning in _warnings(cut, shop))),
    )


def _long_before_short(settings: Sequence[_Setting]) -> frozenset[tuple[int, int]]:
    return frozenset(
        (i, j)
        for i, one in enumerate(settings)
        for j, two in enumerate(settings)
        if one.degrees == two.degrees and (one.stop or 0) > (two.stop or 0) > 0
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


def _faults(cut: MitreCut, shop: Shop) -> Iterator[Remark]:
    if min(cut.stop, cut.short_point) >= 0 or cut.mitre.points is MitrePoints.PARALLEL:
        return
    long = format_length(cut.long_point, shop.show)
    if cut.mitre.ends is RailEnds.BOTH:
        text = f"the two mitres meet: {long} from long point to long point"
    else:
        text = f"the mitre runs out beyond the square end: {long} from long point to square end"
    yield Remark(cut.part.mark, f"{text} is too short for its width; lengthen the part or mitre it narrower")


def _warnings(cut: MitreCut, shop: Shop) -> Iterator[Remark]:
    measured = cut.short_point if cut.mitre.length is MeasuredTo.SHORT_POINT else cut.long_point
    if cut.mitre.opening is not None and cut.part.length != measured:
        wanted, given = format_length(measured, shop.show), format_length(cut.part.length, shop.show)
        text = f"the opening wants {wanted} to the {cut.mitre.length}, the part list says {given}; {wanted} is planned"
        yield Remark(cut.part.mark, text)


def _follow(way: Way, run: Run, _: Station) -> Worked:
    """Blanks and pieces pass the saw; at its last mitre a piece gets its finished length."""

    def cut(mark: str) -> Callable[[Lot], Lot]:
        length, width, _ = way.finished[mark]
        return lambda lot: replace(lot, form=Form.PIECE, length=length, width=width)

    return way.worked_pieces(run, cut if way.closes(run) else None)


def _reason(run: Run, _: Sequence[Run], __: Sequence[Run], ___: Shop) -> Iterator[str]:
    angle = next((stop for stop in run.stops if stop.sets == ANGLE.name), None)
    if angle and angle.move is Move.STANDS:
        yield "the angle stands from the run before"
    elif angle:
        yield "all of one angle follow each other, so it is set once"


def _picture(canvas: Canvas, run: Run, job: Job, flips: FlipStops | None) -> None:
    draw_crosscut(canvas, run, job, flips)


OPERATION = Operation(
    work=WORK,
    stage=Stage.MITRE,
    title="mitre",
    comes_to="cuts",
    roles=(ANGLE, LENGTH),
    gear=(Blade,),
    asked=(Mitre,),
    setups=_setups,
    follow=_follow,
    measured=as_the_stop_stands,
    cautions=(*ACROSS_AT_A_SAW, BACK_TO_SQUARE),
    reason=_reason,
    picture=_picture,
)
