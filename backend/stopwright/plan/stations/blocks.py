"""Blocks and strips that are made for a job: each once, for they go from run to run."""

from collections.abc import Iterable

from stopwright.lengths import Nm
from stopwright.plan.run_sheet import SpacerBlock


def blocks_to_make(used: Iterable[SpacerBlock]) -> tuple[SpacerBlock, ...]:
    """Of each thickness and use as many as any run takes at once.

    >>> blocks_to_make([SpacerBlock(20, 1, "on the table"), SpacerBlock(9, 1, "at the fence")] * 2)
    (SpacerBlock(thickness=20, count=1, use='on the table'), SpacerBlock(thickness=9, count=1, use='at the fence'))
    """
    most: dict[tuple[Nm, str], int] = {}
    for one in used:
        most[one.thickness, one.use] = max(most.get((one.thickness, one.use), 0), one.count)
    return tuple(SpacerBlock(thickness, count, use) for (thickness, use), count in most.items())
