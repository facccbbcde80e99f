"""Grooves, housings, holes and all other cuts as they are marked out on a piece: where each opens in which side."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from stopwright.lengths import Nm
from stopwright.model.cuts import Cut
from stopwright.model.job import Job
from stopwright.model.joints import ENDS, Side
from stopwright.model.parts import Part
from stopwright.model.solid import Solid
from stopwright.plan.joinery.hands import side_down
from stopwright.plan.joinery.slots import body_of
from stopwright.plan.stations.part_sides import PAIRS, axis_of

Place = tuple[Nm, Nm]
"""Along a side and across it, nm: on a long side from the marked end and from the side beside, on an end from the face
edge and from the face side."""


@dataclass(frozen=True, slots=True)
class CutMark:
    """One cut where it opens in a side: its corners there, and how deep it goes from this side, nm; None right through.

    Across the side it is measured from `beside`. What has a centre, a hole, is marked by that.
    """

    cut: str
    kind: str
    side: Side
    beside: Side
    corners: tuple[Place, ...]
    depth: Nm | None
    by_centre: bool = False

    @property
    def start(self) -> Nm:
        """Where it begins along the side."""
        return min(along for along, _ in self.corners)

    @property
    def end(self) -> Nm:
        """Where it ends along the side."""
        return max(along for along, _ in self.corners)

    @property
    def near(self) -> Nm:
        """Where it begins across the side."""
        return min(across for _, across in self.corners)

    @property
    def far(self) -> Nm:
        """Where it ends across the side."""
        return max(across for _, across in self.corners)

    @property
    def places(self) -> tuple[Nm, ...]:
        """Where lines are drawn along the side: its two ends, or its centre."""
        return ((self.start + self.end) // 2,) if self.by_centre else (self.start, self.end)


def cut_marks(job: Job, part: Part) -> tuple[CutMark, ...]:
    """Where the cuts of a part are marked out, cut after cut; what the mortiser makes is marked as its slots are.

    What runs from end to end is marked on the long sides only.
    """
    as_long = replace(part, length=body_of(job, part)[0])
    found = (
        mark
        for cut in job.cuts
        if not any(cut.mortises(job, part))
        for solid in cut.removes(job, as_long)
        for mark in _where_it_opens(cut, solid, as_long.size)
    )
    return tuple(dict.fromkeys(found))


def _where_it_opens(cut: Cut, solid: Solid, body: Sequence[Nm]) -> Iterator[CutMark]:
    low, high = solid.spans[0]
    runs_through = low <= 0 and high >= body[0]
    for side in Side:
        axis = axis_of(side)
        at_zero = PAIRS[axis][0] is side
        there = [one for one in solid.corners if (one[axis] <= 0 if at_zero else one[axis] >= body[axis])]
        along, across = (1, 2) if side in ENDS else (0, 3 - axis)
        corners = tuple((_within(one[along], body[along]), _within(one[across], body[across])) for one in there)
        is_open = len({one for one, _ in corners}) > 1 and len({one for _, one in corners}) > 1
        deep = solid.spans[axis][1] if at_zero else body[axis] - solid.spans[axis][0]
        if deep > 0 and is_open and not (runs_through and side in ENDS):
            depth = deep if deep < body[axis] else None
            yield CutMark(cut.mark, cut.kind, side, side_down(side), corners, depth, cut.has_centre)


def _within(place: int, size: Nm) -> Nm:
    return min(max(place, 0), size)
