"""Every slot of every part, measured from the part's own references: what the joints ask for, before any machine."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.joints import ENDS, Joint, Side
from stopwright.model.meetings import met_by
from stopwright.model.parts import Part, mark_order

SIDE_ORDER = tuple(Side)

Box: TypeAlias = tuple[tuple[Nm, Nm], tuple[Nm, Nm], tuple[Nm, Nm]]
"""From and to along x, y, z of a piece, nm."""


@dataclass(frozen=True, slots=True)
class Slot:
    """One slot of a part, lengths in nm.

    On a long side `start` and `end` are measured from the marked end, on an end from the face edge. `centre` is
    the centre line's distance from the reference side beside it: the face edge where face or back is slotted,
    else the face side. A slot across face or back is measured from the face edge, its centre line from the end that
    the piece `stands_on` for it.
    """

    part: str
    side: Side
    start: Nm
    end: Nm
    centre: Nm
    depth: Nm
    bit: Nm
    joints: tuple[str, ...] = ()
    stands_on: Side | None = None

    @property
    def length(self) -> Nm:
        """From end to end, the round ends included, nm."""
        return self.end - self.start

    @property
    def reference(self) -> str:
        """Where `start` and `end` are measured from, and what lies at the end stop."""
        return "face edge" if self.side in ENDS or self.stands_on else "marked end"


def slots_of(job: Job, mark: str) -> tuple[Slot, ...]:
    """The slots of one piece of a part, side by side and along each side; their place in it is their number.

    Equal slots that several joints ask for at the same rail end are one slot: the rails are cut alike and share
    themselves out among those joints. Joints whose rail end is in doubt (`ends_in_doubt`) give the rail none.
    """
    found: dict[tuple[object, ...], Slot] = {}
    doubtful = set(ends_in_doubt(job, mark))
    for joint in job.joints:
        if joint.post == mark:
            for slot in post_slots(job, joint):
                found[(slot.side, slot.start, slot.end, slot.centre, slot.depth, slot.bit, joint.mark)] = slot
        if joint.rail == mark and joint.mark not in doubtful:
            for slot in rail_slots(job, joint):
                key = (slot.side, slot.start, slot.end, slot.centre, slot.depth, slot.bit)
                joints = (*found[key].joints, joint.mark) if key in found else (joint.mark,)
                found[key] = Slot(mark, *key, joints)
    for cut in job.cuts:
        if mark in cut.parts:
            for one in cut.mortises(job, job.part(mark)):
                found[(*one, cut.mark)] = Slot(mark, *one[:6], (cut.mark,), one.stands_on)
    return tuple(sorted(found.values(), key=_along))


def post_slots(job: Job, joint: Joint) -> Iterator[Slot]:
    """The slots of a joint in its post, rail after rail, from the marked end (the horn included)."""
    top = horn_of(job, joint.post) + joint.drop
    for rail in range(joint.repeat):
        for start, end in _across_rail(joint):
            along = (top + rail * (joint.spacing or 0) + start, top + rail * (joint.spacing or 0) + end)
            for centre in centres_in_rail(job, joint):
                behind = joint.setback + centre
                yield Slot(joint.post, joint.side, *along, behind, joint.depth_post, joint.bit, (joint.mark,))


def rail_slots(job: Job, joint: Joint) -> Iterator[Slot]:
    """The slots of a joint in one rail, end after end."""
    for side in rail_ends(joint):
        for start, end in _across_rail(joint):
            for centre in centres_in_rail(job, joint):
                yield Slot(joint.rail, side, start, end, centre, joint.depth_rail, joint.bit, (joint.mark,))


def rail_ends(joint: Joint) -> tuple[Side, ...]:
    """The ends of the rail that the joint is at; both when the job does not say."""
    return met_by(joint).rail_ends


def ends_in_doubt(job: Job, mark: str) -> tuple[str, ...]:
    """Joints of this rail that need different slots at an end which the job does not name, in the job's order."""
    here = [joint for joint in job.joints if joint.rail == mark]
    kinds = {(*_across_rail(j), *centres_in_rail(job, j), j.depth_rail, j.bit) for j in here}
    if len(kinds) < 2 or all(joint.ends is not None for joint in here):
        return ()
    return tuple(joint.mark for joint in here if joint.ends is None)


