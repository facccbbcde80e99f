"""A good order for many runs: at a constant heat, move one run where it costs little, turn a stretch about, and again.

A move of one run is drawn from all its gaps at once (heat bath; Geman & Geman, IEEE Transactions on Pattern Analysis
and Machine Intelligence 6, 1984), a turn is taken or not (Metropolis et al., Journal of Chemical Physics 21, 1953).
Moves alone freeze; turns let whole stretches of an order find each other. Where most runs share no position, a run is
moved beside those with which it does, and stretches are turned to bring such runs together: nothing else saves. The
heat never falls, so that the search may be stopped at any time: it needs to know of no end (on constant heat: Fielding,
SIAM Journal on Optimization 11, 2000).
"""

from collections.abc import Sequence
from math import exp

from stopwright.plan.ordering.loading import cost_of
from stopwright.plan.ordering.stretches import Side, Sides
from stopwright.plan.ordering.task import Task, bits
from stopwright.plan.ordering.walk import ANY, Lots, Walk

SPARSE = 0.3  # runs are kin to fewer than this share of all: they are brought together, other gaps are not looked at
FAR = 2  # settings: gaps dearer than the cheapest by more are never drawn; by 3 it would be one in 100 000


class Search(Walk):
    """A walk over all orders that keep what must come before what, priced from both sides of a change."""

    turns = 4
    step = 100  # runs and gaps looked at

    def __init__(self, task: Task, order: Sequence[int]) -> None:
        super().__init__(task, order, sum(positions.bit_count() for positions in task.whole) / max(task.runs, 1))
        self.sides = Sides(task)
        self.before, self.after = all_before(task)
        self.bound = any(self.before)
        self.kin = kin(task)
        self._take(self.order)

    def _take(self, order: Sequence[int]) -> None:
        """Stand at this order."""
        self.now = list(order)
        self.ahead = self.sides.ahead(order)
        self.behind = self.sides.behind(order)
        self.here = self.ahead[-1][0]

    def _turn(self) -> int:
        """Turn a stretch about, if it does not get too dear; returns how many runs were looked at."""
        first, last = self._stretch()
        turned = self.now[first : last + 1][::-1]
        if first == last or (self.bound and self._out_of_order(turned)):
            return 1
        limit = self.dearest()
        side = self.ahead[first]
        for run in turned:
            side = self.sides.grown(side, run)
        cost = self.sides.joined(side, self.behind[last + 1], limit)
        if cost <= limit:
            self.now[first : last + 1] = turned
            self._changed(first, last, cost)
        return len(turned)

    def _stretch(self) -> tuple[int, int]:
        """The first and the last place of a stretch to be turned about.

        Where few runs share a position, mostly so that one of them comes to lie beside another with which it does.
        """
        one = self.lots.below(self.task.runs)
        near = self.kin[self.now[one]]
        if not near or not self.lots.below(ANY):
            other = self.lots.below(self.task.runs)
            return min(one, other), max(one, other)
        other = self.now.index(near[self.lots.below(len(near))])
        return (one, other - 1) if one < other else (other + 1, one)

    def _out_of_order(self, runs: Sequence[int]) -> bool:
        """Whether a run must come before one that is ahead of it."""
        ahead = 0
        for run in runs:
            if self.after[run] & ahead:
                return True
            ahead |= 1 << run
        return False

    def _move(self) -> int:
        """Move a run to a gap drawn from all of them, the cheaper the likelier; returns how many were looked at."""
        place = self.lots.below(self.task.runs)
        run = self.now[place]
        others = self.now[:place] + self.now[place + 1 :]
        ahead, behind = self._without(place)
        within: Sequence[int] = reach(others, self.before[run], self.after[run])
        if self.kin[run]:
            near = frozenset(self.kin[run])
            beside = {at + after for at, other in enumerate(others) if other in near for after in (0, 1)}
            within = [gap for gap in within if gap in beside or gap == place]
        gaps = self.sides.gaps(run, ahead, behind, within, self.here, FAR * self.setting)
        least = min(cost for _, cost in gaps)
        gap, cost = gaps[self.lots.draw([exp((least - cost) / self.heat) for _, cost in gaps])]
        if gap != place:
            others.insert(gap, run)
            self.now = others
            self._changed(min(place, gap), max(place, gap), cost)
        return len(within)

    def _without(self, place: int) -> tuple[list[Side], list[Side]]:
        """The sides of every gap of the order with the run at this place taken out."""
        ahead = self.ahead[: place + 1]
        self._follow(ahead, self.now[place + 1 :], self.ahead[place + 2 :])
        behind = self.behind[:place:-1]
        self._follow(behind, self.now[:place][::-1], self.behind[:place][::-1])
        return ahead, behind[::-1]

    def _changed(self, first: int, last: int, cost: int) -> None:
        """Bring the sides up to date after a change from one place to another."""
        ahead = self.ahead[: first + 1]
        for run in self.now[first:last]:
            ahead.append(self.sides.grown(ahead[-1], run))
        self._follow(ahead, self.now[last:], self.ahead[last + 1 :])
        behind = self.behind[:last:-1]
        for run in self.now[last:first:-1]:
            behind.append(self.sides.grown(behind[-1], run))
        self._follow(behind, self.now[first::-1], self.behind[first::-1])
        self.ahead, self.behind, self.here = ahead, behind[::-1], cost
        if cost < self.cost:
            self._record(cost)

    def _follow(self, sides: list[Side], runs: Sequence[int], known: Sequence[Side]) -> None:
        """Go on past the change; as soon as a side ends as it did before, those after it differ in cost alone."""
        for at, run in enumerate(runs):
            side = self.sides.grown(sides[-1], run)
            sides.append(side)
            if side[1] == known[at][1]:
                more = side[0] - known[at][0]
                sides += [(cost + more, ends) for cost, ends in known[at + 1 :]]
                return

    def _record(self, cost: int) -> None:
        """The order as it stands is the best so far, unless stops in each other's way make it dearer."""
        if self.task.crowded:
            cost = cost_of(self.task, self.now)[0]
        if cost < self.cost:
            self.order, self.cost = list(self.now), cost


