"""Which wood on hand every part comes from, how it is laid out, and what must be bought besides."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from stopwright.lengths import MM, Nm, Show, format_length
from stopwright.model.parts import Grain, Kind, Part
from stopwright.model.stations import Shop, Work
from stopwright.model.stock import Stock
from stopwright.plan.effort import Effort
from stopwright.plan.joinery.tenons import strip_for
from stopwright.plan.run_sheet import Layout, Remark, ToBuy, Wood
from stopwright.plan.stations.milling import rough_from_quarter_scale
from stopwright.plan.timber.layouts import Laid, Wanted, lay_out
from stopwright.plan.timber.sawn import Rough, Sawn

SHEET_MAY_BE_OFF: Nm = MM
"""A sheet counts as of the part's thickness when it measures within this, nm: 18 mm plywood runs +0.7 to −0.9 (C)."""


@dataclass(frozen=True, slots=True)
class WoodPlan:
    """The layouts, from which thickness the solid pieces come, and how all pieces come off the saw."""

    wood: Wood
    rough: tuple[Rough, ...]
    sawn: tuple[Sawn, ...]
    warnings: tuple[Remark, ...] = ()


@dataclass(slots=True)
class _OnHand:
    """The wood on hand while groups take from it: how much of each row is left, and what was made of the rest."""

    stock: Sequence[Stock]
    shop: Shop
    mix_widths: bool
    effort: Effort | None
    left: dict[int, int | None]
    laid: list[Laid] = field(default_factory=list)
    rough: Counter[tuple[str, Nm]] = field(default_factory=Counter)
    missing: Counter[str] = field(default_factory=Counter)

    def rows(self, like: Part) -> list[int]:
        """The rows of the part's material, sheets for a sheet part, boards for the others."""
        sheet, material = like.kind is Kind.SHEET, like.material.casefold()
        return [i for i, row in enumerate(self.stock) if row.is_sheet is sheet and row.material.casefold() == material]

    def lay_out(self, wanted: list[Wanted], rows: list[int]) -> list[Laid]:
        """Layouts of what is wanted on what is left of these rows; nothing is taken yet."""
        left = dict(self.left)
        found = []
        for lot in [wanted] if self.mix_widths else _one_width_each(wanted):
            on_hand = {i: (self.stock[i], left[i]) for i in rows if left[i] != 0}
            if lot and on_hand:
                found.append(lay_out(lot, on_hand, self.shop.station_for(Work.RIP), self.shop, self.effort))
                _use(left, found[-1])
        return found

    def take(self, found: list[Laid]) -> Counter[str]:
        """Takes the wood of these layouts; returns how many pieces a mark they hold."""
        placed: Counter[str] = Counter()
        for laid in found:
            _use(self.left, laid)
            for layout in laid.layouts:
                for placement in layout.placements:
                    placed[placement.mark] += layout.times
        self.laid += found
        return placed


def plan_wood(
    parts: Sequence[Part],
    stock: Sequence[Stock],
    shop: Shop,
    may_turn: bool | None = None,
    mix_widths: bool = True,
    effort: Effort | None = None,
) -> WoodPlan:
    """Layouts for all parts that find wood on hand, group by group of one material and thickness.

    A solid part comes from the least thickness that is enough, and goes on to the next thicker where that runs out.
    Nothing is dropped: what finds no wood stands in `wood.to_buy` and is sawn as drawn. With `may_turn` False no
    piece is turned on its sheet, which keeps every width at the fence and every length at the stop; None turns them
    only where that places more, saves a sheet, a setting or a touch, in this order. With `mix_widths` False every
    board is ripped to one width only.
    """
    taken = _OnHand(stock, shop, mix_widths, effort, {index: row.quantity for index, row in enumerate(stock)})
    for group in _groups(parts):
        if group[0].kind is Kind.SHEET:
            _take_sheets(group, may_turn, taken)
        else:
            _take_boards(group, taken)
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
    rough = tuple(
        Rough(by_mark[mark], thickness, count) for (mark, thickness), count in sorted(taken.rough.items()) if count
    )
    return WoodPlan(wood, rough, _sawn(parts, layouts), tuple(_short(parts, taken, shop)))


def _groups(parts: Iterable[Part]) -> list[list[Part]]:
    groups: dict[tuple[str, bool, Nm], list[Part]] = defaultdict(list)
    for part in parts:
        sheet = part.kind is Kind.SHEET
        groups[(part.material.casefold(), sheet, part.thickness if sheet else 0)].append(part)
    return [groups[key] for key in sorted(groups)]


