"""Panel glued from strips: a top, a side or a solid panel wider than any board."""

from dataclasses import dataclass
from typing import ClassVar

from stopwright.lengths import Nm
from stopwright.model.cuts import asked
from stopwright.model.parts import Made
from stopwright.model.things import Thing
from stopwright.plan.making.formulas import GEOMETRY, Sum
from stopwright.plan.making.work import ThingKind, Work


@dataclass(frozen=True, slots=True, kw_only=True)
class GluedPanel(Thing):
    """A panel by what it covers and how far it stands over, nm; how it is glued is worked out with the wood."""

    kind: ClassVar[str] = "glued_panel"
    letter: ClassVar[str] = "P"
    called: ClassVar[str] = "glued panel"
    first: ClassVar[tuple[str, ...]] = ("depth", "width", "over_ends", "over_edges", "thickness", "material", "count")
    measured: ClassVar[tuple[str, ...]] = ("width", "depth")

    depth: Nm = asked("Length", "of what it covers, along the grain")
    width: Nm = asked("Width", "of what it covers, across the grain")
    over_ends: Nm = asked("Over at each end", "", 0)
    over_edges: Nm = asked("Over at each edge", "", 0)
    thickness: Nm = asked("Thickness", "finished")
    material: str = asked("Wood", "", "")
    strip: Nm | None = asked("Strips at most", "how wide one may be; empty: as usual", None)
    as_boards: bool = asked("Strips as wide as their boards", "not ripped to one width; the fewest are taken", False)


def _work_out(panel: GluedPanel, work: Work) -> None:
    long = Sum("length", ((1, work.typed("depth", "covered")), (2, work.typed("over_ends", "over"))), GEOMETRY)
    wide = Sum("width", ((1, work.typed("width", "covered")), (2, work.typed("over_edges", "over"))), GEOMETRY)
    size = (long, wide, work.typed("thickness", "thickness"))
    made = Made.BOARDS if panel.as_boards else Made.PANEL
    work.part("", "", 1, size, panel.material, made=made, strip=panel.strip)


KIND = ThingKind(
    GluedPanel,
    _work_out,
    "From what it covers to the panel; strips, clamps and waiting follow with the wood.",
)
