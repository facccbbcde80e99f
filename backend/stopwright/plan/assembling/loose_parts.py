"""Parts that lie loose in grooves or rebates, panels, bottoms and backs: where in a unit they sit, and when they go in.

A groove of a piece that stands is a mouth in space. Mouths that face each other hold a part between them; a part that
is held on fewer than four sides may slide out along the open one, where nothing of the unit stands in its way. A rebate
is a mouth that is open across as well: what lies in rebates only comes off that way.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from itertools import combinations

from stopwright.lengths import Nm
from stopwright.model.cuts import Cut
from stopwright.model.job import Job
from stopwright.model.joints import ENDS, Side
from stopwright.model.solid import Span
from stopwright.plan.assembling.glue_up_told import HeldIn
from stopwright.plan.assembling.joint_poses import Nth
from stopwright.plan.assembling.poses import Pose, spans_of, turned
from stopwright.plan.joinery.hands import OUTWARD
from stopwright.plan.operations.groove import Groove, loose_marks
from stopwright.plan.operations.rebate import Rebate, laid_on_marks

Spans = tuple[Span, Span, Span]


@dataclass(frozen=True, slots=True)
class Mouth:
    """A groove of a piece in space: which way it opens (axis and ±1), along which axis it runs, and its spans, nm.

    A rebate is `off` as well: that way what lies in it comes off.
    """

    piece: Nth
    cut: str
    out: tuple[int, int]
    runs: int
    spans: Spans
    off: tuple[int, int] | None = None

    @property
    def thick(self) -> int:
        """The axis along which it is as wide as what goes in is thick."""
        return 3 - self.out[0] - self.runs

    @property
    def lip(self) -> Nm:
        """Where the surface lies that it is cut into."""
        low, high = self.spans[self.out[0]]
        return high if self.out[1] > 0 else low


@dataclass(frozen=True, slots=True)
class Loose:
    """A part that lies loose between the grooves or rebates of `mouths`, so far apart (nm, by axis).

    `slides` says along which axis and which way it can still go in when all is glued, None where it cannot; `blocked`
    are the pieces that stand in its way on its open sides, with axis and way. `units`, from 1, are those that have it;
    empty where every unit does.
    """

    piece: Nth
    mouths: tuple[Mouth, ...]
    openings: tuple[tuple[int, Nm], ...] = ()
    slides: tuple[int, int] | None = None
    blocked: tuple[tuple[Nth, tuple[int, int]], ...] = ()
    units: tuple[int, ...] = ()

    @property
    def is_laid_on(self) -> bool:
        """Whether it is laid into its rebates when all is glued."""
        return self.slides is not None and self.slides[0] == self.mouths[0].thick

    @property
    def held_in(self) -> HeldIn:
        """What its mouths are: rebates, or grooves, one of which is enough to keep it from coming off."""
        return "rebates" if all(mouth.off for mouth in self.mouths) else "grooves"

    @property
    def holders(self) -> tuple[Nth, ...]:
        """The pieces whose grooves it lies in."""
        return tuple(dict.fromkeys(mouth.piece for mouth in self.mouths))

    def holders_in(self, pieces: Sequence[Nth]) -> tuple[Nth, ...]:
        """Those of its holders that are among these pieces."""
        return tuple(holder for holder in self.holders if holder in pieces)


@dataclass(frozen=True, slots=True)
class LooseFound:
    """The loose parts of a unit where they sit, and the marks of those of which that is not told."""

    parts: tuple[Loose, ...] = ()
    not_told: tuple[str, ...] = ()


def loose_parts(job: Job, poses: Mapping[Nth, Pose]) -> LooseFound:
    """Every part that grooves fit and no joint holds, or rebates hold, where it sits between pieces that stand.

    It is told where grooves and rebates of a unit make just as many places as the unit has of it.
    """
    found: list[Loose] = []
    not_told = []
    for mark in dict.fromkeys((*loose_marks(job), *laid_on_marks(job))):
        mouths = list(_mouths(job, mark, poses))
        places = _places(mouths)
        if not places or len(places) != job.part(mark).quantity // job.units:
            not_told.append(mark)
            continue
        found += [_at_its_place(job, (mark, nth), place, poses) for nth, place in enumerate(places)]
    return LooseFound(tuple(found), tuple(not_told))


def _mouths(job: Job, mark: str, poses: Mapping[Nth, Pose]) -> Iterator[Mouth]:
    for cut in job.cuts:
        if not _holds(cut, mark):
            continue
        for piece, pose in poses.items():
            for solid in cut.removes(job, job.part(piece[0])):
                spans = _in_space(solid.spans, pose)
                if isinstance(cut, Groove):
                    yield Mouth(piece, cut.mark, _way(cut.side, pose), _axis(pose.x), spans)
                elif isinstance(cut, Rebate):
                    runs = _axis(pose.y if cut.edge in ENDS else pose.x)
                    side, edge = _way(cut.side, pose), _way(cut.edge, pose)
                    yield Mouth(piece, cut.mark, side, runs, spans, off=edge)
                    yield Mouth(piece, cut.mark, edge, runs, spans, off=side)


def _holds(cut: Cut, mark: str) -> bool:
    return (isinstance(cut, Groove) and cut.fits == mark) or (isinstance(cut, Rebate) and cut.holds == mark)


def _way(side: Side, pose: Pose) -> tuple[int, int]:
    """Which way a side of a piece looks: axis and ±1."""
    out = turned(OUTWARD[side], pose)
    axis = _axis(out)
    return axis, out[axis]


def _places(mouths: Sequence[Mouth]) -> list[tuple[Mouth, ...]]:
    """What faces each other, as sides of one place each: up to two pairs, or a pair and a single one."""
    pairs = _pairs(mouths)
    places: list[tuple[Mouth, ...]] = []
    for one, other in pairs:
        across = [pair for pair in pairs if _around((one, other), pair)]
        paired = {id(mouth) for pair in pairs for mouth in pair}
        single = [(mouth,) for mouth in mouths if id(mouth) not in paired and _closes((one, other), mouth)]
        for more in across or single or [()]:
            place = {id(mouth): mouth for mouth in (one, other, *more)}
            if not any(place.keys() == {id(mouth) for mouth in known} for known in places):
                places.append(tuple(place.values()))
    return places


def _pairs(mouths: Sequence[Mouth]) -> list[tuple[Mouth, Mouth]]:
    """Mouths that face each other with none between them."""
    facing = []
    for one, other in combinations(mouths, 2):
        low, high = (one, other) if one.out[1] > 0 else (other, one)
        opposite = low.out[0] == high.out[0] and low.out[1] == 1 and high.out[1] == -1
        if opposite and low.runs == high.runs and low.lip < high.lip and _share(low, high, (low.thick, low.runs)):
            facing.append((low, high))
    nearest = {id(low): min(b.lip for a, b in facing if a is low) for low, _ in facing}
    back = {id(high): max(a.lip for a, b in facing if b is high) for _, high in facing}
    return [(low, high) for low, high in facing if high.lip == nearest[id(low)] and low.lip == back[id(high)]]


def _around(pair: tuple[Mouth, Mouth], other: tuple[Mouth, Mouth]) -> bool:
    """Whether two pairs are the four sides of one place."""
    return all(_closes(pair, mouth) for mouth in other) and all(_closes(other, mouth) for mouth in pair)


def _closes(pair: tuple[Mouth, Mouth], mouth: Mouth) -> bool:
    """Whether a mouth closes the place between a pair at one of its ends."""
    low, high = pair
    if mouth.thick != low.thick or mouth.out[0] != low.runs:
        return False
    start, end = mouth.spans[low.out[0]]
    between = max(start, low.lip) < min(end, high.lip)
    return between and _share(low, mouth, (low.thick,)) and _meets(mouth, low) and _meets(mouth, high)


def _meets(mouth: Mouth, held: Mouth) -> bool:
    """Whether the surface that a mouth opens in lies within the length of another one that runs towards it."""
    start, end = held.spans[mouth.out[0]]
    return start <= mouth.lip <= end


def _share(one: Mouth, other: Mouth, axes: Iterable[int]) -> bool:
    return all(
        max(one.spans[axis][0], other.spans[axis][0]) < min(one.spans[axis][1], other.spans[axis][1]) for axis in axes
    )


def _at_its_place(job: Job, piece: Nth, mouths: tuple[Mouth, ...], poses: Mapping[Nth, Pose]) -> Loose:
    thick = mouths[0].thick
    room: list[Span] = [(0, 0)] * 3
    room[thick] = (max(one.spans[thick][0] for one in mouths), min(one.spans[thick][1] for one in mouths))
    openings: list[tuple[int, Nm]] = []
    open_sides: list[tuple[int, int]] = []
    for axis in {0, 1, 2} - {thick}:
        low = max((one.spans[axis][0] for one in mouths if one.out == (axis, 1)), default=None)
        high = min((one.spans[axis][1] for one in mouths if one.out == (axis, -1)), default=None)
        along = [one.spans[axis] for one in mouths if one.out[0] != axis]
        start = max(one[0] for one in along) if low is None else low
        end = min(one[1] for one in along) if high is None else high
        room[axis] = (start, end)
        if low is not None and high is not None:
            lips = {one.out[1]: one.lip for one in mouths if one.out[0] == axis}
            openings.append((axis, lips[-1] - lips[1]))
        open_sides += [(axis, way) for way, at in ((-1, low), (1, high)) if at is None]
    off = {mouth.off for mouth in mouths}
    open_sides = [*(one for one in off if one and len(off) == 1), *open_sides]
    holders = {one.piece for one in mouths}
    blocked: list[tuple[Nth, tuple[int, int]]] = []
    for axis, way in open_sides:
        in_the_way = list(_in_the_way(job, (room[0], room[1], room[2]), (axis, way), holders, poses))
        beside = [] if axis == thick else [one for one in mouths if one.out[0] != axis]
        if not in_the_way and all(_runs_out(job, one, way, poses) for one in beside):
            return Loose(piece, mouths, tuple(openings), (axis, way))
        blocked += [(other, (axis, way)) for other in in_the_way]
    return Loose(piece, mouths, tuple(openings), None, tuple(blocked))


def _in_the_way(
    job: Job, room: Spans, slides: tuple[int, int], holders: AbstractSet[Nth], poses: Mapping[Nth, Pose]
) -> Iterator[Nth]:
    """The pieces that a part would meet on its way out along an axis, those apart whose grooves it slides in."""
    axis, way = slides
    for piece, pose in poses.items():
        if piece in holders:
            continue
        spans = spans_of(pose, job.part(piece[0]).size)
        beside = all(
            max(spans[other][0], room[other][0]) < min(spans[other][1], room[other][1])
            for other in range(3)
            if other != axis
        )
        beyond = spans[axis][1] > room[axis][0] if way > 0 else spans[axis][0] < room[axis][1]
        if beside and beyond:
            yield piece


def _runs_out(job: Job, mouth: Mouth, way: int, poses: Mapping[Nth, Pose]) -> bool:
    """Whether a groove runs out at the end that lies this way, so that what is in it can leave there."""
    low, high = spans_of(poses[mouth.piece], job.part(mouth.piece[0]).size)[mouth.runs]
    start, end = mouth.spans[mouth.runs]
    return end >= high if way > 0 else start <= low


def _axis(vector: tuple[int, int, int]) -> int:
    return next(axis for axis in range(3) if vector[axis])


def _in_space(spans: Spans, pose: Pose) -> Spans:
    """Spans on a piece's own axes as spans in the unit."""
    found: list[Span] = [(0, 0)] * 3
    for vector, (low, high) in zip((pose.x, pose.y, pose.z), spans, strict=True):
        axis = _axis(vector)
        ends = sorted((vector[axis] * low, vector[axis] * high))
        found[axis] = (pose.corner[axis] + ends[0], pose.corner[axis] + ends[1])
    return (found[0], found[1], found[2])
