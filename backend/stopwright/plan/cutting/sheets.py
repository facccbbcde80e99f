"""Sheets and wide boards laid out for the saw: guillotine cuts in two or three stages, fewest sheets first."""

from collections.abc import Sequence
from typing import Literal

from stopwright.plan.cutting.sheet_bounds import least_sheets
from stopwright.plan.cutting.sheet_cuts import cut_up
from stopwright.plan.cutting.sheet_fill import Cutting, Kind
from stopwright.plan.cutting.sheet_layouts import (
    Cut,
    Direction,
    Offcut,
    Placement,
    SheetKind,
    SheetLayout,
    SheetPlan,
    Zone,
)
from stopwright.plan.cutting.sheet_repack import Packing, Repacking
from stopwright.plan.cutting.sheet_strips import lay_repeats, lay_strips
from stopwright.plan.cutting.sheet_turns import lay_turned
from stopwright.plan.cutting.sheet_widths import lay_straight, straight, widths_of
from stopwright.plan.effort import Effort

__all__ = [
    "Cut",
    "Offcut",
    "Placement",
    "SheetKind",
    "SheetLayout",
    "SheetPlan",
    "Zone",
    "lay_out_sheets",
    "least_of_any_layout",
]

Along = Literal["length", "width", "either"]

# What a person waits for, about one second in all: pieces put on a sheet before and after the columns.
EARLY_STEPS, LATE_STEPS = 20_000, 30_000
LATE_A_PIECE = 150  # so often each piece is laid anew at most: a few pieces have been tried in every way before
MANY_TYPES = 20  # beyond, while a person waits, one packing of repeated sheets starts the search as well as four


def lay_out_sheets(
    pieces: Sequence[tuple[int, int, int, bool]],
    sheets: Sequence[SheetKind | tuple[int, int, int | None]],
    kerf: int = 0,
    trim: int = 0,
    stages: int = 2,
    effort: Effort | None = None,
    exact_strips: bool = False,
    along: Along | None = None,
) -> SheetPlan:
    """Layouts that cut all `pieces` from the fewest `sheets`, with the cuts in the order of the saw.

    Pieces are (length, width, count, may_turn), sheets (length, width, count or None) or `SheetKind`; length
    runs along the grain (x). All values are whole numbers of one unit. `trim` is cut off all four edges, the
    kerf of that cut within it; `kerf` is lost between neighbours, never at the far edge.

    `stages` 2: strips, then lengths from each strip, then a trimming cut for pieces narrower than their strip.
    `stages` 3: within a strip, blocks that are cut once more across, then a trimming cut. With `exact_strips`
    every strip holds pieces of its own width only, so each width is one rip setting and nothing is trimmed.
    `along` is the direction of the first cuts; "either" lets every sheet choose its own. None means "length"
    for exact strips, which are ripped to width before they are crosscut, and "either" for all others.

    Order of wishes: everything placed, fewest fresh sheets (those not marked `prefer`), fewest sheets, least
    area of sheets, most material left on one sheet. The same input gives the same plan whatever the order of
    its lines.

    >>> plan = lay_out_sheets([(800, 300, 8, False)], [(2440, 1220, None)], kerf=4, trim=5, along="length")
    >>> plan.sheets_used, plan.least_possible, plan.proven
    (1, 1, True)
    >>> [(c.direction, c.position) for c in plan.layouts[0].cuts if c.stage == 1]
    [('rip', 305), ('rip', 609), ('rip', 913)]
    """
    if stages not in (2, 3):
        raise ValueError(f"{stages} stages; choose 2 or 3")
    if kerf < 0 or trim < 0:
        raise ValueError("kerf and trim are 0 or more")
    stock = [s if isinstance(s, SheetKind) else SheetKind(*s) for s in sheets]
    lines = [(int(long), int(w), int(n), bool(t)) for long, w, n, t in pieces]
    if any(long <= 0 or w <= 0 or n < 0 for long, w, n, _ in lines):
        raise ValueError("every piece has a length and a width above 0 and a count of 0 or more")
    along = along or ("length" if exact_strips else "either")
    cutting, of_type, of_kind = _gather(lines, stock, kerf, trim, stages, exact_strips, along)
    packing, bound = _search(cutting, effort)
    layouts = _name(packing, cutting, of_type, of_kind, stock, lines, kerf, trim)
    placed = [0] * len(lines)
    for layout in layouts:
        for p in layout.placements:
            placed[p.piece] += layout.times
    unplaced = tuple((i, n - placed[i]) for i, (_, _, n, _) in enumerate(lines) if n > placed[i])
    used = len(packing.patterns)
    return SheetPlan(used, bound, used == bound, layouts, unplaced)


