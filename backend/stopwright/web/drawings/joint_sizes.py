"""What is drawn of a joint, in mm: the figures entered, and usual ones in place of those not known yet."""

from dataclasses import dataclass

from stopwright.actions.jobs.joint_answers import Sketch
from stopwright.lengths import MM
from stopwright.model.joints import Side

MOST_RAILS = 40
REFERENCE_BESIDE = {Side.EDGE: "face side", Side.FAR_EDGE: "face side", Side.FACE: "face edge", Side.BACK: "face edge"}
"""The reference side that lies beside each side that can be slotted."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """The joint with n out of the slotted side, a along the post, b behind the reference side; mm."""

    through: float
    behind: float
    length: float
    top: float
    rail: tuple[float, float, float]
    slots: tuple[tuple[float, float], ...]
    drops: tuple[float, ...]
    setback: float
    centres: tuple[float, ...]
    bit: float
    depth_post: float
    depth_rail: float


def sizes_of(sketch: Sketch) -> Sizes:
    """The sizes to draw; every piece drawn is as large as it is, what is not entered yet is guessed from it."""
    post, rail = sketch.post, sketch.rail
    through, behind = post.width, post.thickness
    if sketch.side in (Side.FACE, Side.BACK):
        through, behind = behind, through
    bit = sketch.length("bit") or rail.thickness // 3
    start = sketch.length("slot_from", rail.width // 5)
    end = max(sketch.length("slot_to", rail.width - rail.width // 5), start + bit)
    pitch, spacing = sketch.length("pitch"), sketch.length("spacing")
    count = min(sketch.length("count", 1), 12) if pitch else 1
    repeat = min(sketch.length("repeat", 1), MOST_RAILS) if spacing else 1
    drop, setback = sketch.length("drop"), sketch.length("setback")
    middle, apart = setback + (sketch.length("offset") or rail.thickness // 2), sketch.length("apart")
    horn = max(sketch.length("horn"), sketch.horn)
    return Sizes(
        through / MM,
        behind / MM,
        post.length / MM,
        horn / MM,
        (rail.length / MM, rail.width / MM, rail.thickness / MM),
        tuple(((start + i * pitch) / MM, (end + i * pitch) / MM) for i in range(max(count, 1))),
        tuple((drop + i * spacing) / MM for i in range(max(repeat, 1))),
        setback / MM,
        tuple((middle + by) / MM for by in ((-(apart // 2), apart - apart // 2) if apart else (0,))),
        bit / MM,
        sketch.length("depth_post", through // 2) / MM,
        sketch.length("depth_rail", 3 * bit) / MM,
    )


def side_name(side: Side) -> str:
    """A side as a person names it."""
    return {Side.FACE: "face side", Side.EDGE: "face edge"}.get(side, str(side))
