"""Carcase: sides, bottom and top in housings or rebates, and a back in a rebate all the way up, or in grooves."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, ClassVar

from stopwright.errors import Problem
from stopwright.lengths import MM, Nm
from stopwright.model.cuts import asked
from stopwright.model.joints import Side
from stopwright.model.parts import Grain, Kind
from stopwright.model.things import Thing
from stopwright.plan.making.formulas import GEOMETRY, Measure, Named, Sum
from stopwright.plan.making.work import ThingKind, Work
from stopwright.plan.operations.groove import HOUSING_PLAY, PANEL_PLAY, Groove, Housing
from stopwright.plan.operations.rebate import Rebate


class BackIn(StrEnum):
    """Where the back lies: in rebates, laid in when all is glued, or in grooves on all four sides, put in before."""

    REBATES = "rebates"
    GROOVES = "grooves"


BACK_BEHIND: Nm = MM
"""How much deeper the rebate of a back is than the back is thick (common practice, 1 to 2)."""
BACK_PLAY: Nm = MM
"""How much smaller the back is than its rebates leave room for (common practice)."""

BACK_INSET: Nm = 10 * MM
"""Wood behind the groove of a back (common practice)."""

LEFT_OUTSIDE: Nm = 3 * MM
"""Wood outside the rebate of a back at least (common practice)."""

_LET_IN = "a third of the wood: furniture makers’ answers (seen)"
_INSIDE = "Foster, Carpentry and Woodwork, shelves let into ends (seen)"
_BACK = "the back lies a little deeper than it is thick: common practice"
_GROOVED = "between the bottoms of its grooves, less a little room: common practice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Carcase(Thing):
    """A case by its outside, nm; `bottom_up` and `top_down` are how far bottom and top lie in from the sides' ends."""

    kind: ClassVar[str] = "carcase"
    letter: ClassVar[str] = "K"
    called: ClassVar[str] = "carcase"
    first: ClassVar[tuple[str, ...]] = ("width", "height", "depth", "thickness", "material", "material_kind", "count")
    measured: ClassVar[tuple[str, ...]] = ("width", "height", "depth")

    width: Nm = asked("Width", "outside, or of the opening it goes into")
    height: Nm = asked("Height", "outside")
    depth: Nm = asked("Depth", "outside, with the back")
    gap: Nm = asked("Gap", "left of the width in all, where it goes into an opening", 0)
    thickness: Nm = asked("Thickness", "of sides, bottom and top", 18 * MM)
    material: str = asked("Wood", "of sides, bottom and top", "")
    material_kind: Kind = asked("Made of", "sheet or solid wood", Kind.SHEET, among=(Kind.SHEET, Kind.SOLID))
    bottom_up: Nm = asked("Bottom above the ends", "of the sides, for a plinth; 0 where it is flush", 0)
    top_down: Nm = asked("Top below the ends", "of the sides; 0 where it is flush", 0)
    joint_depth: Nm | None = asked("Let into the sides", "how deep; empty: a third of the side", None)
    play: Nm = asked("Play in the housings", "of bottom and top", HOUSING_PLAY)
    back: Nm = asked("Back, thickness", "0 for no back", 6 * MM)
    back_material: str = asked("Wood of the back", "", "")
    back_in: BackIn = asked(
        "Back in", "rebates, laid in when all is glued; or grooves on all four sides", BackIn.REBATES
    )
    back_inset: Nm = asked("Behind the back", "wood between its grooves and the back edges", BACK_INSET)
    back_rebate: Nm | None = asked(
        "Rebate of the back", "how deep, or its grooves; empty: half of the side, grooves as deep as the joints", None
    )
    back_play: Nm = asked("Back smaller by", "than its rebates or grooves leave room for", BACK_PLAY)

    @property
    def is_fitted(self) -> bool:
        """Where it goes into an opening."""
        return self.gap > 0

    def problems(self) -> Iterator[Problem]:
        """Sides of neither kind of wood."""
        if self.material_kind is Kind.MOULDING:
            yield Problem("material_kind", "a moulding cannot be a side", "choose sheet or solid")


