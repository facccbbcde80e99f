"""Parts: the lines of a part list, each standing for so many equal pieces."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from string import ascii_uppercase

from stopwright.errors import Inconsistent, Problem
from stopwright.lengths import Nm

GREATEST_QUANTITY = 100_000

LONGEST_MARK = 40
"""Signs of a mark; it stands on labels and in every tap."""


class Kind(StrEnum):
    """What a part is made from and how it travels through the shop."""

    SOLID = "solid"
    SHEET = "sheet"
    MOULDING = "moulding"


class Grain(StrEnum):
    """How the grain lies to the part's length."""

    ALONG = "along"
    ACROSS = "across"
    ANY = "any"


class Rings(StrEnum):
    """How a board was sawn from the log: its rings lie flat to the face, or stand upright to it (quarter sawn)."""

    FLAT = "flat"
    QUARTER = "quarter"


class Made(StrEnum):
    """Whether each piece is cut from one board, glued from equal strips, or from boards each as wide as it is."""

    WHOLE = "whole"
    PANEL = "panel"
    BOARDS = "boards"


class Hand(StrEnum):
    """Whether all pieces are alike or half of them are mirror images."""

    SAME = "same"
    PAIRS = "pairs"


@dataclass(frozen=True, slots=True)
class Part:
    """One line of the part list. Length runs along the piece, lengths in nm; `tolerance` is ±, None for the default.

    `made` says that pieces are glued from strips, `strip` how wide one of equal ones may be at most. `measured` is what
    the thickness really is: what has to fit the part is cut to that. `rings` tells how much its width moves, flat more
    than quarter.
    """

    mark: str
    name: str
    quantity: int
    length: Nm
    width: Nm
    thickness: Nm
    material: str = ""
    kind: Kind = Kind.SOLID
    grain: Grain = Grain.ALONG
    hand: Hand = Hand.SAME
    tolerance: Nm | None = None
    note: str = ""
    made: Made = Made.WHOLE
    strip: Nm | None = None
    measured: Nm | None = None
    rings: Rings = Rings.FLAT

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent(f"part {self.mark or self.name}", problems)

    def _problems(self) -> Iterator[Problem]:
        if not self.mark.strip():
            yield Problem("mark", "is empty", "give the part a mark such as A")
        elif len(self.mark) > LONGEST_MARK:
            yield Problem("mark", f"has {len(self.mark)} signs", f"write at most {LONGEST_MARK}")
        elif "~" in self.mark or not self.mark.isprintable():
            yield Problem("mark", "holds a ~ or a line break", "write letters and digits")
        if not self.name:
            yield Problem("name", "is empty", "give the part a name")
        if not 1 <= self.quantity <= GREATEST_QUANTITY:
            yield Problem(
                "quantity",
                f"{self.quantity} is not from 1 to {GREATEST_QUANTITY}",
                "write how many are needed",
            )
        for field in ("length", "width", "thickness"):
            if getattr(self, field) <= 0:
                yield Problem(field, "is not above 0", f"write the finished {field}")
        if self.tolerance is not None and self.tolerance <= 0:
            yield Problem("tolerance", "is not above 0", "leave it empty for the default, or write ± what is allowed")
        if self.is_glued and self.kind is not Kind.SOLID:
            yield Problem("made", f"a part of kind {self.kind} is not glued from strips", "make it solid, or whole")
        if self.strip is not None and self.strip <= 0:
            yield Problem("strip", "is not above 0", "write how wide a strip may be at most")
        if self.measured is not None and self.measured <= 0:
            yield Problem("measured", "is not above 0", "leave it empty, or write how thick it really is")
        if self.hand is Hand.PAIRS and self.quantity % 2:
            yield Problem(
                "hand", f"an odd quantity ({self.quantity}) cannot make pairs", "make it even, or hand 'same'"
            )

    @property
    def is_glued(self) -> bool:
        """Whether its pieces are panels, glued from strips."""
        return self.made is not Made.WHOLE

    @property
    def size(self) -> tuple[Nm, Nm, Nm]:
        """Length, width, thickness in nm."""
        return (self.length, self.width, self.thickness)

    @property
    def goes_in(self) -> Nm:
        """How thick it is for what has to fit it: as measured, else as listed, nm."""
        return self.thickness if self.measured is None else self.measured


