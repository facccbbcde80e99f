"""The words of column generation: stock, patterns (ways to cut one board or sheet), what pricing answers."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

WORTH_OF_COST = 2**36
"""Worths are whole numbers: this many stand for the cost of the dearest kind of stock."""


@dataclass(frozen=True, slots=True)
class StockKind:
    """Boards or sheets of one kind: what one costs (0 or more), how many there are (None: no limit)."""

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

Narrow = Callable[[Sequence[int], int, Sequence[int], int, int], Sequence[Pattern] | None]
"""(worth of one piece of each demand, kind, most pieces of each demand, least worth, limit) -> every such pattern,
or None where they are more than the limit."""

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
