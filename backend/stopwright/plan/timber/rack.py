"""What lies on the rack for a job: numbered boards and sheets of the layouts, and the blanks that are to buy."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.parts import Kind, Part, mark_order
from stopwright.model.stock import Stock
from stopwright.plan.run_sheet import Form, Layout, Lot, ToBuy
from stopwright.plan.timber.layouts import has_factory_edges, lies
from stopwright.plan.timber.wood import WoodPlan


@dataclass(slots=True)
class StripPlan:
    """One strip to be ripped: its width, and how many pieces of which mark and length along it; nm."""

    width: Nm
    cuts: Counter[tuple[str, Nm]]

    def marks(self, length: Nm | None = None) -> set[str]:
        """The marks of what is cut from it, of one length only if given."""
        return {mark for mark, along in self.cuts if length is None or along == length}

    def counts(self) -> Counter[str]:
        """How many pieces a mark are still in it."""
        counts: Counter[str] = Counter()
        for (mark, _), count in self.cuts.items():
            counts[mark] += count
        return counts


@dataclass(slots=True)
class Stack:
    """Equal boards or sheets while they are worked: the lot as it is now, and the strips still in each of them.

    `finished` is the thickness in which they are ripped; `trim` says that edges and ends are not yet cut.
    """

    lot: Lot
    strips: list[StripPlan]
    finished: Nm
    is_sheet: bool = False
    planed: bool = False
    trim: bool = True
    ripped: int = 0

    def counts(self) -> Counter[str]:
        """How many pieces a mark are still in each of them."""
        return sum((strip.counts() for strip in self.strips), Counter[str]())


def rack_of(wood: WoodPlan, parts: Sequence[Part]) -> list[Stack]:
    """Everything the job starts from, in the order of its numbers."""
    by_mark = {part.mark: part for part in parts}
    boards = [_board(layout, wood.stock[layout.stock]) for layout in wood.wood.layouts]
    return [*boards, *(_blanks(blank, by_mark[blank.mark]) for blank in wood.wood.to_buy)]


def _board(layout: Layout, row: Stock) -> Stack:
    strips: dict[Nm, StripPlan] = {}
    for one in layout.placements:
        strip = strips.setdefault(one.y, StripPlan(one.width, Counter()))
        strip.cuts[one.mark, one.length] += 1
    ordered = [strips[y] for y in sorted(strips)]
    becomes: dict[str, int] = defaultdict(int)
    for one in layout.placements:
        becomes[one.mark] += layout.times
    lot = Lot(
        layout.lot,
        Form.SHEET if row.is_sheet else Form.BOARD,
        layout.times,
        layout.material,
        layout.length,
        layout.width,
        layout.thickness,
        tuple((mark, becomes[mark]) for mark in sorted(becomes, key=mark_order)),
        chalk=layout.chalk,
    )
    return Stack(lot, ordered, layout.finished, row.is_sheet, row.planed, has_factory_edges(row))


def _blanks(blank: ToBuy, part: Part) -> Stack:
    along, across = lies(part)
    lot = Lot(
        blank.lot,
        Form.BLANK,
        blank.count,
        blank.material,
        blank.length,
        blank.width,
        blank.thickness,
        ((blank.mark, blank.count * blank.pieces),),
        chalk=blank.mark,
    )
    strip = StripPlan(across, Counter({(blank.mark, along): blank.pieces}))
    return Stack(lot, [strip], part.thickness, part.kind is Kind.SHEET)
