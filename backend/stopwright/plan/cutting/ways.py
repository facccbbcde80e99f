"""Ways of cutting that make exactly what is asked."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from stopwright.plan.cutting.columns import Pattern
from stopwright.plan.cutting.fill import Fill


class Way(NamedTuple):
    """`times` boards of a kind, each giving `counts`: (which size, how many), sizes ascending in number."""

    kind: int
    counts: Fill
    times: int


def exact_ways(uses: Iterable[tuple[Pattern, int]], demands: Sequence[int]) -> list[Way]:
    """The ways left when every piece above `demands` is dropped, from whole ways where that is possible.

    >>> exact_ways([(Pattern(0, ((0, 2),)), 3)], [5])
    [Way(kind=0, counts=((0, 2),), times=2), Way(kind=0, counts=((0, 1),), times=1)]
    """
    ways = [(pattern.kind, dict(pattern.counts), times) for pattern, times in uses]
    for i, demand in enumerate(demands):
        surplus = sum(counts.get(i, 0) * times for _, counts, times in ways) - demand
        while surplus > 0:
            holders = [w for w, (_, counts, _) in enumerate(ways) if counts.get(i)]
            whole = [w for w in holders if ways[w][2] <= surplus]
            w = max(whole, key=lambda w: (ways[w][2], w)) if whole else min(holders, key=lambda w: (ways[w][2], w))
            kind, counts, times = ways[w]
            spared = min(times, surplus)
            if spared < times:
                ways[w] = (kind, dict(counts), times - spared)
                ways.append((kind, counts, spared))
            counts[i] -= 1
            surplus -= spared
    return merged(Way(kind, tuple((i, n) for i, n in sorted(c.items()) if n), t) for kind, c, t in ways)


def merged(ways: Iterable[Way]) -> list[Way]:
    """The same ways, each named once, empty ones gone."""
    times: dict[tuple[int, Fill], int] = {}
    for kind, counts, n in ways:
        if counts and n:
            times[kind, counts] = times.get((kind, counts), 0) + n
    return [Way(kind, counts, n) for (kind, counts), n in times.items()]
