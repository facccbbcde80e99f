"""Left and right: at which end stop a piece lies, and which pieces must be mirror images of the others."""

from collections.abc import Iterable
from dataclasses import replace
from itertools import permutations, product
from typing import TypeAlias

from stopwright.model.job import Job
from stopwright.model.joints import ENDS, RailEnds, Side
from stopwright.model.parts import Hand, Part
from stopwright.plan.joinery.slots import body_of, box_of, slots_of

Vector: TypeAlias = tuple[int, int, int]

OUTWARD: dict[Side, Vector] = {
    Side.MARKED_END: (-1, 0, 0),
    Side.OTHER_END: (1, 0, 0),
    Side.EDGE: (0, -1, 0),
    Side.FAR_EDGE: (0, 1, 0),
    Side.FACE: (0, 0, -1),
    Side.BACK: (0, 0, 1),
}
"""The outward normal of each side, on the piece's own axes."""


def side_down(slotted: Side, stands_on: Side | None = None) -> Side:
    """The side that lies on the table: always a reference side, so that errors fall on the hidden side.

    For a slot across the piece it `stands_on` an end.

    >>> str(side_down(Side.FAR_EDGE)), str(side_down(Side.BACK)), str(side_down(Side.OTHER_END))
    ('face', 'edge', 'face')
    """
    if stands_on:
        return stands_on
    return Side.EDGE if slotted in (Side.FACE, Side.BACK) else Side.FACE


def end_stop(slotted: Side, mirrored: bool = False, stands_on: Side | None = None) -> str:
    """At which end stop the reference lies, "left" or "right" as seen from the bit.

    With n the outward normal of the slotted side and u pointing up, right is r = (−n) × u. If the way from the
    reference into the piece runs along r, the reference is at the left. A mirror image has it at the other stop. A
    piece that `stands_on` an end has its face edge there, as one that is slotted in an end.

    >>> end_stop(Side.FAR_EDGE), end_stop(Side.BACK), end_stop(Side.OTHER_END), end_stop(Side.MARKED_END)
    ('right', 'left', 'left', 'right')
    >>> end_stop(Side.FACE, stands_on=Side.MARKED_END), end_stop(Side.FACE, stands_on=Side.OTHER_END)
    ('left', 'right')
    """
    up = _reversed(OUTWARD[side_down(slotted, stands_on)])
    right = cross(_reversed(OUTWARD[slotted]), up)
    into = (0, 1, 0) if slotted in ENDS or stands_on else (1, 0, 0)
    return "left" if (right == into) is not mirrored else "right"


def needs_pairs(job: Job, part: Part) -> bool:
    """Whether half the pieces must be mirror images, whatever the part list says.

    So it is for a post that some rail joins with the same side at both its ends, for a side that has both ends of a
    shelf in its housings, for what the part list counts in pairs, and for all that goes with either (`mirrored_with`),
    as long as no turning of the piece gives its mirror image: two neighbouring sides with unlike slots, or one slot
    off the middle.
    """
    opposite = {joint.post for joint in job.joints if joint.ends in (None, RailEnds.BOTH)}
    opposite.update(mark for cut in job.cuts for mark in cut.face_each_other(job))
    opposite.update(other.mark for other in job.parts if other.hand is Hand.PAIRS)
    return part.mark in mirrored_with(job, opposite) and is_handed(job, part)


def mirrored_with(job: Job, marks: Iterable[str]) -> set[str]:
    """These parts, and all that stand to them as a mirror image stands to its original.

    A joint at a named end of the rail says how the rail lies to the post: its face side behind the post's reference
    side, its face edge towards the post's marked end. In the mirrored post it lies so only as a mirror image itself.
    """
    joined = [{one.post, one.rail} for one in job.joints if one.ends in (RailEnds.MARKED, RailEnds.OTHER)]
    found = set(marks)
    for _ in joined:
        found.update(*(pair for pair in joined if pair & found))
    return found


def is_handed(job: Job, part: Part) -> bool:
    """Whether a piece with its slots and cuts differs from its mirror image however it is turned."""
    body = body_of(job, part)
    slots = (frozenset(product(*box_of(slot, body))) for slot in slots_of(job, part.mark))
    as_long = replace(part, length=body[0])
    cuts = (frozenset(solid.corners) for cut in job.cuts for solid in cut.removes(job, as_long))
    solids = frozenset((*slots, *cuts))
    return not any(
        frozenset(frozenset(_moved(corner, order, signs, body) for corner in solid) for solid in solids) == solids
        for order in permutations(range(3))
        if tuple(body[axis] for axis in order) == body
        for signs in product((1, -1), repeat=3)
        if _parity(order) * signs[0] * signs[1] * signs[2] == -1
    )


def count_hands(job: Job, part: Part) -> tuple[int, int]:
    """How many pieces are as the master piece is, and how many are its mirror image."""
    mirrored = part.quantity // 2 if part.hand is Hand.PAIRS or needs_pairs(job, part) else 0
    return part.quantity - mirrored, mirrored


def cross(a: Vector, b: Vector) -> Vector:
    """The direction at right angles to both, by the right hand."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def _reversed(a: Vector) -> Vector:
    return (-a[0], -a[1], -a[2])


def _parity(order: tuple[int, ...]) -> int:
    swaps = sum(order[i] > order[j] for i in range(3) for j in range(i + 1, 3))
    return -1 if swaps % 2 else 1


def _moved(corner: Vector, order: tuple[int, ...], signs: tuple[int, ...], body: Vector) -> Vector:
    x, y, z = (corner[axis] if sign > 0 else body[axis] - corner[axis] for axis, sign in zip(order, signs, strict=True))
    return (x, y, z)
