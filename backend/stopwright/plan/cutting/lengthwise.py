"""Lengths out of boards in bare whole numbers: kerf and trim are already in the sizes, demands hold no zeros."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from stopwright.plan.cutting.columns import CuttingStock, Pattern, Priced, StockKind, Uses
from stopwright.plan.cutting.every_fill import fills_worth
from stopwright.plan.cutting.fewer_ways import fewer_ways
from stopwright.plan.cutting.fill import SHORT, all_full_fills, worthy_fills
from stopwright.plan.cutting.first_fit import first_fit, fullest_first, least_boards
from stopwright.plan.cutting.longer_offcuts import longer_offcuts
from stopwright.plan.cutting.patterns import solve_cutting_stock
from stopwright.plan.cutting.ways import Way, exact_ways
from stopwright.plan.effort import Effort

FEW_PATTERNS = 2000
_BESIDE, _BESIDE_LONG = 8, 2  # so many boards beside the best are priced with it; long ones take longer to price


@dataclass(frozen=True, slots=True)
class LengthwisePlan:
    """Ways of cutting that make every demand exactly, but for `unmet`; see `BoardPlan` for the rest."""

    ways: tuple[Way, ...]
    unmet: tuple[int, ...]
    least_possible: int
    proven: bool


@dataclass(frozen=True, slots=True)
class Lengthwise:
    """Sizes (longest first) wanted `demands` times out of `rooms`, of which there are `available` (None: no limit).

    `shelf` marks the kinds that are on the shelf anyway: they cost nothing against a new board.
    """

    sizes: Sequence[int]
    demands: Sequence[int]
    rooms: Sequence[int]
    available: Sequence[int | None]
    shelf: Sequence[bool]

    def plan(self, effort: Effort, tidying: Callable[[], Effort] | None) -> LengthwisePlan:
        """Fewest pieces left out, then fewest new boards, shelf offcuts, length, ways of cutting; longest offcuts.

        `tidying` makes the effort for each step after the fewest boards are found; None takes these boards as they are.
        """
        if not self.demands:
            return LengthwisePlan((), (), 0, True)
        found = self._fewest_boards(effort)
        placed = [n - left for n, left in zip(self.demands, found.unmet, strict=True)]
        several = any(self.shelf) or len(set(self.rooms)) > 1
        uses = self._least_length(placed, found, tidying()).uses if several and tidying else found.uses
        ways = exact_ways(uses, placed)
        if tidying:
            ways = fewer_ways(ways, self.sizes, self.rooms, tidying())
            ways = longer_offcuts(ways, self.sizes, self.rooms, tidying())
        used = sum(way.times for way in ways)
        from_shelf = sum(way.times for way in ways if self.shelf[way.kind])
        least = max(
            found.bound - self._unmet_cost(1) * sum(found.unmet) + from_shelf,
            least_boards(self.sizes, placed, max(self.rooms)),
        )
        unmet_is_least = found.bound >= self._unmet_cost(1) * sum(found.unmet)
        return LengthwisePlan(tuple(ways), found.unmet, min(least, used), unmet_is_least and least >= used)

    def _fewest_boards(self, effort: Effort) -> CuttingStock:
        """Fewest pieces left out, then fewest new boards."""
        costs = [0 if shelf else 1 for shelf in self.shelf]
        order = sorted(range(len(self.rooms)), key=lambda k: (not self.shelf[k], -self.rooms[k]))
        stock = self.sizes, self.demands, self.rooms, self.available, order
        starts = [first_fit(*stock)]
        bound = least_boards(self.sizes, self.demands, max(self.rooms)) if not any(self.shelf) else 0
        if self._short(starts[0]) or sum(costs[p.kind] * n for p, n in starts[0]) > bound:
            starts.append(fullest_first(*stock, effort))
        return solve_cutting_stock(
            self.demands,
            [StockKind(cost, n) for cost, n in zip(costs, self.available, strict=True)],
            self.price,
            effort,
            unmet_cost=self._unmet_cost(1),
            start=starts,
            bound=bound,
            every=lambda: self.every(self.demands),
            narrow=self.narrow,
        )

    def _least_length(self, placed: Sequence[int], found: CuttingStock, effort: Effort) -> CuttingStock:
        """Fewest new boards, then fewest from the shelf, then least length of all of them."""
        one_more = 1 + max(self.rooms) * sum(n for _, n in found.uses)
        new = one_more * (1 + sum(n for p, n in found.uses if self.shelf[p.kind]))
        costs = [room + (one_more if shelf else new) for room, shelf in zip(self.rooms, self.shelf, strict=True)]
        return solve_cutting_stock(
            placed,
            [StockKind(cost, n) for cost, n in zip(costs, self.available, strict=True)],
            self.price,
            effort,
            unmet_cost=self._unmet_cost(max(costs)),
            start=[found.uses],
            known=found.seen,
            every=lambda: self.every(placed),
        )

    def _short(self, uses: Uses) -> bool:
        return sum(n * count for pattern, n in uses for _, count in pattern.counts) < sum(self.demands)

    def _unmet_cost(self, dearest: int) -> int:
        """More than boards can ever cost; one board more is enough where long boards never run out."""
        if any(n is None and room >= self.sizes[0] for n, room in zip(self.available, self.rooms, strict=True)):
            return dearest + 1
        return 1 + dearest * sum(self.demands)

    def price(self, worth: Sequence[int], kind: int, most: Sequence[int], beat: int) -> Priced:
        """The most worthy fills of one board of a kind, as patterns.

        Those of a board beside the best are given too, made of the pieces that it leaves, and so on while they are
        worth it: fills that serve together bring the relaxation down in a fraction of the rounds.
        """
        fills, top = worthy_fills(self.sizes, worth, most, self.rooms[kind], beat)
        left, beside = list(most), fills
        for _ in range(_BESIDE if self.rooms[kind] <= SHORT else _BESIDE_LONG):
            if not beside:
                break
            for i, _ in beside[0]:
                left[i] = 0
            beside, _ = worthy_fills(self.sizes, worth, left, self.rooms[kind], beat)
            fills = fills + beside
        return Priced([Pattern(kind, fill) for fill in fills], top)

    def narrow(
        self, worth: Sequence[int], kind: int, most: Sequence[int], least: int, limit: int
    ) -> list[Pattern] | None:
        """Every pattern of one kind of board that is worth `least` or more, if they are few."""
        fills = fills_worth(self.sizes, worth, most, self.rooms[kind], least, limit)
        return None if fills is None else [Pattern(kind, fill) for fill in fills]

    def every(self, most: Sequence[int]) -> list[Pattern] | None:
        """All patterns that leave no room for one piece more, if they are few."""
        patterns: list[Pattern] = []
        for kind, room in enumerate(self.rooms):
            fills = all_full_fills(self.sizes, most, room, FEW_PATTERNS - len(patterns))
            if fills is None:
                return None
            patterns += [Pattern(kind, fill) for fill in fills]
        return patterns
