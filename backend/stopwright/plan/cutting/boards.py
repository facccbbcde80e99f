"""Boards into lengths: fewest boards, then the fewest ways of cutting, then the longest offcuts.

A board gives n pieces when their lengths, n − 1 kerfs between them and a trim at each end fit into its length.
The trim cut's own kerf is part of the trim; a rest shorter than the kerf is dust.
"""

from collections.abc import Iterable, Sequence
from math import gcd

from stopwright.plan.cutting.board_kinds import BoardKind, BoardLayout, BoardPlan
from stopwright.plan.cutting.lengthwise import Lengthwise
from stopwright.plan.cutting.ways import Way
from stopwright.plan.effort import Effort, EitherEffort, Steps

_STEPS_WHILE_A_PERSON_WAITS = 1200
_TIDYING_WHILE_A_PERSON_WAITS = 100
_TIDYING = 10_000


def lay_out_boards(
    pieces: Iterable[tuple[int, int]],
    boards: Iterable[BoardKind | tuple[int, int | None] | tuple[int, int | None, bool]],
    kerf: int,
    trim: int = 0,
    effort: Effort | None = None,
) -> BoardPlan:
    """The boards to cut and how, so that no piece is missing: fewest new boards, then fewest shelf offcuts.

    `pieces` are (length, count); `boards` (length, count or None for as many as wanted), with a third value
    True (or a `BoardKind` with `prefer`) for offcuts from the shelf, which are used before a new board is opened.
    All lengths are whole numbers of one unit. Among equal plans: least total length of boards, then fewest
    different ways of cutting, then the longest offcuts. The order of the lines changes nothing; boards of
    equal length are taken from the first line first.

    Raises ValueError for a length of 0 or less, a negative count, kerf or trim.

    >>> plan = lay_out_boards([(300, 17)], [(2440, None)], kerf=3, trim=0)  # 8 × 300 + 7 × 3 = 2421
    >>> plan.boards_used, plan.least_possible, plan.proven
    (3, 3, True)
    >>> [(layout.times, len(layout.lengths), layout.offcut) for layout in plan.layouts]
    [(2, 8, 16), (1, 1, 2137)]
    """
    if kerf < 0 or trim < 0:
        raise ValueError(f"a kerf of {kerf} and a trim of {trim}; give 0 or more")
    kinds = [b if isinstance(b, BoardKind) else BoardKind(*b) for b in boards]
    wanted = _wanted(pieces)
    longest = max((k.length - 2 * trim for k in kinds if k.count != 0), default=0)
    unplaced = {length: n for length, n in wanted.items() if length > longest}
    placeable = {length: n for length, n in wanted.items() if length <= longest}
    sizes = sorted(placeable, reverse=True)
    stock = _stock(kinds, trim, kerf, sizes)
    unit = gcd(*(length + kerf for length in sizes), *(room for room, _ in stock)) or 1
    job = Lengthwise(
        sizes=[(length + kerf) // unit for length in sizes],
        demands=[placeable[length] for length in sizes],
        rooms=[room // unit for room, _ in stock],
        available=list(stock.values()),
        shelf=[shelf for _, shelf in stock],
    )
    if effort is None:
        found = job.plan(Steps(_STEPS_WHILE_A_PERSON_WAITS), lambda: Steps(_TIDYING_WHILE_A_PERSON_WAITS))
    else:
        found = job.plan(effort, lambda: EitherEffort(effort, Steps(_TIDYING)))
    unplaced |= {length: n for length, n in zip(sizes, found.unmet, strict=True) if n}
    layouts = _layouts(found.ways, sizes, list(stock), kinds, kerf, trim)
    return BoardPlan(
        boards_used=sum(way.times for way in found.ways),
        least_possible=found.least_possible,
        proven=found.proven,
        layouts=layouts,
        unplaced=tuple(sorted(unplaced.items(), reverse=True)),
    )


def _wanted(pieces: Iterable[tuple[int, int]]) -> dict[int, int]:
    wanted: dict[int, int] = {}
    for length, count in pieces:
        if length <= 0 or count < 0:
            raise ValueError(f"{count} pieces of {length}; give a length above 0 and a count of 0 or more")
        if count:
            wanted[length] = wanted.get(length, 0) + count
    return wanted


def _on_shelf(kind: BoardKind) -> bool:
    """A kind without limit is bought, whatever is said of it."""
    return kind.prefer and kind.count is not None


def _stock(
    kinds: Sequence[BoardKind], trim: int, kerf: int, sizes: Sequence[int]
) -> dict[tuple[int, bool], int | None]:
    """How many boards there are of each (room for pieces with their kerfs, from the shelf), longest first."""
    stock: dict[tuple[int, bool], int | None] = {}
    for kind in sorted(kinds, key=lambda k: (-k.length, not _on_shelf(k))):
        usable = kind.length - 2 * trim
        if kind.count == 0 or not sizes or usable < sizes[-1]:
            continue
        key = (usable + kerf, _on_shelf(kind))
        held = stock.get(key, 0)
        stock[key] = None if held is None or kind.count is None else held + kind.count
    return stock


def _layouts(
    ways: Sequence[Way],
    sizes: Sequence[int],
    stock: Sequence[tuple[int, bool]],
    kinds: Sequence[BoardKind],
    kerf: int,
    trim: int,
) -> tuple[BoardLayout, ...]:
    """The ways of cutting as lengths in cutting order, given to the lines on hand in their order."""
    left = [kind.count for kind in kinds]
    layouts: list[BoardLayout] = []
    for way in sorted(ways, key=lambda way: ([-sizes[i] for i, n in way.counts for _ in range(n)] + [0], way.kind)):
        room, shelf = stock[way.kind]
        lengths = tuple(sizes[i] for i, n in way.counts for _ in range(n))
        offcut = max(0, room - kerf - sum(lengths) - len(lengths) * kerf)
        times = way.times
        for b, kind in enumerate(kinds):
            if times == 0 or (kind.length - 2 * trim + kerf, _on_shelf(kind)) != (room, shelf):
                continue
            held = left[b]
            take = times if held is None else min(times, held)
            if take:
                left[b] = None if held is None else held - take
                times -= take
                layouts.append(BoardLayout(lengths, take, b, kind.length, offcut))
    return tuple(layouts)