def least_of_any_layout(
    pieces: Sequence[tuple[int, int, int, bool]], sheets: Sequence[SheetKind], kerf: int = 0
) -> int:
    """How few sheets hold these pieces at least, whatever the layout; those that fit nowhere are left out.

    >>> least_of_any_layout([(800, 300, 8, False)], [SheetKind(1000, 610, None)], kerf=4)
    4
    """
    lines = [(int(long), int(w), int(n), bool(t)) for long, w, n, t in pieces]
    cutting, _, _ = _gather(lines, sheets, kerf, 0, 2, False, "length")
    return least_sheets(cutting) if cutting.types else 0


def _gather(
    lines: list[tuple[int, int, int, bool]],
    stock: Sequence[SheetKind],
    kerf: int,
    trim: int,
    stages: int,
    exact: bool,
    along: Along,
) -> tuple[Cutting, list[list[int]], list[list[int]]]:
    """The planner's own problem, and which lines of pieces and of stock each type and kind stands for."""
    kinds: dict[Kind, list[int]] = {}
    for i, s in enumerate(stock):
        usable = (s.length - 2 * trim + kerf, s.width - 2 * trim + kerf)
        if min(usable) <= kerf or s.count == 0:
            continue
        zones = tuple(Zone(z.x - trim, z.y - trim, z.length, z.width) for z in s.zones)
        kinds.setdefault(Kind(*usable, None, s.prefer, zones), []).append(i)
    counted = {}
    for kind, members in kinds.items():
        counts = [stock[i].count for i in members]
        total = None if None in counts else sum(n for n in counts if n is not None)
        counted[kind._replace(on_hand=total)] = members
    order = sorted(counted, key=lambda k: (k.prefer, k.length, k.width, k.zones, k.on_hand is None))
    types: dict[tuple[int, int, bool], list[int]] = {}
    for i, (length, width, count, may_turn) in enumerate(lines):
        turns = may_turn and length != width
        long, w = (max(length, width), min(length, width)) if turns else (length, width)
        lies = [(long + kerf, w + kerf)] + ([(w + kerf, long + kerf)] if turns else [])
        if count and any(a <= k.length and b <= k.width for k in order for a, b in lies):
            types.setdefault((long + kerf, w + kerf, turns), []).append(i)
    names = sorted(types)
    cutting = Cutting(
        types=tuple(names),
        demand=tuple(sum(lines[i][2] for i in types[t]) for t in names),
        kinds=tuple(order),
        kerf=kerf,
        stages=stages,
        exact=exact,
        flips={"length": (False,), "width": (True,), "either": (False, True)}[along],
    )
    return cutting, [types[t] for t in names], [counted[k] for k in order]


def _search(cutting: Cutting, effort: Effort | None) -> tuple[Packing, int]:
    """The best packing found and a number of sheets that it cannot go below."""
    if not cutting.types:
        return Packing(cutting, [], []), 0
    search = Repacking(cutting, least_sheets(cutting))
    enough = effort or never
    # Columns count on pieces that repeat; they also tell how few sheets two stages need.
    repeats = sum(cutting.demand) > 5 * len(cutting.types)
    if repeats:
        for steep in (1.1, 1.05, 1.2, 1.4)[: 4 if len(cutting.types) <= MANY_TYPES or effort else 1]:
            if not search.proven and (search.best is None or not enough()):
                search.finish(lay_repeats(cutting, enough, steep))
    settled = _by_widths(search, effort)
    if not settled or effort:
        _improve(search, repeats, effort)
    search.downsize()
    best = search.best or Packing(cutting, [], [])
    bound = search.bound
    if best.left:
        placed = list(cutting.demand)
        for t in best.left:
            placed[t] -= 1
        bound = least_sheets(cutting, placed)
    return best, min(bound, len(best.patterns))


