"""Layouts asked of the cutting engine: from marks and nanometres to its numbers and back. Loads numpy."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import gcd

from stopwright.lengths import Nm
from stopwright.model.stations import Shop
from stopwright.model.stock import Stock, StockKind
from stopwright.plan.cutting import lay_out_boards, lay_out_sheets
from stopwright.plan.cutting.sheet_layouts import SheetKind, SheetLayout, Zone
from stopwright.plan.cutting.sheets import least_of_any_layout
from stopwright.plan.effort import Effort
from stopwright.plan.run_sheet import Cut, Layout, Placement
from stopwright.plan.timber.layouts import (
    Cutting,
    Laid,
    Rows,
    Wanted,
    cutting_in,
    has_factory_edges,
    rest_at,
    worth_keeping,
)


@dataclass(frozen=True, slots=True)
class _Usable:
    """The usable part of a board or sheet: where it begins, and its size, nm."""

    x: Nm
    y: Nm
    length: Nm
    width: Nm


@dataclass(frozen=True, slots=True)
class _Asked:
    """What the engine is asked: pieces and boards in whole `unit`s of nm; `over` is what both are larger by."""

    pieces: list[tuple[Nm, Nm, int, bool]]
    rooms: dict[int, _Usable]
    kerf: Nm
    over: tuple[Nm, Nm]
    unit: Nm

    def lines(self) -> list[tuple[int, int, int, bool]]:
        return [(length // self.unit, width // self.unit, count, turn) for length, width, count, turn in self.pieces]


def _asked(wanted: Sequence[Wanted], rows: Rows, shop: Shop) -> _Asked:
    cutting = cutting_in(shop)
    usable = {i: _usable(row, cutting, shop) for i, (row, _) in rows}
    fitting = {i: room for i, room in usable.items() if room.length > 0 and room.width > 0}
    if cutting.kerf_along == cutting.kerf_across:
        kerf, over = cutting.kerf_along, (0, 0)
    else:  # one saw takes more than the other: every piece and the whole board are that much larger, and no kerf
        kerf, over = 0, (cutting.kerf_along, cutting.kerf_across)
    rooms = {i: _Usable(room.x, room.y, room.length + over[0], room.width + over[1]) for i, room in fitting.items()}
    pieces = [
        (want.lies[0] + over[0], want.lies[1] + over[1], want.count, want.may_turn and over[0] == over[1])
        for want in wanted
    ]
    unit = _common_divisor((kerf, *over), pieces, rooms.values(), (row for _, (row, _) in rows))
    return _Asked(pieces, rooms, kerf, over, unit)


def least_of_any(wanted: Sequence[Wanted], on_hand: Mapping[int, tuple[Stock, int | None]], shop: Shop) -> int:
    """See `layouts.least_boards`."""
    asked = _asked(wanted, tuple(on_hand.items()), shop)
    kinds = [_kind(*on_hand[i], asked.rooms[i], asked.unit) for i in sorted(asked.rooms)]
    return least_of_any_layout(asked.lines(), kinds, asked.kerf // asked.unit)


def search_layout(wanted: tuple[Wanted, ...], rows: Rows, shop: Shop, effort: Effort | None) -> Laid:
    """See `layouts.lay_out`, which remembers."""
    on_hand, asked = dict(rows), _asked(wanted, rows, shop)
    order = sorted(asked.rooms)
    plan = lay_out_sheets(
        asked.lines(),
        [_kind(*on_hand[i], asked.rooms[i], asked.unit) for i in order],
        kerf=asked.kerf // asked.unit,
        stages=2,
        exact_strips=True,
        along="length",
        effort=effort,
    )
    layouts = tuple(
        _layout(one, order, on_hand, asked.rooms, wanted, asked.unit, shop, asked.over) for one in plan.layouts
    )
    least = plan.least_possible
    if not plan.proven:
        least = max(least, _least_of_single_strips(asked.pieces, asked.kerf, asked.rooms, rows, asked.unit, effort))
    return Laid(layouts, plan.sheets_used, min(least, plan.sheets_used), plan.sheets_used <= least)


def _least_of_single_strips(
    pieces: Sequence[tuple[Nm, Nm, int, bool]],
    kerf: Nm,
    rooms: Mapping[int, _Usable],
    rows: Rows,
    unit: int,
    effort: Effort | None,
) -> int:
    """How few boards will do where each is only wide enough for one strip, and so for one width; else 0.

    Then lengths alone decide, width by width. 0 too where pieces may be turned, or where not all of them are placed.
    """
    widths = sorted({width for _, width, _, _ in pieces})
    one_strip = all(widths[-1] <= room.width < 2 * widths[0] + kerf for room in rooms.values())
    if not rooms or not one_strip or any(turn for _, _, _, turn in pieces):
        return 0
    counts = {i: count for i, (_, count) in rows}
    boards = [(room.length // unit, counts[i]) for i, room in sorted(rooms.items())]
    found = [
        lay_out_boards(
            [(length // unit, count) for length, wide, count, _ in pieces if wide == width],
            boards,
            kerf=kerf // unit,
            effort=effort,
        )
        for width in widths
    ]
    return 0 if any(one.unplaced for one in found) else sum(one.least_possible for one in found)


def _usable(row: Stock, cutting: Cutting, shop: Shop) -> _Usable:
    ends = cutting.trim_ends if has_factory_edges(row) else 0
    if row.is_sheet:
        edges = cutting.trim_edges if has_factory_edges(row) else 0
        return _Usable(ends, edges, row.length - 2 * ends, row.width - 2 * edges)
    return _Usable(ends, shop.allowance.width, row.length - 2 * ends, row.width - shop.allowance.width)


def _common_divisor(
    kerfs: Iterable[Nm], pieces: Iterable[tuple[Nm, Nm, int, bool]], rooms: Iterable[_Usable], rows: Iterable[Stock]
) -> int:
    sizes = [*kerfs]
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
    over: tuple[Nm, Nm],
) -> Layout:
    index = order[one.sheet]
    row, room = on_hand[index][0], rooms[index]

    def place(mark: str, x: int, y: int, length: int, width: int, turned: bool = False) -> Placement:
        size = length * unit - over[0], width * unit - over[1]
        return Placement(mark, x * unit + room.x, y * unit + room.y, *size, turned)

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
        work = "rip" if rip else "crosscut"
        cuts.append(Cut(cut.number, work, cut.position * unit + corner, begin, begin + extent * unit))
    left = [rest_at(place(row.label, rest.x, rest.y, rest.length, rest.width), row) for rest in one.offcuts]
    rests = tuple(rest for rest in left if rest.length > 0 and rest.width > 0)
    return Layout(
        index,
        row.material,
        row.length,
        row.width,
        row.thickness,
        one.times,
        placements,
        tuple(cuts),
        tuple(rest for rest in rests if worth_keeping(*rest.clean, shop)),
        rests,
        sheet=row.is_sheet,
    )
