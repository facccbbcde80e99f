"""A bound for many runs from a few of them, chosen to be in each other's way, whose best order is found exactly.

Leaving out runs, and positions with them, never makes an order dearer. So every order costs at least what the best
order of the few does, and a setting for each position that none of the few needs.
"""

from collections.abc import Iterator

from stopwright.plan.ordering.bounds import each_once
from stopwright.plan.ordering.exact import Layers
from stopwright.plan.ordering.loading import cost_of
from stopwright.plan.ordering.search import Search, first_order
from stopwright.plan.ordering.task import Task

FEW_RUNS = (10, 12, 13, 14, 15, 16)  # ten are proven in a fifth of a second; each more takes about twice as long
SEARCHED = 100  # steps of search for the order of the few, so that the proof has a low ceiling


class FewRuns:
    """The search for the bound: `advance` goes on in small steps, `floor` is at any time a cost no order undercuts."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self.floor = 0

    def advance(self) -> Iterator[None]:
        """Choose some runs and prove the cost of their best order; then the same with more of them."""
        chosen: list[int] = []
        for count in FEW_RUNS:
            yield from self._choose(chosen, count)
            few = self.task.part(chosen)
            others = each_once(self.task) - each_once(few)
            search = Search(few, first_order(few))
            searching = search.advance()
            for _ in range(SEARCHED):
                next(searching)
                yield
            layers = Layers(few, search.cost)
            for _ in layers.advance():
                self.floor = max(self.floor, others + layers.floor)
                yield
            self.floor = max(self.floor, others + layers.floor)
            if len(chosen) < count:
                return

    def _choose(self, chosen: list[int], count: int) -> Iterator[None]:
        """Run by run the one that brings the most settings beyond each position once, judged by a quick order."""
        while len(chosen) < min(count, self.task.runs):
            best: tuple[int, int, int] | None = None
            for run in range(self.task.runs):
                if run not in chosen:
                    few = self.task.part([*chosen, run])
                    once = each_once(few)
                    worth = cost_of(few, first_order(few))[0] - once, once, -run
                    best = worth if best is None else max(best, worth)
                    yield
            if best is not None:
                chosen.append(-best[2])
