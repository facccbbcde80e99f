"""The order of a whole task: joined runs, separate parts, and for each part proof and search turn and turn about."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from stopwright.plan.effort import Effort
from stopwright.plan.ordering.bounds import each_once, least_cost
from stopwright.plan.ordering.exact import Layers
from stopwright.plan.ordering.few import FewRuns
from stopwright.plan.ordering.loading import cost_of
from stopwright.plan.ordering.pairs import fences
from stopwright.plan.ordering.parts_search import PartsSearch, width_by_width
from stopwright.plan.ordering.reduce import join_runs, separate
from stopwright.plan.ordering.search import Search, first_order
from stopwright.plan.ordering.task import Task
from stopwright.plan.ordering.trails import Trails, fits

Progress = Callable[[int, int], None]

ALWAYS_PROVEN = 16  # so many runs are proven whatever the gap
WORTH_PROVING = 0.15  # with more runs, and a gap beyond this share of the cost, a proof is out of reach
FEW = 24
WORTH_PROVING_IF_NEAR = 0.3  # with few runs, or parts on a fence, which have a better bound
MANY = 100
WORTH_PROVING_IF_MANY = 0.03  # with many runs, whatever they are
WARM_UP = 600  # steps of search without a better order before the proof, which wants a low ceiling; fewer runs, fewer
PROOF_SHARE = 3  # steps of proof for one of search
BOUND_EVERY = 4  # steps of search for one of the bound by a few runs, where no proof is in reach
MOST_TRAILS = 120  # runs; beyond that one question to HiGHS may take longer than a person waits
FIRST_WIDTH = 12  # nodes of a layer where there are many runs
WIDER = 4
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
    parts = [_Part(task.part(runs), runs, effort) for runs in separate(task, joined.roots)]
    extra = _cost_of_followers(task, joined.roots)
    told: tuple[int, int] | None = None
    working = parts
    while working:
        now = extra + sum(part.cost for part in parts), extra + sum(part.least for part in parts)
        if progress is not None and now != told:
            progress(*now)
            told = now
        working = [part for part in working if not part.proven and not part.stopped]
        for part in working:
            part.stopped = effort() or not part.advance()
    order = joined.spread([run for part in parts for run in part.best()])
    least = max(least_cost(task), extra + sum(part.least for part in parts))
    return FoundOrder(order, least, _least_settings(task, least))


def _cost_of_followers(task: Task, roots: Sequence[int]) -> int:
    """What the joined runs cost whatever the order: the positions that only they need."""
    among = task.part(roots)
    return each_once(task) - each_once(among)


def _least_settings(task: Task, least: int) -> int:
    """Each position once, and as many more as the cost above that makes necessary."""
    once = [(area & ~standing).bit_count() for area, standing in zip(task.areas, task.standing, strict=True)]
    above = least - sum(count * weight for count, weight in zip(once, task.weights, strict=True))
    return sum(once) - (-above // max(task.weights, default=1))


class _Part:
    """Runs of the task that hang together."""

    def __init__(self, task: Task, runs: Sequence[int], effort: Effort) -> None:
        self.task = task
        self.effort = effort
        self.runs = runs
        parts = fences(task)
        self.search: Search | PartsSearch
        if parts and task.runs > FEW and not any(task.before):
            self.search = PartsSearch(task, parts[0], width_by_width(task, parts[0]))
        else:
            self.search = Search(task, first_order(task))
        self.least = least_cost(task)
        self.order = self.search.order
        self.cost = self.search.cost
        self.stopped = False
        near = task.runs <= FEW or (task.runs <= MANY and bool(parts))
        self.worth = WORTH_PROVING_IF_NEAR if near else WORTH_PROVING if task.runs <= MANY else WORTH_PROVING_IF_MANY
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
        if fits(self.task) and self.task.runs <= MOST_TRAILS:
            yield from self._ask_for_trails()
        searching = self.search.advance()
        since, known = 0, self.cost
        while since < min(WARM_UP, self.task.runs**2):
            yield self._searched(searching)
            since, known = (0, self.cost) if self.cost < known else (since + 1, known)
        proving: Iterator[None] | None = self._proof()
        bounding = self._bound()
        while since < ENOUGH:
            for _ in range(PROOF_SHARE):
                if proving is None or next(proving, self) is self:
                    proving = None
                    break
                yield True
            if proving is None or self.task.runs > ALWAYS_PROVEN:
                yield self._searched(searching)
                since, known = (0, self.cost) if self.cost < known else (since + 1, known)
            if proving is None and since % BOUND_EVERY == 0 and next(bounding, self) is not self:
                yield True

    def _bound(self) -> Iterator[None]:
        """The bound by a few runs; parts on a fence have a better one."""
        if self.task.runs <= ALWAYS_PROVEN or fences(self.task):
            return
        few = FewRuns(self.task)
        for _ in few.advance():
            self.least = max(self.least, min(few.floor, self.cost))
            yield
        self.least = max(self.least, min(few.floor, self.cost))

    def _ask_for_trails(self) -> Iterator[bool]:
        trails = Trails(self.task, self.effort)
        for _ in trails.advance():
            self.least = max(self.least, min(trails.floor, self.cost))
            yield True
        if trails.order is not None:
            self._take(trails.order)
        self.least = max(self.least, min(trails.floor, self.cost))
        yield True

    def _take(self, order: list[int]) -> None:
        """An order found elsewhere than by the search, if it is better."""
        cost, _ = cost_of(self.task, order)
        if cost < self.cost:
            self.order, self.cost = order, cost
            self.search.go_on_from(order, cost)

    def _searched(self, searching: Iterator[None]) -> bool:
        next(searching)
        if self.search.cost < self.cost:
            self.order, self.cost = self.search.order, self.search.cost
        return True

    def _proof(self) -> Iterator[None]:
        """Layers without a limit where there are few runs, else with ever wider ones until nothing is left out."""
        width = None if self.task.runs <= ALWAYS_PROVEN else FIRST_WIDTH
        while True:
            if width is not None and self.cost - self.least > self.worth * self.cost:
                return
            layers = Layers(self.task, self.cost, width)
            for _ in layers.advance():
                layers.ceiling = min(layers.ceiling, self.cost)
                yield
            if layers.order is not None:
                self._take(layers.order)
            self.least = max(self.least, min(layers.floor, self.cost))
            if width is None or layers.lost is None:
                return
            width *= WIDER
