"""What is cut along the grain while the wood is long: in the strip, before it is crosscut, where that saves work.

A strip is easier to feed than its pieces, and no end of them breaks out (common practice). It can be cut long when all
that will come of it gets the very same cut from end to end, and nothing has to be cut across before.
"""

from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING

from stopwright.model.parts import Grain
from stopwright.plan.joinery.hands import count_hands
from stopwright.plan.operations.operation import Task
from stopwright.plan.stations.part_by_part import by_flow
from stopwright.plan.timber.rack import strips_of

if TYPE_CHECKING:
    from stopwright.plan.stations.cut_setups import Wanted

LONG = "long"
"""What tells a run apart that works strips."""


def worked_long(wanted: Iterable["Wanted"], task: Task) -> set[tuple[str, str, str]]:
    """The cuts that are made in strips: mark and what of the cut, and the mark of the part."""
    asked: dict[tuple[str, str], set[str]] = {}
    for one in wanted:
        if one.through:
            asked.setdefault((one.cut.mark, one.through), set()).add(one.part.mark)
    return {(*cut, mark) for cut, marks in asked.items() for mark in _long(marks, task)}


def _long(marks: Collection[str], task: Task) -> set[str]:
    """Those of the marks whose strips hold nothing else, if there are fewer strips than pieces."""
    _, later = by_flow(task.wood.sawn, task.job, task.shop, task.flow)
    in_strips = {one.part.mark for one in later if one.rip == one.part.width} if task.shop.station_for("rip") else set()
    across = {mark for cut in task.job.cuts if cut.is_across for mark in cut.parts}
    alike = {
        part.mark
        for part in task.parts
        if part.mark in in_strips.intersection(marks) - across
        and part.grain is not Grain.ACROSS
        and not count_hands(task.job, part)[1]
    }
    strips = sum(blank.count for blank in task.wood.wood.to_buy if blank.mark in alike)
    for layout in task.wood.wood.layouts:
        if any(placed.turned and placed.mark in alike for placed in layout.placements):
            return set()
        for strip in strips_of(layout):
            here = strip.marks()
            if here & alike and not here <= alike:
                return set()
            strips += layout.times if here & alike else 0
    pieces = sum(part.quantity for part in task.parts if part.mark in alike)
    return alike if strips < pieces else set()
