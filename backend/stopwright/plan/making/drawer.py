"""Drawer: from the opening to the box, its corners, and the bottom in its groove."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, ClassVar

from stopwright.errors import Problem
from stopwright.lengths import INCH, MM, Nm
from stopwright.model.cuts import asked
from stopwright.model.joints import Side
from stopwright.model.parts import Grain, Kind, Made
from stopwright.model.things import Thing
from stopwright.plan.making.drawer_corners import Corner, Sides, comb_corners, housed_corners
from stopwright.plan.making.drawer_tenons import tenoned_corners
from stopwright.plan.making.formulas import GEOMETRY, SLIDES_IN, Measure, Named, Sum
from stopwright.plan.making.work import ThingKind, Work
from stopwright.plan.operations.groove import PANEL_PLAY, Groove


class Guide(StrEnum):
    """What the drawer runs on."""

    SIDE = "side slides"
    HIDDEN = "hidden slides"
    WOOD = "wood on wood"


SIDE_SLIDES: Nm = INCH
"""What a pair of side slides takes of the width: half an inch in on either side."""
HIDDEN_SLIDES: Nm = INCH * 13 // 8
"""By how much the inside of the box is narrower than the opening on hidden slides, however thick its sides are."""
WOOD_PLAY: Nm = MM * 3 // 4
"""Room in the width in all, where wood runs on wood."""
ABOVE_SIDE_SLIDES: Nm = INCH // 2
ABOVE_HIDDEN_SLIDES: Nm = INCH * 13 // 16
"""How much lower than the opening a box on slides is."""
ABOVE_WOOD: Nm = INCH // 16
"""Room above a drawer that runs on wood, at the time of making."""
BOTTOM_PLAY: Nm = MM
"""How much smaller the bottom is than its grooves leave room for."""
GROOVE_UP: Nm = 10 * MM
"""From the lower edge to the groove of the bottom; three eighths of an inch are published."""
CORNER_PLAY: Nm = MM // 10
"""How much thinner the tongue of a corner is than its housing."""
FRONT_GAP: Nm = INCH // 16
"""Gap around a front that is set into its opening, at the time of making; what it grows by comes on top."""

_ON_SLIDES = "a box maker’s measuring instructions (seen); the slide’s own sheet decides"
_ON_HIDDEN = "two box makers’ tables of hidden slides (seen); the slide’s own sheet decides"
_ON_WOOD = "common practice"
_BOTTOM = "a course on making drawers (seen); room around the bottom: common practice"
_FRONT = "a magazine’s inset drawer fronts (seen)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawer(Thing):
    """A drawer from its opening, clear as measured; `depth` is that of the box. Lengths in nm."""

    kind: ClassVar[str] = "drawer"
    letter: ClassVar[str] = "D"
    called: ClassVar[str] = "drawer"
    first: ClassVar[tuple[str, ...]] = ("width", "height", "depth", "guide", "corner", "sides", "material", "count")
    measured: ClassVar[tuple[str, ...]] = ("width", "height")

    width: Nm = asked("Opening, width", "clear, from side to side")
    height: Nm = asked("Opening, height", "clear")
    depth: Nm = asked("Depth of the box", "from front to back, as the slides or the case want it")
    guide: Guide = asked("Runs on", "side slides, hidden slides, or wood on wood", Guide.SIDE)
    slides: Nm | None = asked(
        "The guide takes", "of the width in all, by the maker’s sheet; on hidden slides to the inside; empty: as usual",
        None,
    )  # fmt: skip
    above: Nm | None = asked("Lower than the opening", "by so much in all; empty: as usual", None)
    corner: Corner = asked("Corners", "tongues in housings, comb, or loose tenons", Corner.HOUSING)
    sides: Nm = asked("Sides, thickness", "of the back too", 12 * MM)
    front: Nm | None = asked("Front, thickness", "empty: as the sides", None)
    material: str = asked("Wood", "of sides, front and back", "")
    bottom: Nm = asked("Bottom, thickness", "as listed; it is measured before its groove is cut", 6 * MM)
    bottom_material: str = asked("Wood of the bottom", "", "")
    bottom_kind: Kind = asked("Bottom of", "sheet or solid wood", Kind.SHEET, among=(Kind.SHEET, Kind.SOLID))
    lowered: bool = asked("Back above the bottom", "so that the bottom slides in under it", True)
    groove_up: Nm = asked("Groove above the lower edge", "more if a slide needs it", GROOVE_UP)
    groove_depth: Nm | None = asked("Groove, depth", "at most half of the side; empty: half", None)
    play: Nm = asked("Play of the bottom in its groove", "", PANEL_PLAY)
    bottom_play: Nm = asked("Bottom smaller by", "than its grooves leave room for, each way", BOTTOM_PLAY)
    housing_depth: Nm | None = asked("Housings of the corners, depth", "empty: half of the side", None)
    tongue: Nm | None = asked("Housings of the corners, width", "empty: as deep as they are", None)
    corner_play: Nm = asked("Play of the corners", "of a tongue in its housing, or a finger in its slot", CORNER_PLAY)
    cutter: Nm = asked("Cutter of the comb", "width of the tool", 6 * MM)
    bit: Nm = asked("Bit for loose tenons", "about a third of the front", 6 * MM)
    side_depth: Nm | None = asked("Loose tenons, depth in the sides", "empty: as deep as leaves wood behind", None)
    end_depth: Nm = asked("Loose tenons, depth in front and back", "of the slots in their ends", 20 * MM)
    applied: Nm | None = asked("Front before the box, thickness", "set into the opening; empty: none", None)
    applied_gap: Nm = asked("Gap around that front", "all round, at the time of making", FRONT_GAP)
    applied_material: str = asked("Wood of that front", "", "")

    def problems(self) -> Iterator[Problem]:
        """A bottom of neither, a comb that would have to miss the groove."""
        if self.bottom_kind is Kind.MOULDING:
            yield Problem("bottom_kind", "a moulding cannot be a bottom", "choose sheet or solid")
        if self.lowered and self.corner is Corner.COMB:
            text = "a back above the bottom has no fingers where the sides have theirs"
            yield Problem("lowered", text, "let the comb go round at full height, or take tongues in housings")


def _work_out(drawer: Drawer, work: Work) -> None:
    side = work.thick("s", "sides", "side")
    front = side if drawer.front is None else work.thick("f", "front", "front")
    box = _box(drawer, work, side)
    opening = work.typed("height", "opening height")
    height = Sum("height of the box", ((1, opening), (-1, _above(drawer))), _guide(drawer))
    inside = Sum("inside of the box", ((1, box), (-2, side)), GEOMETRY)
    if not (work.above(inside) and work.above(height) and work.above(work.typed("depth", "depth of the box"))):
        return
    thinner = min(drawer.sides, drawer.sides if drawer.front is None else drawer.front)
    groove = work.half_unless("groove_depth", "groove", work.typed("sides", "side"))
    work.at_most("groove_depth", "the groove of the bottom", groove.value, thinner // 2)
    below = (1, work.typed("groove_up", "wood below the groove")), (1, _groove_width(work))
    above = Sum("above the bottom", ((1, height), *((-one, what) for one, what in below)), GEOMETRY)
    if not work.above(above):
        return
    sides = Sides(box, inside, height, above if drawer.lowered else height, side, front)
    if drawer.corner is Corner.COMB:
        comb_corners(drawer, work, sides)
    elif drawer.corner is Corner.LOOSE:
        tenoned_corners(drawer, work, sides, Sum("groove of the bottom", below, GEOMETRY))
    else:
        housed_corners(drawer, work, sides)
    _bottom(drawer, work, sides, groove)
    if drawer.applied is not None:
        _applied_front(drawer, work)


def _guide(drawer: Drawer) -> str:
    return {Guide.SIDE: _ON_SLIDES, Guide.HIDDEN: _ON_HIDDEN, Guide.WOOD: _ON_WOOD}[drawer.guide]


def _box(drawer: Drawer, work: Work, side: Measure) -> Sum:
    """The outside width of the box."""
    usual = {Guide.SIDE: SIDE_SLIDES, Guide.HIDDEN: HIDDEN_SLIDES, Guide.WOOD: WOOD_PLAY}[drawer.guide]
    takes = Measure("play" if drawer.guide is Guide.WOOD else drawer.guide.value, usual)
    if drawer.slides is not None:
        takes = Measure(takes.words, drawer.slides)
    opening = work.typed("width", "opening width")
    sides = ((2, side),) if drawer.guide is Guide.HIDDEN else ()
    return Sum("box", ((1, opening), (-1, takes), *sides), _guide(drawer))


def _above(drawer: Drawer) -> Measure:
    usual = {Guide.SIDE: ABOVE_SIDE_SLIDES, Guide.HIDDEN: ABOVE_HIDDEN_SLIDES, Guide.WOOD: ABOVE_WOOD}[drawer.guide]
    return Measure("room above and below", usual if drawer.above is None else drawer.above)


def _groove_width(work: Work) -> Sum:
    bottom = work.thick("bo", "bottom", "bottom")
    return Sum("groove", ((1, bottom), (1, work.typed("play", "play"))), SLIDES_IN)


def _bottom(drawer: Drawer, work: Work, sides: Sides, groove: Named) -> None:
    """The bottom in its groove, its grain from side to side; under a back that is lowered it comes out at the back.

    Of solid wood in four grooves the opening across it is known, so that the plan checks how it moves there.
    """
    play = work.typed("bottom_play", "room")
    across = Sum("across the box", ((1, sides.inside), (2, groove), (-1, play)), _BOTTOM)
    depth = work.typed("depth", "depth of the box")
    behind = () if drawer.lowered else ((-1, sides.side), (1, groove))
    deep = Sum("from front to back", ((1, depth), (-1, sides.front), *behind, (1, groove), (-1, play)), _BOTTOM)
    solid = drawer.bottom_kind is Kind.SOLID
    how = {"made": Made.PANEL} if solid else {"kind": Kind.SHEET, "grain": Grain.ANY}
    thick = work.typed("bottom", "bottom")
    bottom = work.part("bo", "bottom", 1, (across, deep, thick), drawer.bottom_material, **how)
    grooved = [work.mark + "s", work.mark + "f"]
    if not drawer.lowered and drawer.corner is not Corner.COMB:
        grooved.append(work.mark + "b")
    up = work.typed("groove_up", "wood below the groove")
    asked_for: dict[str, Any] = {
        "side": Side.FACE,
        "from_": Side.EDGE,
        "at": up,
        "fits": bottom,
        "play": drawer.play,
        "depth": groove,
    }
    if solid and not drawer.lowered:
        clear = Sum("between front and back", ((1, depth), (-1, sides.front), (-1, sides.side)), GEOMETRY)
        asked_for |= {"opening_across": clear, "gap": drawer.bottom_play}
    work.cut(Groove, 1, tuple(grooved), **asked_for)


def _applied_front(drawer: Drawer, work: Work) -> None:
    gap = work.typed("applied_gap", "gap")
    wide, high = (
        Sum("front before the box", ((1, work.typed(entry, words)), (-2, gap)), _FRONT)
        for entry, words in (("width", "opening width"), ("height", "opening height"))
    )
    size = (wide, high, work.typed("applied", "front before it"))
    work.part("a", "front before it", 1, size, drawer.applied_material)


KIND = ThingKind(
    Drawer,
    _work_out,
    "From the clear opening to the box: sides, front, back and bottom, with the cuts of its corners and its groove.",
)
