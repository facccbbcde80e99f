"""A good order for many runs: take a few runs out, put each back where it costs least, again and again.

Large neighbourhood search (Shaw 1998; ruin and recreate, Schrimpf et al., Journal of Computational Physics 159,
2000). What may still stand is known before and after every gap of the order, so putting a run into a gap is
priced exactly in one step and one comparison, without replaying the order.
"""

from collections.abc import Iterator, Sequence

from stopwright.plan.sequence_loading import cost_of
from stopwright.plan.sequence_standing import State, most_shared, step
from stopwright.plan.sequence_task import Task, bits

States = list[State]
EVERYTHING = -1


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

    def mix(self, things: list[int]) -> None:
        """Put the list in a random order."""
        for at in range(len(things) - 1, 0, -1):
            other = self.below(at + 1)
            things[at], things[other] = things[other], things[at]


class Gaps:
    """An order being built, with what may still stand before and after every gap."""

    def __init__(self, task: Task, order: Sequence[int]) -> None:
        self.task = task
        self.axes = [
            (axis, weight, [task.holds[axis] - need[axis].bit_count() for need in task.needs])
            for axis, weight in enumerate(task.weights)
        ]
        self.order = list(order)
        self.ahead: list[tuple[int, States]] = [(0, [(standing,) for standing in task.standing])]
        self.behind: list[tuple[int, States]] = [(0, [(0,) for _ in task.standing])]  # from the last gap
        self.refresh(0, 0)

    @property
    def cost(self) -> int:
        """The cost of the order as it stands."""
        return self.ahead[-1][0]

    def refresh(self, kept_ahead: int, kept_behind: int) -> None:
        """Bring the states up to date; so many runs at the start and at the end are as they were."""
        del self.ahead[kept_ahead + 1 :]
        for run in self.order[kept_ahead:]:
            self.ahead.append(self._after(self.ahead[-1], run))
        del self.behind[kept_behind + 1 :]
        for run in reversed(self.order[: len(self.order) - kept_behind]):
            self.behind.append(self._after(self.behind[-1], run))

    def _after(self, front: tuple[int, States], run: int) -> tuple[int, States]:
        cost, states = front
        needs = self.task.needs[run]
        new: States = []
        for axis, weight, rooms in self.axes:
            need = needs[axis]
            hits, state = step(states[axis], need, rooms[run], EVERYTHING)
            cost += weight * (need.bit_count() - hits)
            new.append(state)
        return cost, new

    def price(self, run: int, gap: int) -> int:
        """The cost of the whole order with the run put into the gap."""
        cost, states = self._after(self.ahead[gap], run)
        rest, after = self.behind[len(self.order) - gap]
        cost += rest
        for axis, weight, _ in self.axes:
            cost -= weight * most_shared(states[axis], after[axis])
        return cost

    def put(self, run: int, gap: int) -> None:
        """Put the run into the gap."""
        behind = len(self.order) - gap
        self.order.insert(gap, run)
        self.refresh(gap, behind)

    def take(self, runs: set[int]) -> None:
        """Take runs out of the order."""
        places = [at for at, run in enumerate(self.order) if run in runs]
        last = len(self.order) - 1 - places[-1]
        self.order = [run for run in self.order if run not in runs]
        self.refresh(places[0], last)


class PlainGaps:
    """The same for stops that stand in each other's way: every order is replayed."""

    def __init__(self, task: Task, order: Sequence[int]) -> None:
        self.task = task
        self.order = list(order)

    @property
    def cost(self) -> int:
        """The cost of the order as it stands."""
        return cost_of(self.task, self.order)[0]

    def price(self, run: int, gap: int) -> int:
        """The cost of the whole order with the run put into the gap."""
        return cost_of(self.task, [*self.order[:gap], run, *self.order[gap:]])[0]

    def put(self, run: int, gap: int) -> None:
        """Put the run into the gap."""
        self.order.insert(gap, run)

    def take(self, runs: set[int]) -> None:
        """Take runs out of the order."""
        self.order = [run for run in self.order if run not in runs]


