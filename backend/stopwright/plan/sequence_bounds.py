"""Costs that no order can undercut, found without searching for one."""

from stopwright.plan.sequence_task import Task


def least_cost(task: Task) -> int:
    """Every position needed that does not stand already is set at least once."""
    return sum(
        weight * (area & ~standing).bit_count()
        for weight, area, standing in zip(task.weights, task.areas, task.standing, strict=True)
    )
