"""Mitres and mouldings: ends that are not square, and profiles run at the spindle in one or more passes.

In a job file, bare numbers in the job's unit:

    [[mitre]]
    part = "F"               # the part that is mitred
    sides = 4                # of the closed frame: the saw stands at 180/sides off square; or `angle = 22.5`
    ends = "both"            # both | marked end | other end
    points = "trapezium"     # long points on one edge (frames, braces); "parallel": one on either edge
    length = "long point"    # what the part's length is measured to: long point | short point
    opening = 200            # only a frame with a rebate: size of the glass or picture along this part
    rebate_to_edge = 12      # from the rebate to the outer edge
    ease = "1/16 in"         # room for the picture

    [[moulding]]
    mark = "P1"
    parts = ["F", "G"]       # all of them pass at the same set-up
    edges = ["far edge"]     # which edges are run: face edge "edge", "far edge", "marked end", "other end"
      [[moulding.pass]]      # in order: all stock through the first, then all through the second
      cutter = "cove 12"
      height = 8             # spindle height
      fence = 12             # spindle fence
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from stopwright.errors import Inconsistent, Problem
from stopwright.lengths import INCH, Nm
from stopwright.model.joints import RailEnds, Side

RUN_EDGES = (Side.EDGE, Side.FAR_EDGE, Side.MARKED_END, Side.OTHER_END)


class MitrePoints(StrEnum):
    """How the two mitres of a piece lie to each other: both long points on one edge, or one on either edge."""

    TRAPEZIUM = "trapezium"
    PARALLEL = "parallel"


class MeasuredTo(StrEnum):
    """Which points of a mitred piece its length is measured between."""

    LONG_POINT = "long point"
    SHORT_POINT = "short point"


def polygon_setting(sides: int) -> Fraction:
    """How far off square the saw stands for a closed frame of equal sides: 180 / sides, in degrees.

    >>> [float(polygon_setting(sides)) for sides in (4, 5, 6, 8)]
    [45.0, 36.0, 30.0, 22.5]
    """
    return Fraction(180, sides)


@dataclass(frozen=True, slots=True)
class Mitre:
    """One part that is mitred. The saw stands at 180/`sides`, or at `angle`, in degrees off square; lengths in nm.

    `length` says between which points the part's length is measured. A frame with a rebate gives its `opening`
    and `rebate_to_edge`; its long points then lie opening + ease + 2 × rebate_to_edge apart.

    >>> Mitre("F", sides=8).degrees
    Fraction(45, 2)
    """

    part: str
    sides: int | None = None
    angle: Fraction | None = None
    ends: RailEnds = RailEnds.BOTH
    points: MitrePoints = MitrePoints.TRAPEZIUM
    length: MeasuredTo = MeasuredTo.LONG_POINT
    opening: Nm | None = None
    rebate_to_edge: Nm = 0
    ease: Nm = INCH // 16

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent(f"mitre of part {self.part}".rstrip(), problems)

    def _problems(self) -> Iterator[Problem]:
        if not self.part:
            yield Problem("part", "is empty", "write the mark of the part that is mitred")
        if (self.sides is None) == (self.angle is None):
            yield Problem("sides", "give either sides or angle", "write for example sides = 4, or angle = 45")
        if self.sides is not None and self.sides < 3:
            yield Problem("sides", f"{self.sides} sides do not close", "write 3 or more")
        if self.angle is not None and not 0 < self.angle < 80:
            yield Problem("angle", f"{float(self.angle):g} is not between 0 and 80", "write the degrees off square")
        if self.opening is not None and self.opening <= 0:
            yield Problem("opening", "is 0", "measure the glass or picture along this part")
        if self.rebate_to_edge < 0 or self.ease < 0:
            yield Problem("rebate_to_edge", "must not be negative", "measure from the rebate to the outer edge")
        if self.opening is not None and (self.ends is not RailEnds.BOTH or self.points is not MitrePoints.TRAPEZIUM):
            yield Problem("opening", "belongs to a frame mitred at both ends", "leave the opening out")

    @property
    def degrees(self) -> Fraction:
        """How far off square the saw stands."""
        return polygon_setting(self.sides) if self.sides is not None else self.angle or Fraction(0)


@dataclass(frozen=True, slots=True)
class Pass:
    """One set-up of the spindle: cutter by name, spindle height and fence in nm."""

    cutter: str
    height: Nm
    fence: Nm

    def __post_init__(self) -> None:
        problems = []
        if not self.cutter:
            problems.append(Problem("cutter", "is empty", "name the cutter as the shop calls it"))
        if self.height < 0 or self.fence < 0:
            problems.append(Problem("height", "must not be negative", "write 0 or more"))
        if problems:
            raise Inconsistent("pass of a moulding", problems)


@dataclass(frozen=True, slots=True)
class Moulding:
    """A profile: the `parts` that carry it, along which `edges`, cut in so many `passes`, in order."""

    mark: str
    parts: tuple[str, ...]
    passes: tuple[Pass, ...]
    edges: tuple[Side, ...] = (Side.EDGE,)

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent(f"moulding {self.mark}".rstrip(), problems)

    def _problems(self) -> Iterator[Problem]:
        if not self.mark:
            yield Problem("mark", "is empty", "write a mark such as P1")
        if not self.parts or not all(self.parts):
            yield Problem("parts", "is empty", "write the marks of the parts that are moulded")
        if len(set(self.parts)) < len(self.parts):
            yield Problem("parts", "names a part twice", "name each part once")
        if not self.passes:
            yield Problem("pass", "there is none", "give cutter, height and fence of at least one pass")
        if not self.edges or not set(self.edges) <= set(RUN_EDGES):
            yield Problem("edges", "is not a list of edges", f"choose from {', '.join(RUN_EDGES)}")
        if len(set(self.edges)) < len(self.edges):
            yield Problem("edges", "names an edge twice", "name each edge once")
