"""The search of `search.py` for parts of one width and one length each, on one fence and some stops.

Such an order is priced run by run with next to nothing to carry along. A width is set wherever the run before has
another. A length stands on from its run before where a stop is left to it in between; of all such stretches as many as
the stops allow are taken as they end, each onto the stop that came free last (the most intervals on some machines;
Carlisle & Lloyd, Discrete Applied Mathematics 59, 1995, 225). So a change is priced from its first run on, until the
stops come free as they did before: a tenth of the work of pricing it from both sides.
"""

from collections.abc import Sequence
from typing import NamedTuple

from stopwright.plan.ordering.loading import cost_of
from stopwright.plan.ordering.pairs import Fence
from stopwright.plan.ordering.task import Task, bits
from stopwright.plan.ordering.walk import ANY, Walk

NEEDED = 2  # positions that a run needs
NEVER = -2  # the place of a length that no run before has and that does not stand at first

Free = tuple[int, ...]
"""For each stop beside the one a run needs, the place from which on it may keep another length; the lowest first."""


class Priced(NamedTuple):
    """What the runs cost from the first that is changed to the first after which all is as before, `end` excluded."""

    costs: list[int]
    free: list[Free]
    end: int


class PartsSearch(Walk):
    """A walk over the orders of such parts, priced from a change on.

    Nothing must come before anything else. Stops that keep each other apart while neither is needed are not told from
    such that fit together, so with three of them the task itself is asked what the best costs.
    """

    turns = 2
    step = 400  # runs priced

    def __init__(self, task: Task, fence: Fence, order: Sequence[int]) -> None:
        super().__init__(task, order, NEEDED)
        self.set_width, self.set_length = task.weights[fence.fence], task.weights[fence.stops]
        self.width = [needs[fence.fence].bit_length() for needs in task.needs]
        self.length = [needs[fence.stops].bit_length() for needs in task.needs]
        self.with_length: dict[int, list[int]] = {}
        for run, length in enumerate(self.length):
            self.with_length.setdefault(length, []).append(run)
        close = task.close[fence.stops]
        self.apart = {
            length: [run for bit in bits(close.get(length - 1, 0)) for run in self.with_length.get(bit + 1, ())]
            for length in self.with_length
        }
        self.spare = task.holds[fence.stops] - 1
        self.doubtful = task.crowded and self.spare > 1
        self.at_first = {bit + 1 for bit in bits(task.standing[fence.stops])}
        self.width_at_first = task.standing[fence.fence].bit_length()
        self.kin = [
            [
                other
                for other in range(task.runs)
                if other != run and (self.width[other] == self.width[run] or self.length[other] == self.length[run])
            ]
            for run in range(task.runs)
        ]
        self._take(order)

    def _take(self, order: Sequence[int]) -> None:
        """Stand at this order."""
        self.now = list(order)
        self.place = [0] * len(self.now)
        self.costs = [0] * len(self.now)
        self.free: list[Free] = [(NEVER,) * self.spare] * (len(self.now) + 1)
        self.free[0] = (0,) * self.spare
        priced = self._priced(0, self.now)
        self.costs, self.free[1:] = priced.costs, priced.free
        self.here = sum(self.costs)

    def _turn(self) -> int:
        """Turn a stretch about, if it does not get too dear; returns how many runs were looked at."""
        one = self.lots.below(self.task.runs)
        near = self.kin[self.now[one]]
        if not near or not self.lots.below(ANY):
            other = self.lots.below(self.task.runs)
            first, last = min(one, other), max(one, other)
        else:
            other = self.place[near[self.lots.below(len(near))]]
            first, last = (one, other - 1) if one < other else (other + 1, one)
        return self._change(first, self.now[first : last + 1][::-1]) if first < last else 1

    def _move(self) -> int:
        """Move a run beside one that shares a position, if that is not too dear; returns how many were looked at."""
        place = self.lots.below(self.task.runs)
        run = self.now[place]
        near = self.kin[run]
        if not near:
            return 1
        gap = self.place[near[self.lots.below(len(near))]] + self.lots.below(2)
        if gap > place + 1:
            return self._change(place, [*self.now[place + 1 : gap], run])
        if gap < place:
            return self._change(gap, [run, *self.now[gap:place]])
        return 1

    def _change(self, first: int, runs: list[int]) -> int:
        """Put these runs, which lie from this place on, into this order, if it does not get too dear."""
        limit = self.dearest()
        priced = self._priced(first, runs)
        cost = self.here + sum(priced.costs) - sum(self.costs[first : priced.end])
        if cost <= limit:
            self.now[first : first + len(runs)] = runs
            self.costs[first : priced.end] = priced.costs
            self.free[first + 1 : priced.end + 1] = priced.free
            self.here = cost
            if cost < self.cost:
                self._record(cost)
        else:
            for place in range(first, first + len(runs)):
                self.place[self.now[place]] = place
        return priced.end - first

    def _priced(self, first: int, runs: list[int]) -> Priced:
        """The cost of every run from a place on, with these runs from there on; `place` is told of them."""
        place, with_length, apart = self.place, self.with_length, self.apart
        for at, run in enumerate(runs, first):
            place[run] = at
        costs: list[int] = []
        frees: list[Free] = []
        free, settled = self.free[first], first + len(runs)
        before = self.now[first - 1] if first else -1
        width, length = (self.width[before], self.length[before]) if first else (self.width_at_first, 0)
        at = first
        for run in runs + self.now[settled:]:
            # All is as before once no stretch can begin among the changed runs.
            if at > settled and free == self.free[at] and (not free or free[0] > settled):
                break
            cost = 0
            if self.width[run] != width:
                width = self.width[run]
                cost = self.set_width
            if self.length[run] != length:
                length = self.length[run]
                stood = -1 if length in self.at_first else NEVER
                for other in with_length[length]:
                    if stood < place[other] < at:
                        stood = place[other]
                for stop in range(self.spare - 1, -1, -1):
                    if free[stop] <= stood + 1:
                        for other in apart[length]:
                            if stood < place[other] < at:
                                cost += self.set_length
                                break
                        else:
                            free = (*free[:stop], *free[stop + 1 :], at)
                        break
                else:
                    cost += 0 if stood == at - 1 else self.set_length
            costs.append(cost)
            frees.append(free)
            at += 1
        return Priced(costs, frees, at)

    def _record(self, cost: int) -> None:
        """The order as it stands is the best so far, unless stops in each other's way make it dearer."""
        if self.doubtful:
            cost = cost_of(self.task, self.now)[0]
        if cost < self.cost:
            self.order, self.cost = list(self.now), cost


def width_by_width(task: Task, fence: Fence) -> list[int]:
    """An order to start from: the widest first, of each width the longest first."""
    return sorted(range(task.runs), key=lambda run: (-task.needs[run][fence.fence], -task.needs[run][fence.stops]))
