"""The best order, layer by layer: (runs done, what may still stand), with all that cannot win left out.

The layers follow the dynamic program for job sequencing with tool switching; what may still stand is kept open
(see `sequence_standing`), so that a way of doing some runs leaves one state and not one for each choice of
what to take away. A state gives way to another of the same runs done that is cheaper by at least what it can
lack. When the order may be read backwards, half the layers are enough: the other half is the first, mirrored.
"""

from collections.abc import Iterable, Iterator
from itertools import product
from typing import NamedTuple, TypeAlias

from stopwright.plan.sequence_loading import what_may_be_kept
from stopwright.plan.sequence_standing import State, most_missing, most_shared, most_standing, step
from stopwright.plan.sequence_task import Task, bits, union

States: TypeAlias = tuple[State, ...]


class Node(NamedTuple):
    """One way of doing some runs: its cost so far, a bound on the whole, what may still stand, how it came."""

    cost: int
    bound: int
    states: States
    parent: "Node | None"
    run: int


def path(node: Node) -> list[int]:
    """The runs of a node in order."""
    runs: list[int] = []
    at: Node | None = node
    while at is not None and at.run >= 0:
        runs.append(at.run)
        at = at.parent
    return runs[::-1]


class Layers:
    """The search for an order cheaper than `ceiling`, which may be lowered while it goes on.

    `advance` goes on in small steps. When it has ended, `order` is the cheapest order below the ceiling, or
    None if there is none; `floor` is at any time a cost that no order undercuts, the ceiling apart. With a
    `width` only so many nodes of each layer are kept.
    """

    def __init__(self, task: Task, ceiling: int, width: int | None = None) -> None:
        self.task = task
        self.ceiling = ceiling
        self.width = width
        self.floor = 0
        self.nodes = 0  # in the layer being made
        self.order: list[int] | None = None
        self.axes = range(len(task.holds))
        self.whole = task.whole
        self.all = (1 << task.runs) - 1
        self.rooms = [
            [holds - need.bit_count() for need, holds in zip(needs, task.holds, strict=True)] for needs in task.needs
        ]
        self.lost: int | None = None  # the least bound among nodes left out only for want of width
        mirrored = task.free and not task.crowded and width is None
        self.half = (task.runs + 1) // 2 if mirrored else task.runs

    def advance(self) -> Iterator[None]:
        """Search on; every step opens one node."""
        start = Node(0, 0, tuple((standing,) for standing in self.task.standing), None, -1)
        layer: dict[int, list[Node]] = {0: [start]}
        previous = layer
        for _ in range(self.half):
            new: dict[int, list[Node]] = {}
            yield from self._open(layer, new)
            previous, layer = layer, new
            bounds = [node.bound for nodes in layer.values() for node in nodes]
            if self.lost is not None:
                bounds.append(self.lost)
            self.floor = max(self.floor, min(bounds, default=self.ceiling))
        if self.half < self.task.runs:
            yield from self._meet(layer, previous if self.task.runs % 2 else layer)
            return
        best = min(layer.get(self.all, []), key=lambda node: node.cost, default=None)
        if best is not None and best.cost < self.ceiling:
            self.order, self.ceiling = path(best), best.cost
        self.floor = self.ceiling if self.lost is None else min(self.lost, self.ceiling)

    def _open(self, layer: dict[int, list[Node]], new: dict[int, list[Node]]) -> Iterator[None]:
        laters: dict[int, int] = {}
        self.nodes = 0
        for done, nodes in layer.items():
            later_of = {}
            for run in bits(self.all & ~done):
                if self.task.before[run] & ~done:
                    continue
                mask = done | 1 << run
                if mask not in laters:
                    laters[mask] = union(self.whole[other] for other in bits(self.all & ~mask))
                later_of[run] = laters[mask]
            for node in nodes:
                yield
                if node.bound < self.ceiling:
                    self._expand(node, done, later_of, new)
        if self.width is not None:
            self._narrow(new, self.width)

    def _expand(self, node: Node, done: int, later_of: dict[int, int], new: dict[int, list[Node]]) -> None:
        children: list[Node] = []
        for run, later in later_of.items():
            for child in self._children(node, run, later):
                if child.cost == node.cost and self._harmless(node, child, later):
                    children = [child]
                    break
                if child.bound < self.ceiling:
                    children.append(child)
            else:
                continue
            break
        for child in children:
            nodes = new.setdefault(done | 1 << child.run, [])
            self.nodes -= len(nodes)
            _keep(child, nodes, self.task.weights)
            self.nodes += len(nodes)

    def _children(self, node: Node, run: int, later: int) -> Iterable[Node]:
        task = self.task
        cost = node.cost
        bound = 0
        states: list[State] = []
        for axis in self.axes:
            need = task.needs[run][axis]
            if task.close[axis]:
                return self._crowded_children(node, run, later)
            weight = task.weights[axis]
            wanted = later & task.areas[axis]
            hits, state = step(node.states[axis], need, self.rooms[run][axis], wanted)
            cost += weight * (need.bit_count() - hits)
            bound += weight * (wanted.bit_count() - most_standing(state, -1))
            states.append(state)
        return (Node(cost, cost + bound, tuple(states), node, run),)

    def _crowded_children(self, node: Node, run: int, later: int) -> Iterable[Node]:
        task = self.task
        ways: list[list[tuple[int, State]]] = []
        for axis in self.axes:
            need = task.needs[run][axis]
            wanted = later & task.areas[axis]
            before = node.states[axis]
            if task.close[axis]:
                cost = (need & ~before[0]).bit_count()
                kept = what_may_be_kept(before[0], need, task.holds[axis], later, task.close[axis])
                ways.append([(cost, (state & wanted,)) for state in kept])
            else:
                hits, after = step(before, need, self.rooms[run][axis], wanted)
                ways.append([(need.bit_count() - hits, after)])
        for way in product(*ways):
            cost = node.cost + sum(weight * made for weight, (made, _) in zip(task.weights, way, strict=True))
            states = tuple(state for _, state in way)
            yield Node(cost, cost + self._still_to_set(states, later), states, node, run)

    def _still_to_set(self, states: States, later: int) -> int:
        return sum(
            weight * ((later & area).bit_count() - most_standing(state, -1))
            for weight, area, state in zip(self.task.weights, self.task.areas, states, strict=True)
        )

    def _harmless(self, node: Node, child: Node, later: int) -> bool:
        return all(
            most_missing(after, _restrict(before, later)) == 0
            for before, after in zip(node.states, child.states, strict=True)
        )

    def _narrow(self, new: dict[int, list[Node]], width: int) -> None:
        ranked = sorted(
            ((node.bound, node.cost, done, at) for done, nodes in new.items() for at, node in enumerate(nodes))
        )
        if len(ranked) <= width:
            return
        least = ranked[width][0]
        self.lost = least if self.lost is None else min(self.lost, least)
        kept: dict[int, list[Node]] = {}
        for _, _, done, at in ranked[:width]:
            kept.setdefault(done, []).append(new[done][at])
        new.clear()
        new.update(kept)

    def _meet(self, front: dict[int, list[Node]], back: dict[int, list[Node]]) -> Iterator[None]:
        pair = None
        for done, nodes in front.items():
            yield
            for other in back.get(self.all & ~done, ()):
                for node in nodes:
                    cost = node.cost + other.cost
                    cost -= sum(
                        weight * most_shared(one, two)
                        for weight, one, two in zip(self.task.weights, node.states, other.states, strict=True)
                    )
                    if cost < self.ceiling:
                        self.ceiling, pair = cost, (node, other)
        if pair is not None:
            self.order = path(pair[0]) + path(pair[1])[::-1]
        self.floor = self.ceiling


def _restrict(state: State, later: int) -> State:
    return tuple(mask if at and at % 2 == 0 else mask & later for at, mask in enumerate(state))


def _keep(node: Node, nodes: list[Node], weights: tuple[int, ...]) -> None:
    """Put the node among those of the same runs done, unless one of them is as good in every case."""
    for other in nodes:
        if other.cost <= node.cost and _covers(other, node, weights):
            return
    nodes[:] = [other for other in nodes if other.cost < node.cost or not _covers(node, other, weights)]
    nodes.append(node)


def _covers(one: Node, two: Node, weights: tuple[int, ...]) -> bool:
    spare = two.cost - one.cost
    for weight, state, wished in zip(weights, one.states, two.states, strict=True):
        if state != wished:
            spare -= weight * most_missing(state, wished)
            if spare < 0:
                return False
    return True