def _work_out(case: Carcase, work: Work) -> None:
    side, listed = work.thick("s", "thickness", "side"), work.typed("thickness", "side")
    wide = Sum("outside", ((1, work.typed("width", "width")), (-1, work.typed("gap", "gap"))), GEOMETRY)
    inside = Sum("inside", ((1, wide), (-2, side)), GEOMETRY)
    high, deep = work.typed("height", "height"), work.typed("depth", "depth")
    above = [work.above(one) for one in (listed, inside, high, deep)]
    if not all(above):
        return
    let_in: Named = Sum("let in", ((1, listed),), _LET_IN, 3)
    if case.joint_depth is not None:
        let_in = work.typed("joint_depth", "let in")
    work.at_most("joint_depth", "what is let into the sides", let_in.value, listed.value // 2)
    long = Sum("with what is let in", ((1, inside), (2, let_in)), _INSIDE)
    deeper = Measure("deeper", BACK_BEHIND)
    behind = Sum("rebate of the back", ((1, work.thick("b", "back", "back")), (1, deeper)), _BACK)
    rebated = case.back and case.back_in is BackIn.REBATES
    shallow: Named = Sum("depth before the back", ((1, deep), (-1, behind)), GEOMETRY) if rebated else deep
    how: dict[str, Any] = {"kind": case.material_kind, "grain": Grain.ALONG}
    sides = work.part("s", "side", 2, (high, deep, listed), case.material, opposite=True, **how)
    shelf = work.part("t", "bottom and top", 2, (long, shallow, listed), case.material, **how)
    between = _bottom_and_top(case, work, sides, shelf, let_in)
    if rebated:
        _back(case, work, sides, inside, behind)
    elif case.back:
        _grooved_back(case, work, (sides, shelf), (inside, between), let_in)


def _bottom_and_top(case: Carcase, work: Work, sides: str, shelf: str, let_in: Named) -> Sum:
    """Rebates in the ends where they are flush, else housings; all of it is measured from the bottom of the sides.

    How high it is between bottom and top. Where the back lies in grooves the same side of both looks inwards.
    """
    high, goes_in = work.typed("height", "height"), work.thick("t", "thickness", "top")
    down = Sum("from the bottom", ((1, high), (-1, work.typed("top_down", "top below")), (-1, goes_in)), GEOMETRY)
    below = ((-1, work.typed("bottom_up", "bottom above")), (-1, goes_in))
    between = Sum("between bottom and top", ((1, down), *below), GEOMETRY)
    if not work.above(between):
        return between
    turns = bool(case.back) and case.back_in is BackIn.GROOVES
    housed: list[Named] = [work.typed("bottom_up", "from the bottom")] if case.bottom_up else []
    housed += [down] if case.top_down else []
    if housed:
        held = work.cut(
            Housing, 1, (sides,), side=Side.FACE, at=tuple(housed), fits=shelf, play=case.play, depth=let_in
        )
        for one in housed if turns else ():
            lies = {"drop": one.value, "sunk": let_in.value, "across": True, "turned": one is down}
            work.meet(held, sides, shelf, Side.FACE, **lies)
    ends = [Side.MARKED_END] * (not case.bottom_up) + [Side.OTHER_END] * (not case.top_down)
    for number, end in enumerate(ends, start=1):
        held = work.cut(Rebate, number, (sides,), side=Side.FACE, edge=end, width=goes_in, depth=let_in)
        at, turned = (0, False) if end is Side.MARKED_END else (high.value - goes_in.value, turns)
        work.meet(held, sides, shelf, Side.FACE, drop=at, sunk=let_in.value, across=True, turned=turned)
    return between


def _back(case: Carcase, work: Work, sides: str, inside: Sum, behind: Sum) -> None:
    """The back over bottom and top, in a rebate of the sides from end to end."""
    into = work.half_unless("back_rebate", "rebate into the side", work.typed("thickness", "side"))
    most = case.thickness - LEFT_OUTSIDE
    work.at_most("back_rebate", "the rebate of the back", into.value, most, "what leaves wood outside it")
    play = work.typed("back_play", "room")
    across = Sum("back, across", ((1, inside), (2, into), (-1, play)), _BACK)
    up = Sum("back, upright", ((1, work.typed("height", "height")), (-1, play)), _BACK)
    size = (up, across, work.typed("back", "back"))
    back = work.part("b", "back", 1, size, case.back_material, kind=Kind.SHEET, grain=Grain.ALONG)
    work.cut(Rebate, 3, (sides,), side=Side.FACE, edge=Side.FAR_EDGE, width=behind, depth=into, holds=back)


def _grooved_back(case: Carcase, work: Work, marks: tuple[str, str], clear: tuple[Sum, Sum], let_in: Named) -> None:
    """The back in grooves of sides, bottom and top; the back side of these two looks inwards."""
    into: Named = let_in if case.back_rebate is None else work.typed("back_rebate", "groove of the back")
    work.at_most("back_rebate", "the groove of the back", into.value, case.thickness // 2)
    play, behind = work.typed("back_play", "room"), work.typed("back_inset", "wood behind the back")
    across, up = (
        Sum(words, ((1, one), (2, into), (-1, play)), _GROOVED)
        for words, one in zip(("back, across", "back, upright"), clear, strict=True)
    )
    if not work.above(behind):
        return
    size = (up, across, work.typed("back", "back"))
    back = work.part("b", "back", 1, size, case.back_material, kind=Kind.SHEET, grain=Grain.ALONG)
    for number, (mark, side) in enumerate(zip(marks, (Side.FACE, Side.BACK), strict=True), start=1):
        work.cut(Groove, number, (mark,), side=side, from_=Side.FAR_EDGE, at=behind, fits=back, play=PANEL_PLAY,
                 depth=into)  # fmt: skip


KIND = ThingKind(
    Carcase,
    _work_out,
    "From the outside of the case to sides, bottom, top and back, with their housings and rebates.",
)
