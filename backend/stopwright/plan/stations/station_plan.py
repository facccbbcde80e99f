"""What one station has to do: its runs in order, not yet numbered, and what there is to say about them."""

from dataclasses import dataclass

from stopwright.plan.run_sheet import Remark, Run, SpacerBlock


@dataclass(frozen=True, slots=True)
class StationPlan:
    """Runs of one station in working order; every `number` is still 0.

    `least_possible` settings for the same choices, and whether it is `proven` that there are no more. `faults` break
    a rule of the shop, `warnings` want a look. `spacers` are blocks to make.

    >>> StationPlan().runs, StationPlan().least_possible, StationPlan().proven
    ((), 0, True)
    """

    runs: tuple[Run, ...] = ()
    least_possible: int = 0
    proven: bool = True
    faults: tuple[Remark, ...] = ()
    warnings: tuple[Remark, ...] = ()
    spacers: tuple[SpacerBlock, ...] = ()
