"""The order of a whole task: joined runs, separate parts, and for each part proof and search turn and turn about."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from stopwright.plan.effort import Effort
from stopwright.plan.sequence_bounds import least_cost
from stopwright.plan.sequence_exact import Layers
from stopwright.plan.sequence_loading import cost_of
from stopwright.plan.sequence_reduce import join_runs, separate
from stopwright.plan.sequence_search import Search, first_order
from stopwright.plan.sequence_task import Task

Progress = Callable[[int, int], None]

LAYER = 150_000  # nodes of one layer; beyond that the proof is given up, it would fill the memory
ALWAYS_PROVEN = 16  # so many runs are proven whatever the gap
WORTH_PROVING = 0.15  # with more runs, and a gap beyond this share of the cost, a proof is out of reach
WARM_UP = 300  # steps of search before the proof, which goes faster below a low ceiling
ENOUGH = 400_000  # steps of search without a better order, after which none is looked for


@dataclass(frozen=True, slots=True)
class FoundOrder:
    """An order, a cost no order undercuts, and a number of settings no order undercuts."""

    order: list[int]
    least: int
    least_settings: int


def find_order(task: Task, effort: Effort, progress: Progress | None = None) -> FoundOrder:
    """The best order found until it is proven or effort has had enough."""
    joined = join_runs(task)
    parts = [_Part(task.part(runs), runs) for runs in separate(task, joined.roots)]
    extra = _cost_of_followers(task, joined.roots)
    told: tuple[int, int] | None = None
    working = [part for part in parts if not part.proven]
    while working:
        for part in working:
            if effort() or not part.advance():
                part.stopped = True
        now = extra + sum(part.cost for part in parts), extra + sum(part.least for part in parts)
        if progress is not None and now != told:
            progress(*now)
            told = now
        working = [part for part in working if not part.proven and not part.stopped]
    order = joined.spread([run for part in parts for run in part.best()])
    least = max(least_cost(task), extra + sum(part.least for part in parts))
    return FoundOrder(order, least, _least_settings(task, least))


def _cost_of_followers(task: Task, roots: Sequence[int]) -> int:
    """What the joined runs cost whatever the order: the positions that only they need."""
    among = task.part(roots)
    return least_cost(task) - least_cost(among)


def _least_settings(task: Task, least: int) -> int:
    """Each position once, and as many more as the cost above that makes necessary."""
    once = [(area & ~standing).bit_count() for area, standing in zip(task.areas, task.standing, strict=True)]
    above = least - sum(count * weight for count, weight in zip(once, task.weights, strict=True))
    return sum(once) - (-above // max(task.weights, default=1))


class _Part:
    """Runs of the task that hang together."""

    def __init__(self, task: Task, runs: Sequence[int]) -> None:
        self.task = task
        self.runs = runs
        self.search = Search(task, first_order(task))
        self.least = least_cost(task)
        self.layers = Layers(task, self.search.cost)
        self.order = self.search.order
        self.cost = self.search.cost
        self.stopped = False
        self._steps = self._work()

    @property
    def proven(self) -> bool:
        return self.cost <= self.least

    def advance(self) -> bool:
        """One step further; False when there is nothing left to try."""
        return next(self._steps, None) is not None

    def best(self) -> list[int]:
        """The best order; of the two ways to read it the one with the longer position first."""
        order = self.order
        if self.task.free and not self.task.crowded:
            order = min(order, order[::-1])
        return [self.runs[run] for run in order]

    def _work(self) -> Iterator[bool]:
        searching = self.search.advance()
        for _ in range(WARM_UP):
            yield self._searched(searching)
        proving: Iterator[None] | None = self.layers.advance()
        since, known = 0, self.cost
        while since < ENOUGH:
            if proving is not None:
                for _ in range(3):
                    if proving is not None:
                        proving = self._proved(proving)
                        yield True
            if proving is None or self.task.runs > ALWAYS_PROVEN:
                since = 0 if self.cost < known else since + 1
                known = self.cost
                yield self._searched(searching)

    def _searched(self, searching: Iterator[None]) -> bool:
        next(searching)
        if self.search.cost < self.cost:
            self.order, self.cost = self.search.order, self.search.cost
            self.layers.ceiling = min(self.layers.ceiling, self.cost)
        return True

    def _proved(self, proving: Iterator[None]) -> Iterator[None] | None:
        """The proof one step further, or None when it has ended or is out of reach."""
        hopeless = self.task.runs > ALWAYS_PROVEN and self.cost - self.least > WORTH_PROVING * self.cost
        going = not hopeless and self.layers.nodes < LAYER and next(proving, self) is None
        if self.layers.order is not None and self.layers.ceiling < self.cost:
            self.order, self.cost = self.layers.order, cost_of(self.task, self.layers.order)[0]
        self.least = max(self.least, min(self.layers.floor, self.cost))
        return proving if going else None
