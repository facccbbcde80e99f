"""The relaxation: patterns used in fractions, new ones priced until none helps."""

from collections.abc import Collection, Sequence
from math import ceil

from stopwright.plan.cutting.columns import WORTH_OF_COST, Pattern, Price
from stopwright.plan.cutting.pattern_choice import PatternChoice
from stopwright.plan.programs import NO_LIMIT, Column, Program, Relaxed

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
        self._shut: set[int] = set()

    def relax_root(self) -> bool:
        """Relax the whole problem and raise the bound; False when effort ran out first."""
        stock = [kind.available for kind in self.choice.kinds]
        return self.relax(self.choice.demands, stock, root=True) is not None

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
        if root:
            choice.raise_bound(worth, most_worth)
        return new

    def _cannot_rise(self, relaxed: Relaxed) -> bool:
        """Whether the bound is already what the relaxation's cost rounds up to."""
        choice = self.choice
        return choice.step * ceil(relaxed.cost * choice.unit / choice.step - _NEXT_TO_NOTHING) <= choice.bound

    def _shut_what_does_not_serve(self, left: Sequence[int], barred: Collection[Pattern]) -> None:
        for j, pattern in enumerate(self.choice.pool[: self._known]):
            shut = pattern in barred or any(n > left[i] for i, n in pattern.counts)
            if shut != (j in self._shut):
                (self._shut.add if shut else self._shut.discard)(j)
                self._program.bound_column(len(left) + j, 0.0 if shut else NO_LIMIT)
