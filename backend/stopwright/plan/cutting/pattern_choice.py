"""The patterns met so far, the best choice among them, and the best lower bound: what a search improves."""

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, gcd

from stopwright.plan.cutting.columns import WORTH_OF_COST, CuttingStock, Pattern, StockKind, Uses
from stopwright.plan.effort import Effort
from stopwright.plan.programs import NO_LIMIT, Column, solve_whole


class PatternChoice:
    """One cutting-stock problem as it stands; see `solve_cutting_stock` for the words."""

    def __init__(
        self, demands: Sequence[int], kinds: Sequence[StockKind], effort: Effort, unmet_cost: int, bound: int
    ) -> None:
        self.demands, self.kinds, self.effort = tuple(demands), tuple(kinds), effort
        self.unmet_cost, self.bound = unmet_cost, bound
        self.step = gcd(unmet_cost, *(kind.cost for kind in kinds))
        self.unit = max([1, *(kind.cost for kind in kinds)])
        self.pool: list[Pattern] = []
        self.best: tuple[tuple[Pattern, int], ...] = ()
        self.best_unmet = self.demands
        self.best_cost = unmet_cost * sum(demands)
        self._known: set[Pattern] = set()

    def answer(self) -> CuttingStock:
        """The best so far with its bound."""
        bound = min(self.bound, self.best_cost)
        return CuttingStock(self.best, self.best_unmet, self.best_cost, bound, tuple(self.pool))

    def done(self) -> bool:
        """True when nothing better is possible."""
        return self.best_cost <= self.bound

    def know(self, pattern: Pattern) -> bool:
        """Add a pattern to the pool; False when it is there already."""
        if pattern in self._known:
            return False
        self._known.add(pattern)
        self.pool.append(pattern)
        return True

    def offer(self, uses: Uses) -> None:
        """Take a choice of patterns as the best so far if it leaves out fewer pieces, or as many at less cost."""
        left = list(self.demands)
        times: dict[Pattern, int] = {}
        for pattern, n in uses:
            self.know(pattern)
            times[pattern] = times.get(pattern, 0) + n
            for i, count in pattern.counts:
                left[i] -= n * count
        unmet = tuple(max(0, n) for n in left)
        cost = self.unmet_cost * sum(unmet) + sum(self.kinds[p.kind].cost * n for p, n in times.items())
        if (sum(unmet), cost) < (sum(self.best_unmet), self.best_cost):
            self.best, self.best_unmet, self.best_cost = tuple(times.items()), unmet, cost

    def raise_bound(self, worth: Sequence[int], most: Sequence[int | None]) -> None:
        """Raise the bound by what any worths of the pieces prove, when no pattern of kind k is worth above most[k].

        Worths are scaled until no pattern of unlimited stock is worth more than it costs (Farley, Operations
        Research 38, 1990, 922); what patterns of scarce stock are over-worth is paid once a board.
        """
        known = [m for m in most if m is not None]
        if len(known) < len(most):
            return
        priced = [Fraction(WORTH_OF_COST * kind.cost, self.unit) for kind in self.kinds]
        lines = list(zip(self.kinds, priced, known, strict=True))
        shrink = min([Fraction(1), *(own / m for kind, own, m in lines if kind.available is None and m)])
        value = shrink * sum(w * n for w, n in zip(worth, self.demands, strict=True))
        value -= sum(
            kind.available * max(Fraction(0), shrink * m - own) for kind, own, m in lines if kind.available is not None
        )
        cost = value * self.unit / WORTH_OF_COST
        self.bound = max(self.bound, self.step * ceil(cost / self.step))

    def column(self, pattern: Pattern, unit: int = 1) -> Column:
        """The pattern as a column: its pieces in the demands' rows, itself in its kind's row."""
        entries = tuple((i, float(n)) for i, n in pattern.counts)
        row = len(self.demands) + pattern.kind
        return Column(self.kinds[pattern.kind].cost / unit, (*entries, (row, 1.0)))

    def choose(self, nodes: int, every: Sequence[Pattern] | None = None) -> None:
        """Let HiGHS choose among the patterns met; with `every` one that matters its answer is a bound as well."""
        for pattern in every or ():
            self.know(pattern)
        rows = [(float(n), NO_LIMIT) for n in self.demands]
        rows += [(0.0, NO_LIMIT if k.available is None else float(k.available)) for k in self.kinds]
        rows.append((0.0, float(self.best_cost - self.step)))
        short = any(self.best_unmet)
        columns = [Column(self.unmet_cost, ((i, 1.0),), n if short else 0) for i, n in enumerate(self.demands)]
        columns += [self.column(p) for p in self.pool]
        columns = [c._replace(entries=(*c.entries, (len(rows) - 1, c.cost))) for c in columns]
        found = solve_whole(columns, rows, self.effort, nodes=nodes, good_enough=self.bound)
        if found.values is not None:
            chosen = found.values[len(self.demands) :]
            self.offer([(p, n) for p, n in zip(self.pool, chosen, strict=True) if n])
        if every is not None and found.complete:
            self.bound = self.best_cost
