"""Wood on hand: boards, sheets and offcuts, with the zones of them that must not be used."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from stopwright.errors import Inconsistent, Problem
from stopwright.lengths import Nm
from stopwright.model.parts import GREATEST_QUANTITY


class StockKind(StrEnum):
    """What a piece of wood is before it is cut."""

    BOARD = "board"
    SHEET = "sheet"
    OFFCUT = "offcut"


@dataclass(frozen=True, slots=True)
class Zone:
    """A stretch not to be used (a knot, a split): from one end, across the whole width unless given; nm."""

    start: Nm
    end: Nm
    low: Nm = 0
    high: Nm | None = None


@dataclass(frozen=True, slots=True)
class Stock:
    """So many equal pieces of wood; `quantity` None means: as many as are needed can be bought. Lengths in nm.

    `sheet` says for an offcut whether it comes from a sheet; `planed` that a board was bought planed, so that its
    faces need no allowance; `price` is for one piece, in the shop's money; `bow` is how far the middle of a board
    stands off a straight line from end to end.
    """

    kind: StockKind
    quantity: int | None
    length: Nm
    width: Nm
    thickness: Nm
    material: str = ""
    label: str = ""
    zones: tuple[Zone, ...] = ()
    sheet: bool = False
    price: float | None = None
    planed: bool = False
    bow: Nm = 0

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent(f"{self.kind} {self.label}".strip(), problems)

    def _problems(self) -> Iterator[Problem]:
        if self.quantity is not None and not 1 <= self.quantity <= GREATEST_QUANTITY:
            yield Problem(
                "quantity",
                f"{self.quantity} is not from 1 to {GREATEST_QUANTITY}",
                "write how many are on hand, or leave it out",
            )
        for field in ("length", "width", "thickness"):
            if getattr(self, field) <= 0:
                yield Problem(field, "is not above 0", f"measure the {field}")
        for zone in self.zones:
            high = self.width if zone.high is None else zone.high
            if not (0 <= zone.start < zone.end <= self.length and 0 <= zone.low < high <= self.width):
                yield Problem(
                    "zones",
                    "a zone does not lie within the piece",
                    "give where it starts and ends from one end",
                )
        if self.sheet and self.kind is StockKind.BOARD:
            yield Problem("sheet", "a board is no sheet", "leave it out, or write kind = sheet")
        if self.bow < 0 or (self.bow and self.is_sheet):
            text, advice = (
                ("is less than nothing", "write 0 or more") if self.bow < 0 else ("is for a board", "leave it out")
            )
            yield Problem("bow", text, advice)
        if self.planed and self.is_sheet:
            yield Problem("planed", "a sheet is not planed", "leave it out")
        if self.price is not None and self.price < 0:
            yield Problem("price", f"{self.price} is less than nothing", "leave it out if it is not known")

    @property
    def is_sheet(self) -> bool:
        """True when it is cut as a sheet good."""
        return self.kind is StockKind.SHEET or self.sheet
