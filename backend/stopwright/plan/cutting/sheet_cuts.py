"""The cuts of one sheet in the order of the saw: all of one stage before the next, widest strips first.

A layout is only where its pieces lie. The cuts are found again by splitting the pieces at every line that
crosses none of them, first in one direction, then in the other, and so on.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from stopwright.plan.cutting.sheet_layouts import Cut, Direction, Offcut, Placement, SheetKind, Zone


class NotGuillotine(ValueError):
    """Pieces that no row of edge-to-edge cuts can part."""


class CutSheet(NamedTuple):
    """One sheet cut up: pieces where they lie, cuts in order, what is left."""

    placements: tuple[Placement, ...]
    cuts: tuple[Cut, ...]
    offcuts: tuple[Offcut, ...]


def cut_up(placements: Iterable[Placement], kind: SheetKind, first: Direction, kerf: int, trim: int) -> CutSheet:
    """Placements, cuts and offcuts of one sheet whose first-stage cuts run in direction `first`.

    Strips and pieces are moved together, widest and longest first, so that what is left is in one piece at
    the far edge; on a sheet with zones everything stays where it is. A trim cut takes the band next to the
    edge with its kerf counted within the band.
    """
    placed = sorted(placements, key=_canonical)
    if not kind.zones:
        placed = sorted(_arrange(placed, first, kerf, trim, trim), key=lambda p: (p.y, p.x))
    saw = _Saw(kerf, kind.zones)
    saw.trim_edges(kind, trim)
    usable = (trim, trim, kind.length - 2 * trim, kind.width - 2 * trim)
    saw.part(usable, placed, first, 1, alone=False)
    cuts = tuple(
        Cut(n, direction, position, strip, stage)
        for n, (stage, direction, position, strip) in enumerate(sorted(saw.cuts, key=lambda c: c[0]), 1)
    )
    offcuts = sorted(saw.offcuts, key=lambda o: (-o.length * o.width, o.x, o.y))
    return CutSheet(tuple(placed), cuts, tuple(offcuts))


def _canonical(p: Placement) -> tuple[int, ...]:
    return (-p.width, -p.length, p.piece, p.y, p.x)


def _span(direction: Direction) -> Callable[[Placement], tuple[int, int]]:
    if direction == "rip":
        return lambda p: (p.y, p.y + p.width)
    return lambda p: (p.x, p.x + p.length)


def _other(direction: Direction) -> Direction:
    return "crosscut" if direction == "rip" else "rip"


def _groups(placed: Sequence[Placement], direction: Direction, kerf: int) -> list[tuple[int, int, list[Placement]]]:
    span = _span(direction)
    groups: list[tuple[int, int, list[Placement]]] = []
    for p in sorted(placed, key=lambda p: (span(p), _canonical(p))):
        low, high = span(p)
        if groups and low < groups[-1][1] + kerf:
            start, end, members = groups[-1]
            members.append(p)
            groups[-1] = (start, max(end, high), members)
        else:
            groups.append((low, high, [p]))
    return groups


def _arrange(
    placed: Sequence[Placement], direction: Direction, kerf: int, x: int, y: int, tried: bool = False
) -> list[Placement]:
    if len(placed) == 1:
        return [placed[0]._replace(x=x, y=y)]
    groups = _groups(placed, direction, kerf)
    if len(groups) == 1:
        if tried:
            raise NotGuillotine(f"no cut parts {len(placed)} pieces")
        return _arrange(placed, _other(direction), kerf, x, y, tried=True)
    span = _span(direction)
    done: list[tuple[int, list[Placement]]] = []
    for _, _, members in groups:
        moved = _arrange(members, _other(direction), kerf, x, y)
        base = y if direction == "rip" else x
        done.append((max(span(p)[1] for p in moved) - base, moved))
    # Sizes decide before names, so that renaming the pieces moves nothing.
    done.sort(key=lambda g: (-g[0], [(-p.width, -p.length) for p in g[1]], [p.piece for p in g[1]]))
    out: list[Placement] = []
    step = 0
    for size, moved in done:
        dx, dy = (0, step) if direction == "rip" else (step, 0)
        out += [p._replace(x=p.x + dx, y=p.y + dy) for p in moved]
        step += size + kerf
    return out


class _Saw:
    def __init__(self, kerf: int, zones: tuple[Zone, ...]) -> None:
        self.kerf = kerf
        self.zones = zones
        self.cuts: list[tuple[int, Direction, int, tuple[int, int, int, int]]] = []
        self.offcuts: list[Offcut] = []

    def trim_edges(self, kind: SheetKind, trim: int) -> None:
        if not trim:
            return
        length, width = kind.length, kind.width
        self.cuts += [
            (0, "rip", trim - self.kerf, (0, 0, length, width)),
            (0, "rip", width - trim, (0, trim, length, width - trim)),
            (0, "crosscut", trim - self.kerf, (0, trim, length, width - 2 * trim)),
            (0, "crosscut", length - trim, (trim, trim, length - trim, width - 2 * trim)),
        ]

    def keep(self, rectangle: tuple[int, int, int, int]) -> None:
        x, y, length, width = rectangle
        if length > 0 and width > 0:
            sound = not any(
                z.x < x + length and x < z.x + z.length and z.y < y + width and y < z.y + z.width for z in self.zones
            )
            self.offcuts.append(Offcut(x, y, length, width, sound))

    def part(
        self,
        region: tuple[int, int, int, int],
        placed: Sequence[Placement],
        direction: Direction,
        stage: int,
        alone: bool,
    ) -> None:
        """Cut `region` until every piece lies free; `alone` when the other direction just parted nothing."""
        if not placed:
            self.keep(region)
            return
        x, y, length, width = region
        if len(placed) == 1 and placed[0][1:5] == region:
            return
        at, end = (y, y + width) if direction == "rip" else (x, x + length)
        groups = _groups(placed, direction, self.kerf)
        idle = len(groups) == 1 and groups[0][:2] == (at, end)
        if idle and alone:
            raise NotGuillotine(f"no cut parts {len(placed)} pieces")

        def slab(low: int, high: int) -> tuple[int, int, int, int]:
            if direction == "rip":
                return (x, low, length, high - low)
            return (low, y, high - low, width)

        for low, high, members in groups:
            if low > at:
                self.cuts.append((stage, direction, low - self.kerf, slab(at, end)))
                self.keep(slab(at, low - self.kerf))
                at = low
            if high < end:
                self.cuts.append((stage, direction, high, slab(at, end)))
            self.part(slab(at, high), members, _other(direction), stage + 1, alone=idle)
            at = high + self.kerf
        if at < end:
            self.keep(slab(at, end))
