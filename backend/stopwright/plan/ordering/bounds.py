"""Costs that no order can undercut, found without searching for one."""

from stopwright.plan.ordering.pairs import least_of_pairs
from stopwright.plan.ordering.task import Task


def least_cost(task: Task) -> int:
    """The greater of two: each position is set once unless it stands, and what widths and lengths make necessary."""
    return max(each_once(task), least_of_pairs(task))


def each_once(task: Task) -> int:
    """Every position needed that does not stand already is set at least once."""
    return sum(
        weight * (area & ~standing).bit_count()
        for weight, area, standing in zip(task.weights, task.areas, task.standing, strict=True)
    )
