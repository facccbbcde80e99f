"""Wood on hand: boards, sheets and offcuts, with the zones of them that must not be used."""

from collections.abc import Iterable, Iterator
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


def zones_within(zones: Iterable[Zone], whole: Nm, length: Nm, width: Nm, x: Nm = 0, y: Nm = 0) -> tuple[Zone, ...]:
    """The zones of a piece of wood, `whole` wide, as far as they reach into a part of it, counted from its corner.

    The part begins at x and y and is so long and wide; nm.

    >>> zones_within([Zone(400, 460)], 150, 100, 60, x=420)
    (Zone(start=0, end=40, low=0, high=60),)
    """
    found = []
    for zone in zones:
        start, end = max(zone.start - x, 0), min(zone.end - x, length)
        low, high = max(zone.low - y, 0), min((whole if zone.high is None else zone.high) - y, width)
        if start < end and low < high:
            found.append(Zone(start, end, low, high))
    return tuple(found)


_MANY_ZONES = 40


def clean_part(length: Nm, width: Nm, zones: Iterable[Zone]) -> tuple[Nm, Nm, Nm, Nm]:
    """The largest rectangle of a piece of wood into which no zone reaches: its corner, length and width, nm.

    Among very many zones it is the longest stretch between them as wide as the piece.

    >>> clean_part(2400, 150, [Zone(2000, 2020, 100, 120)])
    (0, 0, 2000, 150)
    >>> clean_part(2400, 150, [Zone(1000, 1100)])
    (1100, 0, 1300, 150)
    """
    flaws = [(zone.start, zone.end, zone.low, width if zone.high is None else zone.high) for zone in zones]
    clean = [(start, 0, end - start, width) for start, end in _gaps(((one[0], one[1]) for one in flaws), length)]
    if len(flaws) <= _MANY_ZONES:
        for start in {0, *(end for _, end, _, _ in flaws)}:
            for end in {length, *(begins for begins, _, _, _ in flaws)}:
                here = ((low, high) for begins, ends, low, high in flaws if begins < end and ends > start)
                clean += [(start, low, end - start, high - low) for low, high in _gaps(here, width) if start < end]
    return max(clean, key=lambda one: (one[2] * one[3], one[2], -one[0], -one[1]), default=(0, 0, 0, 0))


def _gaps(taken: Iterable[tuple[Nm, Nm]], whole: Nm) -> Iterator[tuple[Nm, Nm]]:
    """What is free between the stretches that are taken, from 0 to the whole."""
    free = 0
    for start, end in [*sorted(taken), (whole, whole)]:
        if start > free:
            yield free, start
        free = max(free, end)


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
            yield Problem("sheet", "a board is not a sheet", "leave it out, or write kind = sheet")
        if self.bow < 0:
            yield Problem("bow", "must not be negative", "write 0 or more")
        elif self.bow and self.is_sheet:
            yield Problem("bow", "is for a board", "leave it out")
        if self.planed and self.is_sheet:
            yield Problem("planed", "a sheet is not planed", "leave it out")
        if self.price is not None and self.price < 0:
            yield Problem("price", f"{self.price} is negative", "leave it out if it is not known")

    @property
    def clean(self) -> tuple[Nm, Nm]:
        """Length and width of its largest part into which no zone reaches, nm."""
        return clean_part(self.length, self.width, self.zones)[2:]

    @property
    def is_sheet(self) -> bool:
        """True when it is cut as a sheet good."""
        return self.kind is StockKind.SHEET or self.sheet
