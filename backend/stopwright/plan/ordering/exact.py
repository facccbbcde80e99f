"""The best order, layer by layer: (runs done, what may still stand), with all that cannot win left out.

The layers follow the dynamic program for job sequencing with tool switching; what may still stand is kept open
(see `standing.py`), so that a way of doing some runs leaves one state and not one for each choice of
what to take away. A state gives way to another of the same runs done that is cheaper by at least what it can
lack. When the order may be read backwards, half the layers are enough: the other half is the first, mirrored; and
what a layer says of its runs bounds what the runs still to do will cost (`excess.py`).
"""

from collections.abc import Iterable, Iterator
from itertools import product
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from stopwright.plan.ordering.loading import what_may_be_kept
from stopwright.plan.ordering.pairs import Remaining, fences
from stopwright.plan.ordering.standing import State, most_missing, most_shared, most_standing, step
from stopwright.plan.ordering.task import UNKNOWN, Task, bits, union

if TYPE_CHECKING:
    from stopwright.plan.ordering.excess import Excess

STEP = 15  # nodes made in one step
FEW = 2  # runs for which half the layers are no less work than all of them

States: TypeAlias = tuple[State, ...]


class Reckoning(NamedTuple):
    """What is told of a layer's choices of runs: the cheapest node made of each, the cheapest left out at once.

    `beyond` is the bound for what is to come after each choice, `excess.py`.
    """

    beyond: dict[int, int]
    cheapest: dict[int, int]
    left: dict[int, int]


class Node(NamedTuple):
    """One way of doing some runs: its cost so far, a bound on the whole, what may still stand, how it came."""

    cost: int
    bound: int
    states: States
    parent: "Node | None"
    run: int


