"""Strips of one width each where pieces may be turned: which strips and which sheets, as one whole-number program.

Strips give pieces, sheets give strips (Vanderbeck, Operations Research 48, 2000, 111, on columns made of columns). All
full strips and all full sheets are known beforehand, so HiGHS's answer is the optimum, and what it promises a bound.
Of all ways with as few sheets one is taken that needs the fewest settings of fence and stop.
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
_STEPS_FOR_SETTINGS, _NODES_FOR_SETTINGS = 20, 200  # a few hundredths of a second
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
    columns, rows = _program(widths, strips, sheets, best - 1)
    found = solve_whole(columns, rows, EitherEffort(effort, Steps(_STEPS * 10)) if effort else Steps(_STEPS))
    if found.values is None:
        return None, best if found.complete else _rounded_up(found.bound)
    used = sum(found.values[len(strips) :])
    rows[-1] = (0.0, float(used))
    times = _with_fewest_settings(widths, strips, columns, rows, found.values)
    packing = widths.packing(_needed(widths, strips, times), None)
    fewer = packing is not None and len(packing.patterns) < best
    return packing if fewer else None, used if found.complete else _rounded_up(found.bound)


def _rounded_up(bound: float) -> int:
    return ceil(bound - _HAIR) if bound > 0 else 0


def _program(
    widths: Widths, strips: Sequence[Strip], sheets: Sequence[Fill], most: int
) -> tuple[list[Column], list[tuple[float, float]]]:
    """Columns: how often each strip and each sheet. Rows: pieces, strips of each width, `most` sheets at most."""
    pieces = len(widths.cutting.demand)
    row_of = {width: pieces + place for place, width in enumerate(widths.of_width)}
    rows = [(float(n), NO_LIMIT) for n in widths.cutting.demand] + [(0.0, NO_LIMIT)] * len(row_of)
    rows.append((0.0, float(most)))
    columns = [
        Column(0.0, (*((t, float(n)) for t, n in _held(widths, strip).items()), (row_of[strip[0]], -1.0)))
        for strip in strips
    ]
    columns += [
        Column(1.0, (*((pieces + place, float(n)) for place, n in sheet), (len(rows) - 1, 1.0))) for sheet in sheets
    ]
    return columns, rows


def _with_fewest_settings(
    widths: Widths,
    strips: Sequence[Strip],
    columns: Sequence[Column],
    rows: Sequence[tuple[float, float]],
    known: Sequence[int],
) -> Sequence[int]:
    """How often each strip is used where widths and lengths to set are as few as was found; `known` is a way to begin.

    Each width and length is one more column, 1 where any strip is used that needs it set.
    """
    needs: dict[tuple[str, int], list[int]] = {}
    for s, (width, fill) in enumerate(strips):
        lengths = {("stop", widths.of_width[width][i][0]) for i, _ in fill}
        for setting in (("fence", width), *sorted(lengths)):
            needs.setdefault(setting, []).append(s)
    most = float(sum(widths.cutting.demand))
    using: dict[int, list[tuple[int, float]]] = {}
    for row, of in enumerate(needs.values(), len(rows)):
        for s in of:
            using.setdefault(s, []).append((row, 1.0))
    chosen = [c._replace(cost=0.0, entries=(*c.entries, *using.get(s, ()))) for s, c in enumerate(columns)]
    chosen += [Column(1.0, ((row, -most),), 1.0) for row in range(len(rows), len(rows) + len(needs))]
    start = [*known, *(int(any(known[s] for s in of)) for of in needs.values())]
    limits = [*rows, *[(-NO_LIMIT, 0.0)] * len(needs)]
    found = solve_whole(chosen, limits, Steps(_STEPS_FOR_SETTINGS), nodes=_NODES_FOR_SETTINGS, start=start)
    return known[: len(strips)] if found.values is None else found.values[: len(strips)]


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
