"""Sides of a part in space: which lie beside each other, how far it is through, and where a cut lies."""

from collections.abc import Mapping

from stopwright.lengths import Nm
from stopwright.model.joints import EDGES, ENDS, Side
from stopwright.model.parts import Part
from stopwright.model.solid import Solid, Span, box
from stopwright.plan.joinery.hands import OUTWARD, Vector

FACES = (Side.FACE, Side.BACK)
PAIRS = (ENDS, EDGES, FACES)
"""Opposite sides: along x, y and z of a part; the one at 0 first."""


def axis_of(side: Side) -> int:
    """The axis that a side stands across: 0, 1, 2 for x, y, z."""
    return next(axis for axis, pair in enumerate(PAIRS) if side in pair)


def across_of(side: Side) -> tuple[Side, Side]:
    """The long sides beside a long side.

    >>> [str(one) for one in across_of(Side.BACK)]
    ['edge', 'far edge']
    """
    return EDGES if side in FACES else FACES


def opposite(side: Side) -> Side:
    """The side across the part."""
    pair = PAIRS[axis_of(side)]
    return pair[1 - pair.index(side)]


def size_along(part: Part, side: Side) -> Nm:
    """How far the part goes from a side to the opposite one, nm."""
    return part.size[axis_of(side)]


def slab(cut: str, part: Part, walls: Mapping[Side, Span]) -> Solid:
    """What is taken away: between two distances from some sides, the whole part along the other axes.

    >>> from stopwright.lengths import MM
    >>> groove = {Side.FAR_EDGE: (10 * MM, 16 * MM), Side.FACE: (0, 6 * MM)}
    >>> found = slab("G1", Part("A", "Side", 2, 400 * MM, 120 * MM, 15 * MM), groove)
    >>> [(low // MM, high // MM) for low, high in found.spans]
    [(0, 400), (104, 110), (0, 6)]
    """
    spans: list[Span] = [(0, size) for size in part.size]
    for side, (near, far) in walls.items():
        axis, size = axis_of(side), size_along(part, side)
        at_zero = PAIRS[axis][0] is side
        spans[axis] = (near, far) if at_zero else (size - far, size - near)
    return box(cut, spans[0], spans[1], spans[2])


def leading_end(against: Side, down: Side, mirrored: bool = False) -> Side:
    """Which end goes first at a spindle, where the piece is fed from right to left along the fence.

    With n the outward normal of the side against the fence and u pointing up, right is n × u as one stands before the
    fence. A mirror image goes the other end first.

    >>> str(leading_end(Side.EDGE, Side.FACE)), str(leading_end(Side.FAR_EDGE, Side.FACE))
    ('other end', 'marked end')
    """
    n, up = OUTWARD[against], OUTWARD[opposite(down)]
    right = (n[1] * up[2] - n[2] * up[1], n[2] * up[0] - n[0] * up[2], n[0] * up[1] - n[1] * up[0])
    along: Vector = (1, 0, 0)
    return Side.MARKED_END if (right == along) is not mirrored else Side.OTHER_END
