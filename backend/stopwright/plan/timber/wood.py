"""Which wood on hand every part comes from, how it is laid out, and what must be bought besides."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import product
from types import MappingProxyType

from stopwright.lengths import MM, Nm, Show, format_length
from stopwright.model.parts import Grain, Kind, Part, mark_order, row_of
from stopwright.model.stations import Shop
from stopwright.model.stock import Stock, StockKind
from stopwright.plan.effort import Effort, Steps
from stopwright.plan.joinery.tenons import strip_for
from stopwright.plan.run_sheet import Layout, Remark, Wood
from stopwright.plan.stations.thickness import rough_from_quarter_scale
from stopwright.plan.timber.blanks import blanks_to_buy
from stopwright.plan.timber.broken_down import lay_out_wood
from stopwright.plan.timber.calibrating import is_calibrated, left_for_calibrating
from stopwright.plan.timber.layouts import Laid, Wanted, cutting_in, lies
from stopwright.plan.timber.sawn import Rough, Sawn
from stopwright.plan.timber.sections import face_loss, planing_loss

NOTHING_SHAPED: Mapping[str, str] = MappingProxyType({})

_GLANCE = 60  # steps of search for a bound over wood of several thicknesses

SHEET_MAY_BE_OFF: Nm = MM
"""A sheet counts as of the part's thickness when it measures within this, nm: 18 mm plywood runs +0.7 to −0.9 (C)."""


@dataclass(frozen=True, slots=True)
class WoodPlan:
    """The layouts, from which thickness the solid pieces come, and how all pieces come off the saw."""

    wood: Wood
    rough: tuple[Rough, ...]
    sawn: tuple[Sawn, ...]
    warnings: tuple[Remark, ...] = ()
    stock: tuple[Stock, ...] = ()


@dataclass(slots=True)
class _OnHand:
    """The wood on hand while groups take from it: how much of each row is left, and what was made of the rest."""

    stock: Sequence[Stock]
    shop: Shop
    mix_widths: bool
    effort: Effort | None
    left: dict[int, int | None]
    laid: list[Laid] = field(default_factory=list)
    rough: Counter[tuple[str, Nm, Nm]] = field(default_factory=Counter)
    finished: dict[str, Nm] = field(default_factory=dict)
    least: int = 0
    proven: bool = True
    missing: Counter[str] = field(default_factory=Counter)

    def rows(self, like: Part) -> list[int]:
        """The rows of the part's material, sheets for a sheet part, boards for the others."""
        sheet, material = like.kind is Kind.SHEET, like.material.casefold()
        return [i for i, row in enumerate(self.stock) if row.is_sheet is sheet and row.material.casefold() == material]

    def lay_out(
        self, wanted: list[Wanted], rows: Sequence[int], left: Mapping[int, int | None] | None = None
    ) -> list[Laid]:
        """Layouts of what is wanted on what is left of these rows; nothing is taken yet."""
        left = dict(self.left if left is None else left)
        found = []
        for lot in [wanted] if self.mix_widths else _one_width_each(wanted):
            on_hand = {i: (self.stock[i], left[i]) for i in rows if left[i] != 0}
            if lot and on_hand:
                found.append(lay_out_wood(lot, on_hand, self.shop, self.effort))
                _use(left, found[-1])
        return found

    def least_at_a_glance(self, wanted: list[Wanted], rows: Sequence[int]) -> int:
        """How many boards these rows give at least for what is wanted; remembered, as layouts are."""
        on_hand = tuple((i, (self.stock[i], self.left[i])) for i in rows if self.left[i] != 0)
        lots = [wanted] if self.mix_widths else _one_width_each(wanted)
        return sum(_glance(tuple(lot), on_hand, self.shop) for lot in lots if lot and on_hand)

    def take(self, found: list[Laid]) -> Counter[str]:
        """Takes the wood of these layouts; returns how many pieces a mark they hold."""
        for laid in found:
            _use(self.left, laid)
        self.laid += found
        return _placed(found)

    def bound(self, used: int, least: int, proven: bool) -> None:
        """Takes down the least number of boards for a group, and whether this plan uses no more."""
        self.least += least
        self.proven &= proven and used == least


