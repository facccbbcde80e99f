"""Frame with panels: stiles, rails and uprights around one light or several, each with its panel in the groove."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, ClassVar

from stopwright.errors import Problem
from stopwright.lengths import MM, Nm
from stopwright.model.cuts import asked
from stopwright.model.joints import RailEnds, Side
from stopwright.model.parts import Grain, Kind, Made
from stopwright.model.things import Thing
from stopwright.plan.making.bars import bars_of, lines_of, loose_tenons, sunk_rails
from stopwright.plan.making.formulas import GEOMETRY, SLIDES_IN, Measure, Named, Sum
from stopwright.plan.making.rebated_panel import rebate_panel, whole_thickness
from stopwright.plan.making.work import ThingKind, Work
from stopwright.plan.operations.groove import PANEL_PLAY, Groove
from stopwright.plan.operations.tenon import Tenon

MOST_LIGHTS = 20


class FrameCorner(StrEnum):
    """How rails meet stiles."""

    STUB = "stub tongues"
    LOOSE = "loose tenons"


SHEET_GAP: Nm = MM // 2
"""Room beside a panel of sheet, in each groove (common practice, 0.5 to 1)."""
SOLID_GAP: Nm = 3 * MM
"""Room beside a panel of solid wood across the grain, in each groove: at least 1/8 in at a middling moisture."""
ALONG_GAP: Nm = MM // 2
"""Room at the ends of the grain, where wood hardly moves."""
TONGUE_RELIEF: Nm = MM // 2
"""How much shorter a stub tongue is than its groove is deep, so that the shoulders close (common practice)."""
TONGUE_PLAY: Nm = MM // 10
"""How much thinner it is than the groove (common practice)."""
BESIDE_GROOVE: Nm = 2 * MM
"""Wood between the groove and the slot of a loose tenon (common practice)."""

_RAIL = "a cutter maker’s frame and panel doors (seen)"
_SHEET = "room beside sheet: common practice"
_SOLID = "a magazine on seasonal movement in panel doors (seen)"
_TONGUE = "the tongue is the shorter, so that faces close: common practice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame(Thing):
    """A frame in an opening, or by its own size where `gap` is 0; `lights` beside each other, `rows` above. In nm."""

    kind: ClassVar[str] = "frame"
    letter: ClassVar[str] = "F"
    called: ClassVar[str] = "frame"
    first: ClassVar[tuple[str, ...]] = ("width", "height", "gap", "lights", "corner", "stiles", "material", "count")
    measured: ClassVar[tuple[str, ...]] = ("width", "height")
    measured_dry: ClassVar[tuple[str, ...]] = ("light_width", "light_height")

    width: Nm = asked("Width", "of the opening, or of the frame itself where no gap is left")
    height: Nm = asked("Height", "of the opening, or of the frame itself")
    gap: Nm = asked("Gap", "left all round in the opening; 0 where width and height are those of the frame", 0)
    lights: int = asked("Lights side by side", "panels between the stiles", 1)
    rows: int = asked("Lights one above the other", "panels between top and bottom", 1)
    stiles: Nm = asked("Stiles, width", "", 60 * MM)
    top: Nm | None = asked("Top rail, width", "empty: as the stiles", None)
    bottom: Nm | None = asked("Bottom rail, width", "empty: as the stiles", None)
    middle: Nm | None = asked("Between lights, width", "of uprights and middle rails; empty: as the stiles", None)
    thickness: Nm = asked("Frame, thickness", "", 22 * MM)
    material: str = asked("Wood of the frame", "", "")
    corner: FrameCorner = asked("Corners", "stub tongues in the groove, or loose tenons beside it", FrameCorner.STUB)
    panel: Nm = asked("Panel, thickness", "where it lies in the groove; it is measured before", 6 * MM)
    panel_full: Nm | None = asked("Panel, whole thickness", "where it is rebated all round; empty: it is not", None)
    panel_rebate: Nm | None = asked("Rebate of the panel", "from its edges; empty: just clear of the frame", None)
    panel_side: Side = asked("Panel rebated from", "face or back", Side.FACE, among=(Side.FACE, Side.BACK))
    panel_kind: Kind = asked("Panel of", "sheet or solid wood", Kind.SHEET, among=(Kind.SHEET, Kind.SOLID))
    panel_material: str = asked("Wood of the panel", "", "")
    groove_depth: Nm = asked("Groove, depth", "at most half of the narrowest part", 10 * MM)
    groove_at: Nm | None = asked("Groove from the face side", "to its near wall; empty: in the middle", None)
    play: Nm = asked("Play of the panel", "in the width of its groove", PANEL_PLAY)
    panel_gap: Nm | None = asked("Room beside the panel", "in each groove, across the grain; empty: as usual", None)
    panel_end_gap: Nm = asked("Room above and below it", "in each groove, along the grain", ALONG_GAP)
    dry_fit: bool = asked(
        "Panel cut after the dry fit", "to its light as measured, when the frame is worked and put together dry", False
    )
    relief: Nm = asked("Tongues shorter by", "than the groove is deep, so that the shoulders close", TONGUE_RELIEF)
    tongue_play: Nm = asked("Tongues thinner by", "than the groove is wide", TONGUE_PLAY)
    bit: Nm = asked("Bit for loose tenons", "about a third of the thickness", 8 * MM)
    tenon_depth: Nm = asked("Loose tenons, depth", "of the slot in either part", 25 * MM)

    @property
    def is_fitted(self) -> bool:
        """Where a gap is left around it in an opening."""
        return self.gap > 0

    def problems(self) -> Iterator[Problem]:
        """A panel of neither, no light or very many."""
        if self.panel_kind is Kind.MOULDING:
            yield Problem("panel_kind", "a moulding cannot be a panel", "choose sheet or solid")
        if self.panel_side not in (Side.FACE, Side.BACK):
            yield Problem(
                "panel_side", f"'{self.panel_side}' cannot be the side that gets thinner", "choose face or back"
            )
        if self.panel_rebate is not None and self.panel_full is None:
            yield Problem("panel_rebate", "is for a panel thicker than its groove", "write its whole thickness too")
        if not self.dry_fit and any(one.of_light for one in self.openings):
            text = "a light was measured dry, but the panel is not cut after the dry fit"
            yield Problem("dry_fit", text, "let it be cut then, or leave the measure out")
        for one in ("lights", "rows"):
            if not 1 <= getattr(self, one) <= MOST_LIGHTS:
                yield Problem(one, f"{getattr(self, one)} is not from 1 to {MOST_LIGHTS}", "write how many panels")


def _work_out(frame: Frame, work: Work) -> None:
    gap = work.typed("gap", "gap")
    wide = Sum("frame", ((1, work.typed("width", "width")), (-2, gap)), GEOMETRY)
    high = Sum("frame", ((1, work.typed("height", "height")), (-2, gap)), GEOMETRY)
    bars = bars_of(frame, work, wide, high)
    light, tall = bars.light(frame.lights), bars.tall(frame.rows)
    if not (work.above(light) and work.above(tall)):
        return
    groove = work.typed("groove_depth", "groove")
    between = (bars.middle,) if frame.lights > 1 or frame.rows > 1 else ()
    narrowest = min(one.value for one in (bars.stile, bars.top, bars.bottom, *between))
    work.at_most("groove_depth", "the groove", groove.value, narrowest // 2, "half of the narrowest part")
    long: tuple[Named, Named] = (bars.clear, tall)
    if frame.corner is FrameCorner.STUB:
        tongue = _tongue(work)
        long = (
            Sum("with its tongues", ((1, bars.clear), (2, tongue)), _RAIL),
            Sum("with its tongues", ((1, tall), (2, tongue)), _RAIL),
        )
    uprights = (frame.lights - 1) * frame.rows
    marks = lines_of(work, bars, frame.material, long, frame.rows - 1, uprights)
    lit: tuple[Named, Named] = (light, tall)
    if frame.dry_fit:
        lit = (work.measured_dry("light_width", light), work.measured_dry("light_height", tall))
    panel = _panel(frame, work, (light, tall), lit)
    _grooves(frame, work, marks, panel, lit[0])
    if frame.corner is FrameCorner.STUB:
        sunk_rails(
            work, bars, marks, bars.drops(frame.rows), frame.lights, f"{work.mark}{Tenon.letter}1", _tongue(work).value
        )
    if frame.corner is FrameCorner.LOOSE:
        loose_tenons(frame, work, bars, marks, bars.drops(frame.rows), frame.lights, groove.value + BESIDE_GROOVE)
        work.notes.append("The groove runs out at the ends of the stiles: plug it there, or stop it at the spindle")


def _tongue(work: Work) -> Sum:
    """How long a stub tongue is."""
    return Sum("tongue", ((1, work.typed("groove_depth", "groove")), (-1, work.typed("relief", "relief"))), _TONGUE)


def _panel(frame: Frame, work: Work, drawn: tuple[Sum, Sum], lit: tuple[Named, Named]) -> str:
    """The panel, its grain upright, with room in each of its grooves; it must not fall out of them.

    `lit` is how wide and tall a light is: as `drawn`, or as it was measured when the frame was put together dry.
    """
    solid = frame.panel_kind is Kind.SOLID
    beside = _beside(frame, work)
    groove, ends = work.typed("groove_depth", "groove"), work.typed("panel_end_gap", "room at the ends")
    for entry, room in (("panel_gap", beside), ("panel_end_gap", ends)):
        if 2 * room.value > groove.value:
            text = f"{work.said(room.value)} beside the panel is more than half of the groove: it may fall out"
            work.refuse(entry, text, f"write at most {work.said(groove.value // 2)}")
    source = _SOLID if solid else _SHEET

    def size(wide: Named, tall: Named) -> tuple[Sum, Sum]:
        width = Sum("panel, width", ((1, wide), (2, groove), (-2, beside)), source)
        return Sum("panel, height", ((1, tall), (2, groove), (-2, ends)), source), width

    height, width = size(*lit)
    how: dict[str, Any] = {"made": Made.PANEL} if solid else {"kind": Kind.SHEET, "grain": Grain.ALONG}
    if frame.dry_fit:
        how["drawn"] = tuple(one.value for one in size(*drawn))
    count = frame.lights * frame.rows
    return work.part("p", "panel", count, (height, width, whole_thickness(frame, work)), frame.panel_material, **how)


def _beside(frame: Frame, work: Work) -> Measure:
    """The room beside the panel in each groove, across its grain."""
    if frame.panel_gap is not None:
        return work.typed("panel_gap", "room")
    return Measure("room", SOLID_GAP if frame.panel_kind is Kind.SOLID else SHEET_GAP)


def _grooves(frame: Frame, work: Work, marks: dict[str, str], panel: str, light: Named) -> None:
    """One setting for the inner edges of all: a rail's face edge lies towards the marked end of the stiles.

    The first of them knows the opening across the panel, so that the plan checks how it moves there.
    """
    rebated = frame.panel_full is not None
    fits = work.typed("panel", "panel") if rebated else work.thick("p", "panel", "panel")
    wide = Sum("groove, width", ((1, fits), (1, work.typed("play", "play"))), SLIDES_IN)
    thick = work.typed("thickness", "thickness")
    at: Named = Sum("wood before the groove", ((1, thick), (-1, wide)), "in the middle", 2)
    if frame.groove_at is not None:
        at = work.typed("groove_at", "wood before the groove")
    behind = Sum("wood behind the groove", ((1, thick), (-1, at), (-1, wide)), GEOMETRY)
    if not (work.above(at) and work.above(behind)):
        return
    depth = work.typed("groove_depth", "groove")
    edges = ((Side.EDGE, ("st", "br", "mr", "up")), (Side.FAR_EDGE, ("tr", "mr", "up")))
    for number, (edge, suffixes) in enumerate(edges, start=1):
        grooved = tuple(marks[one] for one in suffixes if one in marks)
        held: dict[str, Any] = {"width": wide} if rebated else {}
        held |= {"opening_across": light, "gap": 2 * _beside(frame, work).value} if number == 1 else {}
        where = {"side": edge, "from_": Side.FACE, "at": at}
        work.cut(Groove, number, grooved, **where, fits=panel, play=frame.play, depth=depth, **held)
    before = at if frame.panel_side is Side.FACE else behind
    rebate_panel(frame, work, panel, depth, before.value + wide.value - whole_thickness(frame, work).value)
    if frame.corner is FrameCorner.STUB:
        tongue = _tongue(work)
        thin = Sum("tongue", ((1, wide), (-1, work.typed("tongue_play", "play"))), "common practice")
        rails = tuple(mark for suffix, mark in marks.items() if suffix != "st")
        work.cut(Tenon, 1, rails, ends=RailEnds.BOTH, length=tongue, thickness=thin, from_face=at)


KIND = ThingKind(
    Frame,
    _work_out,
    "From the opening, or the size of the frame, to stiles, rails, uprights and panels, with grooves and corners.",
)
