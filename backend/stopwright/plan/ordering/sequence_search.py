"""A good order for many runs: take a few runs out, put each back where it costs least, again and again.

Large neighbourhood search (Shaw 1998; ruin and recreate, Schrimpf et al., Journal of Computational Physics 159,
2000). What may still stand is known before and after every gap of the order, so putting a run into a gap is
priced exactly in one step and one comparison, without replaying the order.
"""

from collections.abc import Iterator, Sequence
from typing import TypeAlias

from stopwright.plan.ordering.sequence_loading import cost_of
from stopwright.plan.ordering.sequence_standing import State, most_shared, step
from stopwright.plan.ordering.sequence_task import Task, bits, union

Front: TypeAlias = tuple[int, tuple[State, ...]]  # a cost and what may still stand on each axis
EVERYTHING = -1
STEP = 50  # gaps priced in one step


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
    """An order being built, with what may still stand before and after every gap, brought up to date on demand."""

    def __init__(self, task: Task, order: Sequence[int], beside: list[list[int]] | None = None) -> None:
        self.task = task
        self.axes = [
            (axis, weight, task.holds[axis], [task.holds[axis] - need[axis].bit_count() for need in task.needs])
            for axis, weight in enumerate(task.weights)
        ]
        # What can stand beside a run, axis by axis. Two stops that only other stops keep apart are not told from
        # two that fit, so where stops meet a cost here is a bound, exact for one position beside the run's own.
        self.beside = (
            [
                [
                    ~union(close.get(position, 0) for position in bits(need)) if close else EVERYTHING
                    for need, close in zip(needs, task.close, strict=True)
                ]
                for needs in task.needs
            ]
            if beside is None
            else beside
        )
        self.order = list(order)
        self.ahead: list[Front] = [(0, tuple((standing,) for standing in task.standing))]
        self.behind: list[Front] = [(0, tuple((0,) for _ in task.standing))]  # the last gap first

    def cost(self) -> int:
        """The cost of the order as it stands."""
        self._catch_up()
        return self.ahead[-1][0]

    def _catch_up(self) -> None:
        for run in self.order[len(self.ahead) - 1 :]:
            self.ahead.append(self._after(self.ahead[-1], run))
        for run in reversed(self.order[: len(self.order) + 1 - len(self.behind)]):
            self.behind.append(self._after(self.behind[-1], run))

    def _after(self, front: Front, run: int) -> Front:
        cost, states = front
        needs = self.task.needs[run]
        beside = self.beside[run]
        new = []
        for axis, weight, _, rooms in self.axes:
            need = needs[axis]
            hits, state = step(states[axis], need, rooms[run], beside[axis])
            cost += weight * (need.bit_count() - hits)
            new.append(state)
        return cost, tuple(new)

    def best_gaps(self, run: int, first: int, last: int) -> tuple[int, list[int]]:
        """The least cost of the order with the run put back into a gap from first to last, and all such gaps."""
        self._catch_up()
        needs = self.task.needs[run]
        best: list[int] = []
        least = 1 << 60
        count = len(self.order)
        for gap in range(first, last + 1):
            before, states = self.ahead[gap]
            rest, after = self.behind[count - gap]
            # What may stand on both sides, whatever else must go, is a bound on what need not be set again.
            bound = before + rest
            for axis, weight, holds, _ in self.axes:
                need, may = needs[axis], states[axis][0]
                shared = ((may | need) & after[axis][0]).bit_count()
                bound += weight * ((need & ~may).bit_count() - (shared if shared < holds else holds))
            if bound > least:
                continue
            cost, states = self._after(self.ahead[gap], run)
            cost += rest
            for axis, weight, _, _ in self.axes:
                cost -= weight * most_shared(states[axis], after[axis])
            if cost < least:
                best, least = [gap], cost
            elif cost == least:
                best.append(gap)
        return least, best

    def put(self, run: int, gap: int) -> None:
        """Put the run into the gap."""
        del self.ahead[gap + 1 :]
        del self.behind[len(self.order) - gap + 1 :]
        self.order.insert(gap, run)

    def without(self, runs: set[int]) -> "Gaps":
        """The order with some runs taken out."""
        new = Gaps(self.task, [run for run in self.order if run not in runs], self.beside)
        places = [at for at, run in enumerate(self.order) if run in runs]
        new.ahead = self.ahead[: places[0] + 1]
        new.behind = self.behind[: len(self.order) - places[-1]]
        return new


def put_back(gaps: Gaps, run: int, before: Sequence[int], after: Sequence[int], lots: Lots) -> int:
    """Put the run where it costs least, of those gaps that its precedences leave; lots decide a tie.

    Returns the cost of the order.
    """
    first, last = 0, len(gaps.order)
    if before[run] or after[run]:
        for at, other in enumerate(gaps.order):
            if before[run] >> other & 1:
                first = at + 1
            elif after[run] >> other & 1:
                last = min(last, at)
    cost, best = gaps.best_gaps(run, first, last)
    gaps.put(run, best[lots.below(len(best))])
    return cost


class Search:
    """A search that starts from an order and never ends; `order` and `cost` are the best so far."""

    def __init__(self, task: Task, order: Sequence[int]) -> None:
        self.task = task
        self.gaps = Gaps(task, order)
        self.order = list(order)
        self.cost = cost_of(task, order)[0]
        self.handed: list[int] | None = None

    def go_on_from(self, order: list[int], cost: int) -> None:
        """Go on from a better order found elsewhere, as soon as all runs are back in place."""
        self.order, self.cost = order, cost
        self.handed = order

    def _record(self, cost: int) -> None:
        """The order as it stands is the best so far, unless stops in each other's way make it dearer."""
        order = list(self.gaps.order)
        if self.task.crowded:
            cost = cost_of(self.task, order)[0]
        if cost < self.cost:
            self.order, self.cost = order, cost

    def advance(self) -> Iterator[None]:
        """Search on; a step prices so many gaps."""
        task = self.task
        lots = Lots(task.runs)
        before, after = all_before(task)
        small = min(task.weights)
        cost = least = self.gaps.cost()
        priced = 0
        while True:
            if self.handed is not None:
                self.gaps, self.handed = Gaps(task, self.handed), None
                cost = self.gaps.cost()
                least = min(least, cost)
            out = _choose(self.gaps.order, task.whole, lots)
            gaps = self.gaps.without(set(out))
            lots.mix(out)
            new = 0
            for run in out:
                new = put_back(gaps, run, before, after, lots)
                priced += task.runs
                while priced > STEP:
                    priced -= STEP
                    yield
            # Record-to-record travel (Dueck 1993); where a hundredth is less than one setting, a step now and then.
            if new <= cost or new * 100 <= least * 101 or (least < 100 * small and new - cost <= small * _worse(lots)):
                self.gaps, cost = gaps, new
                least = min(least, new)
                if new < self.cost:
                    self._record(new)


def _worse(lots: Lots) -> int:
    """How many settings more an order may cost to go on from: mostly none, now and then one or two."""
    draw = lots.below(100)
    return 0 if draw < 90 else 1 if draw < 98 else 2


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
    gaps = Gaps(task, [])
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
