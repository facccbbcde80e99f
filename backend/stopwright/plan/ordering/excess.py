"""What some of the runs cost among themselves beyond each position once: a bound for all that come after a layer.

Leaving out a run, and the positions that only it needs, never makes an order dearer. So the runs still to do cost,
beyond each of their positions once, at least what any choice of them does, done by themselves from an empty machine;
what may stand when they begin saves at most a setting for each position of theirs that does. Read backwards, the first
layers of `exact.py` say what every small choice of runs costs by itself, and so bound what is still to come.
"""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from stopwright.plan.ordering.task import UNKNOWN, Task, bits


class Excess:
    """For every choice of runs, as bits, a cost beyond each position once that no order of them undercuts.

    It is told layer by layer what was made and what was left unopened: what would come of a node that is not opened
    lies at least as far beyond each once as the node itself, for a run more never brings the excess down.

    Positions a, b, c in rings of two on two places: the third run finds one of its own gone.

    >>> excess = Excess(Task(((3,), (6,), (5,)), (2,), (1,), (7,), (0,), (0, 0, 0), ({},)))
    >>> excess.learn({0b111: 4}, left={})
    >>> excess.beyond(0b111), excess.beyond(0b011)
    (1, 0)
    """

    def __init__(self, task: Task) -> None:
        self.runs = task.runs
        only = np.zeros(1 << task.runs, dtype=np.int64)  # cost of the positions that no other runs need
        for axis, weight in enumerate(task.weights):
            for position in bits(task.areas[axis]):
                only[sum(1 << run for run, needs in enumerate(task.needs) if needs[axis] >> position & 1)] += weight
        for run in range(task.runs):
            without, with_it = _halves(only, run)
            with_it += without
        once = only[-1] - only[::-1]
        self.once = once
        self.least = np.zeros(1 << task.runs, dtype=np.int64)
        self.unopened = np.full(1 << task.runs, UNKNOWN, dtype=np.int64)

    def beyond(self, runs: int) -> int:
        """The bound for a choice of runs."""
        return int(self.least[runs])

    def leave(self, runs: int, cost: int) -> None:
        """A node of these runs in the newest layer is not opened, or not with every run that could follow."""
        self.unopened[runs] = min(self.unopened[runs], cost - self.once[runs])

    def learn(self, cheapest: Mapping[int, int], left: Mapping[int, int]) -> None:
        """A layer is made: the least cost of a node of each choice of runs, and of one that is never to be opened."""
        from_unopened = np.full_like(self.unopened, UNKNOWN)
        for run in range(self.runs):
            without, with_it = _halves(self.unopened, run)[0], _halves(from_unopened, run)[1]
            np.minimum(with_it, without, out=with_it)
        found = from_unopened.copy()
        for made, into in ((cheapest, found), (left, from_unopened)):
            runs = np.fromiter(made.keys(), dtype=np.int64, count=len(made))
            costs = np.fromiter(made.values(), dtype=np.int64, count=len(made))
            into[runs] = np.minimum(into[runs], costs - self.once[runs])
        self.unopened = from_unopened
        np.maximum(self.least, found, out=self.least, where=found < UNKNOWN)
        for run in range(self.runs):
            without, with_it = _halves(self.least, run)
            np.maximum(with_it, without, out=with_it)


def _halves(values: NDArray[np.int64], run: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The choices without a run, and the same choices with it."""
    paired = values.reshape(-1, 2, 1 << run)
    return paired[:, 0], paired[:, 1]
