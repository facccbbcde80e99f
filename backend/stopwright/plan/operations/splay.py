"""Splay: ends that are not square across, through the thickness or both, for splayed legs and boxes that widen."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from math import asin, atan, cos, degrees, hypot, radians, sin, tan
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import Nm, format_length
from stopwright.model.cuts import Cut, asked
from stopwright.model.gear import Blade
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, RailEnds, Side
from stopwright.model.parts import Part
from stopwright.model.shaping import MitrePoints
from stopwright.model.solid import Solid
from stopwright.model.stations import Shop, Station
from stopwright.plan.joinery.hands import OUTWARD, cross
from stopwright.plan.operations.caution import ACROSS_AT_A_SAW, BACK_TO_SQUARE, Caution, always
from stopwright.plan.operations.operation import Operation, Setups, Stage, Task
from stopwright.plan.operations.roles import ANGLE, LENGTH, TILT
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.plan.pictures.crosscut import draw_crosscut
from stopwright.plan.run_sheet import Angle, Measured, Run
from stopwright.plan.stations.cut_helpers import ends_of, follow_pieces
from stopwright.plan.stations.cut_setups import CALLED, Lying, MayUse, Pass, Places, Wanted, plan_cuts
from stopwright.plan.stations.cut_words import why_like_this
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_sides import FACES, opposite

WORK = "splay"
STEEPEST_GAUGE = 60
"""Degrees off square that a mitre gauge can be set to (common practice)."""
STEEPEST_TILT = 45
"""Degrees that a saw blade tilts (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Splay(Cut):
    """Ends cut off square; the length in the list is the longest line, on `long_face` along `long_edge`.

    The sides of a closed box of so many `sides` stand at `slope` degrees from the level, 90 upright. Else `across` is
    how far off square the end runs over the face side, `through` how far over an edge, in degrees. With `points`
    parallel the other end is short where the marked end is long, as at a leg that stands askew between two levels.
    """

    kind: ClassVar[str] = "splay"
    letter: ClassVar[str] = "Y"

    ends: RailEnds = asked("Ends", "both, marked end or other end", RailEnds.BOTH)
    sides: int | None = asked("Sides of the box", "a closed box whose sides all lean alike; or give the angles", None)
    slope: Fraction | None = asked("Slope of the sides", "degrees from the level: 90 stands upright", None)
    across: Fraction | None = asked("Off square, across", "degrees, seen on the face side", None)
    through: Fraction | None = asked("Off square, through", "degrees, seen on an edge", None)
    long_edge: Side = asked("Long edge", "the edge along which the part is longer", Side.EDGE, EDGES)
    long_face: Side = asked("Long face", "face or back, whichever is longer", Side.FACE, FACES)
    points: MitrePoints = asked("Long points", "of both ends together, or on opposite sides", MitrePoints.TRAPEZIUM)

    def problems(self) -> Iterator[Problem]:
        """Both ways to say the angles or neither, angles beyond what a saw is set to, sides that are none."""
        of_a_box = (self.sides, self.slope)
        given = [one for one in (*of_a_box, self.across, self.through) if one is not None]
        if not given or (any(one is not None for one in of_a_box) and (None in of_a_box or len(given) > 2)):
            yield Problem("sides", "give sides and slope of a box, or the angles across and through", "leave one out")
        elif self.sides is not None and self.sides < 3:
            yield Problem("sides", f"{self.sides} sides do not close", "write 3 or more")
        elif self.slope is not None and not 0 < self.slope <= 90:
            yield Problem("slope", f"{float(self.slope):g} is not above 0 and up to 90", "measure it from the level")
        for one in ("across", "through"):
            if not 0 <= (getattr(self, one) or 0) < 80:
                text = f"{float(getattr(self, one)):g} is not from 0 to 80"
                yield Problem(one, text, "write the degrees off square")
        if self.sides is None and given and not any(given):
            yield Problem("across", "is 0, as is through: the end is square", "write the degrees off square")
        if self.long_edge not in EDGES:
            yield Problem("long_edge", f"'{self.long_edge}' is not an edge", "choose edge or far edge")
        if self.long_face not in FACES:
            yield Problem("long_face", f"'{self.long_face}' is not a face", "choose face or back")

    @property
    def gauge(self) -> Fraction:
        """How far off square the mitre gauge stands, in degrees."""
        if self.sides and self.slope:
            return box_angles(self.sides, self.slope)[0]
        return _hundredths(float(self.across or 0))

    @property
    def tilt(self) -> Fraction:
        """How far off upright the blade stands, in degrees."""
        if self.sides and self.slope:
            return box_angles(self.sides, self.slope)[1]
        return end_angles(self.across or Fraction(0), self.through or Fraction(0))[1]

    def removes(self, _: Job, part: Part) -> Iterator[Solid]:
        """A wedge at each end."""
        if part.mark in self.parts:
            for end in ends_of(self.ends):
                yield _wedge(self, part, end)


def box_angles(sides: int, slope: Fraction) -> tuple[Fraction, Fraction]:
    """Gauge and tilt for the sides of a closed box that stand at `slope` degrees from the level, in degrees.

    tan gauge = tan(180/n) × cos slope, sin tilt = sin(180/n) × sin slope (geometry; a saw maker's table agrees).

    >>> [float(one) for one in box_angles(4, Fraction(45))]
    [35.26, 30.0]
    """
    half, lean = radians(180 / sides), radians(slope)
    return _hundredths(degrees(atan(tan(half) * cos(lean)))), _hundredths(degrees(asin(sin(half) * sin(lean))))


def end_angles(across: Fraction, through: Fraction) -> tuple[Fraction, Fraction]:
    """Gauge and tilt for an end whose plane runs off square by `across` on the face and by `through` on an edge.

    With the normal (1, tan across, tan through) of the plane: tan gauge = y / x, sin tilt = z / length (geometry).

    >>> [float(one) for one in end_angles(Fraction(14), Fraction(10))]
    [14.0, 9.71]
    """
    y, z = tan(radians(across)), tan(radians(through))
    return _hundredths(float(across)), _hundredths(degrees(asin(z / hypot(1, y, z))))


def _hundredths(angle: float) -> Fraction:
    return Fraction(round(angle * 100), 100)


def leads(cut: Splay, part: Part) -> tuple[Nm, Nm]:
    """How much shorter the short edge is at one end, and how much the short face, nm."""
    gauge, tilt = radians(cut.gauge), radians(cut.tilt)
    return round(part.width * tan(gauge)), round(part.thickness * tan(tilt) / cos(gauge))


def _setups(task: Task) -> Setups:
    wanted = [
        Wanted(cut, part, Stage.EDGES, partial(_passes, cut, part, task.job, task.shop))
        for cut in task.job.cuts
        if isinstance(cut, Splay)
        for part in (task.job.part(mark) for mark in cut.parts)
    ]
    return plan_cuts(task, WORK, wanted)


def _passes(cut: Splay, part: Part, job: Job, shop: Shop, station: Station, _: MayUse) -> Sequence[Pass] | str:
    if any(mitre.part == part.mark for mitre in job.mitres):
        return f"part {part.mark} is mitred, so it has no square end to touch the stop; leave one of the two out"
    over, under = leads(cut, part)
    both = len(ends_of(cut.ends))
    if both * (over + under) >= part.length:
        return f"its ends meet: {format_length(part.length, shop.show)} is too short for them; lengthen the part"
    if cut.gauge > STEEPEST_GAUGE or cut.tilt > STEEPEST_TILT:
        text = f"it wants the gauge at {float(cut.gauge):g}° and the blade at {float(cut.tilt):g}°"
        return f"{text}; a saw goes to about {STEEPEST_GAUGE}° and {STEEPEST_TILT}°, cut it another way"
    missing = [role.name for role in (ANGLE, TILT, LENGTH) if not station.axis(role.name)]
    if missing:
        return f"the {station.name} has nothing to set the {' and the '.join(missing)} with; add the axes"
    return [one for mirrored in (False, True) for one in _of_one_hand(cut, part, mirrored)]


def _of_one_hand(cut: Splay, part: Part, mirrored: bool) -> Iterator[Pass]:
    """The ends of a piece, the long face down: the end at the blade, the other one at the stop.

    Where both long points lie on one edge, the end whose short edge is at the fence comes first: then the long point
    of the first end touches the stop. Where they do not, the piece is slid along under gauge and tilt as they stand.
    """
    over, under = leads(cut, part)
    ends = ends_of(cut.ends)
    if len(ends) == 2 and cut.points is MitrePoints.PARALLEL:
        first = ends[0]
        long = _long_edge_at_the_fence(cut, first, mirrored)
        yield _pass(cut, opposite(first), long, part.length - (0 if long else over), mirrored, 0)
        places = _places(cut, long, part.length - over - under)
        note = "slid along, the same edge against the fence: the point of the first end touches the stop"
        yield Pass(places, Lying(cut.long_face, first, "stop"), note=note, mirrored=mirrored, turn=1)
        return
    for end in ends:
        long = _long_edge_at_the_fence(cut, end, mirrored)
        second_one = len(ends) == 2 and bool(over) and long
        yield _pass(cut, opposite(end), long, part.length - (0 if long else over), mirrored, int(second_one))


def _long_edge_at_the_fence(cut: Splay, end: Side, mirrored: bool) -> bool:
    """Whether the long edge lies at the fence while this end is at the blade, the long face down.

    Blade at the right, fence behind: with n the outward normal of the end and u pointing up, the fence is at u × n.
    """
    behind = cross(OUTWARD[opposite(cut.long_face)], OUTWARD[end])
    return (behind == OUTWARD[cut.long_edge]) is not mirrored


def _pass(cut: Splay, at_stop: Side, long: bool, stop: Nm, mirrored: bool, turn: int) -> Pass:
    edge = cut.long_edge if long else opposite(cut.long_edge)
    which = f", the {'long' if long else 'short'} one," if cut.gauge else ""
    note = f"{CALLED.get(edge, str(edge))}{which} against the fence"
    places = _places(cut, long, stop)
    return Pass(places, Lying(cut.long_face, at_stop, "stop"), note=note, mirrored=mirrored, turn=turn)


def _places(cut: Splay, long: bool, stop: Nm) -> Places:
    """The gauge to the one hand where the long edge is at the fence, to the other where the short one is."""
    gauge = cut.gauge if long else -cut.gauge
    return ((ANGLE.name, Angle(gauge)), (TILT.name, Angle(cut.tilt)), (LENGTH.name, stop))


def _wedge(cut: Splay, part: Part, end: Side) -> Solid:
    over, under = leads(cut, part)
    turned = end is Side.OTHER_END and cut.ends is RailEnds.BOTH and cut.points is MitrePoints.PARALLEL
    edge, face = (opposite(cut.long_edge), opposite(cut.long_face)) if turned else (cut.long_edge, cut.long_face)
    corners = []
    for y, here in ((0, Side.EDGE), (part.width, Side.FAR_EDGE)):
        for z, side in ((0, Side.FACE), (part.thickness, Side.BACK)):
            off = over * (here is not edge) + under * (side is not face)
            corners += [(x if end is Side.MARKED_END else part.length - x, y, z) for x in (0, off)]
    return Solid(cut.mark, tuple(corners))


def _measured(run: Run) -> Mapping[str, Measured]:
    """The length where the stop measures it: along the fence, on the side that lay down."""
    stop = next((stop.target for stop in run.stops if stop.sets == LENGTH.name), None)
    if not isinstance(stop, int):
        return {}
    return {LENGTH.name: Measured("length along the edge at the fence, on the side that lay down", stop)}


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], shop: Shop) -> Iterator[str]:
    yield "after all that is measured from a square end"
    yield "all ends of one tilt follow each other: of all settings it is the worst to repeat"
    yield from why_like_this(run, before, shop)