def _by_widths(search: Repacking, effort: Effort | None) -> bool:
    """Offers what strips of one width each give, first without a piece turned, and raises the bound.

    True where pieces may be turned and all ways to were searched as long as they warrant.
    """
    cutting = search.cutting
    plain, widths = widths_of(straight(cutting)), widths_of(cutting)
    if search.proven or plain is None or widths is None:
        return False
    packing, bound = lay_straight(plain, effort)
    if packing is not None:
        search.offer(Packing(cutting, packing.patterns, packing.left))
    turned = cutting.types != plain.cutting.types
    if turned:
        if search.proven or search.best is None or search.best.left:
            return False
        packing, bound = lay_turned(widths, len(search.best.patterns), effort)
        if packing is not None:
            search.offer(packing)
    search.bound = max(search.bound, bound)
    return turned and bound > 0


def _improve(search: Repacking, repeats: bool, effort: Effort | None) -> None:
    """Sheets emptied and filled again, and columns between; `repeats` says that pieces repeat."""
    cutting, enough = search.cutting, effort or never
    early = 0 if repeats else min(EARLY_STEPS, 40 * sum(cutting.demand))
    search.start(early, enough)
    search.improve(early, enough)
    if not search.proven and search.best is not None and (cutting.stages == 2 or repeats):
        packing, bound = lay_strips(cutting, effort, search.best, search.pool, search.bound)
        search.offer(packing)
        if cutting.stages == 2 and not search.best.left:
            search.bound = bound
    late = min(LATE_STEPS, LATE_A_PIECE * sum(cutting.demand)) if effort is None else LATE_STEPS * 20
    search.improve(late, enough)


def never() -> bool:
    """An effort that is never spent: the number of steps alone ends the search."""
    return False


def _name(
    packing: Packing,
    cutting: Cutting,
    of_type: list[list[int]],
    of_kind: list[list[int]],
    stock: list[SheetKind],
    lines: list[tuple[int, int, int, bool]],
    kerf: int,
    trim: int,
) -> tuple[SheetLayout, ...]:
    """Layouts in the names of the lines brought: equal lines are served one after the other."""
    piece_names = [[i for i in reversed(members) for _ in range(lines[i][2])] for members in of_type]
    left_of = [stock[i].count for i in range(len(stock))]
    seen: dict[tuple[int, str, tuple[Placement, ...]], int] = {}
    for pattern in sorted(packing.patterns, key=lambda p: (p.kind, p.flipped, p.placed)):
        sheet = next(i for i in of_kind[pattern.kind] if left_of[i] is None or left_of[i])
        count = left_of[sheet]
        if count is not None:
            left_of[sheet] = count - 1
        placements = []
        for t, x, y, along, across, turned in pattern.placed:
            name = piece_names[t].pop()
            long, wide = (across, along) if pattern.flipped else (along, across)
            px, py = (y, x) if pattern.flipped else (x, y)
            lies_turned = turned if cutting.types[t][:2] == tuple(s + kerf for s in lines[name][:2]) else not turned
            placements.append(Placement(name, px + trim, py + trim, long - kerf, wide - kerf, lies_turned))
        key = (sheet, "crosscut" if pattern.flipped else "rip", tuple(placements))
        seen[key] = seen.get(key, 0) + 1
    layouts = []
    for (sheet, first, placed), times in seen.items():
        direction: Direction = "crosscut" if first == "crosscut" else "rip"
        cut = cut_up(placed, stock[sheet], direction, kerf, trim)
        layouts.append(SheetLayout(sheet, times, cut.placements, cut.cuts, cut.offcuts))
    return tuple(layouts)
