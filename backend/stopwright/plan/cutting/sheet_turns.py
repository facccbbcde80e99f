"""Strips of one width each where pieces may be turned: which strips and which sheets, as one whole-number program.

Strips give pieces, sheets give strips (Vanderbeck, Operations Research 48, 2000, 111, on columns made of columns). All
full strips and all full sheets are known beforehand, so HiGHS's answer is the optimum, and what it promises a bound.
"""

from collections.abc import Sequence
from math import ceil

from stopwright.plan.cutting.fill import Fill, all_full_fills
from stopwright.plan.cutting.sheet_repack import Packing
from stopwright.plan.cutting.sheet_widths import Lie, Widths
from stopwright.plan.effort import Effort, EitherEffort, Steps
from stopwright.plan.programs import NO_LIMIT, Column, solve_whole

_STRIPS, _SHEETS = 400, 4000  # so many full strips and sheets at most
_STEPS = 300  # times that HiGHS asks while a person waits, about one second
_HAIR = 1e-6

Strip = tuple[int, Fill]
"""Its width, and which of the ways to lie of this width it holds."""


def lay_turned(widths: Widths, best: int, effort: Effort | None) -> tuple[Packing | None, int]:
    """A packing with fewer sheets than the `best` known, if one was found, and a number of sheets none goes below.

    Nothing is found, and the bound is 0, where `Widths.packing` gives none, or where there are too many full strips or
    sheets to know them all.
    """
    if not widths.alike:
        return None, 0
    demand = widths.cutting.demand
    strips: list[Strip] = []
    for width, lies in widths.of_width.items():
        sizes, most = [lie[0] for lie in lies], [demand[lie[1]] for lie in lies]
        fills = all_full_fills(sizes, most, widths.longest, _STRIPS - len(strips))
        if fills is None:
            return None, 0
        strips += [(width, fill) for fill in fills]
    most = [sum(demand[lie[1]] for lie in lies) for lies in widths.of_width.values()]
    sheets = all_full_fills(list(widths.of_width), most, widths.rooms[0], _SHEETS)
    if sheets is None:
        return None, 0
    steps = EitherEffort(effort, Steps(_STEPS * 10)) if effort else Steps(_STEPS)
    times, bound = _fewest_sheets(widths, strips, sheets, best, steps)
    packing = widths.packing(_needed(widths, strips, times), None) if times else None
    return packing if packing is not None and len(packing.patterns) < best else None, bound


def _fewest_sheets(
    widths: Widths, strips: Sequence[Strip], sheets: Sequence[Fill], best: int, effort: Effort
) -> tuple[list[int] | None, int]:
    """How often each strip is used on fewer sheets than `best`, None if none was met; and how few sheets there are."""
    pieces = len(widths.cutting.demand)
    row_of = {width: pieces + place for place, width in enumerate(widths.of_width)}
    rows = [(float(n), NO_LIMIT) for n in widths.cutting.demand] + [(0.0, NO_LIMIT)] * len(row_of)
    rows.append((0.0, float(best - 1)))
    columns = [
        Column(0.0, (*((t, float(n)) for t, n in _held(widths, strip).items()), (row_of[strip[0]], -1.0)))
        for strip in strips
    ]
    columns += [
        Column(1.0, (*((pieces + place, float(n)) for place, n in sheet), (len(rows) - 1, 1.0))) for sheet in sheets
    ]
    found = solve_whole(columns, rows, effort)
    times = None if found.values is None else found.values[: len(strips)]
    if not found.complete:
        return times, ceil(found.bound - _HAIR) if found.bound > 0 else 0
    return times, best if found.values is None else sum(found.values[len(strips) :])


def _held(widths: Widths, strip: Strip) -> dict[int, int]:
    """How many pieces of each type a strip holds."""
    width, fill = strip
    held: dict[int, int] = {}
    for i, n in fill:
        piece = widths.of_width[width][i][1]
        held[piece] = held.get(piece, 0) + n
    return held


def _needed(widths: Widths, strips: Sequence[Strip], times: Sequence[int]) -> dict[int, list[list[Lie]]]:
    """These strips by their width, without those that hold nothing but pieces beyond what is wanted, widest first."""
    beyond = [-n for n in widths.cutting.demand]
    for strip, n in zip(strips, times, strict=True):
        for t, many in _held(widths, strip).items():
            beyond[t] += n * many
    needed: dict[int, list[list[Lie]]] = {}
    for strip, n in zip(strips, times, strict=True):
        width, fill = strip
        for _ in range(n):
            held = _held(widths, strip)
            if all(beyond[t] >= many for t, many in held.items()):
                for t, many in held.items():
                    beyond[t] -= many
            else:
                needed.setdefault(width, []).append(
                    [widths.of_width[width][i] for i, many in fill for _ in range(many)]
                )
    return needed
