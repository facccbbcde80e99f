"""Mitred frame: from the picture or glass to the long points of its sides, with the rebate that holds it."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import INCH, MM, Nm
from stopwright.model.cuts import asked
from stopwright.model.joints import Side
from stopwright.model.shaping import Mitre
from stopwright.model.things import Thing
from stopwright.plan.making.formulas import GEOMETRY, Measure, Sum
from stopwright.plan.making.work import ThingKind, Work
from stopwright.plan.operations.rebate import Rebate

EASE: Nm = INCH // 16
"""Room for the picture in its rebate."""

_LONG = "a picture framer’s rule: picture, ease and twice the wood outside the rebate (seen)"


@dataclass(frozen=True, slots=True, kw_only=True)
class MitredFrame(Thing):
    """Four sides mitred around a picture of `width` and `height`, nm; its rebate lies at the back of the inner edge."""

    kind: ClassVar[str] = "mitred_frame"
    letter: ClassVar[str] = "M"
    called: ClassVar[str] = "mitred frame"
    first: ClassVar[tuple[str, ...]] = ("width", "height", "side", "thickness", "material", "count")
    measured: ClassVar[tuple[str, ...]] = ("width", "height")

    width: Nm = asked("Picture, width", "or glass: what lies in the rebate")
    height: Nm = asked("Picture, height", "")
    side: Nm = asked("Sides, width", "of the wood, from outside to inside", 40 * MM)
    thickness: Nm = asked("Sides, thickness", "", 20 * MM)
    material: str = asked("Wood", "", "")
    rebate: Nm = asked("Rebate, width", "how far the frame covers the picture", 6 * MM)
    rebate_depth: Nm = asked("Rebate, depth", "from the back", 10 * MM)
    ease: Nm = asked("Ease", "how much larger than the picture the rebate is", EASE)

    def problems(self) -> Iterator[Problem]:
        """No rebate for the picture to lie in."""
        for one in ("rebate", "rebate_depth"):
            if getattr(self, one) <= 0:
                yield Problem(one, "is not above 0", "write how wide and deep the rebate for the picture is")


def _work_out(frame: MitredFrame, work: Work) -> None:
    outside = Sum(
        "outside the rebate", ((1, work.typed("side", "side")), (-1, work.typed("rebate", "rebate"))), GEOMETRY
    )
    left = Sum("before the picture", ((1, work.typed("thickness", "thickness")),
                                      (-1, work.typed("rebate_depth", "rebate"))), GEOMETRY)  # fmt: skip
    picture = [work.typed("width", "picture"), work.typed("height", "picture")]
    measures: tuple[Measure | Sum, ...] = (outside, left, *picture)
    fine = [work.above(one) for one in measures]
    if not all(fine):
        return
    wide, high = (
        Sum("long points", ((1, one), (1, work.typed("ease", "ease")), (2, outside)), _LONG) for one in picture
    )
    side, thick = work.typed("side", "side"), work.typed("thickness", "thickness")
    marks = (work.part("h", "top and bottom", 2, (wide, side, thick), frame.material),
             work.part("v", "side", 2, (high, side, thick), frame.material))  # fmt: skip
    work.mitres += [Mitre(mark, sides=4) for mark in marks]
    work.cut(Rebate, 1, marks, side=Side.BACK, edge=Side.FAR_EDGE, width=work.typed("rebate", "rebate"),
             depth=work.typed("rebate_depth", "rebate"))  # fmt: skip


KIND = ThingKind(
    MitredFrame,
    _work_out,
    "From the picture or the glass to the long points of its sides, with mitres and rebate.",
)
