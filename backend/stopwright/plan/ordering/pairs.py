"""A bound for parts worked on a fence and some stops: every part has one width and one length.

While a width stands, the parts made there are those whose stops stood when the fence was set, at most as many as
the axis holds, and those whose stop is set meanwhile. So with v visits to a width of p parts at least p − c·v
stops are set there, and a further visit, which costs a setting of the fence, saves at most c of them. A length
that only one part wants any more is not among those that stood, unless it stands now. Stops in each other's way
and precedences only make it dearer.
"""

from dataclasses import dataclass

from stopwright.plan.ordering.standing import State, most_standing
from stopwright.plan.ordering.task import Task, bits


@dataclass(frozen=True, slots=True)
class Fence:
    """One way to read a task: this axis holds one position, the other some; both are needed by every run."""

    task: Task
    fence: int
    stops: int

    def remaining(self, runs: int) -> "Remaining":
        """The parts still to make, width by width."""
        widths: dict[int, int] = {}
        once = twice = 0
        for run in bits(runs):
            need = self.task.needs[run]
            width, length = need[self.fence], need[self.stops]
            widths[width] = widths.get(width, 0) | length
            twice |= once & length
            once |= length
        rest = Remaining(self, widths, once & ~twice, once, 0, [0] * (self.task.holds[self.stops] + 1))
        for lengths in widths.values():
            rest.count(lengths, 1)
        return rest


@dataclass(slots=True)
class Remaining:
    """Parts still to make: the lengths of each width, those wanted by one part only, and all.

    `made` stops are set if each width is visited once with all its stops but for the axis's places in need of
    setting; `gains[g]` further visits would save g of them.
    """

    fence: Fence
    widths: dict[int, int]
    once: int
    lengths: int
    made: int
    gains: list[int]

    def count(self, lengths: int, times: int) -> None:
        """Count a width with these lengths in, or out again with −1."""
        holds = len(self.gains) - 1
        own = (lengths & self.once).bit_count()
        more = max(0, lengths.bit_count() - own - holds)
        self.made += times * (own + more)
        self.gains[holds] += times * (more // holds)
        self.gains[more % holds] += times  # gains[0] means nothing

    def without(self, run: int) -> "Remaining":
        """The parts still to make after one more."""
        need = self.fence.task.needs[run]
        width, length = need[self.fence.fence], need[self.fence.stops]
        rest = Remaining(self.fence, dict(self.widths), self.once, self.lengths, self.made, list(self.gains))
        rest.count(self.widths[width], -1)
        left = rest.widths.pop(width) & ~length
        others = [other for other, lengths in rest.widths.items() if lengths & length]
        if len(others) == 1:
            rest.count(rest.widths[others[0]], -1)
            rest.once |= length
            rest.count(rest.widths[others[0]], 1)
        elif not others:
            rest.once &= ~length
            rest.lengths &= ~length
        if left:
            rest.widths[width] = left
            rest.count(left, 1)
        return rest

    def least(self, states: tuple[State, ...]) -> int:
        """A cost that the rest cannot undercut from what may stand now."""
        fence, holds = self.fence, len(self.gains) - 1
        standing, stops = states[fence.fence][0], states[fence.stops]
        visits = len(self.widths) - (standing in self.widths)
        to_set = self.lengths.bit_count() - most_standing(stops, self.lengths)
        if not stops[0] and standing not in self.widths:
            # No stop stands when the first width is begun.
            firsts = {min(holds, (lengths & ~self.once).bit_count()) for lengths in self.widths.values()}
            return min((self._cost(visits, self.made + first, to_set, [first]) for first in firsts), default=0)
        made = self.made
        changes: list[int] = []
        ready_once = self.once & stops[0]
        for width, lengths in self.widths.items():
            if width != standing and not lengths & ready_once:
                continue
            count = lengths.bit_count()
            own = (lengths & self.once).bit_count()
            before = max(0, count - own - holds)
            own_now = own - (lengths & ready_once).bit_count()
            ready = most_standing(stops, lengths) if width == standing else holds
            after = max(0, count - own_now - ready)
            made += own_now + after - own - before
            if after != before:
                changes += (after, -before)
        return self._cost(visits, made, to_set, changes)

    def _cost(self, visits: int, made: int, to_set: int, changes: list[int]) -> int:
        """The cost with as many further visits as pay; `changes` are stops that further visits may save besides."""
        weights = self.fence.task.weights
        fence_cost, stop_cost = weights[self.fence.fence], weights[self.fence.stops]
        above = made - to_set
        if above <= 0:
            return visits * fence_cost + to_set * stop_cost
        cost = visits * fence_cost + made * stop_cost
        holds = len(self.gains) - 1
        gains = self.gains
        if changes:
            gains = list(gains)
            for more in changes:
                sign = 1 if more > 0 else -1
                gains[holds] += sign * (abs(more) // holds)
                gains[abs(more) % holds] += sign
        for size in range(holds, 0, -1):
            if size * stop_cost <= fence_cost:
                break
            full = min(gains[size], above // size)
            cost -= full * (size * stop_cost - fence_cost)
            above -= full * size
            if full < gains[size]:
                return cost - max(0, above * stop_cost - fence_cost)
        return cost


def fences(task: Task) -> list[Fence]:
    """The ways to read the task as parts on a fence and stops; none if it is of another kind."""
    if len(task.holds) != 2 or any(need.bit_count() != 1 for needs in task.needs for need in needs):
        return []
    if len(set(task.whole)) < task.runs:
        return []
    ways = [Fence(task, 0, 1), Fence(task, 1, 0)]
    return [way for way in ways if task.holds[way.fence] == 1]


def least_of_pairs(task: Task) -> int:
    """A cost that no order of the parts undercuts; 0 if the task is of another kind."""
    states = tuple((standing,) for standing in task.standing)
    return max((fence.remaining((1 << task.runs) - 1).least(states) for fence in fences(task)), default=0)
