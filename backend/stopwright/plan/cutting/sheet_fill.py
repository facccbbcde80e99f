"""Filling sheets piece by piece, each piece into a free rectangle that edge-to-edge cuts can reach.

Sizes here carry the kerf: a piece is one kerf longer and wider, and so is the usable sheet. A sheet whose
first cuts run across (`flipped`) is filled with both directions exchanged.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from stopwright.plan.cutting.sheet_layouts import Zone


class Kind(NamedTuple):
    """One kind of sheet within the planner: what is usable of it, kerf added."""

    length: int
    width: int
    on_hand: int | None
    prefer: bool
    zones: tuple[Zone, ...]


@dataclass(frozen=True)
class Cutting:
    """What is to be cut from what, lines of equal size put together and put in order."""

    types: tuple[tuple[int, int, bool], ...]
    demand: tuple[int, ...]
    kinds: tuple[Kind, ...]
    kerf: int
    stages: int
    exact: bool
    flips: tuple[bool, ...]

    @cached_property
    def ways(self) -> tuple[tuple[tuple[tuple[int, int, bool], ...], ...], ...]:
        """For sheets not flipped and flipped: how each type may lie, as (along, across, turned)."""
        plain = []
        for length, width, may_turn in self.types:
            lies = [(length, width, False)]
            if may_turn and length != width:
                lies.append((width, length, True))
            plain.append(tuple(lies))
        flipped = [tuple((w, long, t) for long, w, t in lies) for lies in plain]
        return (tuple(plain), tuple(flipped))

    @cached_property
    def least_side(self) -> int:
        """The shortest side of any piece: nothing fits a rectangle that is narrower."""
        return min((min(long, w) for long, w, _ in self.types), default=1)

    @cached_property
    def areas(self) -> tuple[int, ...]:
        """Area of each type, kerf included."""
        return tuple(long * w for long, w, _ in self.types)

    def fits(self, t: int, kind: Kind) -> bool:
        """Whether one piece of type `t` fits an empty sheet, zones aside."""
        return any(long <= kind.length and w <= kind.width for long, w, _ in self.ways[0][t])


class Pattern(NamedTuple):
    """One filled sheet: its kind, direction, and (type, x, y, along, across, turned) of each piece."""

    kind: int
    flipped: bool
    placed: tuple[tuple[int, int, int, int, int, bool], ...]

    def counts(self) -> dict[int, int]:
        """How many pieces of each type lie on the sheet."""
        out: dict[int, int] = {}
        for piece in self.placed:
            out[piece[0]] = out.get(piece[0], 0) + 1
        return out


class Chance:
    """The same row of pseudo-random numbers every time (linear congruence, Knuth's MMIX constants)."""

    def __init__(self, start: int = 1) -> None:
        self.state = start

    def below(self, n: int) -> int:
        """A whole number from 0 to n − 1."""
        self.state = (self.state * 6364136223846793005 + 1442695040888963407) & 0xFFFFFFFFFFFFFFFF
        return (self.state >> 33) * n >> 31


class Rule(NamedTuple):
    """How a piece chooses its place: closest in area or along one side; which rest is kept whole."""

    by_side: bool
    keep: int


Leaf = tuple[int, int, int, int, int]  # x, y, along, across, stage of the cuts that part it


class OpenSheet:
    """A sheet being filled: the free rectangles and what lies on it."""

    __slots__ = ("area", "flipped", "kind", "leaves", "placed", "zones")

    def __init__(self, cutting: Cutting, kind: int, flipped: bool) -> None:
        k = cutting.kinds[kind]
        along, across = (k.width, k.length) if flipped else (k.length, k.width)
        self.kind = kind
        self.flipped = flipped
        self.leaves: list[Leaf] = [(0, 0, along, across, 1)]
        self.placed: list[tuple[int, int, int, int, int, bool]] = []
        self.area = 0
        self.zones = _blocked(k.zones, flipped, cutting.kerf) if k.zones else ()

    def pattern(self) -> Pattern:
        """What has been filled so far, as a pattern."""
        return Pattern(self.kind, self.flipped, tuple(sorted(self.placed)))


def _blocked(zones: Sequence[Zone], flipped: bool, kerf: int) -> tuple[Zone, ...]:
    # A piece may end where the zone begins, its kerf falling into the zone; the last kerf may lie there too.
    turned = [Zone(z.y, z.x, z.width, z.length) if flipped else z for z in zones]
    return tuple(sorted(Zone(z.x + kerf, z.y + kerf, max(z.length - kerf, 0), max(z.width - kerf, 0)) for z in turned))


def fill(
    cutting: Cutting,
    order: Sequence[int],
    sheets: list[OpenSheet],
    openable: list[list[int]],
    rule: Rule,
    chance: Chance,
) -> list[int]:
    """The types of `order` that found no place; the others are put on `sheets`.

    Each piece goes where it leaves least over (smallest free rectangle, or tightest side); when it fits none,
    a sheet of the first kind of `openable` ([kind, how many]) that can hold it is opened.
    """
    ways, exact, by_side, flips = cutting.ways, cutting.exact, rule.by_side, cutting.flips
    left: list[int] = []
    for t in order:
        best: OpenSheet | None = None
        best_score, best_leaf, best_way = 0, 0, (0, 0, False)
        for sheet in sheets:
            for way in ways[sheet.flipped][t]:
                long, w, _ = way
                for at, (_, _, free_l, free_w, stage) in enumerate(sheet.leaves):
                    if long > free_l or w > free_w:
                        continue
                    if exact and stage > 1 and w != free_w:
                        continue
                    if by_side:
                        score = free_l - long if free_l - long < free_w - w else free_w - w
                    else:
                        score = free_l * free_w
                    if best is None or score < best_score:
                        if stage == 1 and sheet.zones and _strip_start(sheet, at, long, w) is None:
                            continue
                        best, best_score, best_leaf, best_way = sheet, score, at, way
        if best is None:
            for entry in openable:
                if not entry[1]:
                    continue
                turn = chance.below(2) if len(flips) > 1 else 0
                for flipped in flips[turn:] + flips[:turn]:
                    sheet = OpenSheet(cutting, entry[0], flipped)
                    _, _, free_l, free_w, _ = sheet.leaves[0]
                    lies = [
                        way
                        for way in ways[flipped][t]
                        if way[0] <= free_l
                        and way[1] <= free_w
                        and (not sheet.zones or _strip_start(sheet, 0, way[0], way[1]) is not None)
                    ]
                    if lies:
                        best, best_leaf = sheet, 0
                        best_way = max(lies) if rule.keep & 1 else min(lies, key=lambda way: way[1])
                        break
                if best is not None:
                    sheets.append(best)
                    entry[1] -= 1
                    break
        if best is None:
            left.append(t)
        else:
            place(cutting, best, best_leaf, t, best_way, rule.keep)
    return left


def place(cutting: Cutting, sheet: OpenSheet, at: int, t: int, way: tuple[int, int, bool], keep: int) -> None:
    """Put one piece into the corner of free rectangle `at` and free what the two cuts leave of it.

    The piece is parted either by a cut of the rectangle's own stage first, or by one of the next stage first
    where that many stages are allowed; `keep` says which rest is rather kept whole.
    """
    x, y, free_l, free_w, stage = sheet.leaves.pop(at)
    long, w, turned = way
    if stage == 1 and sheet.zones:
        sheet.leaves.append((x, y, free_l, free_w, stage))
        x, y = _open_strip(sheet, len(sheet.leaves) - 1, long, w, cutting.least_side)
        sheet.placed.append((t, x, y, long, w, turned))
        sheet.area += long * w
        return
    last = cutting.stages
    ripping = stage % 2 == 1
    # Own stage first: the strip is as wide as the piece, the rest keeps its full length.
    rest, side = (free_w - w, free_l - long) if ripping else (free_l - long, free_w - w)
    own_first = True
    if rest and side and stage < last and not cutting.exact:
        if keep == 0:  # the greater rest
            own_first = rest * (free_l if ripping else free_w) >= side * (free_w if ripping else free_l)
        elif keep == 1:
            own_first = rest >= side
        elif keep == 2:
            own_first = rest < side
        if stage + 2 > last and not own_first:
            # The rest over the piece would be lost; worth it only when it is too narrow for any piece.
            own_first = rest >= cutting.least_side
    if ripping:
        if own_first:
            beside, over = (x + long, y, free_l - long, w, stage + 1), (x, y + w, free_l, free_w - w, stage)
        else:
            beside, over = (x + long, y, free_l - long, free_w, stage + 1), (x, y + w, long, free_w - w, stage + 2)
    elif own_first:
        beside, over = (x, y + w, long, free_w - w, stage + 1), (x + long, y, free_l - long, free_w, stage)
    else:
        beside, over = (x, y + w, free_l, free_w - w, stage + 1), (x + long, y, free_l - long, w, stage + 2)
    least = cutting.least_side
    for leaf in (beside, over):
        if leaf[4] <= last and leaf[2] >= least and leaf[3] >= least:
            sheet.leaves.append(leaf)
    sheet.placed.append((t, x, y, long, w, turned))
    sheet.area += long * w


def _free_stretches(sheet: OpenSheet, leaf: Leaf, y: int, w: int) -> list[tuple[int, int]]:
    """Where a strip at `y`, `w` wide, is free of zones: (start, end) pairs along it."""
    x, _, free_l, _, _ = leaf
    end = x + free_l
    stretches = []
    for zone in sheet.zones:
        if zone.y < y + w and y < zone.y + zone.width and zone.x < end and zone.x + zone.length > x:
            if zone.x > x:
                stretches.append((x, zone.x))
            x = zone.x + zone.length
    if x < end:
        stretches.append((x, end))
    return stretches


def _strip_start(sheet: OpenSheet, at: int, long: int, w: int) -> tuple[int, int] | None:
    """The lowest place in a first-stage rectangle where a strip `w` wide holds a piece `long` long."""
    leaf = sheet.leaves[at]
    _, y0, _, free_w, _ = leaf
    starts = [y0] + [z.y + z.width for z in sheet.zones if y0 < z.y + z.width <= y0 + free_w - w]
    for y in sorted(starts):
        for start, end in _free_stretches(sheet, leaf, y, w):
            if end - start >= long:
                return (start, y)
    return None


def _open_strip(sheet: OpenSheet, at: int, long: int, w: int, least: int) -> tuple[int, int]:
    found = _strip_start(sheet, at, long, w)
    if found is None:
        raise ValueError("no strip clear of the zones; ask _strip_start first")
    start, y = found
    x, y0, free_l, free_w, _ = leaf = sheet.leaves.pop(at)
    for low, high in _free_stretches(sheet, leaf, y, w):
        low = start + long if low == start else low
        if high - low >= least:
            sheet.leaves.append((low, y, high - low, w, 2))
    for low, high in ((y0, y), (y + w, y0 + free_w)):
        if high - low >= least:
            sheet.leaves.append((x, low, free_l, high - low, 1))
    return (start, y)
