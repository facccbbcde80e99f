"""A walk over orders at a constant heat that never falls: what is common to the searches for many runs."""

from abc import ABC, abstractmethod
from collections.abc import Iterator, Sequence
from math import log, sqrt
from typing import ClassVar

from stopwright.plan.ordering.loading import cost_of
from stopwright.plan.ordering.task import Task

# An order dearer by so much of a setting is e times less likely. What one change makes dearer grows with what a run
# needs; by its root, by trial: best near 0.1 for two positions a run, near 0.26 for a dozen.
HEAT = 0.08
ANY = 16  # one turn in so many is of any stretch, or runs that lie together would keep their order for ever


class Lots:
    """Drawing lots, the same on every machine (Lehmer's generator, modulus 2^31 − 1).

    >>> lots = Lots(1)
    >>> lots.below(6), lots.below(6), lots.below(6)
    (0, 1, 1)
    """

    def __init__(self, seed: int) -> None:
        self.state = seed % 2147483646 + 1

    def below(self, count: int) -> int:
        """A number from 0 to count − 1."""
        self.state = self.state * 48271 % 2147483647
        return self.state * count // 2147483647

    def share(self) -> float:
        """A number above 0 and below 1."""
        self.state = self.state * 48271 % 2147483647
        return self.state / 2147483647

    def draw(self, shares: Sequence[float]) -> int:
        """The number of one of the shares, the greater the likelier."""
        left = self.share() * sum(shares)
        for number, share in enumerate(shares):
            left -= share
            if left < 0:
                return number
        return len(shares) - 1


class Walk(ABC):
    """A search that starts from an order and never ends; `order` and `cost` are the best so far, `here` costs the one
    where it stands. A run needs so many positions on average. For one move of a run come so many `turns`; in one
    `step` so many runs are looked at.
    """

    turns: ClassVar[int]
    step: ClassVar[int]
    here: int

    def __init__(self, task: Task, order: Sequence[int], needed: float) -> None:
        self.task = task
        self.lots = Lots(task.runs)
        self.setting = min(task.weights, default=1)
        self.heat = HEAT * sqrt(max(needed, 1)) * self.setting
        self.order = list(order)
        self.cost = cost_of(task, order)[0]

    def go_on_from(self, order: list[int], cost: int) -> None:
        """Go on from a better order found elsewhere."""
        self.order, self.cost = order, cost
        self._take(order)

    def advance(self) -> Iterator[None]:
        """Search on; every step takes about as long, whatever the number of runs."""
        looked = 0
        while True:
            for change in (*[self._turn] * self.turns, self._move):
                looked += change()
                while looked > self.step:
                    looked -= self.step
                    yield

    def dearest(self) -> float:
        """What an order may cost at the most to be taken, drawn anew each time: mostly little more than `here`."""
        return self.here - self.heat * log(self.lots.share())

    @abstractmethod
    def _take(self, order: Sequence[int]) -> None:
        """Stand at this order."""

    @abstractmethod
    def _turn(self) -> int:
        """Turn a stretch about, if it does not get too dear; returns how many runs were looked at."""

    @abstractmethod
    def _move(self) -> int:
        """Move a run elsewhere, if that is not too dear; returns how many runs or gaps were looked at."""