def first_order(task: Task) -> list[int]:
    """A quick order: the runs with the most needs first, each put where it costs least; lots decide a tie."""
    lots = Lots(task.runs)
    sides = Sides(task)
    before, after = all_before(task)
    order: list[int] = []
    whole = task.whole
    for run in sorted(range(task.runs), key=lambda run: (-whole[run].bit_count(), run)):
        gaps = sides.gaps(run, sides.ahead(order), sides.behind(order), reach(order, before[run], after[run]))
        least = min(cost for _, cost in gaps)
        best = [gap for gap, cost in gaps if cost == least]
        order.insert(best[lots.below(len(best))], run)
    return order


def kin(task: Task) -> list[list[int]]:
    """For each run those that share a position with it; none for any where most runs are kin.

    Four runs in a row, each with one position of the next:

    >>> kin(Task(((1,), (3,), (6,), (4,)), (2,), (1,), (7,), (0,), (0,) * 4, ({},)))
    [[], [], [], []]
    >>> kin(Task(((1,), (1,), (2,), (4,), (8,)), (1,), (1,), (15,), (0,), (0,) * 5, ({},)))
    [[1], [0], [], [], []]
    """
    near = [
        [other for other, need in enumerate(task.whole) if other != run and need & mine]
        for run, mine in enumerate(task.whole)
    ]
    many = sum(map(len, near)) > SPARSE * task.runs**2
    return [[] for _ in near] if many else near


def reach(order: Sequence[int], before: int, after: int) -> range:
    """The gaps of the order that lie behind all runs of `before` and ahead of all runs of `after`, both as bits."""
    first, last = 0, len(order)
    if before or after:
        for at, other in enumerate(order):
            if before >> other & 1:
                first = at + 1
            elif after >> other & 1:
                last = min(last, at)
    return range(first, last + 1)


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
