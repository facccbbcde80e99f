"""How many flip stops a job needs so that nothing is set twice when it is worked part by part.

Every part has one width (the fence, one position) and one length (the crosscut fence, some flip stops). With
the widths taken one after another, a length *crosses* a boundary between two of them when it is wanted on both
sides. All is set once exactly when some order of the widths has every boundary crossed by at most as many
lengths as there are stops, and one fewer over a width that has a length of its own. That depends only on the
set of widths done, so it is searched over those sets; a width that adds nothing to the boundary is taken at
once, since the number crossing is submodular. With one stop it comes to this: every component of the graph of
widths and lengths is a caterpillar.
"""

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from stopwright.errors import StopwrightError

SETS = 150_000  # sets of widths looked at before an answer is left open; 18 widths always stay below
SEARCHED = 32  # widths up to which orders are searched; more are only bounded, for each set then costs too much


@dataclass(frozen=True, slots=True)
class StopsNeeded:
    """The number of flip stops between two bounds: fewer than `least` cannot do, `enough` do."""

    least: int
    enough: int

    @property
    def proven(self) -> bool:
        """Whether the two are the same."""
        return self.least == self.enough


def stops_needed(pairs: Iterable[tuple[Hashable, Hashable]]) -> int:
    """The flip stops with which nothing is set twice: the fewest up to some 20 widths, else enough.

    `pairs` are the widths and lengths of the parts. Whether fewer might do is told by `bound_stops`.

    Two frames that share two lengths: while the first width stands both lengths must stay for the second.

    >>> stops_needed([(84, 450), (84, 720), (60, 450), (60, 720)])
    2
    """
    return bound_stops(pairs).enough


def all_set_once(pairs: Iterable[tuple[Hashable, Hashable]], stops: int) -> bool:
    """Whether every width and every length can be set just once with so many flip stops.

    >>> ring = [(84, 450), (84, 720), (60, 450), (60, 720)]
    >>> all_set_once(ring, 1), all_set_once(ring, 2)
    (False, True)
    """
    return bound_stops(pairs).enough <= stops


def bound_stops(pairs: Iterable[tuple[Hashable, Hashable]]) -> StopsNeeded:
    """The fewest flip stops with which nothing is set twice, as two bounds that meet up to some 20 widths."""
    found = [_least_stops(tables) for tables in _components(pairs)]
    return StopsNeeded(max((f.least for f in found), default=0), max((f.enough for f in found), default=0))


def width_order(pairs: Iterable[tuple[Hashable, Hashable]], stops: int) -> list[Any] | None:
    """The widths in an order that sets everything once with so many stops; None if none was found."""
    if stops < 1:
        raise StopwrightError("there must be at least one stop", "flip stops", "give 1 or more")
    order: list[Any] = []
    for tables in _components(pairs):
        found, _ = _way(tables, stops)
        if found is None:
            return None
        order += [tables.widths[at] for at in found]
    return order


@dataclass(frozen=True, slots=True)
class _Widths:
    widths: tuple[Any, ...]
    shared: tuple[int, ...]  # by width: lengths it shares with others, as bits
    owns: tuple[bool, ...]  # by width: whether it has a length of its own

    def wanted(self, done: int) -> int:
        lengths = 0
        for at, mask in enumerate(self.shared):
            if done >> at & 1:
                lengths |= mask
        return lengths


