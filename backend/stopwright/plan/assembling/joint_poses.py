"""How a joint makes its rail lie to its post: where rail ends go, and how either must stand to fit the other."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, Joint, Side
from stopwright.model.parts import Part
from stopwright.plan.assembling.poses import Corner, Pose, Vector, between, moved, opposite

Nth: TypeAlias = tuple[str, int]
"""A piece of a unit: its part's mark, and which of the unit's it is, from 0."""

FAR = (Side.FAR_EDGE, Side.BACK)


@dataclass(frozen=True, slots=True)
class Site:
    """A place in a post for a rail end: the rail's corner there, and where its length, width and thickness point."""

    post: Nth
    joint: Joint
    repeat: int
    corner: Corner
    out: Vector
    down: Vector
    inwards: Vector


def sites_in(job: Job, piece: Nth, pose: Pose) -> Iterator[Site]:
    """All places for rail ends in a post that stands so, in the job's order of joints."""
    part = job.part(piece[0])
    for joint in job.joints:
        if joint.post != piece[0]:
            continue
        on_edge, beyond = joint.side in EDGES, joint.side in FAR
        deep, inwards = (pose.y, pose.z) if on_edge else (pose.z, pose.y)
        far = (part.width if on_edge else part.thickness) if beyond else 0
        base = moved(pose.corner, (deep, far), (inwards, joint.setback))
        for repeat in range(joint.repeat):
            corner = moved(base, (pose.x, height_of(joint, repeat)))
            yield Site(piece, joint, repeat, corner, deep if beyond else opposite(deep), pose.x, inwards)


def height_of(joint: Joint, repeat: int) -> Nm:
    """How far a rail's face edge lies below the post's marked end, nm."""
    return joint.drop + repeat * (joint.spacing or 0)


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


def post_pose(joint: Joint, repeat: int, part: Part, rail: Pose, end: Side, length: Nm) -> Pose:
    """How a post must stand to take the free end of a rail."""
    corner, runs = end_corner(rail, end, length)
    on_edge, beyond = joint.side in EDGES, joint.side in FAR
    deep = runs if beyond else opposite(runs)
    y, z = (deep, rail.z) if on_edge else (rail.z, deep)
    far = (part.width if on_edge else part.thickness) if beyond else 0
    start = moved(
        corner,
        (opposite(rail.y), height_of(joint, repeat)),
        (opposite(rail.z), joint.setback),
        (opposite(deep), far),
    )
    return Pose(start, rail.y, y, z)
