"""The best order of parts on one fence and one stop, proven for long lists: trails through widths and lengths.

A part is an edge between its width and its length. Runs that follow each other without both being set share a
width or a length, so such a row of runs is a trail through the graph, with further parts hanging on the knots it
passes: dominating trails (Harary & Nash-Williams, Canadian Mathematical Bulletin 8, 1965). All trails together,
closed over one added knot, are one connected graph with even degrees. HiGHS finds the best; what does not hang
together is forbidden and asked again, as for the travelling salesman.
"""

from collections.abc import Iterator, Mapping
from math import ceil

from stopwright.plan.effort import Effort
from stopwright.plan.ordering.task import Task
from stopwright.plan.programs import NO_LIMIT, Column, solve_whole

ROUNDS = 60  # questions to HiGHS; a list of 60 parts takes some ten
NODES = 5_000  # branches in one question


class Trails:
    """The model of one task; `advance` asks until the answer hangs together. See `fits` for which tasks it takes."""

    def __init__(self, task: Task, effort: Effort) -> None:
        self.effort = effort
        self.floor = 0
        self.order: list[int] | None = None
        self.edges = [(need[0], need[1]) for need in task.needs]
        self.knots = sorted({knot for edge in self.edges for knot in edge})
        weight_of = {knot: task.weights[side] for edge in self.edges for side, knot in enumerate(edge)}
        self.unknowns: list[tuple[int, int]] = []  # cost, greatest value
        self.rows: list[tuple[int, float, dict[int, int]]] = []  # least, greatest, factors
        # How often each knot is visited, whether at all, and how often a trail begins or ends there.
        self.visits = {knot: self._add(weight_of[knot], len(self.edges)) for knot in self.knots}
        self.visited = {knot: self._add(0, 1) for knot in self.knots}
        self.ends = {knot: self._add(0, 2) for knot in self.knots}
        # Each part leads on from knot to knot, or hangs on one of its two.
        self.leads = [self._add(0, 1) for _ in self.edges]
        self.hangs = [(self._add(weight_of[two], 1), self._add(weight_of[one], 1)) for one, two in self.edges]
        self._must(2, dict.fromkeys(self.ends.values(), 1))
        for edge, lead, hang in zip(self.edges, self.leads, self.hangs, strict=True):
            self._must(1, {lead: 1, hang[0]: 1, hang[1]: 1}, 1)
            for knot, hung in zip(edge, hang, strict=True):
                self._must(0, {self.visited[knot]: 1, lead: -1, hung: -1})
        for knot in self.knots:
            leading = {lead: 1 for edge, lead in zip(self.edges, self.leads, strict=True) if knot in edge}
            self._must(0, {**leading, self.ends[knot]: 1, self.visits[knot]: -2}, 0)
            self._must(0, {self.visits[knot]: 1, self.visited[knot]: -1})

    def _add(self, cost: int, greatest: int) -> int:
        self.unknowns.append((cost, greatest))
        return len(self.unknowns) - 1

    def _must(self, least: int, factors: Mapping[int, int], greatest: float = NO_LIMIT) -> None:
        self.rows.append((least, greatest, dict(factors)))

    def advance(self) -> Iterator[None]:
        """Ask again and again; a step is one question."""
        for _ in range(ROUNDS):
            entries: list[list[tuple[int, float]]] = [[] for _ in self.unknowns]
            for at, (_, _, factors) in enumerate(self.rows):
                for unknown, factor in factors.items():
                    entries[unknown].append((at, factor))
            columns = [Column(c, tuple(e), top) for (c, top), e in zip(self.unknowns, entries, strict=True)]
            found = solve_whole(columns, [(least, most) for least, most, _ in self.rows], self.effort, nodes=NODES)
            if found.bound < NO_LIMIT:
                self.floor = max(self.floor, ceil(found.bound - 1e-6))
            if found.values is None or not found.complete:
                return
            loose = self._loose(found.values)
            if not loose:
                self.order = self._read(found.values)
                return
            for group in loose:
                self._tie(group)
            yield

    def _loose(self, values: list[int]) -> list[set[int]]:
        """The groups of visited knots in which no trail ends."""
        group_of = {knot: {knot} for knot in self.knots if values[self.visited[knot]]}
        for (one, two), lead in zip(self.edges, self.leads, strict=True):
            if values[lead] and group_of[one] is not group_of[two]:
                group_of[one] |= group_of[two]
                for knot in group_of[two]:
                    group_of[knot] = group_of[one]
        groups = {id(group): group for group in group_of.values()}
        return [g for g in groups.values() if not any(values[self.ends[knot]] for knot in g)]

    def _tie(self, group: set[int]) -> None:
        """A group of which one knot is visited is left at least twice."""
        out = {
            lead: 1 for (one, two), lead in zip(self.edges, self.leads, strict=True) if (one in group) != (two in group)
        }
        out |= {self.ends[knot]: 1 for knot in group}
        for knot in sorted(group):
            self._must(0, {**out, self.visited[knot]: -2})

    def _read(self, values: list[int]) -> list[int]:
        """The runs along one closed walk over the added knot, −1."""
        near: dict[int, list[tuple[int, int]]] = {knot: [] for knot in [-1, *self.knots]}
        links = 0
        hanging: dict[int, list[int]] = {knot: [] for knot in self.knots}
        for run, ((one, two), lead, hang) in enumerate(zip(self.edges, self.leads, self.hangs, strict=True)):
            if values[lead]:
                near[one].append((run, two))
                near[two].append((run, one))
            else:
                hanging[one if values[hang[0]] else two].append(run)
        for knot in self.knots:
            for _ in range(values[self.ends[knot]]):
                links -= 1
                near[knot].append((links, -1))
                near[-1].append((links, knot))
        walk: list[tuple[int, int]] = []  # (link by which it is reached, knot), Hierholzer
        used: set[int] = set()
        waiting = [(0, -1)]
        while waiting:
            _, knot = waiting[-1]
            while near[knot] and near[knot][-1][0] in used:
                near[knot].pop()
            if near[knot]:
                link, other = near[knot].pop()
                used.add(link)
                waiting.append((link, other))
            else:
                walk.append(waiting.pop())
        order: list[int] = []
        for link, knot in reversed(walk):
            if link >= 0 and knot != -1:
                order.append(link)
            order += hanging.pop(knot, [])
        return order


def fits(task: Task) -> bool:
    """Whether these are parts of one width and one length on one fence and one stop, with nothing else to heed."""
    return (
        task.free
        and task.holds == (1, 1)
        and all(need.bit_count() == 1 for needs in task.needs for need in needs)
        and len(set(task.needs)) == task.runs
    )
