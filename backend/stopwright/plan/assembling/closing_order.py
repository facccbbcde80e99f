"""In which order joints can close: every glue-up in one direction, sub-assemblies first, nothing locked out.

Found by taking the finished thing apart. What can come apart along one direction may always do so: having taken a
piece off never hinders taking off another, so no choice has to be taken back. Read backwards it is the glue-up.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

Body: TypeAlias = frozenset[int]
"""Pieces that are joined to one another, by their numbers."""


@dataclass(frozen=True, slots=True)
class Bond:
    """Two pieces that a joint holds together. It closes along `axis`, `before` lying on the lower side of `after`."""

    before: int
    after: int
    axis: int


@dataclass(frozen=True, slots=True)
class GlueUp:
    """What closes in one go along one axis: its bonds by their place in the list, and the bodies that it joins.

    It waits for those of lower rounds only.
    """

    round: int
    axis: int
    bonds: tuple[int, ...]
    bodies: tuple[Body, ...]

    @property
    def body(self) -> Body:
        """All pieces that are joined afterwards."""
        return frozenset().union(*self.bodies)


@dataclass(frozen=True, slots=True)
class ClosingOrder:
    """The glue-ups, round after round; `stuck` are the bonds that no order closes."""

    glue_ups: tuple[GlueUp, ...]
    stuck: tuple[int, ...]

    @property
    def rounds(self) -> int:
        """How many rounds there are."""
        return max((one.round for one in self.glue_ups), default=0)


def closing_order(bonds: Sequence[Bond]) -> ClosingOrder:
    """The order with the fewest rounds. Ties: the last glue-up of a body closes the fewest bonds, then the lower axis.

    A glue-up closes all that joins its bodies, so all of it lies along one axis; and the bodies must come apart along
    it: none may lie before and behind another at once. What cannot be taken apart is `stuck` and goes as one body.

    >>> frame = [Bond(0, 2, 0), Bond(2, 1, 0)]  # post, rail, post
    >>> closing_order(frame).glue_ups[0].bonds, closing_order(frame).rounds
    ((0, 1), 1)
    >>> closing_order([Bond(0, 1, 0), Bond(1, 2, 1), Bond(2, 0, 2)]).stuck  # a ring in three directions
    (0, 1, 2)
    """
    apart = _TakingApart(bonds)
    glue_ups: list[GlueUp] = []
    stuck: list[int] = []
    whole = sorted(_joined((bond.before, bond.after) for bond in bonds), key=min)
    while whole:
        body = whole.pop(0)
        last = apart.last(body)
        if last is None:
            stuck += apart.within(body)
        else:
            glue_ups.append(last)
            whole += [part for part in last.bodies if len(part) > 1]
    ordered = sorted(glue_ups, key=lambda one: (one.round, min(one.body)))
    return ClosingOrder(tuple(ordered), tuple(sorted(stuck)))


class _TakingApart:
    """Remembers what became of every body."""

    def __init__(self, bonds: Sequence[Bond]) -> None:
        self._bonds = bonds
        self._axes = sorted({bond.axis for bond in bonds})
        self._known: dict[Body, GlueUp | None] = {}

    def last(self, body: Body) -> GlueUp | None:
        """The glue-up that completes the body, None where nothing of it comes off."""
        if body not in self._known:
            options = [one for axis in self._axes if (one := self._along(body, axis))]
            self._known[body] = min(options, key=lambda one: (one.round, len(one.bonds), one.axis), default=None)
        return self._known[body]

    def within(self, body: Body) -> list[int]:
        """The bonds between pieces of the body."""
        return [place for place, bond in enumerate(self._bonds) if bond.before in body and bond.after in body]

    def _along(self, body: Body, axis: int) -> GlueUp | None:
        """The body drawn apart along an axis into as many bodies as can be."""
        inside = self.within(body)
        held = [
            (self._bonds[place].before, self._bonds[place].after) for place in inside if self._bonds[place].axis != axis
        ]
        root = {piece: min(part) for part in _joined([*held, *((piece, piece) for piece in body)]) for piece in part}
        along = [place for place in inside if self._bonds[place].axis == axis]
        arcs = {(root[self._bonds[place].before], root[self._bonds[place].after]) for place in along}
        rings = {one: min(ring) for ring in _rings(set(root.values()), arcs) for one in ring}
        parts: dict[int, set[int]] = defaultdict(set)
        for piece in body:
            parts[rings[root[piece]]].add(piece)
        if len(parts) == 1:
            return None
        bodies = tuple(map(frozenset, sorted(parts.values(), key=min)))
        of = {piece: place for place, part in enumerate(bodies) for piece in part}
        closes = tuple(place for place in along if of[self._bonds[place].before] != of[self._bonds[place].after])
        rounds = [last.round for part in bodies if len(part) > 1 and (last := self.last(part))]
        return GlueUp(max(rounds, default=0) + 1, axis, closes, bodies)


def _joined(pairs: Iterable[tuple[int, int]]) -> list[Body]:
    """What hangs together through these pairs."""
    parent: dict[int, int] = {}

    def root(one: int) -> int:
        while parent.setdefault(one, one) != one:
            one = parent[one]
        return one

    for one, other in pairs:
        parent[root(one)] = root(other)
    parts: dict[int, set[int]] = defaultdict(set)
    for one in parent:
        parts[root(one)].add(one)
    return [frozenset(part) for part in parts.values()]


def _rings(nodes: set[int], arcs: set[tuple[int, int]]) -> Iterator[set[int]]:
    """Nodes that can each be reached from the other along the arcs, together; the others one by one."""
    forward: dict[int, set[int]] = defaultdict(set)
    backward: dict[int, set[int]] = defaultdict(set)
    for before, after in arcs:
        forward[before].add(after)
        backward[after].add(before)
    left = set(nodes)
    while left:
        one = min(left)
        ring = _reached(one, forward) & _reached(one, backward)
        left -= ring
        yield ring


def _reached(start: int, ways: dict[int, set[int]]) -> set[int]:
    reached, new = {start}, [start]
    while new:
        new = [after for one in new for after in ways.get(one, ()) if after not in reached]
        reached.update(new)
    return reached