def _excess(task: Task) -> "Excess":
    from stopwright.plan.ordering.excess import Excess  # loads numpy, which a few runs never need

    return Excess(task)


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
        self.order: list[int] | None = None
        self.axes = range(len(task.holds))
        self.whole = task.whole
        self.all = (1 << task.runs) - 1
        self.rooms = [
            [holds - need.bit_count() for need, holds in zip(needs, task.holds, strict=True)] for needs in task.needs
        ]
        self.fences = fences(task)
        self.lost: int | None = None  # the least bound among nodes left out only for want of width
        mirrored = task.free and not task.crowded and width is None and task.runs > FEW
        self.half = task.runs // 2 if mirrored else task.runs
        self.excess = _excess(task) if mirrored else None  # told where halves meet, and only there

    def advance(self) -> Iterator[None]:
        """Search on; a step makes so many nodes."""
        start = Node(0, 0, tuple((standing,) for standing in self.task.standing), None, -1)
        layer: dict[int, list[Node]] = {0: [start]}
        for _ in range(self.half):
            new: dict[int, list[Node]] = {}
            yield from self._open(layer, new)
            layer = new
            bounds = [node.bound for nodes in layer.values() for node in nodes]
            if self.lost is not None:
                bounds.append(self.lost)
            self.floor = max(self.floor, min(bounds, default=self.ceiling))
        if self.excess is not None:
            yield from self._meet(layer)
            return
        best = min(layer.get(self.all, []), key=lambda node: node.cost, default=None)
        if best is not None and best.cost < self.ceiling:
            self.order, self.ceiling = path(best), best.cost
        self.floor = self.ceiling if self.lost is None else min(self.lost, self.ceiling)

    def _open(self, layer: dict[int, list[Node]], new: dict[int, list[Node]]) -> Iterator[None]:
        rests: dict[int, list[Remaining]] = {}
        reckoning = Reckoning({}, {}, {})
        opened = 0
        for done, nodes in layer.items():
            later_of = {}
            open_runs = bits(self.all & ~done)
            once = twice = 0
            for run in open_runs:
                twice |= once & self.whole[run]
                once |= self.whole[run]
            rests_now = [fence.remaining(self.all & ~done) for fence in self.fences]
            for run in open_runs:
                if self.task.before[run] & ~done:
                    continue
                mask = done | 1 << run
                if mask not in rests:
                    rests[mask] = [rest.without(run) for rest in rests_now]
                    if self.excess is not None:
                        reckoning.beyond[mask] = self.excess.beyond(self.all & ~mask)
                later_of[run] = once & ~(self.whole[run] & ~twice)
            for node in nodes:
                if node.bound < self.ceiling:
                    opened += len(later_of)
                    while opened > STEP:
                        opened -= STEP
                        yield
                    self._expand(node, done, later_of, rests, reckoning, new)
                elif self.excess is not None:
                    self.excess.leave(done, node.cost)
        if self.excess is not None:
            self.excess.learn(reckoning.cheapest, reckoning.left)
        yield from self._sift(new)
        if self.width is not None:
            self._narrow(new, self.width)

    def _sift(self, new: dict[int, list[Node]]) -> Iterator[None]:
        """Leave out what cannot win, now that the whole layer is known, and of the rest what another covers."""
        sifted = 0
        for done, nodes in list(new.items()):
            sifted += len(nodes)
            while sifted > STEP:
                sifted -= STEP
                yield
            if self.excess is not None:
                nodes = self._held_against(self.excess, done, nodes)
            if nodes:
                new[done] = _undominated(nodes, self.task.weights)
            else:
                del new[done]

    def _held_against(self, excess: "Excess", done: int, nodes: list[Node]) -> list[Node]:
        """The nodes that can still win, now that more is known of what the runs still to do cost among themselves."""
        rest = self.all & ~done
        later, beyond = self.whole_of(rest), excess.beyond(rest)
        kept: list[Node] = []
        for node in nodes:
            bound = max(node.bound, node.cost + self._still_to_set(node.states, later) + beyond)
            if bound < self.ceiling:
                kept.append(node if bound == node.bound else node._replace(bound=bound))
            else:
                excess.leave(done, node.cost)
        return kept

    def _expand(
        self,
        node: Node,
        done: int,
        later_of: dict[int, int],
        rests: dict[int, list[Remaining]],
        reckoning: "Reckoning",
        new: dict[int, list[Node]],
    ) -> None:
        children: list[Node] = []
        cheapest, left = reckoning.cheapest, reckoning.left
        for run, later in later_of.items():
            mask = done | 1 << run
            beyond = reckoning.beyond.get(mask, 0)
            for child in self._children(node, run, later):
                cost = child.cost
                if cost < cheapest.get(mask, UNKNOWN):
                    cheapest[mask] = cost
                if self.excess is None and cost == node.cost and self._harmless(node, child, later):
                    # It may as well be done now. Not where halves meet: each would take the run for its own.
                    children = [child]
                    break
                bound = child.bound + beyond
                if bound < self.ceiling:
                    for rest in rests[mask]:
                        bound = max(bound, cost + rest.least(child.states))
                if bound < self.ceiling:
                    children.append(child._replace(bound=bound) if bound > child.bound else child)
                elif cost < left.get(mask, UNKNOWN):
                    left[mask] = cost
            else:
                continue
            break
        for child in children:
            new.setdefault(done | 1 << child.run, []).append(child)

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

    def _meet(self, layer: dict[int, list[Node]]) -> Iterator[None]:
        """Join every half with the other half read backwards, over the run between them if their number is odd."""
        pair = None
        for done, nodes in layer.items():
            rest = self.all & ~done
            middles = bits(rest) if self.task.runs % 2 else [-1]
            for middle in middles:
                other_done = rest & ~(1 << middle) if middle >= 0 else rest
                others = layer.get(other_done, []) if other_done >= done else []
                if not others:
                    continue
                yield
                for node in nodes:
                    front = self._children(node, middle, self.whole_of(other_done)) if middle >= 0 else (node,)
                    for one in front:
                        for two in others:
                            if self._joined_cost(one, two) < self.ceiling:
                                self.ceiling, pair = self._joined_cost(one, two), (one, two)
        if pair is not None:
            self.order = path(pair[0]) + path(pair[1])[::-1]
        self.floor = self.ceiling

    def _joined_cost(self, one: Node, two: Node) -> int:
        cost = one.cost + two.cost
        for weight, front, back in zip(self.task.weights, one.states, two.states, strict=True):
            cost -= weight * (front[0] & back[0]).bit_count()
        if cost >= self.ceiling or all(
            len(front) == len(back) == 1 for front, back in zip(one.states, two.states, strict=True)
        ):
            return cost
        cost = one.cost + two.cost
        for weight, front, back in zip(self.task.weights, one.states, two.states, strict=True):
            cost -= weight * most_shared(front, back)
        return cost

    def whole_of(self, runs: int) -> int:
        """All positions that the runs need."""
        return union(self.whole[run] for run in bits(runs))


def _restrict(state: State, later: int) -> State:
    return tuple(mask if at and at % 2 == 0 else mask & later for at, mask in enumerate(state))


def _undominated(nodes: list[Node], weights: tuple[int, ...]) -> list[Node]:
    """The nodes of the same runs done without those to which another is as good in every case; the cheapest first."""
    kept: list[Node] = []
    seen: set[States] = set()
    for node in sorted(nodes, key=_best_first):
        if node.states in seen:
            continue
        seen.add(node.states)
        for other in kept:
            if _covers(other, node, weights):
                break
        else:
            kept.append(node)
    return kept


def _best_first(node: Node) -> tuple[int, int, int]:
    """A key by which a node comes after those that can cover it, nearly always."""
    return node.cost, node.bound, -sum(state[0].bit_count() for state in node.states)


def _covers(one: Node, two: Node, weights: tuple[int, ...]) -> bool:
    spare = two.cost - one.cost
    for weight, state, wished in zip(weights, one.states, two.states, strict=True):
        if state != wished:
            spare -= weight * most_missing(state, wished, spare // weight)
            if spare < 0:
                return False
    return True
