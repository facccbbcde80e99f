"""Mitred frames: which mitred pieces of a unit make a ring, all of whose corners close in one go.

Where the mitres stand at 180/n, n pieces go round. Around a rectangle pieces of one length stand opposite each other;
all other rings are of equal pieces.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from stopwright.lengths import GREATEST, Nm
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds, Side
from stopwright.model.meetings import met_by
from stopwright.model.parts import MadePart, Part, is_in_every_unit
from stopwright.model.shaping import MeasuredTo, Mitre, MitrePoints
from stopwright.plan.assembling.joint_poses import Nth
from stopwright.plan.assembling.loose_parts import Loose
from stopwright.plan.assembling.poses import Pose, Vector, moved, opposite
from stopwright.plan.assembling.stage import Stage, members_of
from stopwright.plan.assembling.unit_layout import Joining
from stopwright.plan.joinery.mitre_slots import MitreSlot
from stopwright.plan.operations.groove import Groove
from stopwright.plan.operations.mitre import long_point
from stopwright.plan.operations.rebate import Rebate
from stopwright.plan.operations.spline import Spline

ALL_ROUND = "all round, every corner at once"
RECTANGLE = 4


@dataclass(frozen=True, slots=True)
class Ring:
    """Mitred pieces one after the other: the other end of each meets the marked end of the next, the last the first.

    `held_by` is the mark of the slot or spline in their mitres, "" where glue alone holds them. `inner` is the edge
    that looks inwards, `around` how long a band around all of it is at least, nm.
    """

    pieces: tuple[Nth, ...]
    held_by: str
    inner: Side
    around: Nm

    @property
    def joinings(self) -> Iterator[Joining]:
        """Every corner."""
        for piece, after in zip(self.pieces, (*self.pieces[1:], self.pieces[0]), strict=True):
            yield Joining(self.held_by, after, piece, Side.OTHER_END, Side.MARKED_END)


@dataclass(frozen=True, slots=True)
class Rings:
    """The rings of a unit; how the pieces of those with four corners stand; and what makes none, by mark."""

    rings: tuple[Ring, ...] = ()
    poses: Mapping[Nth, Pose] = field(default_factory=dict)
    not_told: tuple[str, ...] = ()


def mitred_rings(job: Job) -> Rings:
    """The rings that the mitred pieces of a unit make, those of things made alike by themselves.

    What is joined to others besides its mitres is left out, and so is what every unit has not as many of.
    """
    joined = {mark for one in (*map(met_by, job.joints), *job.meetings) for mark in (one.post, one.rail)}
    alike: dict[tuple[object, ...], list[tuple[Part, Mitre]]] = defaultdict(list)
    for mitre in job.mitres:
        part = job.part(mitre.part)
        if mitre.part not in joined and _goes_round(mitre) and is_in_every_unit(part, job.units):
            lot = part.lot if isinstance(part, MadePart) else ""
            alike[lot, mitre.degrees, mitre.length, part.width, part.thickness].append((part, mitre))
    rings: list[Ring] = []
    poses: dict[Nth, Pose] = {}
    not_told: list[str] = []
    for group in alike.values():
        found = _sequences([(part, part.quantity // job.units) for part, _ in group], _corners(group[0][1]))
        if found is None:
            not_told += [part.mark for part, _ in group]
            continue
        for pieces in found:
            rings.append(_ring(job, pieces, group[0][1]))
            if len(pieces) == RECTANGLE:
                poses |= _standing(job, rings[-1], group[0][1], -len(rings) * GREATEST)
    return Rings(tuple(rings), poses, tuple(not_told))


def ring_stage(ring: Ring, number: int, loose: Sequence[Loose]) -> Stage:
    """The glue-up of a ring: all its corners in one go, around what lies in its grooves."""
    pieces = (*sorted(ring.pieces), *(one.piece for one in loose))
    return Stage(
        number=number,
        round=1,
        members=members_of(pieces),
        pieces=pieces,
        brings=(),
        closings=tuple(ring.joinings),
        direction=ALL_ROUND,
        lines=(),
        opening=ring.around,
        loose=tuple(loose),
        all_round=True,
    )


def _goes_round(mitre: Mitre) -> bool:
    whole = mitre.degrees > 0 and (Fraction(180) / mitre.degrees).denominator == 1
    return whole and _corners(mitre) > 2 and mitre.ends is RailEnds.BOTH and mitre.points is MitrePoints.TRAPEZIUM


def _corners(mitre: Mitre) -> int:
    return int(Fraction(180) / mitre.degrees)


def _sequences(parts: Iterable[tuple[Part, int]], corners: int) -> list[tuple[Nth, ...]] | None:
    """The pieces of a unit ring by ring, around each; None where they do not come out even or do not close.

    >>> from stopwright.lengths import MM
    >>> wide, high = (Part(mark, "Side", 2, long * MM, 1, 1) for mark, long in (("H", 300), ("V", 200)))
    >>> _sequences([(wide, 2), (high, 2)], 4)
    [(('H', 0), ('V', 0), ('H', 1), ('V', 1))]
    >>> _sequences([(wide, 2), (high, 1)], 4), _sequences([(wide, 2), (high, 2)], 8)
    (None, None)
    """
    by_length: dict[Nm, list[Nth]] = defaultdict(list)
    for part, count in parts:
        by_length[part.length] += [(part.mark, nth) for nth in range(count)]
    lengths = list(by_length.values())
    if len(lengths) == 2 and corners == RECTANGLE and len(lengths[0]) == len(lengths[1]):
        in_turns = [piece for pair in zip(*lengths, strict=True) for piece in pair]
    elif len(lengths) == 1:
        in_turns = lengths[0]
    else:
        return None
    if len(in_turns) % corners:
        return None
    return [tuple(in_turns[start : start + corners]) for start in range(0, len(in_turns), corners)]


def _ring(job: Job, pieces: tuple[Nth, ...], mitre: Mitre) -> Ring:
    marks = {mark for mark, _ in pieces}
    holding = (one.mark for one in job.cuts if isinstance(one, MitreSlot | Spline) and marks.intersection(one.parts))
    return Ring(pieces, next(holding, ""), _inner(job, marks), sum(_outside(job, mark, mitre) for mark, _ in pieces))


def _outside(job: Job, mark: str, mitre: Mitre) -> Nm:
    """How long a piece is from long point to long point."""
    part = job.part(mark)
    if mitre.length is MeasuredTo.LONG_POINT:
        return part.length
    return long_point(part.length, part.width, mitre.degrees)


def _inner(job: Job, marks: set[str]) -> Side:
    """The edge that looks inwards: that of the groove or rebate in which something lies, else the far edge."""
    for cut in job.cuts:
        if marks.intersection(cut.parts):
            if isinstance(cut, Groove) and cut.fits and cut.side is Side.EDGE:
                return Side.EDGE
            if isinstance(cut, Rebate) and cut.edge is Side.EDGE:
                return Side.EDGE
    return Side.FAR_EDGE


def _standing(job: Job, ring: Ring, mitre: Mitre, apart: Nm) -> dict[Nth, Pose]:
    """How the four pieces stand, face side to the front: the first at the bottom, then on as they meet.

    They go round by the left where their far edges look inwards, else by the right. Their outer corner lies `apart`
    from the middle of the unit along every axis, so that they meet nothing else.
    """
    if mitre.length is not MeasuredTo.LONG_POINT:
        return {}
    back: Vector = (0, 1, 0)
    far_in = ring.inner is Side.FAR_EDGE
    wide, high = (job.part(mark).length for mark, _ in ring.pieces[:2])
    right, up = (1, 0, 0), (0, 0, 1)
    left, down = opposite(right), opposite(up)
    inwards: tuple[Vector, ...] = (up, right, down, left) if far_in else (up, left, down, right)
    along: tuple[Vector, ...] = (left, up, right, down) if far_in else (right, up, left, down)
    starts = [(wide, 0), (0, 0), (0, high), (wide, high)] if far_in else [(0, 0), (wide, 0), (wide, high), (0, high)]
    poses = {}
    for piece, inner, runs, (x, z) in zip(ring.pieces, inwards, along, starts, strict=True):
        corner = (apart + x, apart, apart + z)
        if far_in:
            poses[piece] = Pose(corner, runs, inner, back)
        else:
            inside = moved(corner, (inner, job.part(piece[0]).width))
            poses[piece] = Pose(inside, runs, opposite(inner), back)
    return poses