def plan_wood(
    parts: Sequence[Part],
    stock: Sequence[Stock],
    shop: Shop,
    may_turn: bool | None = None,
    mix_widths: bool = True,
    effort: Effort | None = None,
    shaped: Mapping[str, str] = NOTHING_SHAPED,
) -> WoodPlan:
    """Layouts for all parts that find wood on hand, group by group.

    Only what leaves the planer at one thickness shares a board, and only what is moulded alike while it is long
    (`shaped` names what is done to it, by the part's mark). Parts are as thick as they leave the planer. Nothing is
    dropped: what finds no wood stands in `wood.to_buy`.
    With `may_turn` False no piece is turned on its sheet, which keeps every width at the fence and every length at
    the stop; None turns them only where that places more, saves a new sheet, a sheet, a setting or a touch, in this
    order. With `mix_widths` False every board is ripped to one width only.
    """
    taken = _OnHand(stock, shop, mix_widths, effort, {index: row.quantity for index, row in enumerate(stock)})
    taken.finished = {part.mark: part.thickness for part in parts}
    by_material: dict[str, list[list[Part]]] = defaultdict(list)
    _take_own_boards([part for part in parts if row_of(part) is not None], taken)
    for group in _groups((part for part in parts if row_of(part) is None), shaped):
        if group[0].kind is Kind.SHEET:
            _take_sheets(group, may_turn, taken)
        else:
            by_material[group[0].material.casefold()].append(group)
    for material in sorted(by_material):
        _take_boards(by_material[material], taken)
    by_mark = {part.mark: part for part in parts}
    layouts = tuple(_numbered((layout for laid in taken.laid for layout in laid.layouts), taken.finished))
    to_buy = tuple(
        blank
        for mark, count in sorted(taken.missing.items(), key=lambda one: mark_order(one[0]))
        if count
        for blank in blanks_to_buy(by_mark[mark], count, shop)
    )
    wood = Wood(
        boards_used=sum(laid.used for laid in taken.laid),
        least_possible=taken.least,
        proven=taken.proven,
        layouts=layouts,
        to_buy=to_buy,
        handlings=sum(layout.times * _handlings(layout) for layout in layouts),
    )
    rough = tuple(
        Rough(by_mark[mark], thickness, count, wood_)
        for (mark, thickness, wood_), count in sorted(taken.rough.items())
        if count
    )
    return WoodPlan(wood, rough, _sawn(parts, layouts), tuple(_short(parts, taken, shop)), tuple(stock))


def _numbered(layouts: Iterable[Layout], finished: Mapping[str, Nm]) -> Iterator[Layout]:
    """The layouts with the numbers of their boards, boards and sheets counted apart, and what they are planed to."""
    begins = {False: 1, True: 1}
    for layout in layouts:
        planed = layout.thickness if layout.sheet else finished[layout.placements[0].mark]
        yield replace(layout, first=begins[layout.sheet], finished=planed)
        begins[layout.sheet] += layout.times


def _groups(parts: Iterable[Part], shaped: Mapping[str, str]) -> list[list[Part]]:
    """Parts that may share a board or sheet; thick before thin."""
    groups: dict[tuple[str, bool, Nm, str], list[Part]] = defaultdict(list)
    for part in parts:
        sheet = part.kind is Kind.SHEET
        groups[(part.material.casefold(), sheet, -part.thickness, shaped.get(part.mark, ""))].append(part)
    return [groups[key] for key in sorted(groups)]


def _take_own_boards(strips: Sequence[Part], on_hand: _OnHand) -> None:
    """Takes the boards of strips that are as wide as them, each from its own row, before anything else is laid out."""
    by_row: dict[tuple[int, Nm, Nm], list[Part]] = defaultdict(list)
    for strip in strips:
        by_row[row_of(strip) or 0, -strip.length, strip.thickness].append(strip)
    for (place, *_), group in sorted(by_row.items()):
        found = on_hand.lay_out(_wanted(group), [place])
        placed = on_hand.take(found)
        used, least = sum(laid.used for laid in found), sum(laid.least_possible for laid in found)
        on_hand.bound(used, least, all(laid.proven for laid in found))
        row = on_hand.stock[place]
        for strip in group:
            on_hand.rough[strip.mark, trued(row, on_hand.shop), row.thickness] += placed[strip.mark]
            _to_buy(strip, strip.quantity - placed[strip.mark], on_hand)


