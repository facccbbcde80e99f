"""Lengths out of boards in bare whole numbers: kerf and trim are already in the sizes, demands hold no zeros."""

from collections.abc import Sequence
from dataclasses import dataclass

from stopwright.plan.columns import CuttingStock, Pattern, Priced, StockKind
from stopwright.plan.effort import Effort
from stopwright.plan.fewer_ways import fewer_ways
from stopwright.plan.fill import all_full_fills, worthy_fills
from stopwright.plan.first_fit import first_fit, fullest_first, least_boards
from stopwright.plan.longer_offcuts import longer_offcuts
from stopwright.plan.patterns import solve_cutting_stock
from stopwright.plan.ways import Way, exact_ways

FEW_PATTERNS = 2000


@dataclass(frozen=True, slots=True)
class LengthwisePlan:
    """Ways of cutting that make every demand exactly, but for `unmet`; see `BoardPlan` for the rest."""

    ways: tuple[Way, ...]
    unmet: tuple[int, ...]
    least_possible: int
    proven: bool


@dataclass(frozen=True, slots=True)
class Lengthwise:
    """Sizes (longest first) wanted `demands` times out of `rooms`, of which there are `available` (None: no limit)."""

    sizes: Sequence[int]
    demands: Sequence[int]
    rooms: Sequence[int]
    available: Sequence[int | None]
    prefer: Sequence[bool]

    def plan(self, effort: Effort, tidying: Effort) -> LengthwisePlan:
        """Fewest pieces left out, then fewest new boards, shelf offcuts, length, ways of cutting; longest offcuts.

        `tidying` limits the search for fewer ways of cutting.
        """
        if not self.demands:
            return LengthwisePlan((), (), 0, True)
        found = self._fewest_boards(effort)
        least = self._least_boards(found)
        placed = [n - left for n, left in zip(self.demands, found.unmet, strict=True)]
        shortest = self._least_length(placed, found, effort) if len(set(self.rooms)) > 1 else found
        ways = exact_ways(shortest.uses, placed)
        ways = fewer_ways(ways, self.sizes, self.rooms, tidying)
        ways = longer_offcuts(ways, self.sizes, self.rooms, effort)
        used = sum(way.times for way in ways)
        return LengthwisePlan(tuple(ways), found.unmet, min(least, used), found.proven)

    def _costs(self) -> list[int]:
        """A new board costs more than all shelf offcuts together, so that the shelf is used first."""
        pieces = sum(self.demands)
        shelf = sum(
            pieces if n is None else min(n, pieces) for n, p in zip(self.available, self.prefer, strict=True) if p
        )
        return [1 if prefer else 1 + shelf for prefer in self.prefer]

    def _unmet_cost(self, costs: Sequence[int]) -> int:
        """More than boards can ever cost; one board more is enough where long boards never run out."""
        if any(n is None and room >= self.sizes[0] for n, room in zip(self.available, self.rooms, strict=True)):
            return max(costs) + 1
        return 1 + max(costs) * sum(self.demands)

    def _fewest_boards(self, effort: Effort) -> CuttingStock:
        costs = self._costs()
        starts = [first_fit(self.sizes, self.demands, self.rooms, self.available, self._opening_order())]
        bound = least_boards(self.sizes, self.demands, max(self.rooms)) if self._plenty() else 0
        bound *= min(costs)
        if sum(costs[p.kind] * n for p, n in starts[0]) > bound:
            starts.append(
                fullest_first(self.sizes, self.demands, self.rooms, self.available, self._opening_order(), effort)
            )
        return solve_cutting_stock(
            self.demands,
            [StockKind(cost, n) for cost, n in zip(costs, self.available, strict=True)],
            self.price,
            effort,
            unmet_cost=self._unmet_cost(costs),
            start=starts,
            bound=bound,
            every=lambda: self.every(self.demands),
        )

    def _least_boards(self, found: CuttingStock) -> int:
        """Least number of boards behind a bound on cost: `least` for what is placed, offcuts from the shelf first."""
        costs = self._costs()
        new = max(costs)
        missing = self._unmet_cost(costs) * sum(found.unmet)
        low, high = found.bound - missing, found.cost - missing
        if low <= 0:
            return 1
        least = low // new + low % new if new > 1 else low
        round_up = -(-low // new)
        return min(least, round_up) if round_up * new <= high else least

    def _least_length(self, placed: Sequence[int], found: CuttingStock, effort: Effort) -> CuttingStock:
        """The same again with the boards' length as a second cost, below the first."""
        first = self._costs()
        heavy = 1 + max(self.rooms) * sum(n for _, n in found.uses)
        costs = [heavy * cost + room for cost, room in zip(first, self.rooms, strict=True)]
        return solve_cutting_stock(
            placed,
            [StockKind(cost, n) for cost, n in zip(costs, self.available, strict=True)],
            self.price,
            effort,
            unmet_cost=self._unmet_cost(costs),
            start=[found.uses],
            known=found.seen,
            every=lambda: self.every(placed),
        )

    def price(self, worth: Sequence[int], kind: int, most: Sequence[int], beat: int) -> Priced:
        """The most worthy fills of one board of a kind, as patterns."""
        fills, top = worthy_fills(self.sizes, worth, most, self.rooms[kind], beat)
        return Priced([Pattern(kind, fill) for fill in fills], top)

    def every(self, most: Sequence[int]) -> list[Pattern] | None:
        """All patterns that leave no room for one piece more, if they are few."""
        patterns: list[Pattern] = []
        for kind, room in enumerate(self.rooms):
            fills = all_full_fills(self.sizes, most, room, FEW_PATTERNS - len(patterns))
            if fills is None:
                return None
            patterns += [Pattern(kind, fill) for fill in fills]
        return patterns

    def _opening_order(self) -> list[int]:
        return sorted(range(len(self.rooms)), key=lambda k: (not self.prefer[k], -self.rooms[k]))

    def _plenty(self) -> bool:
        """Whether everything finds a place whatever happens, so that a bound on boards is a bound on cost."""
        return any(n is None and room >= self.sizes[0] for n, room in zip(self.available, self.rooms, strict=True))
