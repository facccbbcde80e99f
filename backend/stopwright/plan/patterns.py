"""Cutting stock by columns: which ways of cutting a board or sheet to use, and how often, at the least cost.

The caller knows how one board or sheet may be cut (`price`); this module chooses. Column generation after
Gilmore & Gomory (Operations Research 9, 1961, 849 and 11, 1963, 863). Every lower bound is computed in whole
numbers from the worths of the pieces, so a rounding error of the solver cannot make it too high (Farley,
Operations Research 38, 1990, 922; here with limited stock as well).
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil, gcd

from stopwright.plan.effort import Effort
from stopwright.plan.programs import NO_LIMIT, Column, Program, Relaxed, solve_whole

WORTH_OF_COST = 2**36
"""Worths are whole numbers: this many stand for the cost of the dearest kind of stock."""
_SLACK = WORTH_OF_COST // 10**9
_WHOLE_WITHIN = 1e-6
_SURE_ROUNDING = 0.7


@dataclass(frozen=True, slots=True)
class StockKind:
    """Boards or sheets of one kind: what one costs (above 0), how many there are (None: no limit)."""

    cost: int
    available: int | None = None


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way to cut one board or sheet of a kind: (which demand, how many pieces), demands ascending, counts above 0.

    `plan` is the caller's own (how it is cut); it does not tell patterns apart.
    """

    kind: int
    counts: tuple[tuple[int, int], ...]
    plan: object = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Priced:
    """Patterns of one kind worth more than asked, best first, and a worth that none of that kind exceeds.

    `most` may be the worth asked for when nothing beats it. None: not known, so no bound follows.
    """

    patterns: Sequence[Pattern]
    most: int | None


Price = Callable[[Sequence[int], int, Sequence[int], int], Priced]
"""(worth of one piece of each demand, kind, most pieces of each demand, worth to beat) -> Priced."""

Uses = Sequence[tuple[Pattern, int]]


@dataclass(frozen=True, slots=True)
class CuttingStock:
    """The best choice found: patterns with the times each is used, demands left over, and the least possible cost.

    `cost` is of the stock and the pieces left over together; `bound` is never above the least possible cost;
    `seen` are all patterns met on the way, for whoever wants to improve the choice in another respect.
    """

    uses: tuple[tuple[Pattern, int], ...]
    unmet: tuple[int, ...]
    cost: int
    bound: int
    seen: tuple[Pattern, ...] = field(repr=False)

    @property
    def proven(self) -> bool:
        """True when nothing can cost less."""
        return self.cost == self.bound


def solve_cutting_stock(
    demands: Sequence[int],
    kinds: Sequence[StockKind],
    price: Price,
    effort: Effort,
    *,
    unmet_cost: int,
    start: Iterable[Uses] = (),
    known: Iterable[Pattern] = (),
    bound: int = 0,
    every: Callable[[], Sequence[Pattern] | None] | None = None,
    whole_nodes: int = 200,
) -> CuttingStock:
    """The patterns of least cost that make every demand at least once as often as asked, best found within `effort`.

    `unmet_cost` is the price of leaving one piece out: above what any plan without gaps costs, so that pieces
    are left out only where stock is short. `start` holds known choices of patterns, `known` further patterns;
    `bound` is a known lower bound; `every` lists all patterns that matter when they are few (else None), which
    closes the last gap. A pattern may make more pieces than asked. The answer depends on nothing but the arguments.

    >>> def price(worth, kind, most, beat):  # a board holds two pieces of 40, or one of 60 and one of 40
    ...     ways = [Pattern(0, ((0, 2),)), Pattern(0, ((0, 1), (1, 1)))]
    ...     value = {way: sum(worth[i] * n for i, n in way.counts) for way in ways}
    ...     better = sorted((way for way in ways if value[way] > beat), key=lambda way: -value[way])
    ...     return Priced(better, max(value.values()))
    >>> found = solve_cutting_stock([7, 3], [StockKind(1)], price, lambda: False, unmet_cost=2)
    >>> found.cost, found.bound, found.proven
    (5, 5, True)
    """
    search = _Search(demands, kinds, price, effort, unmet_cost, bound)
    for uses in start:
        search.offer(uses)
    for pattern in known:
        search.know(pattern)
    search.solve(every, whole_nodes)
    return search.answer()