def _to_buy(part: Part, count: int, on_hand: _OnHand) -> None:
    """Takes down so many pieces of a solid part that find no wood, and how thick what is bought for them will be."""
    bought = rough_from_quarter_scale(part.thickness)
    on_hand.rough[part.mark, made_true(bought, on_hand.shop.allowance.thickness, on_hand.shop), bought] += count
    on_hand.missing[part.mark] += count


def _take_sheets(parts: list[Part], may_turn: bool | None, on_hand: _OnHand) -> None:
    thickness = parts[0].thickness
    rows = [i for i in on_hand.rows(parts[0]) if abs(on_hand.stock[i].thickness - thickness) <= SHEET_MAY_BE_OFF]

    def found(turn: bool) -> list[Laid]:
        wanted = [Wanted(p, p.quantity, turn and p.grain is Grain.ANY, p.grain is Grain.ACROSS) for p in parts]
        return on_hand.lay_out(wanted, rows)

    turnable = any(part.grain is Grain.ANY and part.length != part.width for part in parts)
    if may_turn is None and turnable:
        straight, turned = found(False), found(True)
        best = min(straight, turned, key=lambda one: _wishes(one, on_hand.stock))
        least = min(sum(laid.least_possible for laid in one) for one in (straight, turned))
        chosen = _bounded(best, least)
    else:
        chosen = found(bool(may_turn))
    placed = on_hand.take(chosen)
    on_hand.bound(
        sum(laid.used for laid in chosen),
        sum(laid.least_possible for laid in chosen),
        all(laid.proven for laid in chosen),
    )
    on_hand.missing.update({part.mark: part.quantity - placed[part.mark] for part in parts})


def _wishes(found: list[Laid], stock: Sequence[Stock]) -> tuple[int, int, int, int, int]:
    """What a shop wants of layouts, the least first: pieces not placed, new sheets, sheets, settings, handlings."""
    layouts = [layout for laid in found for layout in laid.layouts]
    placements = [placement for layout in layouts for placement in layout.placements]
    settings = len({one.width for one in placements}) + len({one.length for one in placements})
    placed = sum(layout.times * len(layout.placements) for layout in layouts)
    handlings = sum(layout.times * _handlings(layout) for layout in layouts)
    return (-placed, _new(found, stock), sum(laid.used for laid in found), settings, handlings)


def _new(found: Iterable[Laid], stock: Sequence[Stock]) -> int:
    """How many of the boards or sheets used are new ones, not offcuts from the shelf."""
    layouts = (layout for laid in found for layout in laid.layouts)
    return sum(layout.times for layout in layouts if stock[layout.stock].kind is not StockKind.OFFCUT)


def _bounded(found: list[Laid], least: int) -> list[Laid]:
    """The same layouts as one, with the least number of boards that holds whichever way pieces are turned."""
    used = sum(laid.used for laid in found)
    return [Laid(tuple(layout for laid in found for layout in laid.layouts), used, least, used == least)]


def _take_boards(groups: Sequence[list[Part]], on_hand: _OnHand) -> None:
    """Takes the boards of one material for all its groups: no piece missing first, then thin wood before thick.

    The groups compete for boards, so where a piece is missing they are tried in several orders, with thin wood first
    and with all wood at once; among these the fewest new boards are taken, then the fewest, then what is planed away
    least. The least number of boards is the sum of what each group needs if it had all of the wood for itself.
    """
    least = _least_alone(groups, on_hand)
    best: _Taken | None = None
    for thin_first in (True, False):
        for order in _orders(len(groups)):
            found = _taken(groups, _in_order(groups, order, thin_first, on_hand), on_hand.stock)
            best = found if best is None or found.worth < best.worth else best
            if not best.missing:
                break
        if best is None or not best.missing:
            break
    if best is None:
        return
    on_hand.bound(best.used, min(least, best.used), best.used == least)
    for group, layouts in zip(groups, best.layouts, strict=True):
        on_hand.take(layouts)
        for part in group:
            left = part.quantity
            for layout in (layout for laid in layouts for layout in laid.layouts):
                here = layout.times * sum(one.mark == part.mark for one in layout.placements)
                left -= here
                row = on_hand.stock[layout.stock]
                on_hand.rough[part.mark, trued(row, on_hand.shop), row.thickness] += here
            _to_buy(part, left, on_hand)


@dataclass(frozen=True, slots=True)
class _Taken:
    """Layouts for every group, how many pieces are missing, new boards, all boards, and the volume planed away."""

    layouts: list[list[Laid]]
    missing: int
    new: int
    used: int
    away: int

    @property
    def worth(self) -> tuple[int, int, int, int]:
        """The less the better."""
        return (self.missing, self.new, self.used, self.away)


