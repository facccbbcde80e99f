"""Joints: rail ends into the sides of posts, with loose tenons.

Sides of a piece: x runs from the marked end along the length, y from the face edge across the width,
z from the face side into the thickness.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from stopwright.errors import Inconsistent, Problem
from stopwright.lengths import Nm


class Side(StrEnum):
    """A side of a piece, named by the reference it lies on or opposite to."""

    FACE = "face"
    BACK = "back"
    EDGE = "edge"
    FAR_EDGE = "far edge"
    MARKED_END = "marked end"
    OTHER_END = "other end"


MOST_SLOTS = 200
"""Slots in one rail end, and rails in one post, of one joint: more is a slip of the finger."""

EDGES = (Side.EDGE, Side.FAR_EDGE)
ENDS = (Side.MARKED_END, Side.OTHER_END)
POST_SIDES = (Side.FACE, Side.BACK, *EDGES)


class RailEnds(StrEnum):
    """Which ends of the rail the joint is at."""

    BOTH = "both"
    MARKED = "marked end"
    OTHER = "other end"


@dataclass(frozen=True, slots=True)
class Joint:
    """Rail ends slotted into one side of every post of a mark. Lengths in nm.

    The post's reference side is the face side when an edge is slotted, the face edge when face or back is
    slotted; the rail's face side lies `setback` behind it. The rail's face edge lies `drop` below the post's
    marked end. Slots run from `slot_from` to `slot_to` across the rail, measured from its face edge; `count`
    of them, `pitch` apart. `horn` is what the post is left longer at its marked end, cut off after glue-up.
    `repeat` rails sit in one post, each `spacing` further along (slats); their drop is that of the first.
    `offset` is the slot's centre line behind the rail's face side, None for half its thickness. With `apart` there are
    two slots side by side through the thickness, their centre lines so far apart, that line between them. `mitred` says
    that tenons which meet inside the post are mitred there. `fit`, `play`, `clearance` override the shop's.
    `ends` None: both ends; where a rail has several joints with unlike slots it must be said.
    """

    mark: str
    post: str
    rail: str
    side: Side
    slot_from: Nm
    slot_to: Nm
    bit: Nm
    depth_post: Nm
    depth_rail: Nm
    setback: Nm = 0
    drop: Nm = 0
    count: int = 1
    pitch: Nm | None = None
    horn: Nm = 0
    ends: RailEnds | None = None
    repeat: int = 1
    spacing: Nm | None = None
    offset: Nm | None = None
    apart: Nm | None = None
    fit: Nm | None = None
    play: Nm | None = None
    clearance: Nm | None = None
    mitred: bool = False

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent(f"joint {self.mark}", problems)

    def _problems(self) -> Iterator[Problem]:
        for field in ("mark", "post", "rail"):
            if not getattr(self, field):
                yield Problem(field, "is empty", "write the mark")
        if self.post == self.rail:
            yield Problem("rail", f"{self.rail} is post and rail at once", "name two different parts")
        if self.side not in POST_SIDES:
            yield Problem("side", f"'{self.side}' is an end", f"choose from {', '.join(POST_SIDES)}")
        if self.slot_to <= self.slot_from:
            yield Problem("slot_to", "does not lie beyond slot_from", "measure both from the rail's face edge")
        elif self.slot_to - self.slot_from < self.bit:
            yield Problem(
                "slot_to", "the slot is shorter than the bit is thick", "widen the slot or take a thinner bit"
            )
        for field in ("bit", "depth_post", "depth_rail"):
            if getattr(self, field) <= 0:
                yield Problem(field, "is 0", "write a length above 0")
        for field in ("slot_from", "setback", "drop", "horn", "fit", "play", "clearance"):
            if (getattr(self, field) or 0) < 0:
                yield Problem(field, "must not be negative", "write 0 or more")
        if self.offset is not None and self.offset <= 0:
            yield Problem("offset", "is 0", "leave it out for the middle of the rail")
        if self.apart is not None and self.apart <= self.bit:
            yield Problem("apart", "the two slots would run into each other", "write more than the bit is thick")
        if self.count < 1:
            yield Problem("count", "is less than 1", "write how many slots each rail end has")
        if self.repeat < 1:
            yield Problem("repeat", "is less than 1", "write how many rails sit in one post")
        for field in ("count", "repeat"):
            if getattr(self, field) > MOST_SLOTS:
                yield Problem(field, f"{getattr(self, field)} is more than {MOST_SLOTS}", "check the number")
        if self.count > 1 and (self.pitch is None or self.pitch <= self.slot_to - self.slot_from):
            yield Problem("pitch", "the slots would run into each other", "write the distance from slot to slot")
        if self.repeat > 1 and (self.spacing is None or self.spacing <= 0):
            yield Problem("spacing", "is missing", "write the distance from rail to rail")
