"""Layouts of boards and sheets in the words of the job: from the cutting engine's numbers to marks and nanometres."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import gcd
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.parts import Part
from stopwright.model.stations import Shop, Station, Work
from stopwright.model.stock import Stock, StockKind
from stopwright.plan.cutting.sheet_layouts import SheetKind, SheetLayout, Zone
from stopwright.plan.effort import Effort
from stopwright.plan.run_sheet import Cut, Layout, Placement

_Rows: TypeAlias = tuple[tuple[int, tuple[Stock, int | None]], ...]


@dataclass(frozen=True, slots=True)
class Wanted:
    """So many pieces of a part; whether they may be turned on the sheet, or must lie across its grain."""

    part: Part
    count: int
    may_turn: bool
    across: bool

    @property
    def lies(self) -> tuple[Nm, Nm]:
        """Extent along and across the grain of the wood, nm."""
        return (self.part.width, self.part.length) if self.across else (self.part.length, self.part.width)


@dataclass(frozen=True, slots=True)
class Laid:
    """Layouts of one group with how many boards they use, and the least possible."""

    layouts: tuple[Layout, ...]
    used: int
    least_possible: int
    proven: bool


@dataclass(frozen=True, slots=True)
class _Usable:
    """The usable part of a board or sheet: where it begins, and its size, nm."""

    x: Nm
    y: Nm
    length: Nm
    width: Nm


def lay_out(
    wanted: Sequence[Wanted],
    on_hand: Mapping[int, tuple[Stock, int | None]],
    saw: Station | None,
    shop: Shop,
    effort: Effort | None,
) -> Laid:
    """Fewest boards or sheets for the pieces wanted; `on_hand` gives stock row and count by its index in the job.

    Every strip holds one width only, so that each width is one fence position over the whole stack. A board loses
    the shop's width allowance at its face edge and the saw's trim at both ends; a sheet the trim on all edges.
    Without an `effort` of its own a group that was laid out before is answered from memory: when one part changes,
    only its group is searched again.
    """
    asked = (tuple(wanted), tuple(sorted(on_hand.items())), saw, shop)
    return _kept(*asked) if effort is None else _lay_out(*asked, effort)


@lru_cache(maxsize=256)
def _kept(
    wanted: tuple[Wanted, ...],
    on_hand: tuple[tuple[int, tuple[Stock, int | None]], ...],
    saw: Station | None,
    shop: Shop,
) -> Laid:
    return _lay_out(wanted, on_hand, saw, shop, None)


def _lay_out(
    wanted: tuple[Wanted, ...],
    rows: _Rows,
    saw: Station | None,
    shop: Shop,
    effort: Effort | None,
) -> Laid:
    from stopwright.plan.sheets import lay_out_sheets  # loads numpy, which a job without wood on hand never needs

    on_hand = dict(rows)
    kerf = saw.kerf if saw else 0
    usable = {i: _usable(row, saw.trim if saw else 0, shop) for i, (row, _) in on_hand.items()}
    fitting = {i: room for i, room in usable.items() if room.length > 0 and room.width > 0}
    pieces = [(*want.lies, want.count, want.may_turn) for want in wanted]
    unit = _common_divisor(kerf, pieces, fitting.values(), (row for row, _ in on_hand.values()))
    order = sorted(fitting)
    plan = lay_out_sheets(
        [(length // unit, width // unit, count, turn) for length, width, count, turn in pieces],
        [_kind(on_hand[i][0], on_hand[i][1], fitting[i], unit) for i in order],
        kerf=kerf // unit,
        stages=2,
        exact_strips=True,
        along="length",
        effort=effort,
    )
    layouts = tuple(_layout(one, order, on_hand, fitting, wanted, unit, shop) for one in plan.layouts)
    return Laid(layouts, plan.sheets_used, plan.least_possible, plan.proven)


def _usable(row: Stock, trim: Nm, shop: Shop) -> _Usable:
    if row.is_sheet:
        edge = 0 if row.kind is StockKind.OFFCUT else trim
        return _Usable(edge, edge, row.length - 2 * edge, row.width - 2 * edge)
    return _Usable(trim, shop.allowance.width, row.length - 2 * trim, row.width - shop.allowance.width)


def _common_divisor(
    kerf: Nm, pieces: Iterable[tuple[Nm, Nm, int, bool]], rooms: Iterable[_Usable], rows: Iterable[Stock]
) -> int:
    sizes = [kerf]
    for length, width, _, _ in pieces:
        sizes += [length, width]
    for room in rooms:
        sizes += [room.x, room.y, room.length, room.width]
    for row in rows:
        for zone in row.zones:
            sizes += [zone.start, zone.end, zone.low, zone.high or 0]
    return gcd(*sizes) or 1


def _kind(row: Stock, count: int | None, room: _Usable, unit: int) -> SheetKind:
    zones = tuple(
        Zone(
            (zone.start - room.x) // unit,
            (zone.low - room.y) // unit,
            (zone.end - zone.start) // unit,
            ((row.width if zone.high is None else zone.high) - zone.low) // unit,
        )
        for zone in row.zones
    )
    return SheetKind(room.length // unit, room.width // unit, count, zones, row.kind is StockKind.OFFCUT)


def _layout(
    one: SheetLayout,
    order: Sequence[int],
    on_hand: Mapping[int, tuple[Stock, int | None]],
    rooms: Mapping[int, _Usable],
    wanted: Sequence[Wanted],
    unit: int,
    shop: Shop,
) -> Layout:
    index = order[one.sheet]
    row, room = on_hand[index][0], rooms[index]

    def place(mark: str, x: int, y: int, length: int, width: int, turned: bool = False) -> Placement:
        return Placement(mark, x * unit + room.x, y * unit + room.y, length * unit, width * unit, turned)

    placements = tuple(
        place(wanted[p.piece].part.mark, p.x, p.y, p.length, p.width, p.turned is not wanted[p.piece].across)
        for p in one.placements
    )
    cuts = []
    for cut in one.cuts:
        x, y, length, width = cut.strip
        rip = cut.direction == "rip"
        corner, (start, extent) = (room.y if rip else room.x), ((x, length) if rip else (y, width))
        begin = start * unit + (room.x if rip else room.y)
        work = Work.RIP if rip else Work.CROSSCUT
        cuts.append(Cut(cut.number, work, cut.position * unit + corner, begin, begin + extent * unit))
    offcuts = tuple(
        place(row.label, rest.x, rest.y, rest.length, rest.width)
        for rest in one.offcuts
        if rest.sound and _worth_keeping(rest.length * unit, rest.width * unit, shop)
    )
    return Layout(
        index, row.material, row.length, row.width, row.thickness, one.times, placements, tuple(cuts), offcuts
    )


def _worth_keeping(length: Nm, width: Nm, shop: Shop) -> bool:
    limits = shop.limits
    return length >= limits.offcut_length and width >= limits.offcut_width
