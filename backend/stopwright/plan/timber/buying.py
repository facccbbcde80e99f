"""What must be bought for a job, as wood is sold: in pieces, running metres, square metres, board feet."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from stopwright.lengths import INCH, MM, Nm
from stopwright.model.job import Job
from stopwright.model.parts import Kind
from stopwright.plan.run_sheet import RunSheet


@dataclass(frozen=True, slots=True)
class Purchase:
    """So many equal pieces of wood to buy, rough sizes in nm; `price` for one in the shop's money, None if not known.

    `marks` are the parts that blanks are for; whole boards and sheets, which many parts share, have none.
    """

    material: str
    sheet: bool
    count: int
    length: Nm
    width: Nm
    thickness: Nm
    marks: tuple[str, ...] = ()
    price: float | None = None

    @property
    def running_metres(self) -> Fraction:
        """Length of all pieces one after the other, in metres."""
        return Fraction(self.count * self.length, 1000 * MM)

    @property
    def square_metres(self) -> Fraction:
        """Face area of all pieces, in square metres."""
        return self.running_metres * Fraction(self.width, 1000 * MM)

    @property
    def board_feet(self) -> Fraction | None:
        """Volume of all pieces in board feet; sheets are not sold so."""
        return None if self.sheet else self.count * board_feet(self.length, self.width, self.thickness)

    @property
    def cost(self) -> float | None:
        """Price of all pieces, None if not known."""
        return None if self.price is None else self.count * self.price


@dataclass(frozen=True, slots=True)
class Totals:
    """All purchases together. `cost` is of those whose price is known, `unpriced` how many lines have none."""

    pieces: int
    running_metres: Fraction
    square_metres: Fraction
    board_feet: Fraction
    cost: float
    unpriced: int


def board_feet(length: Nm, width: Nm, thickness: Nm) -> Fraction:
    """The volume of one piece in board feet: thickness · width · length in inches / 144.

    >>> board_feet(96 * INCH, 9 * INCH, INCH)
    Fraction(6, 1)
    """
    return Fraction(length * width * thickness, 144 * INCH**3)


def what_to_buy(job: Job, sheet: RunSheet) -> tuple[Purchase, ...]:
    """What the plan takes beyond the wood on hand, boards before sheets, by material, thick before thin.

    Wood that stands without a number is bought as it is sold; parts without any stock are bought as blanks
    of the rough size they need, alike ones together.
    """
    lines = [*_as_sold(job, sheet), *_blanks(job, sheet)]
    return tuple(sorted(lines, key=lambda one: (one.sheet, one.material.casefold(), -one.thickness, -one.length)))


def totals(lines: tuple[Purchase, ...]) -> Totals:
    """The sums over all lines."""
    return Totals(
        sum(line.count for line in lines),
        sum((line.running_metres for line in lines), Fraction()),
        sum((line.square_metres for line in lines), Fraction()),
        sum((line.board_feet or Fraction() for line in lines), Fraction()),
        sum(line.cost or 0.0 for line in lines),
        sum(line.cost is None for line in lines),
    )


def _as_sold(job: Job, sheet: RunSheet) -> Iterator[Purchase]:
    used: Counter[int] = Counter()
    for layout in sheet.wood.layouts:
        if job.stock[layout.stock].quantity is None:
            used[layout.stock] += layout.times
    for index, count in sorted(used.items()):
        row = job.stock[index]
        yield Purchase(row.material, row.is_sheet, count, row.length, row.width, row.thickness, (), row.price)


def _blanks(job: Job, sheet: RunSheet) -> Iterator[Purchase]:
    sheets = {part.mark for part in job.parts if part.kind is Kind.SHEET}
    alike: dict[tuple[str, bool, Nm, Nm, Nm], list[tuple[str, int]]] = {}
    for blank in sheet.wood.to_buy:
        key = (blank.material, blank.mark in sheets, blank.length, blank.width, blank.thickness)
        alike.setdefault(key, []).append((blank.mark, blank.count))
    for (material, is_sheet, length, width, thickness), marks in alike.items():
        count = sum(number for _, number in marks)
        yield Purchase(material, is_sheet, count, length, width, thickness, tuple(mark for mark, _ in marks))
