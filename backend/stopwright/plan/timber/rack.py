"""What lies on the rack for a job: numbered boards and sheets of the layouts, and the blanks that are to buy."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from stopwright.lengths import Nm
from stopwright.model.parts import Kind, Part, mark_order
from stopwright.model.stations import Shop
from stopwright.model.stock import Stock
from stopwright.plan.run_sheet import Form, Layout, Lot, Placement, Section, ToBuy
from stopwright.plan.timber.layouts import has_factory_edges, lies
from stopwright.plan.timber.sections import face_loss
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

    `finished` is the thickness in which they are ripped; `trim` says that edges and ends are not yet cut; `face` is
    what the first face loses until it is true; `sections` are what they are broken down into first.
    """

    lot: Lot
    strips: list[StripPlan]
    finished: Nm
    is_sheet: bool = False
    trim: bool = True
    ripped: int = 0
    face: Nm = 0
    sections: list["Stack"] = field(default_factory=list)

    def counts(self) -> Counter[str]:
        """How many pieces a mark are still in each of them."""
        return sum((strip.counts() for strip in self.strips), Counter[str]())


def rack_of(wood: WoodPlan, parts: Sequence[Part], shop: Shop) -> list[Stack]:
    """Everything the job starts from, in the order of its numbers."""
    by_mark = {part.mark: part for part in parts} | {one.part.mark: one.part for one in wood.rough}
    boards = [_board(layout, wood.stock[layout.stock], shop) for layout in wood.wood.layouts]
    return [*boards, *(_blanks(blank, by_mark[blank.mark], shop) for blank in wood.wood.to_buy)]


def _board(layout: Layout, row: Stock, shop: Shop) -> Stack:
    lot = Lot(
        layout.lot,
        Form.SHEET if row.is_sheet else Form.BOARD,
        layout.times,
        layout.material,
        layout.length,
        layout.width,
        layout.thickness,
        becomes_of(_counts(layout.placements), layout.times),
        chalk=layout.chalk,
    )
    face = 0 if row.is_sheet else face_loss(row, shop)

    def stack(lot: Lot, placements: Sequence[Placement]) -> Stack:
        return Stack(lot, _strips(placements), layout.finished, row.is_sheet, has_factory_edges(row), face=face)

    if not layout.sections:
        return stack(lot, layout.placements)
    whole = stack(lot, ())
    for number, section in enumerate(layout.sections, start=1):
        here = _inside(layout, section)
        name, chalk = f"{lot.name}, section {number}", f"{lot.chalk}.{number}"
        becomes = becomes_of(_counts(here), layout.times)
        given = replace(
            lot, name=name, form=Form.BLANK, length=section.length, becomes=becomes, source=lot.name, chalk=chalk
        )
        whole.sections.append(stack(given, here))
    return whole


def strips_of(layout: Layout) -> list[StripPlan]:
    """Every strip of a layout, section after section."""
    parts = [_inside(layout, section) for section in layout.sections] or [layout.placements]
    return [strip for placements in parts for strip in _strips(placements)]


def _inside(layout: Layout, section: Section) -> Sequence[Placement]:
    return [one for one in layout.placements if 0 <= one.x - section.start < section.length]


def _strips(placements: Sequence[Placement]) -> list[StripPlan]:
    strips: dict[Nm, StripPlan] = {}
    for one in placements:
        strip = strips.setdefault(one.y, StripPlan(one.width, Counter()))
        strip.cuts[one.mark, one.length] += 1
    return [strips[y] for y in sorted(strips)]


def _counts(placements: Sequence[Placement]) -> Counter[str]:
    return Counter(one.mark for one in placements)


def becomes_of(counts: Mapping[str, int], times: int) -> tuple[tuple[str, int], ...]:
    """What `times` equal workpieces become, each so many of a mark."""
    return tuple((mark, counts[mark] * times) for mark in sorted(counts, key=mark_order) if counts[mark])


def _blanks(blank: ToBuy, part: Part, shop: Shop) -> Stack:
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
    is_sheet = part.kind is Kind.SHEET
    return Stack(lot, [strip], part.thickness, is_sheet, face=0 if is_sheet else shop.allowance.thickness)