def _taken(groups: Sequence[list[Part]], found: Mapping[int, list[Laid]], stock: Sequence[Stock]) -> _Taken:
    missing = used = away = 0
    for place, group in enumerate(groups):
        placed = _placed(found[place])
        missing += sum(part.quantity - placed[part.mark] for part in group)
        for laid in found[place]:
            used += laid.used
            for one in laid.layouts:
                away += one.times * one.length * one.width * (one.thickness - group[0].thickness)
    layouts = [found[place] for place in range(len(groups))]
    return _Taken(layouts, missing, _new((laid for one in layouts for laid in one), stock), used, away)


def _least_alone(groups: Sequence[list[Part]], on_hand: _OnHand) -> int:
    """What no plan undercuts: the boards each group would need if it had all of the wood for itself.

    Where wood of one thickness alone serves a group, that is how it is laid out anyhow; else a short search bounds it.
    """
    least = 0
    for group in groups:
        rows = _thick_enough(group[0], on_hand.rows(group[0]), on_hand)
        if len({on_hand.stock[i].thickness for i in rows}) > 1:
            least += on_hand.least_at_a_glance(_wanted(group), rows)
        else:
            least += sum(laid.least_possible for laid in on_hand.lay_out(_wanted(group), rows))
    return least


@lru_cache(maxsize=256)
def _glance(wanted: tuple[Wanted, ...], on_hand: tuple[tuple[int, tuple[Stock, int | None]], ...], shop: Shop) -> int:
    return lay_out_wood(wanted, dict(on_hand), shop, Steps(_GLANCE)).least_possible


def trued(row: Stock, shop: Shop) -> Nm:
    """How thick a board of this row is when its face has been made true at the jointer, nm."""
    return made_true(row.thickness, face_loss(row, shop), shop)


def made_true(thickness: Nm, face: Nm, shop: Shop) -> Nm:
    """How thick wood is when its face has lost so much at the jointer, nm."""
    return thickness if shop.station_for("joint") is None else thickness - face


def _in_order(
    groups: Sequence[list[Part]], order: Iterable[int], thin_first: bool, on_hand: _OnHand
) -> dict[int, list[Laid]]:
    left = dict(on_hand.left)
    found: dict[int, list[Laid]] = {}
    for place in order:
        group = groups[place]
        rows = _thick_enough(group[0], on_hand.rows(group[0]), on_hand)
        waiting = Counter({part.mark: part.quantity for part in group})
        found[place] = []
        for alike in _thin_before_thick(rows, on_hand) if thin_first else [rows]:
            laid = on_hand.lay_out(_wanted(group, waiting), alike, left)
            for one in laid:
                _use(left, one)
            waiting.subtract(_placed(laid))
            found[place] += laid
    return found


def _thin_before_thick(rows: Iterable[int], on_hand: _OnHand) -> list[list[int]]:
    """The rows by thickness; what differs by less than the two faces lose counts as alike."""
    classes: list[list[int]] = []
    for i in sorted(rows, key=lambda i: on_hand.stock[i].thickness):
        thinnest = on_hand.stock[classes[-1][0]].thickness if classes else 0
        if classes and on_hand.stock[i].thickness - thinnest <= 2 * on_hand.shop.allowance.thickness:
            classes[-1].append(i)
        else:
            classes.append([i])
    return classes


def _orders(count: int) -> Iterator[tuple[int, ...]]:
    """Orders in which groups take their boards: thick first, thin first, and each in turn before all others."""
    straight = tuple(range(count))
    orders = [straight, straight[::-1], *((one, *(i for i in straight if i != one)) for one in straight[:6])]
    yield from dict.fromkeys(orders)


def _thick_enough(part: Part, rows: Iterable[int], on_hand: _OnHand) -> list[int]:
    """The rows that leave the part's thickness: when both faces have been made true, or when they are planed.

    Of what was bought planed nothing need be left for calibrating.
    """
    stock, shop = on_hand.stock, on_hand.shop
    left = left_for_calibrating(shop) if is_calibrated(part) else 0
    least = {i: part.thickness - (left if stock[i].planed else 0) for i in rows}
    return [i for i in least if stock[i].thickness - planing_loss(stock[i], shop) >= least[i]]


