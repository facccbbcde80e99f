"""Layouts of boards and sheets in the words of the job: from the cutting engine's numbers to marks and nanometres."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import gcd
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.gear import Blade
from stopwright.model.parts import Grain, Part
from stopwright.model.stations import Shop
from stopwright.model.stock import Stock, StockKind, zones_within
from stopwright.plan.cutting import sheet_layouts
from stopwright.plan.cutting.sheet_layouts import SheetKind, SheetLayout
from stopwright.plan.effort import Effort
from stopwright.plan.run_sheet import Cut, Layout, Placement, Rest

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
        return lies(self.part)


def lies(part: Part) -> tuple[Nm, Nm]:
    """How much a piece of the part takes along and across the grain of the wood, nm."""
    return (part.width, part.length) if part.grain is Grain.ACROSS else (part.length, part.width)


def has_factory_edges(row: Stock) -> bool:
    """Whether its ends are trimmed before they count: all but offcuts of sheets, which were cut here."""
    return not (row.is_sheet and row.kind is StockKind.OFFCUT)


@dataclass(frozen=True, slots=True)
class Laid:
    """Layouts of one group with how many boards they use, and the least possible."""

    layouts: tuple[Layout, ...]
    used: int
    least_possible: int
    proven: bool

    @property
    def placed(self) -> Counter[str]:
        """How many pieces a mark they hold."""
        placed: Counter[str] = Counter()
        for layout in self.layouts:
            for placement in layout.placements:
                placed[placement.mark] += layout.times
        return placed


@dataclass(frozen=True, slots=True)
class _Usable:
    """The usable part of a board or sheet: where it begins, and its size, nm."""

    x: Nm
    y: Nm
    length: Nm
    width: Nm


@dataclass(frozen=True, slots=True)
class Cutting:
    """What the saws take: the one that rips in width, the one that crosscuts in length; nm."""

    kerf_along: Nm
    kerf_across: Nm
    trim_ends: Nm
    trim_edges: Nm


def cutting_in(shop: Shop) -> Cutting:
    """What is lost along a board (by the saw that crosscuts) and across it (by the one that rips)."""
    rips, crosscuts = shop.station_for("rip"), shop.station_for("crosscut")
    first, second = crosscuts or rips, rips or crosscuts
    if first is None or second is None:
        return Cutting(0, 0, 0, 0)
    return Cutting(first.of(Blade).kerf, second.of(Blade).kerf, first.of(Blade).trim, second.of(Blade).trim)


def lay_out(
    wanted: Sequence[Wanted],
    on_hand: Mapping[int, tuple[Stock, int | None]],
    shop: Shop,
    effort: Effort | None,
) -> Laid:
    """Fewest boards or sheets for the pieces wanted; `on_hand` gives stock row and count by its index in the job.

    Every strip holds one width only, so that each width is one fence position over the whole stack. A board loses
    the shop's width allowance at its face edge and the trim of the saw that crosscuts at both ends; a sheet is
    trimmed on all edges, each by the saw that cuts it. Without an `effort` of its own a group that was laid out
    before is answered from memory: when one part changes, only its group is searched again.
    """
    asked = (tuple(wanted), tuple(sorted(on_hand.items())), shop)
    return _kept(*asked) if effort is None else _lay_out(*asked, effort)


@lru_cache(maxsize=256)
def _kept(wanted: tuple[Wanted, ...], on_hand: _Rows, shop: Shop) -> Laid:
    return _lay_out(wanted, on_hand, shop, None)


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


def _asked(wanted: Sequence[Wanted], rows: _Rows, shop: Shop) -> _Asked:
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


def least_boards(wanted: Sequence[Wanted], on_hand: Mapping[int, tuple[Stock, int | None]], shop: Shop) -> int:
    """How few boards or sheets hold these pieces at least, however they are cut up."""
    from stopwright.plan.sheets import least_of_any_layout

    asked = _asked(wanted, tuple(on_hand.items()), shop)
    kinds = [_kind(*on_hand[i], asked.rooms[i], asked.unit) for i in sorted(asked.rooms)]
    return least_of_any_layout(asked.lines(), kinds, asked.kerf // asked.unit)


def _lay_out(wanted: tuple[Wanted, ...], rows: _Rows, shop: Shop, effort: Effort | None) -> Laid:
    from stopwright.plan.sheets import lay_out_sheets  # loads numpy, which a job without wood on hand never needs

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
    alone = _least_of_single_strips(asked.pieces, asked.kerf, asked.rooms, rows, asked.unit, effort)
    least = max(plan.least_possible, alone)
    return Laid(layouts, plan.sheets_used, min(least, plan.sheets_used), plan.sheets_used <= least)


def _least_of_single_strips(
    pieces: Sequence[tuple[Nm, Nm, int, bool]],
    kerf: Nm,
    rooms: Mapping[int, _Usable],
    rows: _Rows,
    unit: int,
    effort: Effort | None,
) -> int:
    """How few boards will do where each is only wide enough for one strip, and so for one width; else 0.

    Then lengths alone decide, width by width. 0 too where pieces may be turned, or where not all of them are placed.
    """
    from stopwright.plan.boards import lay_out_boards

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
        sheet_layouts.Zone(
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


def rest_at(place: Placement, row: Stock) -> Rest:
    """What lies at a place that no piece takes, with the zones that reach into it."""
    zones = zones_within(row.zones, row.width, place.length, place.width, place.x, place.y)
    return Rest(place.mark, place.x, place.y, place.length, place.width, place.turned, zones)


def worth_keeping(length: Nm, width: Nm, shop: Shop) -> bool:
    """Whether a rest of this size, nm, is an offcut to be kept."""
    limits = shop.limits
    return length >= limits.offcut_length and width >= limits.offcut_width