def _take_sheets(parts: list[Part], may_turn: bool | None, on_hand: _OnHand) -> None:
    thickness = parts[0].thickness
    rows = [i for i in on_hand.rows(parts[0]) if abs(on_hand.stock[i].thickness - thickness) <= SHEET_MAY_BE_OFF]

    def found(turn: bool) -> list[Laid]:
        wanted = [Wanted(p, p.quantity, turn and p.grain is Grain.ANY, p.grain is Grain.ACROSS) for p in parts]
        return on_hand.lay_out(wanted, rows)

    turnable = any(part.grain is Grain.ANY and part.length != part.width for part in parts)
    if may_turn is None and turnable:
        straight, turned = found(False), found(True)
        best = min(straight, turned, key=_wishes)
        least = min(sum(laid.least_possible for laid in one) for one in (straight, turned))
        placed = on_hand.take(_bounded(best, least))
    else:
        placed = on_hand.take(found(bool(may_turn)))
    on_hand.missing.update({part.mark: part.quantity - placed[part.mark] for part in parts})


def _wishes(found: list[Laid]) -> tuple[int, int, int, int]:
    """What a shop wants of layouts, the least first: pieces not placed, boards, settings, touches."""
    layouts = [layout for laid in found for layout in laid.layouts]
    placements = [placement for layout in layouts for placement in layout.placements]
    settings = len({one.width for one in placements}) + len({one.length for one in placements})
    placed = sum(layout.times * len(layout.placements) for layout in layouts)
    touches = sum(layout.times * _touches(layout) for layout in layouts)
    return (-placed, sum(laid.used for laid in found), settings, touches)


def _bounded(found: list[Laid], least: int) -> list[Laid]:
    """The same layouts as one, with the least number of boards that holds whichever way pieces are turned."""
    used = sum(laid.used for laid in found)
    return [Laid(tuple(layout for laid in found for layout in laid.layouts), used, least, used == least)]


def _take_boards(parts: list[Part], on_hand: _OnHand) -> None:
    rows = on_hand.rows(parts[0])
    waiting = Counter({part.mark: part.quantity for part in parts})
    for thickness in sorted({on_hand.stock[i].thickness for i in rows}):
        wanted = [
            Wanted(part, waiting[part.mark], False, False)
            for part in parts
            if waiting[part.mark] and part.thickness <= thickness
        ]
        here = [i for i in rows if on_hand.stock[i].thickness == thickness]
        placed = on_hand.take(on_hand.lay_out(wanted, here))
        waiting.subtract(placed)
        on_hand.rough.update({(mark, thickness): count for mark, count in placed.items()})
    for part in parts:
        on_hand.rough[part.mark, rough_from_quarter_scale(part.thickness)] += waiting[part.mark]
    on_hand.missing.update(waiting)


def _use(left: dict[int, int | None], laid: Laid) -> None:
    for layout in laid.layouts:
        have = left[layout.stock]
        left[layout.stock] = None if have is None else have - layout.times


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


def _short(parts: Sequence[Part], on_hand: _OnHand, shop: Shop) -> Iterable[Remark]:
    for part in parts:
        count = on_hand.missing[part.mark]
        if count and on_hand.rows(part):
            what = "piece finds" if count == 1 else "pieces find"
            in_all = format_length(strip_for(count, part.length, shop), shop.show)
            strip = f", in all {in_all} of strip" if part.kind is Kind.MOULDING else ""
            text = f"{count} {what} no wood on hand ({_size(part.size, shop.show)}){strip}; see what to buy"
            yield Remark(part.mark, f"{text}{_rest_that_holds(part, count, on_hand)}")


def _size(lengths: Iterable[Nm], show: Show) -> str:
    return " × ".join(format_length(one, show, with_unit=False) for one in lengths) + f" {show.unit}"


def _rest_that_holds(part: Part, count: int, on_hand: _OnHand) -> str:
    """The offcut of this plan that would hold most of the missing pieces, crosscut and ripped once more, in words."""
    saw, show = on_hand.shop.station_for(Work.RIP), on_hand.shop.show
    kerf, rows = saw.kerf if saw else 0, on_hand.rows(part)
    found = (0, 0, 0)
    for layout in (layout for laid in on_hand.laid for layout in laid.layouts if layout.stock in rows):
        over = layout.thickness - part.thickness
        if abs(over) <= SHEET_MAY_BE_OFF if part.kind is Kind.SHEET else over >= 0:
            for rest in layout.offcuts:
                holds = ((rest.length + kerf) // (part.length + kerf)) * ((rest.width + kerf) // (part.width + kerf))
                found = max(found, (min(holds, count), rest.length, rest.width))
    holds, length, width = found
    if not holds:
        return ""
    size = _size((length, width), show)
    whole = "it" if count == 1 else "all of them" if holds == count else f"{holds} of them"
    return f". What this plan leaves of a {'sheet' if part.kind is Kind.SHEET else 'board'}, {size}, would hold {whole}"