def put_back(gaps: Gaps | PlainGaps, run: int, before: Sequence[int], after: Sequence[int], lots: Lots) -> None:
    """Put the run where it costs least, of those gaps that its precedences leave; lots decide a tie."""
    first, last = 0, len(gaps.order)
    if before[run] or after[run]:
        for at, other in enumerate(gaps.order):
            if before[run] >> other & 1:
                first = at + 1
            elif after[run] >> other & 1:
                last = min(last, at)
    best: list[int] = []
    least = 0
    for gap in range(first, last + 1):
        cost = gaps.price(run, gap)
        if not best or cost < least:
            best, least = [gap], cost
        elif cost == least:
            best.append(gap)
    gaps.put(run, best[lots.below(len(best))])


class Search:
    """A search that starts from an order and never ends; `order` and `cost` are the best so far."""

    def __init__(self, task: Task, order: Sequence[int]) -> None:
        self.task = task
        self.gaps = _gaps(task, order)
        self.order = list(order)
        self.cost = self.gaps.cost
        self.current, self.current_cost = self.order, self.cost
        self.waiting: list[int] | None = None

    def go_on_from(self, order: list[int], cost: int) -> None:
        """Go on from a better order found elsewhere, as soon as all runs are back in place."""
        self.order, self.cost = order, cost
        self.waiting = order

    def advance(self) -> Iterator[None]:
        """Search on; every step puts one run back."""
        task = self.task
        lots = Lots(task.runs)
        before, after = all_before(task)
        small = min(weight for weight in task.weights)
        while True:
            if self.waiting is not None:
                self.current, self.current_cost, self.waiting = self.waiting, self.cost, None
                self.gaps = _gaps(task, self.current)
            out = _choose(self.current, task.whole, lots)
            self.gaps.take(set(out))
            lots.mix(out)
            for run in out:
                put_back(self.gaps, run, before, after, lots)
                yield
            new = self.gaps.cost
            if new <= self.current_cost or (new - self.current_cost) * 3 <= small * _patience(lots):
                self.current, self.current_cost = list(self.gaps.order), new
                if new < self.cost:
                    self.order, self.cost = self.current, new
            else:
                self.gaps = _gaps(task, self.current)


def _gaps(task: Task, order: Sequence[int]) -> Gaps | PlainGaps:
    return PlainGaps(task, order) if task.crowded else Gaps(task, order)


def _patience(lots: Lots) -> int:
    """Mostly 0, now and then enough for a step or two for the worse."""
    draw = lots.below(100)
    return 0 if draw < 90 else 3 if draw < 98 else 6


def _choose(order: Sequence[int], whole: Sequence[int], lots: Lots) -> list[int]:
    """Some runs to take out: neighbours in the order, or runs alike, or any."""
    count = min(len(order), 2 + lots.below(min(6, max(1, len(order) // 3))))
    way = lots.below(3)
    if way == 0:
        start = lots.below(len(order) - count + 1)
        return list(order[start : start + count])
    if way == 1:
        first = order[lots.below(len(order))]
        alike = sorted(order, key=lambda run: (-(whole[run] & whole[first]).bit_count() + lots.below(3), run))
        return list(dict.fromkeys([first, *alike]))[:count]
    mixed = list(order)
    lots.mix(mixed)
    return mixed[:count]


def first_order(task: Task) -> list[int]:
    """A quick order: the runs with the most needs first, each put where it costs least."""
    lots = Lots(task.runs)
    before, after = all_before(task)
    gaps = _gaps(task, [])
    for run in sorted(range(task.runs), key=lambda run: (-task.whole[run].bit_count(), run)):
        put_back(gaps, run, before, after, lots)
    return gaps.order


def all_before(task: Task) -> tuple[list[int], list[int]]:
    """For each run all that must come before it, over any number of others, and all that must come after."""
    before = list(task.before)
    changed = True
    while changed:
        changed = False
        for run in range(task.runs):
            more = before[run]
            for other in bits(before[run]):
                more |= before[other]
            if more != before[run]:
                before[run], changed = more, True
    after = [0] * task.runs
    for run in range(task.runs):
        for other in bits(before[run]):
            after[other] |= 1 << run
    return before, after
