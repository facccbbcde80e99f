"""Which wood on hand every part comes from, how it is laid out, and what must be bought besides."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from stopwright.lengths import MM, Nm, format_length
from stopwright.model.parts import Grain, Kind, Part
from stopwright.model.stations import Shop, Work
from stopwright.model.stock import Stock
from stopwright.plan.effort import Effort
from stopwright.plan.layouts import Laid, Wanted, lay_out
from stopwright.plan.milling import rough_from_quarter_scale
from stopwright.plan.run_sheet import Layout, Remark, ToBuy, Wood
from stopwright.plan.sawn import Sawn

SHEET_MAY_BE_OFF: Nm = MM
"""A sheet counts as of the part's thickness when it measures within this, nm: 18 mm plywood runs +0.7 to −0.9 (C)."""


@dataclass(frozen=True, slots=True)
class WoodPlan:
    """The layouts, the rough thickness of every solid part (nm), and how all pieces come off the saw."""

    wood: Wood
    rough: dict[str, Nm]
    sawn: tuple[Sawn, ...]
    warnings: tuple[Remark, ...] = ()


@dataclass(slots=True)
class _Taken:
    """What the groups have taken so far."""

    left: dict[int, int | None]
    mix_widths: bool
    laid: list[Laid] = field(default_factory=list)
    rough: dict[str, Nm] = field(default_factory=dict)
    missing: Counter[str] = field(default_factory=Counter)


def plan_wood(
    parts: Sequence[Part],
    stock: Sequence[Stock],
    shop: Shop,
    may_turn: bool = True,
    mix_widths: bool = True,
    effort: Effort | None = None,
) -> WoodPlan:
    """Layouts for all parts that find wood on hand, group by group of one material and thickness.

    A solid part comes from the least thickness that is enough, and goes on to the next thicker where that runs out.
    Nothing is dropped: what finds no wood stands in `wood.to_buy` and is sawn as drawn. With `may_turn` False no
    piece is turned on its sheet, which keeps every width at the fence and every length at the stop; with `mix_widths`
    False every board is ripped to one width only.
    """
    taken = _Taken({index: row.quantity for index, row in enumerate(stock)}, mix_widths)
    for group in _groups(parts):
        if group[0].kind is Kind.SHEET:
            _take_sheets(group, stock, shop, may_turn, taken, effort)
        else:
            _take_boards(group, stock, shop, taken, effort)
    by_mark = {part.mark: part for part in parts}
    layouts = tuple(layout for laid in taken.laid for layout in laid.layouts)
    to_buy = tuple(_to_buy(by_mark[mark], count, shop) for mark, count in sorted(taken.missing.items()) if count)
    wood = Wood(
        boards_used=sum(laid.used for laid in taken.laid),
        least_possible=sum(laid.least_possible for laid in taken.laid),
        proven=all(laid.proven for laid in taken.laid),
        layouts=layouts,
        to_buy=to_buy,
        touches=sum(layout.times * _touches(layout) for layout in layouts),
    )
    rough = {
        part.mark: taken.rough.get(part.mark, rough_from_quarter_scale(part.thickness))
        for part in parts
        if part.kind is not Kind.SHEET
    }
    return WoodPlan(wood, rough, _sawn(parts, layouts), tuple(_short(parts, stock, taken, shop)))


def _groups(parts: Iterable[Part]) -> list[list[Part]]:
    groups: dict[tuple[str, bool, Nm], list[Part]] = defaultdict(list)
    for part in parts:
        sheet = part.kind is Kind.SHEET
        groups[(part.material.casefold(), sheet, part.thickness if sheet else 0)].append(part)
    return [groups[key] for key in sorted(groups)]


def _rows(stock: Sequence[Stock], like: Part) -> list[int]:
    sheet, material = like.kind is Kind.SHEET, like.material.casefold()
    return [i for i, row in enumerate(stock) if row.is_sheet is sheet and row.material.casefold() == material]


