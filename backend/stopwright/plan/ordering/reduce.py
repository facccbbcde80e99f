"""Runs that need no place of their own in the order, and parts of the order that have nothing to do with each other.

A run whose needs all stand at another run goes right after that one and costs nothing. Two runs that need the
same shared positions and beyond them only positions of their own also go together: whatever stands during the
one can stand during the other. Runs that share no position, over any number of others, can be put in order
apart, for leaving out the others never costs a setting.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from stopwright.plan.ordering.task import Task, bits, union


@dataclass(frozen=True, slots=True)
class Joined:
    """The runs that must be put in order (`roots`), and for every run those that follow it at once."""

    roots: list[int]
    followers: dict[int, list[int]]

    def spread(self, order: Sequence[int]) -> list[int]:
        """The order of all runs that an order of the roots stands for."""
        runs: list[int] = []
        for root in order:
            waiting = [root]
            while waiting:
                run = waiting.pop()
                runs.append(run)
                waiting.extend(reversed(self.followers.get(run, [])))
        return runs


def join_runs(task: Task) -> Joined:
    """The runs left to put in order, the others joined to them."""
    bound = union(task.before)
    tied = [bool(before) or bool(bound >> run & 1) for run, before in enumerate(task.before)]
    by_size = sorted(range(task.runs), key=lambda run: (-task.whole[run].bit_count(), run))
    followers: dict[int, list[int]] = {}
    kept: list[int] = []
    for run in by_size:
        need = task.whole[run]
        host = None if tied[run] else next((other for other in kept if not need & ~task.whole[other]), None)
        if host is None:
            kept.append(run)
        else:
            followers.setdefault(host, []).append(run)
    roots: list[int] = []
    own = _own(task, kept)
    for run in sorted(kept, key=lambda run: (-(task.whole[run] & own).bit_count(), run)):
        twin = None if tied[run] else next((other for other in roots if _twins(task, own, other, run)), None)
        if twin is None:
            roots.append(run)
        else:
            followers.setdefault(twin, []).append(run)
    return Joined(sorted(roots), followers)


def _own(task: Task, runs: Sequence[int]) -> int:
    """The positions that only one of the runs needs, on axes where stops are not in each other's way."""
    once, twice = 0, union(task.standing)
    for run in runs:
        twice |= once & task.whole[run]
        once |= task.whole[run]
    return once & ~twice & ~union(area for area, close in zip(task.areas, task.close, strict=True) if close)


def _twins(task: Task, own: int, host: int, run: int) -> bool:
    return (task.whole[host] & ~own) == (task.whole[run] & ~own) and all(
        (theirs & own).bit_count() >= (ours & own).bit_count()
        for theirs, ours in zip(task.needs[host], task.needs[run], strict=True)
    )


def separate(task: Task, runs: Sequence[int]) -> list[list[int]]:
    """The runs in groups that share neither a position nor a precedence; those that need what stands come first.

    What stands may be lost while other runs are made, so all runs that need it are one group, and the first.
    """
    groups: list[tuple[int, int]] = []  # (runs, positions); an unnamed bit stands for all that stands now
    on_machine = 1 << union(task.areas).bit_length()
    standing = union(task.standing)
    for run in runs:
        mine, positions = 1 << run | task.before[run], task.whole[run]
        if positions & standing:
            positions |= on_machine
        apart = []
        for other, others in groups:
            if other & mine or others & positions:
                mine, positions = mine | other, positions | others
            else:
                apart.append((other, others))
        groups = [*apart, (mine, positions)]
    chosen = set(runs)
    parts = [(not positions & on_machine, [run for run in bits(mine) if run in chosen]) for mine, positions in groups]
    return [part for _, part in sorted(parts)]
