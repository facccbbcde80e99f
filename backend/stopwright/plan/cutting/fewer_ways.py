"""The same pieces from the same boards in fewer ways of cutting.

The fewest ways are a whole-number program over all ways that waste no more than there is to waste (Vanderbeck,
Operations Research 48, 2000, 915, solves it exactly). Where those are too many, a few ways at a time are replaced.
"""

from collections.abc import Iterator, Mapping, Sequence

from stopwright.plan.cutting.columns import Pattern
from stopwright.plan.cutting.fill import fills_with_little_waste
from stopwright.plan.cutting.ways import Way, exact_ways
from stopwright.plan.effort import Effort, EitherEffort, Steps
from stopwright.plan.programs import NO_LIMIT, Column, solve_whole

_PATTERNS_AT_ONCE = 250
_FEW_PATTERNS = 80
_TOGETHER = (6, 4, 3)
_STEPS_OF_A_FEW = 30
_NODES = 20_000


def fewer_ways(ways: Sequence[Way], sizes: Sequence[int], rooms: Sequence[int], effort: Effort) -> list[Way]:
    """Ways that make exactly the same pieces from the same boards; never more of them, fewer where found.

    >>> three = [Way(0, ((0, 2),), 2), Way(0, ((1, 2),), 1), Way(0, ((0, 1), (1, 1)), 1)]
    >>> fewer_ways(three, [5, 4], [10], lambda: False)  # five of 5, three of 4 from four boards
    [Way(kind=0, counts=((0, 2),), times=1), Way(kind=0, counts=((0, 1), (1, 1)), times=3)]
    """
    best = list(ways)
    if len(best) < 2 or effort():
        return best
    whole = _fewest(best, sizes, rooms, _PATTERNS_AT_ONCE, effort)
    if whole is not None:
        return whole
    for patterns in (_FEW_PATTERNS, _PATTERNS_AT_ONCE):
        tried: set[frozenset[Way]] = set()
        while (fewer := _replace_a_few(best, sizes, rooms, patterns, tried, effort)) is not None:
            best = fewer
    return best


def _replace_a_few(
    ways: Sequence[Way],
    sizes: Sequence[int],
    rooms: Sequence[int],
    patterns: int,
    tried: set[frozenset[Way]],
    effort: Effort,
) -> list[Way] | None:
    """The ways with the first group replaced that can do with fewer; None when there is none. Adds to `tried`."""
    for group in _groups(ways):
        if group in tried:
            continue
        if effort():
            return None
        tried.add(group)
        few = sorted(group)
        found = _fewest(few, sizes, rooms, patterns, EitherEffort(effort, Steps(_STEPS_OF_A_FEW)))
        if found is not None and len(found) < len(few):
            return [way for way in ways if way not in group] + found
    return None


def _groups(ways: Sequence[Way]) -> Iterator[frozenset[Way]]:
    """Ways likely to merge: each way with those that need fewest sizes besides its own; seldom used ones first."""
    order = sorted(ways, key=lambda way: (way.times, way.kind, way.counts))
    for together in _TOGETHER:
        for seed in order:
            own = {i for i, _ in seed.counts}
            others = sorted((w for w in order if w != seed), key=lambda w: len({i for i, _ in w.counts} - own))
            for skip in range(2):
                if few := others[skip : skip + together - 1]:
                    yield frozenset([seed, *few])


def _fewest(
    ways: Sequence[Way], sizes: Sequence[int], rooms: Sequence[int], at_once: int, effort: Effort
) -> list[Way] | None:
    """The fewest ways in place of these that HiGHS meets; None when more than `at_once` patterns could take part."""
    wanted: dict[int, int] = {}
    boards: dict[int, int] = {}
    for kind, counts, times in ways:
        boards[kind] = boards.get(kind, 0) + times
        for i, n in counts:
            wanted[i] = wanted.get(i, 0) + n * times
    waste = sum(rooms[kind] * n for kind, n in boards.items()) - sum(sizes[i] * n for i, n in wanted.items())
    pieces, kinds = sorted(wanted), sorted(boards)
    patterns: list[Pattern] = []
    for kind in kinds:
        limit = at_once - len(patterns)
        fills = fills_with_little_waste(
            [sizes[i] for i in pieces], [wanted[i] for i in pieces], rooms[kind], waste, limit
        )
        if fills is None:
            return None
        patterns += [Pattern(kind, tuple((pieces[i], n) for i, n in fill)) for fill in fills]
    if len(ways) <= _at_least(patterns, wanted, boards):
        return list(ways)
    row = {i: r for r, i in enumerate(pieces)}
    kind_row = {kind: len(pieces) + r for r, kind in enumerate(kinds)}
    rows = [(float(wanted[i]), float(wanted[i])) for i in pieces] + [
        (float(boards[k]), float(boards[k])) for k in kinds
    ]
    first = len(rows)
    used, counted = [], []
    for p, pattern in enumerate(patterns):
        most = _most(pattern, wanted, boards)
        entries = [(row[i], float(n)) for i, n in pattern.counts]
        used.append(Column(0, (*entries, (kind_row[pattern.kind], 1.0), (first + p, 1.0)), most))
        counted.append(Column(1, ((first + p, -float(most)),), 1))
    rows += [(-NO_LIMIT, 0.0)] * len(patterns)
    found = solve_whole([*used, *counted], rows, effort, nodes=_NODES)
    if found.values is None:
        return list(ways)
    fewer = exact_ways(zip(patterns, found.values, strict=False), [wanted.get(i, 0) for i in range(len(sizes))])
    return fewer if len(fewer) < len(ways) else list(ways)


def _most(pattern: Pattern, wanted: Mapping[int, int], boards: Mapping[int, int]) -> int:
    """How often a pattern can be used at most."""
    return min(boards[pattern.kind], *(wanted[i] // n for i, n in pattern.counts))


def _at_least(patterns: Sequence[Pattern], wanted: Mapping[int, int], boards: Mapping[int, int]) -> int:
    """A number of ways below which the boards are not used up even by the patterns that can be used most often."""
    least = 0
    for kind, left in boards.items():
        often = sorted((_most(p, wanted, boards) for p in patterns if p.kind == kind), reverse=True)
        for most in often:
            if left <= 0:
                break
            left -= most
            least += 1
    return least
