"""Where the ends of one part sit in a side of another: by a loose tenon, a tongue, a tenon, fingers or in a housing."""

from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.joints import ENDS, Joint, RailEnds, Side


@dataclass(frozen=True, slots=True)
class Meeting:
    """Rail ends in one side of every post of a mark, as a joint has them, whatever holds them there. Lengths in nm.

    `mark` is that of the joint or cut, and `repeat` rails sit in one post, each `spacing` further along. As a rule a
    rail's width lies along the post, its face edge `drop` below the post's marked end, and its face side lies `setback`
    behind the post's reference side. `across` turns it: its width lies across the post, face edge `setback` behind
    the post's, and its thickness along it from `drop` on; `turned` says that its face side is the farther one from the
    post's marked end. Its end lies `sunk` below the surface of the post.
    """

    mark: str
    post: str
    rail: str
    side: Side
    drop: Nm = 0
    setback: Nm = 0
    ends: RailEnds | None = None
    repeat: int = 1
    spacing: Nm = 0
    sunk: Nm = 0
    across: bool = False
    turned: bool = False

    @property
    def rail_ends(self) -> tuple[Side, ...]:
        """The ends of the rail that sit so; both where it is not said."""
        if self.ends is RailEnds.MARKED:
            return (Side.MARKED_END,)
        return (Side.OTHER_END,) if self.ends is RailEnds.OTHER else ENDS

    @property
    def lot(self) -> tuple[str, str]:
        """What is alike for all that share out one lot of rail ends."""
        return (self.rail, str(self.ends) if self.ends in (RailEnds.MARKED, RailEnds.OTHER) else "")

    def height(self, repeat: int) -> Nm:
        """How far along the post from its marked end a rail begins, nm."""
        return self.drop + repeat * self.spacing


def met_by(joint: Joint) -> Meeting:
    """How the rails of a joint sit in its posts: on their surface, the tenon being loose."""
    return Meeting(
        joint.mark,
        joint.post,
        joint.rail,
        joint.side,
        joint.drop,
        joint.setback,
        joint.ends,
        joint.repeat,
        joint.spacing or 0,
    )
