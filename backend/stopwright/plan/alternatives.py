"""The plans worth choosing between: wood against settings against touches, and both ways through the saw."""

from dataclasses import dataclass
from itertools import product

from stopwright.model.job import Flow, Job
from stopwright.model.stations import Shop
from stopwright.plan.choices import Choices
from stopwright.plan.effort import Effort
from stopwright.plan.minutes import is_carried
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Run, RunSheet, Settings


@dataclass(frozen=True, slots=True)
class Alternative:
    """One whole plan in figures, with the choices that make it again.

    `missing` pieces find no wood; `carries` stacks are fetched and put down; `minutes` is the whole job.
    """

    choices: Choices
    settings: Settings
    boards: int
    missing: int
    touches: int
    carries: int
    minutes: float

    @property
    def costs(self) -> tuple[float, ...]:
        """What is weighed, the less the better: missing pieces, boards, settings, touches, carries, minutes."""
        return (self.missing, self.boards, self.settings.made, self.touches, self.carries, self.minutes)


def alternatives(job: Job, shop: Shop, effort: Effort | None = None) -> tuple[Alternative, ...]:
    """Every plan that no other of its flow beats in all of boards, settings, touches, carries and minutes.

    Both ways through the saw are there, so that they can be laid side by side. They stand in the order in which a
    shop wants them: nothing missing, fewest boards, fewest settings, least time. Each can be made whole with
    `make_plan(job, shop, one.choices)`.
    """
    chosen = (
        Choices(flow, may_turn, mix_widths)
        for flow, may_turn, mix_widths in product(Flow, (None, False, True), (True, False))
    )
    found = [figures(make_plan(job, shop, choices, effort), choices) for choices in chosen]
    best: dict[tuple[object, ...], Alternative] = {}
    for one in found:
        best.setdefault((one.choices.flow, *one.costs), one)
    front = [one for one in best.values() if not any(_beats(other, one) for other in best.values())]
    return tuple(sorted(front, key=lambda one: one.costs))


def figures(sheet: RunSheet, choices: Choices) -> Alternative:
    """A run sheet in figures."""
    before: tuple[Run | None, ...] = (None, *sheet.runs)
    return Alternative(
        choices,
        sheet.settings,
        sheet.wood.boards_used,
        sum(blank.count for blank in sheet.wood.to_buy),
        sheet.wood.touches,
        sum(is_carried(run, last) for last, run in zip(before, sheet.runs, strict=False)),
        sum(run.minutes for run in sheet.runs),
    )


def _beats(one: Alternative, other: Alternative) -> bool:
    """Nowhere worse and somewhere better."""
    nowhere_worse = one.choices.flow is other.choices.flow and all(
        mine <= yours for mine, yours in zip(one.costs, other.costs, strict=True)
    )
    return nowhere_worse and one.costs != other.costs
