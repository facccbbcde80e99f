"""What is set and what stands at each run when the order is fixed: keep what is needed soonest.

Tang & Denardo, Operations Research 36(5), 1988, 767: with the order fixed, taking away the position that is
needed last gives the fewest settings. Where stops stand in each other's way that rule is no longer exact; then
all choices of what to keep are carried along, run by run.
"""

from collections.abc import Sequence
from itertools import combinations

from stopwright.plan.ordering.task import Task, bits, union

CHOICES = 2000  # more ways to keep stops than this are not carried along; reached only beyond about 10 places


def load(task: Task, order: Sequence[int]) -> list[list[int]]:
    """For each axis and each run of the order, all positions that stand during that run."""
    return [
        load_axis([task.needs[run][axis] for run in order], task.holds[axis], task.standing[axis], task.close[axis])
        for axis in range(len(task.holds))
    ]


def cost_of(task: Task, order: Sequence[int]) -> tuple[int, list[int]]:
    """The cost of the order, and the settings on each axis."""
    settings = []
    for axis, stands in enumerate(load(task, order)):
        settings.append(count_settings([task.needs[run][axis] for run in order], stands, task.standing[axis]))
    return sum(n * weight for n, weight in zip(settings, task.weights, strict=True)), settings


def count_settings(needs: Sequence[int], stands: Sequence[int], standing: int) -> int:
    """How many settings bring the axis through `stands`."""
    count = 0
    for need, now in zip(needs, stands, strict=True):
        count += (need & ~standing).bit_count()
        standing = now
    return count


def load_axis(needs: Sequence[int], holds: int, standing: int, close: dict[int, int]) -> list[int]:
    """For each run all positions that stand on one axis, with the fewest settings for this order."""
    if close:
        return _keep_what_fits(needs, holds, standing, close)
    stands = []
    for at, need in enumerate(needs):
        standing |= need
        extra = standing.bit_count() - holds
        if extra > 0:
            standing = need | _soonest(standing & ~need, holds - need.bit_count(), needs, at + 1)
        stands.append(standing)
    return stands


def _soonest(positions: int, places: int, needs: Sequence[int], start: int) -> int:
    """The positions needed soonest, as many as there are places; the lowest bit first among equals."""
    kept = 0
    for need in needs[start:]:
        if not places:
            return kept
        wanted = need & positions & ~kept
        while wanted and places:
            low = wanted & -wanted
            kept |= low
            wanted ^= low
            places -= 1
    idle = positions & ~kept
    while idle and places:
        low = idle & -idle
        kept |= low
        idle ^= low
        places -= 1
    return kept


def _keep_what_fits(needs: Sequence[int], holds: int, standing: int, close: dict[int, int]) -> list[int]:
    later = [0] * (len(needs) + 1)
    for at in range(len(needs) - 1, -1, -1):
        later[at] = later[at + 1] | needs[at]
    layer: dict[int, int] = {standing: 0}
    parents: list[dict[int, int]] = []
    for at, need in enumerate(needs):
        new: dict[int, int] = {}
        parent: dict[int, int] = {}
        for stood, cost in layer.items():
            total = cost + (need & ~stood).bit_count()
            for kept in what_may_be_kept(stood, need, holds, later[at + 1], close):
                if total < new.get(kept, total + 1):
                    new[kept] = total
                    parent[kept] = stood
        if len(new) > CHOICES:
            new = dict(sorted(new.items(), key=lambda item: (item[1], item[0]))[:CHOICES])
        parents.append(parent)
        layer = new
    best = min(layer, key=lambda now: (layer[now], now))
    stands = []
    for parent in reversed(parents):
        stands.append(best)
        best = parent[best]
    return stands[::-1]


def what_may_be_kept(stood: int, need: int, holds: int, later: int, close: dict[int, int]) -> list[int]:
    """All greatest sets of positions that can stand during a run, of those wanted again, the need among them."""
    barred = union(close.get(position, 0) for position in bits(need))
    keep = bits(stood & later & ~need & ~barred)
    room = holds - need.bit_count()
    if len(keep) <= room:
        return [need | sum(1 << position for position in keep)]
    return [need | sum(1 << position for position in chosen) for chosen in combinations(keep, room)]