def _wanted(group: Sequence[Part], counts: Mapping[str, int] | None = None) -> list[Wanted]:
    counts = {part.mark: part.quantity for part in group} if counts is None else counts
    return [Wanted(part, counts[part.mark], False, part.grain is Grain.ACROSS) for part in group if counts[part.mark]]


def _placed(found: Iterable[Laid]) -> Counter[str]:
    return sum((laid.placed for laid in found), Counter[str]())


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
        along, across = lies(part)
        here[(across, along)] += part.quantity - here.total()
        sawn += [Sawn(part, rip, crosscut, count) for (rip, crosscut), count in sorted(here.items()) if count]
    return tuple(sawn)


def _handlings(layout: Layout) -> int:
    """How often a board and its strips are taken in hand: once a width for the board, once a length for a strip."""
    strips: dict[Nm, set[Nm]] = defaultdict(set)
    for placement in layout.placements:
        strips[placement.y].add(placement.length)
    return len({placement.width for placement in layout.placements}) + sum(len(lengths) for lengths in strips.values())


def _short(parts: Sequence[Part], on_hand: _OnHand, shop: Shop) -> Iterable[Remark]:
    for part in parts:
        count = on_hand.missing[part.mark]
        if count and on_hand.rows(part):
            if thin := _leaves_nothing_to_plane(part, on_hand):
                yield Remark(part.mark, thin)
            what = "piece finds" if count == 1 else "pieces find"
            in_all = format_length(strip_for(count, part.length, shop), shop.show)
            strip = f", in all {in_all} of strip" if part.kind is Kind.MOULDING else ""
            text = f"{count} {what} no wood on hand ({_size(part.size, shop.show)}){strip}; see what to buy"
            yield Remark(part.mark, f"{text}{_rest_that_holds(part, count, on_hand)}")


def _leaves_nothing_to_plane(part: Part, on_hand: _OnHand) -> str:
    """What is said of wood that is as thick as the part, but not as thick as it must be before it is planed."""
    show = on_hand.shop.show
    rows = [on_hand.stock[i] for i in on_hand.rows(part) if not on_hand.stock[i].is_sheet]
    thin = [row for row in rows if not row.planed and row.thickness >= part.thickness]
    thin = [row for row in thin if row.thickness - part.thickness < 2 * on_hand.shop.allowance.thickness]
    if not thin or part.kind is Kind.SHEET:
        return ""
    has, wants = thin[0].thickness, part.thickness + 2 * on_hand.shop.allowance.thickness
    text = f"{format_length(has, show)} on hand leaves too little to plane both faces to "
    text += f"{format_length(part.thickness, show)}; take wood of {format_length(wants, show)} or more"
    return f"{text}, or say planed where it was bought planed"


def _size(lengths: Iterable[Nm], show: Show) -> str:
    return " × ".join(format_length(one, show, with_unit=False) for one in lengths) + f" {show.unit}"


def _rest_that_holds(part: Part, count: int, on_hand: _OnHand) -> str:
    """The rest of this plan that would hold most of the missing pieces, crosscut and ripped once more, in words."""
    show, cutting, rows = on_hand.shop.show, cutting_in(on_hand.shop), on_hand.rows(part)
    ways = {lies(part), lies(part)[::-1]} if part.kind is Kind.SHEET and part.grain is Grain.ANY else {lies(part)}
    found = (0, 0, 0)
    for layout in (layout for laid in on_hand.laid for layout in laid.layouts if layout.stock in rows):
        thickness = layout.thickness if layout.sheet else on_hand.finished[layout.placements[0].mark]
        over = thickness - part.thickness
        if abs(over) <= SHEET_MAY_BE_OFF if part.kind is Kind.SHEET else over >= 0:
            for rest, (along, across) in product(layout.rests, sorted(ways)):
                length, width = rest.clean
                in_a_row = (length + cutting.kerf_along) // (along + cutting.kerf_along)
                rows_of_them = (width + cutting.kerf_across) // (across + cutting.kerf_across)
                found = max(found, (min(in_a_row * rows_of_them, count), length, width))
    holds, length, width = found
    if not holds:
        return ""
    size = _size((length, width), show)
    whole = "it" if count == 1 else "all of them" if holds == count else f"{holds} of them"
    return f". What this plan leaves of a {'sheet' if part.kind is Kind.SHEET else 'board'}, {size}, would hold {whole}"