def _picture(canvas: Canvas, run: Run, job: Job, flips: FlipStops | None) -> None:
    """The saw from above with the gauge turned, and below it the end in section with the blade tilted."""
    draw_crosscut(canvas, run, job, flips)
    tilt = next((stop.target for stop in run.stops if stop.sets == TILT.name), None)
    if not isinstance(tilt, Angle) or not tilt.degrees:
        return
    table, blade, high = canvas.tall + 62, 232.0, 34.0
    lean = high * tan(radians(tilt.degrees))
    canvas.box("table", 8, table, WIDE - 16, 8)
    canvas.path("wood", f"M60 {table}H{blade:.1f}L{blade - lean:.1f} {table - high}H60z")
    canvas.path("waste", f"M{blade + 4:.1f} {table}H300V{table - high}H{blade - lean + 4:.1f}z")
    canvas.line("blade", blade + lean * 0.25, table + 8, blade - lean * 1.5, table - high * 1.5)
    canvas.words(f"blade {float(tilt.degrees):g}° off upright", 62, table - high - 8, "start", "said small")
    canvas.tall = table + 14
    canvas.label += "; below it in section the long face on the table, the blade tilted over the piece"


OPERATION = Operation(
    work=WORK,
    stage=Stage.EDGES,
    title="splay",
    comes_to="cuts",
    roles=(ANGLE, TILT, LENGTH),
    gear=(Blade,),
    asked=(Splay,),
    setups=_setups,
    follow=follow_pieces,
    measured=_measured,
    cautions=(
        *ACROSS_AT_A_SAW,
        Caution(
            "Try the two angles on spare wood of the same section: two ends put together show twice the error.",
            "common practice",
            "P",
            always,
        ),
        BACK_TO_SQUARE,
    ),
    reason=_reason,
    picture=_picture,
)
