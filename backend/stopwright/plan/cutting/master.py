"""The relaxation: patterns used in fractions, new ones priced until none helps."""

from collections.abc import Collection, Sequence
from math import ceil
from typing import Any

import numpy as np
import numpy.typing as npt

from stopwright.plan.cutting.columns import WORTH_OF_COST, Narrow, Pattern, Price
from stopwright.plan.cutting.pattern_choice import PatternChoice
from stopwright.plan.programs import NO_LIMIT, Column, Program, Relaxed

Table = npt.NDArray[Any]

_SLACK = WORTH_OF_COST // 10**9
_NEXT_TO_NOTHING = 1e-6


class Master:
    """The linear program over the patterns met so far; columns: one a demand for what is left out, then the pool."""

    def __init__(self, choice: PatternChoice, price: Price) -> None:
        self.choice, self.price = choice, price
        rows = [(float(n), NO_LIMIT) for n in choice.demands] + [(0.0, NO_LIMIT)] * len(choice.kinds)
        self._program = Program(rows)
        for i in range(len(choice.demands)):
            self._program.add(Column(choice.unmet_cost / choice.unit, ((i, 1.0),)))
        self._known = 0
        self._number: dict[Pattern, int] = {}
        self._makes: Table = np.zeros((0, 3), dtype=np.int64)  # which pattern, which piece, how many
        self._worths: tuple[list[int], list[int | None]] | None = None  # of pieces, and of the best of each kind
        self._shut: Table = np.zeros(0, dtype=np.bool_)

    def relax_root(self) -> bool:
        """Relax the whole problem and raise the bound; False when effort ran out first."""
        stock = [kind.available for kind in self.choice.kinds]
        return self.relax(self.choice.demands, stock, root=True) is not None

    def every_of_better(self, narrow: Narrow, limit: int) -> list[Pattern] | None:
        """Every pattern that a choice cheaper than the best may use; None where they are too many or effort ran out."""
        choice = self.choice
        self._worths = None
        if self.relax(choice.demands, [kind.available for kind in choice.kinds]) is None or self._worths is None:
            return None
        worth, most = self._worths
        least = None if None in most else choice.least_worth(worth, [m for m in most if m is not None])
        if least is None:
            return None
        patterns: list[Pattern] = []
        for k in range(len(choice.kinds)):
            found = narrow(worth, k, choice.demands, least[k], limit - len(patterns))
            if found is None:
                return None
            patterns += found
        return patterns

    def relax(
        self,
        left: Sequence[int],
        stock: Sequence[int | None],
        barred: Collection[Pattern] = (),
        most: int | None = None,
        root: bool = False,
    ) -> dict[Pattern, float] | None:
        """How often each pattern is used, in fractions, for the pieces `left` from the `stock` left.

        None when effort ran out, or when it costs more than `most`. Patterns in `barred` are not used, nor those
        that make more of a piece than is left: they round badly.
        """
        choice, relaxed = self.choice, None
        for row, n in enumerate(left):
            self._program.bound_row(row, float(n), NO_LIMIT)
        for k, held in enumerate(stock):
            self._program.bound_row(len(left) + k, 0.0, NO_LIMIT if held is None else float(held))
        self._shut_what_does_not_serve(left, barred)
        while not choice.effort():
            for pattern in choice.pool[self._known :]:
                self._program.add(choice.column(pattern, choice.unit))
            self._known = len(choice.pool)
            relaxed = self._program.solve()
            if relaxed is None or not self._price(relaxed, left, stock, root):
                break
            if root and (choice.done() or self._cannot_rise(relaxed)):
                break
        if relaxed is None or (most is not None and relaxed.cost * choice.unit > most + _NEXT_TO_NOTHING * choice.unit):
            return None
        values = relaxed.values[len(left) :]
        return {p: v for p, v in zip(choice.pool, values, strict=False) if v > _NEXT_TO_NOTHING}

    def _price(self, relaxed: Relaxed, left: Sequence[int], stock: Sequence[int | None], root: bool) -> bool:
        """Ask for patterns that help; True when there are new ones."""
        choice, new = self.choice, False
        worth = [max(0, int(w * WORTH_OF_COST)) for w in relaxed.worth[: len(left)]]
        most_worth: list[int | None] = []
        for k, kind in enumerate(choice.kinds):
            if stock[k] == 0:
                most_worth.append(0)
                continue
            if k and choice.effort():
                return False
            scarce = max(0.0, -relaxed.worth[len(left) + k])
            beat = int(WORTH_OF_COST * (kind.cost / choice.unit + scarce)) + _SLACK
            priced = self.price(worth, k, left, beat)
            most_worth.append(priced.most)
            for pattern in priced.patterns:
                new |= choice.know(pattern)
        self._worths = worth, most_worth
        if root:
            choice.raise_bound(worth, most_worth)
        return new

    def _cannot_rise(self, relaxed: Relaxed) -> bool:
        """Whether the bound is already what the relaxation's cost rounds up to."""
        choice = self.choice
        return choice.step * ceil(relaxed.cost * choice.unit / choice.step - _NEXT_TO_NOTHING) <= choice.bound

    def _shut_what_does_not_serve(self, left: Sequence[int], barred: Collection[Pattern]) -> None:
        """Keep the program from patterns that are barred or make more of a piece than is left."""
        fresh = self.choice.pool[len(self._shut) : self._known]
        if fresh:
            numbered = list(enumerate(fresh, len(self._shut)))
            self._number.update((pattern, j) for j, pattern in numbered)
            makes = np.array([(j, i, n) for j, pattern in numbered for i, n in pattern.counts], dtype=np.int64)
            self._makes = np.concatenate((self._makes, makes))
            self._shut = np.concatenate((self._shut, np.zeros(len(fresh), dtype=np.bool_)))
        which, piece, many = self._makes.T
        shut = np.zeros_like(self._shut)
        shut[which[many > np.array(left, dtype=np.int64)[piece]]] = True
        shut[[self._number[pattern] for pattern in barred]] = True
        for now, greatest in ((shut & ~self._shut, 0.0), (self._shut & ~shut, NO_LIMIT)):
            self._program.bound_columns(len(left) + np.flatnonzero(now), greatest)
        self._shut = shut
