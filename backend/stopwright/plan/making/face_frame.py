"""Face frame: stiles and rails before a case, loose tenons between them, around openings of equal or unlike heights."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import MM, Nm
from stopwright.model.cuts import asked
from stopwright.model.things import Thing
from stopwright.plan.making.bars import bars_of, lines_of, loose_tenons
from stopwright.plan.making.formulas import GEOMETRY, Measure, Sum
from stopwright.plan.making.work import ThingKind, Work

MOST_OPENINGS = 20
FROM_EDGES: Nm = 8 * MM
"""Wood between a slot and the inner edge of a rail without a groove (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceFrame(Thing):
    """A frame by its outside, nm. `heights` are those of its openings from the top where they are not equal."""

    kind: ClassVar[str] = "face_frame"
    letter: ClassVar[str] = "V"
    called: ClassVar[str] = "face frame"
    first: ClassVar[tuple[str, ...]] = ("width", "height", "rows", "heights", "stiles", "material", "count")
    measured: ClassVar[tuple[str, ...]] = ("width", "height")

    width: Nm = asked("Width", "outside, as the case measures")
    height: Nm = asked("Height", "outside")
    rows: int = asked("Openings one above the other", "of equal height", 1)
    heights: tuple[Nm, ...] = asked(
        "or their heights", "from the top, with ; between them; the last is what is left", ()
    )
    lights: int = asked("Openings side by side", "", 1)
    stiles: Nm = asked("Stiles, width", "", 40 * MM)
    top: Nm | None = asked("Top rail, width", "empty: as the stiles", None)
    bottom: Nm | None = asked("Bottom rail, width", "empty: as the stiles", None)
    middle: Nm | None = asked("Between openings, width", "empty: as the stiles", None)
    thickness: Nm = asked("Thickness", "", 20 * MM)
    material: str = asked("Wood", "", "")
    bit: Nm = asked("Bit for loose tenons", "about a third of the thickness", 6 * MM)
    tenon_depth: Nm = asked("Loose tenons, depth", "of the slot in either part", 20 * MM)

    def problems(self) -> Iterator[Problem]:
        """No opening or very many, and both a number and heights."""
        for one in ("lights", "rows"):
            if not 1 <= getattr(self, one) <= MOST_OPENINGS:
                yield Problem(one, f"{getattr(self, one)} is not from 1 to {MOST_OPENINGS}", "write how many openings")
        if self.heights and self.rows > 1:
            yield Problem("heights", "is given beside a number of equal openings", "leave one of the two out")
        if self.heights and self.lights > 1:
            yield Problem(
                "heights", "is for openings one above the other", "make the openings side by side a frame each"
            )


def _work_out(frame: FaceFrame, work: Work) -> None:
    bars = bars_of(frame, work, work.typed("width", "width"), work.typed("height", "height"))
    tall: Sum = bars.tall(frame.rows)
    drops = bars.drops(frame.rows)
    if frame.heights:
        others = Measure("openings above", sum(frame.heights))
        taken = ((-1, bars.top), (-1, bars.bottom), (-len(frame.heights), bars.middle), (-1, others))
        tall = Sum("last opening", ((1, bars.high), *taken), GEOMETRY)
        above = accumulate(height + bars.middle.value for height in frame.heights)
        drops = [bars.top.value + down - bars.middle.value for down in above]
    light = bars.light(frame.lights)
    if not (work.above(light) and work.above(tall)):
        return
    uprights = (frame.lights - 1) * frame.rows
    marks = lines_of(work, bars, frame.material, (bars.clear, tall), len(drops), uprights)
    loose_tenons(frame, work, bars, marks, drops, frame.lights, FROM_EDGES)
    if frame.heights:
        work.notes.append(f"The last opening is {work.said(tall.value)} high: {tall.in_figures(work.show)}")


KIND = ThingKind(
    FaceFrame,
    _work_out,
    "From the front of a case to stiles and rails around its openings, with loose tenons.",
)