def _take_sheets(
    parts: list[Part], stock: Sequence[Stock], shop: Shop, may_turn: bool, taken: _Taken, effort: Effort | None
) -> None:
    rows = [i for i in _rows(stock, parts[0]) if abs(stock[i].thickness - parts[0].thickness) <= SHEET_MAY_BE_OFF]
    wanted = [Wanted(p, p.quantity, may_turn and p.grain is Grain.ANY, p.grain is Grain.ACROSS) for p in parts]
    placed = _take(wanted, rows, stock, shop, taken, effort)
    taken.missing.update({part.mark: part.quantity - placed[part.mark] for part in parts})


def _take_boards(parts: list[Part], stock: Sequence[Stock], shop: Shop, taken: _Taken, effort: Effort | None) -> None:
    rows = _rows(stock, parts[0])
    thicknesses = sorted({stock[i].thickness for i in rows})
    waiting = Counter({part.mark: part.quantity for part in parts})
    for thickness in thicknesses:
        wanted = [
            Wanted(part, waiting[part.mark], False, False)
            for part in parts
            if waiting[part.mark] and part.thickness <= thickness
        ]
        placed = _take(wanted, [i for i in rows if stock[i].thickness == thickness], stock, shop, taken, effort)
        for part in parts:
            if placed[part.mark]:
                waiting[part.mark] -= placed[part.mark]
                taken.rough[part.mark] = thickness
    taken.missing.update(waiting)


def _take(
    wanted: list[Wanted], rows: list[int], stock: Sequence[Stock], shop: Shop, taken: _Taken, effort: Effort | None
) -> Counter[str]:
    """Lay out what is wanted on these rows; returns how many pieces a mark were placed."""
    placed: Counter[str] = Counter()
    for lot in [wanted] if taken.mix_widths else _one_width_each(wanted):
        on_hand = {i: (stock[i], taken.left[i]) for i in rows if taken.left[i] != 0}
        if not lot or not on_hand:
            continue
        laid = lay_out(lot, on_hand, shop.station_for(Work.RIP), shop, effort)
        taken.laid.append(laid)
        for layout in laid.layouts:
            left = taken.left[layout.stock]
            taken.left[layout.stock] = None if left is None else left - layout.times
            for placement in layout.placements:
                placed[placement.mark] += layout.times
    return placed


def _one_width_each(wanted: Iterable[Wanted]) -> list[list[Wanted]]:
    by_width: dict[Nm, list[Wanted]] = defaultdict(list)
    for want in wanted:
        by_width[want.lies[1]].append(want)
    return [by_width[width] for width in sorted(by_width, reverse=True)]


def _sawn(parts: Sequence[Part], layouts: Iterable[Layout]) -> tuple[Sawn, ...]:
    sizes: dict[str, Counter[tuple[Nm, Nm]]] = defaultdict(Counter)
    for layout in layouts:
        for placement in layout.placements:
            sizes[placement.mark][(placement.width, placement.length)] += layout.times
    sawn = []
    for part in parts:
        here = sizes[part.mark]
        here[(part.width, part.length)] += part.quantity - here.total()
        sawn += [Sawn(part, rip, crosscut, count) for (rip, crosscut), count in sorted(here.items()) if count]
    return tuple(sawn)


def _touches(layout: Layout) -> int:
    """How often a board and its strips are taken in hand: once a width for the board, once a length for a strip."""
    strips: dict[Nm, set[Nm]] = defaultdict(set)
    for placement in layout.placements:
        strips[placement.y].add(placement.length)
    return len({placement.width for placement in layout.placements}) + sum(len(lengths) for lengths in strips.values())


def _to_buy(part: Part, count: int, shop: Shop) -> ToBuy:
    if part.kind is Kind.SHEET:
        return ToBuy(part.mark, part.material, count, part.length, part.width, part.thickness)
    return ToBuy(
        part.mark,
        part.material,
        count,
        part.length + shop.allowance.length,
        part.width + shop.allowance.width,
        rough_from_quarter_scale(part.thickness),
    )


def _short(parts: Sequence[Part], stock: Sequence[Stock], taken: _Taken, shop: Shop) -> Iterable[Remark]:
    for part in parts:
        count = taken.missing[part.mark]
        if count and _rows(stock, part):
            size = " × ".join(format_length(one, shop.show, with_unit=False) for one in part.size)
            what = "piece finds" if count == 1 else "pieces find"
            yield Remark(part.mark, f"{count} {what} no wood on hand ({size}); see what to buy")
