"""What an order costs as seen from any of its gaps, so that a change is priced without going through the whole order.

With the order fixed, a setting is saved where a position stands on from one run that needs it to the next. The most
that can stand on, no more at any run than the axis has places left, is a question of intervals, so it equals the
least cut (Hoffman & Kruskal 1956: consecutive ones). Written out, the settings of an axis of C places are the greatest
of these sums: cut the order at any runs, count the different positions of every stretch from one cut to the next, both
runs at its ends included, and take C off for each cut. Keeping what is needed soonest (Tang & Denardo, Operations
Research 36(5), 1988) reaches this number.

Seen from a gap, the runs on one side come down to their open stretches: `(positions, settings)`, the positions of the
stretch so far, and the settings counted outside it, less those of the whole side. Of two stretches the one that began
earlier holds all positions of the other, so it grows by less: once it does not lead, it never will, and is left out.
"""

from collections.abc import Iterable, Sequence
from typing import TypeAlias

from stopwright.plan.ordering.task import Task, bits, union

Stretches: TypeAlias = tuple[tuple[int, int], ...]  # open stretches of one axis, the shortest first
Side: TypeAlias = tuple[int, tuple[Stretches, ...]]  # what the runs on one side of a gap cost, and how they end


class Sides:
    """How the side of a gap grows by a run, and what two sides cost together.

    Stops that only other stops keep apart are not told from such that fit together: where stops meet, a cost here
    is a bound, exact for one position beside the run's own.

    Two widths with a length between them, one fence and one stop: in a row each is set once, else the length twice.

    >>> sides = Sides(Task(((1, 4), (1, 8), (2, 4)), (1, 1), (1, 1), (3, 12), (0, 0), (0, 0, 0), ({}, {})))
    >>> sides.ahead([1, 0, 2])[-1][0], sides.ahead([0, 1, 2])[-1][0]
    (4, 5)
    """

    def __init__(self, task: Task) -> None:
        self.weights = task.weights
        # Run by run and axis by axis: positions needed, how many, places, what cannot stand beside them, weight.
        self.wants = [
            [
                (need, need.bit_count(), holds, union(close.get(position, 0) for position in bits(need)), weight)
                for need, holds, close, weight in zip(needs, task.holds, task.close, task.weights, strict=True)
            ]
            for needs in task.needs
        ]
        self.first: Side = (0, tuple(((standing, -standing.bit_count()),) for standing in task.standing))
        self.last: Side = (0, tuple(((0, 0),) for _ in task.standing))

    def ahead(self, order: Sequence[int]) -> list[Side]:
        """The side before each gap of the order, the gap before the first run first."""
        sides = [self.first]
        for run in order:
            sides.append(self.grown(sides[-1], run))
        return sides

    def behind(self, order: Sequence[int]) -> list[Side]:
        """The side after each gap of the order, the gap before the first run first."""
        sides = [self.last]
        for run in reversed(order):
            sides.append(self.grown(sides[-1], run))
        return sides[::-1]

    def grown(self, side: Side, run: int) -> Side:
        """The side with one more run next to the gap."""
        cost, ends = side
        new = []
        for (need, size, holds, barred, weight), stretches in zip(self.wants[run], ends, strict=True):
            most = -1 << 60
            leading = []
            for positions, settings in stretches:
                positions |= need
                count = settings + positions.bit_count()
                if count > most:
                    most = count
                    leading.append((count, positions, settings))
            cost += weight * most
            own = most + size - holds  # the count of the stretch that begins with this run
            longer = [(positions, settings - most) for count, positions, settings in leading if count > own]
            if barred:
                longer = [
                    (positions & ~barred, settings + (positions & barred).bit_count()) for positions, settings in longer
                ]
            new.append(((need, -holds), *longer))
        return cost, tuple(new)

    def gaps(
        self,
        run: int,
        ahead: Sequence[Side],
        behind: Sequence[Side],
        reach: Iterable[int],
        limit: float = float("inf"),
        far: float = 0,
    ) -> list[tuple[int, int]]:
        """Gaps into which the run may go and the cost of the order then, of those in `reach`.

        The gaps of least cost are all among them, and every other that costs at most `far` more; a gap that costs
        more than `limit` and `far` is not.
        """
        found = []
        for gap in reach:
            cost = self.joined(self.grown(ahead[gap], run), behind[gap], limit + far)
            if cost <= limit + far:
                found.append((gap, cost))
                limit = min(limit, cost)
        return found

    def joined(self, before: Side, after: Side, limit: float) -> int:
        """The cost of an order, from the two sides of one of its gaps; beyond `limit` it may come out too low."""
        cost = before[0] + after[0]
        if len(self.weights) == 1:
            weight = self.weights[0]
            return cost + weight * _joined(before[1][0], after[1][0], (limit - cost) / weight)
        for weight, left, right in zip(self.weights, before[1], after[1], strict=True):
            cost += weight * _joined(left, right, float("inf"))
        return cost


def _joined(before: Stretches, after: Stretches, limit: float) -> int:
    most = -1 << 60
    for left, counted in before:
        for right, settings in after:
            count = counted + settings + (left | right).bit_count()
            if count > most:
                most = count
                if count > limit:
                    return count
    return most
