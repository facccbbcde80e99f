"""Corners of a drawer with loose tenons: front and back between the sides, slots across the faces of those."""

from typing import TYPE_CHECKING

from stopwright.lengths import MM, Nm
from stopwright.model.joints import Side
from stopwright.plan.joinery.corner_slots import CornerSlots
from stopwright.plan.making.bars import LEAST_BEHIND, shared_slots
from stopwright.plan.making.drawer_corners import Sides
from stopwright.plan.making.formulas import GEOMETRY, Measure, Named, Sum
from stopwright.plan.making.work import Work

if TYPE_CHECKING:
    from stopwright.plan.making.drawer import Drawer

FROM_EDGES: Nm = 10 * MM
"""Wood from an edge, or from the groove of the bottom, to a slot (common practice)."""

_CLEAR = "slots clear of edges and of the bottom’s groove: common practice"


def tenoned_corners(drawer: "Drawer", work: Work, sides: Sides, bottom: Sum) -> None:
    """Front and back as long as the box is wide inside; `bottom` is how far the bottom's groove reaches up."""
    thick, depth = work.typed("sides", "side"), work.typed("depth", "depth of the box")
    front_thick = thick if drawer.front is None else work.typed("front", "front")
    of_side = work.part("s", "side", 2, (depth, sides.height, thick), drawer.material, opposite=True)
    of_front = work.part("f", "front", 1, (sides.inside, sides.height, front_thick), drawer.material)
    of_back = work.part("b", "back", 1, (sides.inside, sides.back_height, thick), drawer.material)
    wood = Measure("wood beside a slot", FROM_EDGES)
    first = Sum("first slot", ((1, bottom), (1, wood)), _CLEAR)
    room = Sum("room for slots", ((1, sides.height), (-1, wood), (-1, first)), _CLEAR)
    deep: Named = Sum("slots in the sides", ((1, sides.side), (-1, Measure("wood behind", LEAST_BEHIND))), _CLEAR)
    if drawer.side_depth is not None:
        deep = work.typed("side_depth", "slots in the sides")
    _refuse(drawer, work, sides)
    if not (work.above(room, drawer.bit - 1) and work.above(deep)) or work.refused:
        return
    start, end, several = shared_slots(first.value, first.value + room.value, drawer.bit)
    slots = {"length": end - start, **several, "bit": drawer.bit, "depth": deep}
    slots |= {"end_depth": work.typed("end_depth", "slots in the ends"), "side": Side.FACE}
    behind = Sum("from the front", ((1, depth), (-1, sides.side)), GEOMETRY)
    lower = sides.height.value - sides.back_height.value
    work.cut(CornerSlots, 1, (of_side, of_front), at=0, start=first, **slots)
    work.cut(CornerSlots, 2, (of_side, of_back), at=behind, below=lower, start=first.value - lower, **slots)


def _refuse(drawer: "Drawer", work: Work, sides: Sides) -> None:
    """A bit too thick, slots that come out of the sides or meet in front and back."""
    thinner = min(drawer.sides, drawer.sides if drawer.front is None else drawer.front)
    work.at_most("bit", "the bit", drawer.bit, thinner // 2, "half of front or back")
    if drawer.side_depth is not None:
        most = drawer.sides - LEAST_BEHIND
        work.at_most("side_depth", "a slot in a side", drawer.side_depth, most, "what leaves wood behind it")
    most = (sides.inside.value - LEAST_BEHIND) // 2
    work.at_most("end_depth", "a slot in an end", drawer.end_depth, most, "what leaves wood between both ends")