@dataclass(frozen=True, slots=True)
class PanelStrip(Part):
    """A part that a panel asks for: the strips that the part of the mark `panel` is glued from.

    A panel wider than what trues it is glued in `sub_panels` first. A strip that is as wide as its board comes from the
    `row` of the job's wood, and lies at `place` from the left in the panel of number `nth`, both from 1.
    """

    panel: str = ""
    sub_panels: int = 1
    row: int | None = None
    nth: int = 0
    place: int = 0


@dataclass(frozen=True, slots=True)
class DryBlank(Part):
    """What the part of the mark `blank_for` is cut from when the thing it belongs to was put together dry."""

    blank_for: str = ""


def drawn_size(part: Part) -> tuple[Nm, Nm] | None:
    """Length and width as drawn, nm, of a part that gets its size after the dry fit; None for all other parts."""
    return part.drawn if isinstance(part, MadePart) else None


def row_of(part: Part) -> int | None:
    """The row of the job's wood that a strip is as wide as, so that it is not ripped; None for all other parts."""
    return part.row if isinstance(part, PanelStrip) else None


@dataclass(frozen=True, slots=True)
class MadePart(Part):
    """A part that the thing of the mark `thing` makes, `each` pieces for one; `lot` is the mark of those made alike.

    `units` is the unit, from 0, that each of its pieces belongs to, in the order of their numbers; empty where every
    unit has as many. `drawn` is the length and width as drawn, nm, of what gets its size only when the thing was put
    together dry; until then it is larger than that.
    """

    thing: str = ""
    lot: str = ""
    each: int = 1
    units: tuple[int, ...] = ()
    drawn: tuple[Nm, Nm] | None = None


@dataclass(frozen=True, slots=True)
class LooseTenon(Part):
    """A part that the joints ask for: its thickness goes into a slot as wide as the bit."""


def units_of(part: Part, units: int) -> list[int]:
    """How many pieces of a part each unit has; what they do not share out is spare.

    >>> units_of(Part("A", "Leg", 9, 1, 1, 1), 2)
    [4, 4]
    """
    if isinstance(part, MadePart) and part.units:
        return [part.units[: part.quantity].count(unit) for unit in range(units)]
    return [part.quantity // units] * units


def is_in_every_unit(part: Part, units: int) -> bool:
    """Whether every unit has as many pieces of a part, and none is spare.

    >>> leg = Part("A", "Leg", 9, 1, 1, 1)
    >>> is_in_every_unit(leg, 2), is_in_every_unit(leg, 3)
    (False, True)
    """
    return part.quantity % units == 0 and len(set(units_of(part, units))) == 1


def first_in_unit(part: Part, units: int, unit: int) -> int:
    """How many pieces of a part the units before one have, counted from 0: units are filled one by one.

    >>> first_in_unit(Part("A", "Leg", 9, 1, 1, 1), 2, 1)
    4
    """
    if isinstance(part, MadePart) and part.units:
        return sum(one < unit for one in part.units[: part.quantity])
    return part.quantity // units * unit


def mark_number(number: int) -> str:
    """The mark of the part on the given line, counted from 0: A … Z, AA, AB …

    >>> [mark_number(n) for n in (0, 25, 26, 701, 702)]
    ['A', 'Z', 'AA', 'ZZ', 'AAA']
    """
    letters = ""
    number += 1
    while number:
        number, letter = divmod(number - 1, 26)
        letters = ascii_uppercase[letter] + letters
    return letters


def mark_order(mark: str) -> tuple[int, str]:
    """What puts marks in their order: A … Z, AA …

    >>> sorted(["AA", "B", "A"], key=mark_order)
    ['A', 'B', 'AA']
    """
    return (len(mark), mark)


def free_marks(given: Sequence[str], taken: Sequence[str] = ()) -> list[str]:
    """Marks of all lines: as given, else by line, passing over marks that are used.

    >>> free_marks(["", "A", "", ""])
    ['B', 'A', 'C', 'D']
    >>> free_marks(["X", "Y", "", ""])
    ['X', 'Y', 'C', 'D']
    """
    used = {*given, *taken}
    marks: list[str] = []
    number = 0
    for place, mark in enumerate(given):
        if not mark:
            number = max(number, place)
            while mark_number(number) in used:
                number += 1
            mark = mark_number(number)
            used.add(mark)
        marks.append(mark)
    return marks