def horn_of(job: Job, mark: str) -> Nm:
    """How much longer the part is at its marked end while it is worked, nm: the longest horn of its joints."""
    return max((joint.horn for joint in job.joints if joint.post == mark), default=0)


def body_of(job: Job, part: Part) -> tuple[Nm, Nm, Nm]:
    """Length with its horn, width and thickness of a piece as it comes to the mortiser, nm."""
    return (part.length + horn_of(job, part.mark), part.width, part.thickness)


def box_of(slot: Slot, body: tuple[Nm, Nm, Nm]) -> Box:
    """The room a slot takes in its piece, its round ends as if square.

    >>> from stopwright.lengths import MM
    >>> post = Slot("A", Side.FAR_EDGE, 20 * MM, 80 * MM, 13 * MM, 26 * MM, 10 * MM)
    >>> [(low // MM, high // MM) for low, high in box_of(post, (400 * MM, 45 * MM, 45 * MM))]
    [(20, 80), (19, 45), (8, 18)]
    """
    length, width, thickness = body
    along, beside = (slot.start, slot.end), (slot.centre - slot.bit // 2, slot.centre + slot.bit // 2)
    if slot.stands_on is Side.OTHER_END:
        beside = (length - beside[1], length - beside[0])
    if slot.stands_on:
        along, beside = beside, along
    match slot.side:
        case Side.FACE:
            return (along, beside, (0, slot.depth))
        case Side.BACK:
            return (along, beside, (thickness - slot.depth, thickness))
        case Side.EDGE:
            return (along, (0, slot.depth), beside)
        case Side.FAR_EDGE:
            return (along, (width - slot.depth, width), beside)
        case Side.MARKED_END:
            return ((0, slot.depth), along, beside)
        case Side.OTHER_END:
            return ((length - slot.depth, length), along, beside)


def parts_with_slots(job: Job) -> dict[str, tuple[Slot, ...]]:
    """The slots of every part that has any, part marks A … Z, AA …"""
    marks = {mark for joint in job.joints for mark in (joint.post, joint.rail)}
    marks.update(mark for cut in job.cuts for mark in cut.parts if any(cut.mortises(job, job.part(mark))))
    found: dict[str, tuple[Slot, ...]] = defaultdict(tuple)
    for mark in sorted(marks, key=mark_order):
        slots = slots_of(job, mark)
        if slots:
            found[mark] = slots
    return dict(found)


def _across_rail(joint: Joint) -> Iterator[tuple[Nm, Nm]]:
    for number in range(joint.count):
        shift = number * (joint.pitch or 0)
        yield joint.slot_from + shift, joint.slot_to + shift


def centres_in_rail(job: Job, joint: Joint) -> tuple[Nm, ...]:
    """The centre line of the slot behind the rail's face side, or of both where two lie side by side, nm.

    >>> from stopwright.lengths import MM
    >>> from stopwright.model.joints import EDGES
    >>> rail, post = Part("B", "Rail", 2, 400 * MM, 80 * MM, 45 * MM), Part("A", "Post", 4, 700 * MM, 70 * MM, 70 * MM)
    >>> twin = Joint("J1", "A", "B", EDGES[0], 16 * MM, 64 * MM, 8 * MM, 30 * MM, 30 * MM, apart=18 * MM)
    >>> [centre / MM for centre in centres_in_rail(Job("Table", (post, rail), joints=(twin,)), twin)]
    [13.5, 31.5]
    """
    middle = joint.offset if joint.offset is not None else job.part(joint.rail).thickness // 2
    if joint.apart is None:
        return (middle,)
    return (middle - joint.apart // 2, middle - joint.apart // 2 + joint.apart)


def _along(slot: Slot) -> tuple[object, ...]:
    place = (slot.start, slot.end, slot.centre, slot.depth, slot.bit, slot.joints)
    return (SIDE_ORDER.index(slot.side), str(slot.stands_on or ""), *place)