class _Search:
    """One problem, the patterns met so far, the best choice so far."""

    def __init__(
        self,
        demands: Sequence[int],
        kinds: Sequence[StockKind],
        price: Price,
        effort: Effort,
        unmet_cost: int,
        bound: int,
    ) -> None:
        self.demands, self.kinds, self.price, self.effort = tuple(demands), tuple(kinds), price, effort
        self.unmet_cost, self.bound = unmet_cost, bound
        self.step = gcd(unmet_cost, *(kind.cost for kind in kinds))
        self.unit = max((kind.cost for kind in kinds), default=1)
        self.pool: list[Pattern] = []
        self.place: dict[Pattern, int] = {}
        self.best: tuple[tuple[Pattern, int], ...] = ()
        self.best_unmet = self.demands
        self.best_cost = unmet_cost * sum(demands)

    # -- what is known -------------------------------------------------------------------------------------------

    def answer(self) -> CuttingStock:
        return CuttingStock(
            self.best, self.best_unmet, self.best_cost, min(self.bound, self.best_cost), tuple(self.pool)
        )

    def done(self) -> bool:
        return self.best_cost <= self.bound

    def know(self, pattern: Pattern) -> bool:
        """Add a pattern to the pool; False when it is there already."""
        if pattern in self.place:
            return False
        self.place[pattern] = len(self.pool)
        self.pool.append(pattern)
        return True

    def offer(self, uses: Uses) -> None:
        """Take a choice of patterns as the best so far if it is."""
        left = list(self.demands)
        times: dict[Pattern, int] = {}
        for pattern, n in uses:
            self.know(pattern)
            times[pattern] = times.get(pattern, 0) + n
            for i, count in pattern.counts:
                left[i] -= n * count
        unmet = tuple(max(0, n) for n in left)
        cost = self.unmet_cost * sum(unmet) + sum(self.kinds[p.kind].cost * n for p, n in times.items())
        if cost < self.best_cost:
            self.best, self.best_unmet, self.best_cost = tuple(times.items()), unmet, cost

    # -- columns -------------------------------------------------------------------------------------------------

    def solve(self, every: Callable[[], Sequence[Pattern] | None] | None, nodes: int) -> None:
        """Relax, round with new patterns on the way, then let HiGHS choose among the patterns met."""
        if self.done() or not self.demands:
            return
        master = _Master(self)
        relaxed = master.generate(self.demands, [kind.available for kind in self.kinds], raise_bound=True)
        if relaxed is None or self.done():
            return
        self.dive(master, relaxed)
        if not self.done() and not self.effort():
            self.choose(self.pool, nodes)
        if not self.done() and not self.effort() and every is not None and (all_of_them := every()) is not None:
            for pattern in all_of_them:
                self.know(pattern)
            self.choose(self.pool, nodes * 10, all_known=True)

    def raise_bound(self, worth: Sequence[int], most: Sequence[int | None]) -> None:
        """Lower bound from any worths at all, exact: pieces' worth less what scarce kinds may be over-worth."""
        known = [m for m in most if m is not None]
        if len(known) < len(most):
            return
        priced = [Fraction(WORTH_OF_COST * kind.cost, self.unit) for kind in self.kinds]
        shrink = min(
            (own / m for kind, own, m in zip(self.kinds, priced, known, strict=True) if kind.available is None and m),
            default=Fraction(1),
        )
        shrink = min(shrink, Fraction(1))
        value = shrink * sum(w * n for w, n in zip(worth, self.demands, strict=True))
        for kind, own, m in zip(self.kinds, priced, known, strict=True):
            if kind.available is not None:
                value -= kind.available * max(Fraction(0), shrink * m - own)
        cost = value * self.unit / WORTH_OF_COST
        self.bound = max(self.bound, self.step * ceil(cost / self.step))

    # -- whole numbers -------------------------------------------------------------------------------------------

    def dive(self, master: "_Master", relaxed: Relaxed) -> None:
        """Round what is nearly whole, price again for what is left, and so on down to nothing left."""
        left = list(self.demands)
        stock = [kind.available for kind in self.kinds]
        uses: list[tuple[Pattern, int]] = []
        values = relaxed.values[len(self.demands) :]
        while any(left):
            taken = self._round(values, left, stock)
            if not taken:
                break
            uses += taken
            if self.effort() or not any(left):
                break
            spent = sum(self.kinds[p.kind].cost * n for p, n in uses)
            again = master.generate(left, stock, most=self.best_cost - self.step - spent)
            if again is None:
                break
            values = again.values[len(self.demands) :]
        self.offer(uses)

    def _round(self, values: Sequence[float], left: list[int], stock: list[int | None]) -> list[tuple[Pattern, int]]:
        """Patterns to fix now: whole parts and nearly whole ones; else the one nearest to whole."""
        order = sorted(range(len(values)), key=lambda j: (-(values[j] % 1.0), self.pool[j].counts))
        sure = [j for j in order if values[j] >= 1 - _WHOLE_WITHIN or values[j] % 1.0 >= _SURE_ROUNDING]
        taken: list[tuple[Pattern, int]] = []
        for j in sure or [j for j in order if values[j] > _WHOLE_WITHIN][:1]:
            pattern = self.pool[j]
            times = int(values[j] + 1 - _SURE_ROUNDING) if sure else 1
            times = min([times, *(left[i] // n for i, n in pattern.counts)])
            if (held := stock[pattern.kind]) is not None:
                times = min(times, held)
                stock[pattern.kind] = held - times
            if times < 1:
                continue
            for i, n in pattern.counts:
                left[i] -= n * times
            taken.append((pattern, times))
        return taken

    def choose(self, patterns: Sequence[Pattern], nodes: int, all_known: bool = False) -> None:
        """Let HiGHS choose among known patterns; with all of them known its answer is a bound as well."""
        rows = [(float(n), NO_LIMIT) for n in self.demands]
        rows += [(0.0, NO_LIMIT if k.available is None else float(k.available)) for k in self.kinds]
        columns = [Column(self.unmet_cost, ((i, 1.0),), n) for i, n in enumerate(self.demands)]
        columns += [self.column(p, scale=1) for p in patterns]
        rows.append((0.0, float(self.best_cost - self.step)))
        cost_row = len(rows) - 1
        columns = [c._replace(entries=(*c.entries, (cost_row, c.cost))) for c in columns]
        found = solve_whole(columns, rows, self.effort, nodes=nodes, good_enough=self.bound)
        if found.values is not None:
            chosen = found.values[len(self.demands) :]
            self.offer([(p, n) for p, n in zip(patterns, chosen, strict=True) if n])
        if all_known and found.complete:
            self.bound = self.best_cost

    def column(self, pattern: Pattern, scale: int) -> Column:
        """The pattern as a column: its pieces in the demands' rows, itself in its kind's row."""
        entries = tuple((i, float(n)) for i, n in pattern.counts)
        row = len(self.demands) + pattern.kind
        return Column(self.kinds[pattern.kind].cost / scale, (*entries, (row, 1.0)))


class _Master:
    """The linear program over the patterns met so far; columns: one a demand for what is left out, then the pool."""

    def __init__(self, search: _Search) -> None:
        self.search = search
        rows = [(float(n), NO_LIMIT) for n in search.demands] + [(0.0, NO_LIMIT)] * len(search.kinds)
        self.program = Program(rows)
        for i in range(len(search.demands)):
            self.program.add(Column(search.unmet_cost / search.unit, ((i, 1.0),)))
        self.known = 0
        self.shut: set[int] = set()

    def generate(
        self,
        left: Sequence[int],
        stock: Sequence[int | None],
        *,
        raise_bound: bool = False,
        most: int | None = None,
    ) -> Relaxed | None:
        """The relaxation for the pieces left, with new patterns until none helps (or its cost is sure to pass `most`).

        None when effort ran out or the cost is sure to pass `most`.
        """
        search = self.search
        for row, n in enumerate([*left]):
            self.program.bound_row(row, float(n), NO_LIMIT)
        for k, held in enumerate(stock):
            self.program.bound_row(len(left) + k, 0.0, NO_LIMIT if held is None else float(held))
        self._shut_what_overshoots(left)
        relaxed = None
        while not search.effort():
            for pattern in search.pool[self.known :]:
                self.program.add(search.column(pattern, search.unit))
            self.known = len(search.pool)
            relaxed = self.program.solve()
            if relaxed is None:
                return None
            worth = [max(0, int(w * WORTH_OF_COST)) for w in relaxed.worth[: len(left)]]
            new = False
            most_worth: list[int | None] = []
            for k, kind in enumerate(search.kinds):
                if stock[k] == 0:
                    most_worth.append(0)
                    continue
                scarce = max(0.0, -relaxed.worth[len(left) + k])
                beat = int(WORTH_OF_COST * (kind.cost / search.unit + scarce)) + _SLACK
                priced = search.price(worth, k, left, beat)
                most_worth.append(priced.most)
                for pattern in priced.patterns:
                    new |= search.know(pattern)
            if raise_bound:
                search.raise_bound(worth, most_worth)
                if search.done() or search.step * ceil(relaxed.cost * search.unit / search.step - 1e-6) <= search.bound:
                    return relaxed
            if not new:
                break
        if relaxed is not None and most is not None and relaxed.cost * search.unit > most + 1e-6:
            return None
        return relaxed

    def _shut_what_overshoots(self, left: Sequence[int]) -> None:
        """A pattern that makes more of a piece than is left rounds badly; it is put aside."""
        for j in range(self.known):
            shut = any(n > left[i] for i, n in self.search.pool[j].counts)
            if shut != (j in self.shut):
                (self.shut.add if shut else self.shut.discard)(j)
                self.program.bound_column(len(left) + j, 0.0 if shut else NO_LIMIT)
