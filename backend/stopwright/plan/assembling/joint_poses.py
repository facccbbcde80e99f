"""How a meeting makes its rail lie to its post: where rail ends go, and how either must stand to fit the other."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, Side
from stopwright.model.meetings import Meeting
from stopwright.plan.assembling.poses import Corner, Pose, Vector, between, moved, opposite

Nth: TypeAlias = tuple[str, int]
"""A piece of a unit: its part's mark, and which of the unit's it is, from 0."""

FAR = (Side.FAR_EDGE, Side.BACK)


@dataclass(frozen=True, slots=True)
class Site:
    """A place in a post for a rail end: the rail's corner there, and where its length, width and thickness point."""

    post: Nth
    meeting: Meeting
    repeat: int
    corner: Corner
    out: Vector
    down: Vector
    inwards: Vector


def sites_in(job: Job, meetings: Iterable[Meeting], piece: Nth, pose: Pose) -> Iterator[Site]:
    """All places for rail ends in a post that stands so, in the order of the meetings."""
    part = job.part(piece[0])
    for meeting in meetings:
        if meeting.post != piece[0]:
            continue
        on_edge, beyond = meeting.side in EDGES, meeting.side in FAR
        deep, other = (pose.y, pose.z) if on_edge else (pose.z, pose.y)
        out = deep if beyond else opposite(deep)
        far = (part.width if on_edge else part.thickness) if beyond else 0
        base = moved(pose.corner, (deep, far), (other, meeting.setback), (opposite(out), meeting.sunk))
        down, inwards = _lies(meeting, pose.x, other)
        for repeat in range(meeting.repeat):
            corner = moved(base, (pose.x, _begins(job, meeting, repeat)))
            yield Site(piece, meeting, repeat, corner, out, down, inwards)


def _lies(meeting: Meeting, along: Vector, other: Vector) -> tuple[Vector, Vector]:
    """Where the width and the thickness of a rail point, by the post's own way along and across the side."""
    if not meeting.across:
        return along, other
    return other, opposite(along) if meeting.turned else along


def _begins(job: Job, meeting: Meeting, repeat: int) -> Nm:
    """How far along the post the corner of a rail lies from which its own sizes are measured, nm."""
    return meeting.height(repeat) + (job.part(meeting.rail).thickness if meeting.turned else 0)


def rail_pose(site: Site, end: Side, length: Nm) -> Pose:
    """How a rail of that length stands when this end of it is in the place."""
    if end is Side.MARKED_END:
        return Pose(site.corner, site.out, site.down, site.inwards)
    return Pose(moved(site.corner, (site.out, length)), opposite(site.out), site.down, site.inwards)


def end_corner(pose: Pose, end: Side, length: Nm) -> tuple[Corner, Vector]:
    """The corner of a rail at one of its ends, and where the rail runs from there."""
    if end is Side.MARKED_END:
        return pose.corner, pose.x
    return moved(pose.corner, (pose.x, length)), opposite(pose.x)


def miss_of(site: Site, pose: Pose, end: Side, length: Nm) -> Nm | None:
    """How far a rail's end is from a place, nm; None when it does not even lie the way it should there."""
    corner, runs = end_corner(pose, end, length)
    if (site.out, site.down, site.inwards) != (runs, pose.y, pose.z):
        return None
    return max(map(abs, between(site.corner, corner)))


def post_pose(job: Job, meeting: Meeting, repeat: int, rail: Pose, end: Side) -> Pose:
    """How a post must stand to take the free end of a rail."""
    post = job.part(meeting.post)
    corner, runs = end_corner(rail, end, job.part(meeting.rail).length)
    on_edge, beyond = meeting.side in EDGES, meeting.side in FAR
    deep = runs if beyond else opposite(runs)
    along, other = rail.y, rail.z
    if meeting.across:
        along, other = opposite(rail.z) if meeting.turned else rail.z, rail.y
    y, z = (deep, other) if on_edge else (other, deep)
    far = (post.width if on_edge else post.thickness) if beyond else 0
    start = moved(
        corner,
        (opposite(along), _begins(job, meeting, repeat)),
        (opposite(other), meeting.setback),
        (opposite(deep), far),
        (runs, meeting.sunk),
    )
    return Pose(start, along, y, z)
