"""One stage of a unit's glue-up: what comes together in one go, which joints close, with which clamps."""

from collections.abc import Sequence
from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.counts import counted
from stopwright.plan.assembling.joint_poses import Nth
from stopwright.plan.assembling.loose_parts import Loose
from stopwright.plan.assembling.unit_layout import Joining
from stopwright.plan.said_lengths import said

GLUE_TWICE = "end grain drinks glue: brush both ends of every mitre, and once more before they meet"
"""Common practice."""


@dataclass(frozen=True, slots=True)
class Stage:
    """One glue-up: what comes together in one go and is clamped in one direction, or all round. Numbers count from 1.

    Stages of one `round` do not wait for one another. `members` are all pieces in it a unit, by mark; `brings` the
    numbers of earlier stages whose work comes together here. `lines` are the rails that lie in one line each, so that
    one clamp presses them. `opening`: outer size in the closing direction, nm, so the least opening of a clamp, cauls
    not counted. Two `cauls` a clamp keep the posts from marks. `loose` go in first and without glue: what lies in
    grooves and would not go in later.

    `units`, from 1, are those that have it; empty where every unit does. With `all_round` mitred corners close at once,
    in a band that is at least `opening` long; no line is clamped.
    """

    number: int
    round: int
    members: tuple[tuple[str, int], ...]
    pieces: tuple[Nth, ...]
    brings: tuple[int, ...]
    closings: tuple[Joining, ...]
    direction: str
    lines: tuple[tuple[Nth, ...], ...]
    opening: Nm
    loose: tuple[Loose, ...] = ()
    all_round: bool = False
    units: tuple[int, ...] = ()

    def is_of(self, unit: int) -> bool:
        """Whether a unit, from 1, has it."""
        return not self.units or unit in self.units

    @property
    def joints(self) -> tuple[str, ...]:
        """The joints that close, and the cuts that hold what has none, by mark."""
        return tuple(dict.fromkeys(closing.joint for closing in self.closings if closing.joint))

    @property
    def clamps(self) -> int:
        """How many clamps it takes at least: one for each line of rails, or one band."""
        return 1 if self.all_round else self.bars

    @property
    def bars(self) -> int:
        """How many of them are clamps that open."""
        return len(self.lines)

    @property
    def cauls(self) -> int:
        """How many cauls to have at hand, or blocks for the corners."""
        return len(self.closings) if self.all_round else 2 * self.clamps

    def clamps_told(self) -> str:
        """The clamps to have at hand, cauls not counted; its length is read out where it is shown."""
        if self.all_round:
            return f"a band clamp of at least {said(self.opening)}, or {counted(len(self.closings), 'corner clamp')}"
        return f"{counted(self.clamps, 'clamp')} opened to {said(self.opening)}"

    def blocks_told(self) -> str:
        """What keeps the wood from marks: `4 cauls`."""
        return counted(self.cauls, "corner block" if self.all_round else "caul")

    def glue_told(self) -> str:
        """What is said of spreading the glue, "" where nothing is."""
        return GLUE_TWICE if self.all_round else ""

    def title(self) -> str:
        """What is glued up: `2 × A, B, C`."""
        return ", ".join(f"{count} × {mark}" if count > 1 else mark for mark, count in self.members)


def members_of(pieces: Sequence[Nth]) -> tuple[tuple[str, int], ...]:
    """How many pieces of each mark there are, in their order."""
    counts: dict[str, int] = {}
    for mark, _ in pieces:
        counts[mark] = counts.get(mark, 0) + 1
    return tuple(counts.items())