def _components(pairs: Iterable[tuple[Hashable, Hashable]]) -> list[_Widths]:
    """The widths in groups that share no length; the widest width first."""
    lengths_of: dict[Any, set[Any]] = {}
    widths_of: dict[Any, set[Any]] = {}
    for width, length in pairs:
        lengths_of.setdefault(width, set()).add(length)
        widths_of.setdefault(length, set()).add(width)
    groups: list[_Widths] = []
    left = sorted(lengths_of, reverse=True)
    while left:
        group, waiting = {left[0]}, [left[0]]
        while waiting:
            for length in lengths_of[waiting.pop()]:
                waiting += [width for width in widths_of[length] if width not in group]
                group |= widths_of[length]
        widths = [width for width in left if width in group]
        left = [width for width in left if width not in group]
        lengths = sorted({n for width in widths for n in lengths_of[width] if len(widths_of[n]) > 1}, reverse=True)
        bit = {length: 1 << at for at, length in enumerate(lengths)}
        groups.append(
            _Widths(
                tuple(widths),
                tuple(sum(bit.get(length, 0) for length in lengths_of[width]) for width in widths),
                tuple(any(len(widths_of[length]) == 1 for length in lengths_of[width]) for width in widths),
            )
        )
    return groups


def _least_stops(tables: _Widths) -> StopsNeeded:
    enough = _stops_of(tables, _greedy(tables))
    least = 1
    if len(tables.widths) > SEARCHED:
        return StopsNeeded(least, enough)
    for stops in range(1, enough):
        order, sure = _way(tables, stops)
        if order is not None:
            return StopsNeeded(min(least, stops), stops)
        if sure and least == stops:
            least = stops + 1
    return StopsNeeded(least, enough)


def _way(tables: _Widths, stops: int) -> tuple[list[int] | None, bool]:
    """An order of the widths that needs no more than `stops`, or None; and whether that is sure."""
    count = len(tables.widths)
    every = (1 << count) - 1
    low = count // 2
    wanted_low = _unions(tables.shared[:low]) if count <= 32 else []
    wanted_high = _unions(tables.shared[low:]) if count <= 32 else []

    def wanted(widths: int) -> int:
        if not wanted_low:
            return tables.wanted(widths)
        return wanted_low[widths & ((1 << low) - 1)] | wanted_high[widths >> low]

    came: dict[int, int] = {0: -1}
    waiting = [0]
    while waiting:
        done = waiting.pop()
        if done == every:
            return _back(came, every), True
        crossing = wanted(done) & wanted(every & ~done)
        onward: list[tuple[int, int]] = []
        for at in range(count):
            if done >> at & 1:
                continue
            new = done | 1 << at
            after = wanted(new) & wanted(every & ~new)
            if after.bit_count() > stops or (tables.owns[at] and (crossing & after).bit_count() >= stops):
                continue
            if after.bit_count() <= crossing.bit_count():
                onward = [(0, at)]
                break
            onward.append((after.bit_count(), at))
        for _, at in sorted(onward, reverse=True):
            new = done | 1 << at
            if new not in came:
                came[new] = at
                waiting.append(new)
        if len(came) > SETS:
            return None, False
    return None, True


def _unions(masks: Sequence[int]) -> list[int]:
    """For every choice of the masks, by bits, all their bits together."""
    unions = [0]
    for mask in masks:
        unions += [other | mask for other in unions]
    return unions


def _back(came: dict[int, int], done: int) -> list[int]:
    order = []
    while done:
        order.append(came[done])
        done &= ~(1 << came[done])
    return order[::-1]


def _greedy(tables: _Widths) -> list[int]:
    """The widths, each time the one after which the fewest lengths cross."""
    left = list(range(len(tables.widths)))
    done, order = 0, []

    def crossing_after(at: int) -> tuple[int, int]:
        new = done | 1 << at
        return (tables.wanted(new) & tables.wanted((1 << len(tables.widths)) - 1 & ~new)).bit_count(), at

    while left:
        at = min(left, key=crossing_after)
        left.remove(at)
        order.append(at)
        done |= 1 << at
    return order


def _stops_of(tables: _Widths, order: Sequence[int]) -> int:
    """The stops that an order of the widths needs."""
    every = (1 << len(tables.widths)) - 1
    done, crossing, most = 0, 0, 1
    for at in order:
        done |= 1 << at
        after = tables.wanted(done) & tables.wanted(every & ~done)
        most = max(most, after.bit_count(), (crossing & after).bit_count() + tables.owns[at])
        crossing = after
    return most
