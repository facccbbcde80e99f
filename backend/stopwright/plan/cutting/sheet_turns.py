"""Strips of one width each where pieces may be turned: how many strips of each width, by branch and bound.

Strips and sheets are two rows of columns in one linear program: strips give pieces, sheets give strips. It is branched
on the number of strips of a width (Vanderbeck, Operations Research 48, 2000, 111, on branching where columns are made
of columns). Every bound is worked out in whole numbers from the worths of pieces and strips, so a rounding error of the
solver cannot make it too high.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from stopwright.plan.cutting.columns import WORTH_OF_COST
from stopwright.plan.cutting.fill import Fill, all_full_fills
from stopwright.plan.cutting.first_fit import least_boards
from stopwright.plan.cutting.sheet_repack import Packing
from stopwright.plan.cutting.sheet_widths import Lie, Widths
from stopwright.plan.effort import Effort, EitherEffort, Steps
from stopwright.plan.programs import NO_LIMIT, Column, Program

_STRIPS, _SHEETS = 400, 4000  # so many full strips and sheets at most: all are known beforehand
_STEPS = 1000  # linear programs solved while a person waits
_AT_ONCE = 20  # sheets taken up after each
_HAIR = 1e-6
_LEFT_OUT = 1000.0  # sheets that a piece left out counts as

Counts = npt.NDArray[np.int64]
Shares = npt.NDArray[np.float64]


class _Node(NamedTuple):
    """At least and at most so many strips of each width."""

    least: tuple[int, ...]
    most: tuple[int, ...]


class Turning:
    """The best packing found so far and the bound; all full strips and sheets are known."""

    def __init__(self, widths: Widths, strips: Sequence[tuple[int, Fill]], sheets: Sequence[Fill], best: int) -> None:
        self.widths, self.strips, self.best = widths, strips, best
        self.packing: Packing | None = None
        self.bound = 0
        self._sizes = list(widths.of_width)
        demand = widths.cutting.demand
        self._holds: Counts = np.zeros((len(strips), len(demand)), dtype=np.int64)
        for s, (place, fill) in enumerate(strips):
            lies = widths.of_width[self._sizes[place]]
            for i, n in fill:
                self._holds[s, lies[i][1]] += n
        self._width_of: Counts = np.array([place for place, _ in strips], dtype=np.int64)
        self._sheets: Counts = np.zeros((len(sheets), len(self._sizes)), dtype=np.int64)
        for p, sheet in enumerate(sheets):
            for i, n in sheet:
                self._sheets[p, i] = n
        self._demand: Counts = np.array(demand, dtype=np.int64)
        self._program = self._first_program()
        self._used: set[int] = set()
        self._sure = True
        self._tried: set[tuple[int, ...]] = set()

    def _first_program(self) -> Program:
        """Rows: pieces, then strips of each width between sheets and strips, then how many strips of each width."""
        pieces, widths = len(self._demand), len(self._sizes)
        rows = [(float(n), NO_LIMIT) for n in self._demand] + [(0.0, NO_LIMIT)] * (2 * widths)
        program = Program(rows)
        for s, (place, _) in enumerate(self.strips):
            holds = [(t, float(n)) for t, n in enumerate(self._holds[s]) if n]
            program.add(Column(0.0, (*holds, (pieces + place, -1.0), (pieces + widths + place, 1.0))))
        # So that there always is a way, however bad: sheets of one strip, and pieces left out.
        for place in range(widths):
            program.add(Column(1.0, ((pieces + place, 1.0),)))
        for piece in range(pieces):
            program.add(Column(_LEFT_OUT, ((piece, 1.0),)))
        return program

    def search(self, effort: Effort) -> None:
        """Branches until the best is proven or the effort is spent; `bound` holds either way."""
        top = tuple(int(sum(self._demand[lie[1]] for lie in lies)) for lies in self.widths.of_width.values())
        stack = [_Node((0,) * len(top), top)]
        while stack and self.bound < self.best:
            node = stack.pop()
            found = self._relax(node, effort, root=node.most == top and not any(node.least))
            if found is None:
                if effort():
                    return
                continue
            use, counts = found
            self._round(use)
            part = np.abs(counts - np.round(counts))
            place = int((part * np.array(self._sizes)).argmax())
            if part[place] < _HAIR:
                self._sure = False  # every number is whole here, and yet no packing came of it
                continue
            low = int(counts[place])
            fewer = _Node(node.least, (*node.most[:place], low, *node.most[place + 1 :]))
            more = _Node((*node.least[:place], low + 1, *node.least[place + 1 :]), node.most)
            stack += [fewer, more] if counts[place] - low >= 0.5 else [more, fewer]
        if not stack and self._sure:
            self.bound = self.best

    def _relax(self, node: _Node, effort: Effort, root: bool) -> tuple[Shares, Shares] | None:
        """How often each strip is used and how many there are of each width; None where that cannot beat the best."""
        pieces, widths = len(self._demand), len(self._sizes)
        for place in range(widths):
            self._program.bound_row(pieces + widths + place, float(node.least[place]), float(node.most[place]))
        while not effort():
            relaxed = self._program.solve()
            if relaxed is None:
                self._sure = False
                return None
            worth = np.array([max(0.0, w) * WORTH_OF_COST for w in relaxed.worth], dtype=np.float64).astype(np.int64)
            of_piece, of_strip = worth[:pieces], worth[pieces : pieces + widths]
            of_sheets = self._sheets @ of_strip
            bound = self._bound(node, of_piece, of_strip, int(of_sheets.max()))
            if root:
                self.bound = max(self.bound, bound)
            if bound >= self.best:
                return None
            better = [int(p) for p in np.argsort(-of_sheets, kind="stable")[:_AT_ONCE]]
            better = [p for p in better if of_sheets[p] > WORTH_OF_COST * (1 + _HAIR) and p not in self._used]
            if not better:
                use = np.array(relaxed.values[: len(self.strips)])
                return use, self._counted(use)
            for p in better:
                entries = tuple((pieces + i, float(n)) for i, n in enumerate(self._sheets[p]) if n)
                self._program.add(Column(1.0, entries))
                self._used.add(p)
        return None

    def _counted(self, times: Shares | Counts) -> Shares:
        """How many strips of each width are used where each is used so often."""
        return np.bincount(self._width_of, times, len(self._sizes)).astype(np.float64)

    def _bound(self, node: _Node, of_piece: Counts, of_strip: Counts, dearest: int) -> int:
        """Sheets that no plan within the node goes below, by worths of pieces and strips, whatever these are.

        A strip costs what it is worth, less the worth of its pieces; the cheapest of a width is bought as seldom as
        may be where that is above 0, else as often. Sheets give strips of the worth of the dearest at most.
        """
        if not dearest:
            return 0
        total = int(self._demand @ of_piece)
        held = self._holds @ of_piece
        for place, worth in enumerate(of_strip):
            cost = int(worth) - int(held[self._width_of == place].max())
            total += cost * (node.least[place] if cost >= 0 else node.most[place])
        return -(-total // dearest)

    def _round(self, use: Shares) -> None:
        """Whole strips from these: their whole parts, then those used most that still hold pieces wanted."""
        times = np.floor(use + _HAIR).astype(np.int64)
        left = self._demand - times @ self._holds
        for s in np.argsort(times - use, kind="stable"):
            if (np.minimum(self._holds[s], np.maximum(left, 0)).sum()) and use[s] > _HAIR:
                times[s] += 1
                left -= self._holds[s]
        while (left > 0).any():
            helps = np.minimum(self._holds, np.maximum(left, 0)).sum(axis=1)
            s = int(helps.argmax())
            times[s] += 1
            left -= self._holds[s]
        for s in np.argsort([-self._sizes[place] for place in self._width_of], kind="stable"):
            while times[s] and (left + self._holds[s] <= 0).all():
                times[s] -= 1
                left += self._holds[s]
        counts = [int(n) for n in self._counted(times)]
        if tuple(counts) in self._tried or least_boards(self._sizes, counts, self.widths.rooms[0]) >= self.best:
            return
        self._tried.add(tuple(counts))
        strips: dict[int, list[list[Lie]]] = {}
        for (place, fill), n in zip(self.strips, times.tolist(), strict=True):
            lies = self.widths.of_width[self._sizes[place]]
            if n:
                strip = [lies[i] for i, many in fill for _ in range(many)]
                strips.setdefault(self._sizes[place], []).extend([strip] * n)
        strips = {width: strips[width] for width in self._sizes if width in strips}
        packing = self.widths.packing(strips, None)
        if packing is not None and not packing.left and len(packing.patterns) < self.best:
            self.best, self.packing = len(packing.patterns), packing


def lay_turned(widths: Widths, best: int, effort: Effort | None) -> tuple[Packing | None, int]:
    """A packing with fewer sheets than the `best` known, if one was found, and a number of sheets none goes below.

    Nothing is found, and the bound is 0, where `Widths.packing` gives none, or where there are too many full strips or
    sheets to know them all.
    """
    if not widths.alike:
        return None, 0
    demand = widths.cutting.demand
    strips: list[tuple[int, Fill]] = []
    for place, lies in enumerate(widths.of_width.values()):
        sizes, most = [lie[0] for lie in lies], [demand[lie[1]] for lie in lies]
        fills = all_full_fills(sizes, most, widths.longest, _STRIPS - len(strips))
        if fills is None:
            return None, 0
        strips += [(place, fill) for fill in fills]
    most = [sum(demand[lie[1]] for lie in lies) for lies in widths.of_width.values()]
    sheets = all_full_fills(list(widths.of_width), most, widths.rooms[0], _SHEETS)
    if sheets is None:
        return None, 0
    turning = Turning(widths, strips, sheets, best)
    turning.search(EitherEffort(effort, Steps(_STEPS * 10)) if effort else Steps(_STEPS))
    return turning.packing, min(turning.bound, turning.best)
