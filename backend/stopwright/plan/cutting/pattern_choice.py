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

    def least_worth(self, worth: Sequence[int], most: Sequence[int]) -> list[int] | None:
        """What a pattern of each kind is worth at least in any choice cheaper than the best that makes no extra pieces.

        `most` is what no pattern of kind k exceeds. Each board costs what its pieces are worth and something over, 0 or
        more, where a kind is reckoned as dear as its most worthy pattern; all that is over together is what the choice
        may cost less the worth of all pieces, so no pattern is worth less by more than that (fixing by reduced costs).
        None where nothing follows.
        """
        cheaper, gap = self.best_cost - self.step, Fraction(0)
        reckoned = []
        for kind, greatest in zip(self.kinds, most, strict=True):
            own = Fraction(WORTH_OF_COST * kind.cost, self.unit)
            reckoned.append(max(own, Fraction(greatest)))
            if reckoned[-1] > own:
                if kind.available is None and not kind.cost:
                    return None
                times = cheaper // kind.cost if kind.available is None else kind.available
                gap += times * (reckoned[-1] - own)
        if max(worth) * self.unit > self.unmet_cost * WORTH_OF_COST:
            return None
        gap += Fraction(WORTH_OF_COST * cheaper, self.unit) - sum(
            w * n for w, n in zip(worth, self.demands, strict=True)
        )
        return [ceil(dear - gap) for dear in reckoned]

    def column(self, pattern: Pattern, unit: int = 1) -> Column:
        """The pattern as a column: its pieces in the demands' rows, itself in its kind's row."""
        entries = tuple((i, float(n)) for i, n in pattern.counts)
        row = len(self.demands) + pattern.kind
        return Column(self.kinds[pattern.kind].cost / unit, (*entries, (row, 1.0)))

    def choose(self, nodes: int, every: Sequence[Pattern] | None = None) -> None:
        """Let HiGHS choose among the patterns met; with `every` one that matters its answer is a bound as well."""
        for pattern in every or ():
            self.know(pattern)
        self._choose(nodes, self.pool, exact=False, all_known=every is not None)

    def choose_exactly(self, nodes: int, every: Sequence[Pattern]) -> None:
        """Let HiGHS choose among `every` pattern of a cheaper choice without extra pieces; its answer is a bound."""
        self._choose(nodes, every, exact=True, all_known=True)

    def _choose(self, nodes: int, patterns: Sequence[Pattern], exact: bool, all_known: bool) -> None:
        rows = [(float(n), float(n) if exact else NO_LIMIT) for n in self.demands]
        rows += [(0.0, NO_LIMIT if k.available is None else float(k.available)) for k in self.kinds]
        rows.append((0.0, float(self.best_cost - self.step)))
        short = any(self.best_unmet)
        columns = [Column(self.unmet_cost, ((i, 1.0),), n if short else 0) for i, n in enumerate(self.demands)]
        columns += [self.column(p) for p in patterns]
        columns = [c._replace(entries=(*c.entries, (len(rows) - 1, c.cost))) for c in columns]
        found = solve_whole(columns, rows, self.effort, nodes=nodes, good_enough=self.bound)
        if found.values is not None:
            chosen = found.values[len(self.demands) :]
            self.offer([(p, n) for p, n in zip(patterns, chosen, strict=True) if n])
        if all_known and found.complete:
            self.bound = self.best_cost
