"""Shelves in housings: as long as the case is wide inside and what goes into both sides."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

from stopwright.errors import Problem
from stopwright.lengths import MM, Nm
from stopwright.model.cuts import asked
from stopwright.model.joints import Side
from stopwright.model.parts import Grain, Kind
from stopwright.model.things import Thing
from stopwright.plan.making.formulas import Named, Sum
from stopwright.plan.making.work import ThingKind, Work
from stopwright.plan.operations.groove import HOUSING_PLAY, Housing

_LONG = "Foster, Carpentry and Woodwork, shelves let into ends (seen)"
_LET_IN = "a third of the wood: furniture makers’ answers (seen)"
NOTCH_ROOM: Nm = MM
"""How much longer the notch of a shelf is than its housing is stopped."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf(Thing):
    """Shelves between two sides that are parts of the job, each in a housing `at` its place from the marked end; nm."""

    kind: ClassVar[str] = "shelf"
    letter: ClassVar[str] = "B"
    called: ClassVar[str] = "shelf"
    first: ClassVar[tuple[str, ...]] = ("sides", "width", "depth", "at", "thickness", "material", "material_kind")
    measured: ClassVar[tuple[str, ...]] = ("width",)

    sides: tuple[str, ...] = asked("Sides", "the parts that hold it at both ends", names_parts=True)
    width: Nm = asked("Width between the sides", "clear, where the shelf will lie")
    depth: Nm = asked("Shelf, from front to back", "")
    at: tuple[Nm, ...] = asked("Places", "lower walls of the housings from the marked end, with ; between them")
    thickness: Nm = asked("Shelf, thickness", "it is measured before its housing is cut", 18 * MM)
    material: str = asked("Wood", "", "")
    material_kind: Kind = asked("Made of", "sheet or solid wood", Kind.SHEET, among=(Kind.SHEET, Kind.SOLID))
    side_thickness: Nm = asked("Sides, thickness", "", 18 * MM)
    housing_depth: Nm | None = asked("Housings, depth", "empty: a third of the side", None)
    play: Nm = asked("Play in the housings", "", HOUSING_PLAY)
    stopped: Nm = asked("Housings stopped", "so far behind the front edge; 0 where they run through", 0)

    def problems(self) -> Iterator[Problem]:
        """No side, no place, an opening of one alone: its sides are one line with the others."""
        if not self.sides:
            yield Problem("sides", "is empty", "choose the parts between which it lies")
        if not self.at:
            yield Problem("at", "is empty", "write where its housings begin, from the marked end")
        if any(opening.number is not None for opening in self.openings):
            text = "the sides of all of them are one line"
            yield Problem("opening", text, "make the one that differs a shelf of its own, between sides of its own")
        if self.material_kind is Kind.MOULDING:
            yield Problem("material_kind", "a moulding cannot be a shelf", "choose sheet or solid")


def _work_out(shelf: Shelf, work: Work) -> None:
    if work.mark in shelf.sides:
        work.refuse("sides", "a shelf cannot lie in itself", "choose the parts between which it lies")
    side = work.typed("side_thickness", "side")
    let_in: Named = Sum("let in", ((1, side),), _LET_IN, 3)
    if shelf.housing_depth is not None:
        let_in = work.typed("housing_depth", "let in")
    work.at_most("housing_depth", "the housing", let_in.value, side.value // 2)
    clear, deep = work.typed("width", "between the sides"), work.typed("depth", "from front to back")
    thick = work.typed("thickness", "thickness")
    long = Sum("with what is let in", ((1, clear), (2, let_in)), _LONG)
    how: dict[str, Any] = {"kind": shelf.material_kind, "grain": Grain.ALONG}
    mark = work.part("", "", len(shelf.at), (long, deep, thick), shelf.material, **how)
    stopped = {"stopped": shelf.stopped} if shelf.stopped else {}
    work.cut(Housing, 1, shelf.sides, side=Side.FACE, at=shelf.at, fits=mark, play=shelf.play, depth=let_in,
             opening=clear.value, **stopped)  # fmt: skip
    if shelf.stopped:
        notch = f"{work.said(shelf.stopped + NOTCH_ROOM)} by {work.said(let_in.value)}"
        work.notes.append(f"Notch the front corners of each shelf, {notch}")


KIND = ThingKind(
    Shelf,
    _work_out,
    "Between two sides of the job: the length with what is let in, and the housings at their places.",
)
