"""Where pieces stand in a unit, as far as the joints tell it: the four posts of a frame and the rails between them."""

from collections import defaultdict
from collections.abc import Callable

from stopwright.model.job import Job
from stopwright.model.joints import EDGES, Side
from stopwright.model.parts import units_of
from stopwright.plan.joinery.hands import count_hands

# Seen from above, face side or back of every post to the front or to the back. Slots in far edge and back: the
# front left post has its face side to the front and its face edge to the left. Its axes down, right, backwards are
# left-handed, so it is the mirror image; so is its opposite. Turning one of the two slotted sides changes the hand.
_MIRRORED = ("front left", "back right")
_TRUE = ("front right", "back left")


def places_in_unit(job: Job) -> dict[tuple[str, int], str]:
    """The place of the nth piece (from 0) of a mark within its unit; pieces of which joints tell nothing are left out.

    Told are: posts in handed pairs, four to a unit, slotted on two neighbouring sides; and rails without a hand that
    are two to a unit and run between such posts in one direction. Front is where the posts show their face side, or
    the back when it is the face side that is slotted; so the rails of the edges run left to right.
    """
    sides: defaultdict[str, set[Side]] = defaultdict(set)
    for joint in job.joints:
        sides[joint.post].add(joint.side)
    places: dict[tuple[str, int], str] = {}
    posts = set()
    for part in job.parts:
        slotted = sides[part.mark]
        across, along = slotted & set(EDGES), slotted - set(EDGES)
        if part.quantity != 4 * job.units or not len(across) == len(along) == 1 or not count_hands(job, part)[1]:
            continue
        posts.add(part.mark)
        turned = (Side.EDGE in across) != (Side.FACE in along)
        left, right = (_TRUE, _MIRRORED) if turned else (_MIRRORED, _TRUE)
        # numbers take turns: right, left, right, left
        for nth, place in enumerate((right[0], left[0], right[1], left[1])):
            places[part.mark, nth] = place
    for part in job.parts:
        joints = [joint for joint in job.joints if joint.rail == part.mark]
        directions = {joint.side in EDGES for joint in joints}
        between = all(joint.post in posts and joint.repeat == 1 for joint in joints)
        if len(directions) == 1 and between and part.quantity == 2 * job.units and not count_hands(job, part)[1]:
            pair = ("front", "back") if directions.pop() else ("left", "right")
            places |= {(part.mark, nth): place for nth, place in enumerate(pair)}
    return places


def named_in_unit(job: Job) -> Callable[[tuple[str, int]], str]:
    """What a piece of any unit is called: by its place where that is told, else by which of the unit's it is."""
    places = places_in_unit(job)

    def named(piece: tuple[str, int]) -> str:
        mark, nth = piece
        name = job.part(mark).name
        name = name if name[1:2].isupper() else name[:1].lower() + name[1:]
        if piece in places:
            return f"{mark} {name} {places[piece]}"
        per_unit = max(units_of(job.part(mark), job.units))
        return f"{mark} {name} {nth + 1}" if per_unit > 1 else f"{mark} {name}"

    return named
