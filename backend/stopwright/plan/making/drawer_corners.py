"""The corners of a drawer: tongues of front and back in housings of the sides, or fingers of a comb all round.

Those with loose tenons stand in `drawer_tenons.py`.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from stopwright.model.joints import ENDS, Side
from stopwright.plan.making.formulas import GEOMETRY, Measure, Named, Sum
from stopwright.plan.making.work import Work
from stopwright.plan.operations.comb import PROUD, Comb
from stopwright.plan.operations.groove import Housing
from stopwright.plan.operations.rebate import Rebate

if TYPE_CHECKING:
    from stopwright.plan.making.drawer import Drawer

_CORNER = "a workshop magazine’s drawer joint from one bit (seen)"


class Corner(StrEnum):
    """How front, sides and back meet."""

    HOUSING = "tongues in housings"
    COMB = "comb"
    LOOSE = "loose tenons"


@dataclass(frozen=True, slots=True)
class Sides:
    """What the corners begin with: the box outside and inside, heights, and how thick sides and front are."""

    box: Sum
    inside: Sum
    height: Sum
    back_height: Sum
    side: Measure
    front: Measure


def housed_corners(drawer: "Drawer", work: Work, sides: Sides) -> None:
    """Front and back between the sides, each end a tongue towards the inside of the box, flush with the sides' ends."""
    side, front = sides.side, sides.front
    depth, thick = work.typed("depth", "depth of the box"), work.typed("sides", "side")
    housing = work.half_unless("housing_depth", "housing", thick)
    work.at_most("housing_depth", "the housing of a corner", housing.value, thick.value // 2)
    tongue: Named = housing if drawer.tongue is None else work.typed("tongue", "tongue")
    work.at_most("tongue", "the housing of a corner", tongue.value, min(side.value, front.value), "what goes in")
    long = Sum("with its tongues", ((1, sides.inside), (2, housing)), _CORNER)
    wood = drawer.material
    front_thick = thick if drawer.front is None else work.typed("front", "front")
    of_side = work.part("s", "side", 2, (depth, sides.height, thick), wood, opposite=True)
    of_front = work.part("f", "front", 1, (long, sides.height, front_thick), wood)
    of_back = work.part("b", "back", 1, (long, sides.back_height, thick), wood)
    near = Sum("from the front", ((1, front), (-1, tongue)), _CORNER)
    far = Sum("from the front", ((1, depth), (-1, side)), GEOMETRY)
    held = work.cut(Housing, 1, (of_side,), side=Side.FACE, at=(near, far), width=tongue, depth=housing)
    around = {"sunk": housing.value, "across": True}
    work.meet(held, of_side, of_front, Side.FACE, turned=True, **around)
    below, behind = sides.height.value - sides.back_height.value, depth.value - side.value
    work.meet(held, of_side, of_back, Side.FACE, drop=behind, setback=below, **around)
    play, number = work.typed("corner_play", "play"), 1
    alike = front.value == side.value
    for marks, wide in (((of_front, of_back), front),) if alike else (((of_front,), front), ((of_back,), side)):
        off = Sum("off the outside", ((1, wide), (-1, tongue), (1, play)), _CORNER)
        for end in ENDS if off.value > 0 else ():
            work.cut(Rebate, number, marks, side=Side.BACK, edge=end, width=housing, depth=off)
            number += 1


def comb_corners(drawer: "Drawer", work: Work, sides: Sides) -> None:
    """Front and back alike, fingers on all ends; what the fingers stand out is planed off after gluing."""
    if drawer.front is not None and sides.front.value != sides.side.value:
        text = "front and back of a comb are one line, so they are as thick as the sides"
        work.refuse("front", text, "leave it empty")
    proud = Measure("planed off", PROUD)
    thick = work.typed("sides", "side")
    proud_source = "fingers stand out a little and are planed off: common practice"
    long = Sum("box and fingers", ((1, sides.box), (2, proud)), proud_source)
    deep = Sum("box and fingers", ((1, work.typed("depth", "depth of the box")), (2, proud)), proud_source)
    of_side = work.part("s", "side", 2, (deep, sides.height, thick), drawer.material, opposite=True)
    of_front = work.part("f", "front and back", 2, (long, sides.height, thick), drawer.material)
    cutter, play = work.typed("cutter", "cutter"), work.typed("corner_play", "play")
    held = work.cut(Comb, 1, (of_side, of_front), cutter=cutter, play=play)
    around = {"sunk": thick.value + PROUD, "across": True}
    work.meet(held, of_side, of_front, Side.FACE, drop=PROUD, turned=True, **around)
    work.meet(held, of_side, of_front, Side.FACE, drop=deep.value - PROUD - thick.value, **around)
    pitch = 2 * cutter.value - play.value
    fingers = (sides.height.value - cutter.value + play.value) // pitch if pitch > 0 else 0
    if fingers > 0:
        full = (fingers * pitch + cutter.value - play.value, (fingers + 1) * pitch + cutter.value - play.value)
        least, most = (work.said(one) for one in full)
        work.notes.append(f"Whole fingers at both edges: a box {least} or {most} high")
