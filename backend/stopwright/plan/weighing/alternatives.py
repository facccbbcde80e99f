"""The plans worth choosing between: wood against settings against handlings, and both ways through the saw."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import product

from stopwright.model.job import Flow, Job
from stopwright.model.parts import Grain, Kind
from stopwright.model.stations import Shop
from stopwright.plan.choices import Choices
from stopwright.plan.effort import Effort
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Run, RunSheet, Settings
from stopwright.plan.stations.minutes import is_carried


@dataclass(frozen=True, slots=True)
class Alternative:
    """One whole plan in figures, with the choices that make it again.

    `missing` pieces have no stock; `carries` stacks are fetched and put down; `minutes` is the whole job; `strips` is
    how many runs want a block or strip put in.
    """

    choices: Choices
    settings: Settings
    boards: int
    missing: int
    handlings: int
    carries: int
    minutes: float
    strips: int = 0

    @property
    def costs(self) -> tuple[float, ...]:
        """What is weighed, the less the better: missing pieces, boards, settings, handlings, carries, time, strips."""
        worked = (self.handlings, self.carries, self.minutes, self.strips)
        return (self.missing, self.boards, self.settings.made, *worked)


def alternatives(job: Job, shop: Shop, effort: Effort | None = None) -> tuple[Alternative, ...]:
    """Every plan that no other of its flow beats in all of boards, settings, handlings, carries, minutes and strips.

    Both ways through the saw are there, so that they can be laid side by side, and where strips are used the plan
    without them. They stand in the order in which a
    shop wants them: nothing missing, fewest boards, fewest settings, least time. Each can be made whole with
    `make_plan(job, shop, one.choices)`.
    """
    return front(figures(make_plan(job, shop, choices, effort), choices) for choices in choices_to_try(job, shop))


def choices_to_try(job: Job, shop: Shop) -> tuple[Choices, ...]:
    """Every choice that can make a difference to this job, the usual one of each flow first; strips and wood apart."""
    turnable = any(p.kind is Kind.SHEET and p.grain is Grain.ANY and p.length != p.width for p in job.parts)
    turning = (None, False, True) if turnable and job.stock else (None,)
    mixing = (True, False) if job.stock else (True,)
    without = Flow if shop.spacers and (job.joints or job.cuts) else ()
    return (
        *(Choices(*chosen) for chosen in product(Flow, turning, mixing)),
        *(Choices(flow, strips=False) for flow in without),
    )


def front(found: Iterable[Alternative]) -> tuple[Alternative, ...]:
    """Those that no other of their flow beats, each once, in the order in which a shop wants them."""
    best: dict[tuple[object, ...], Alternative] = {}
    for one in found:
        best.setdefault((one.choices.flow, *one.costs), one)
    unbeaten = [one for one in best.values() if not any(_beats(other, one) for other in best.values())]
    return tuple(sorted(unbeaten, key=lambda one: one.costs))


def figures(sheet: RunSheet, choices: Choices) -> Alternative:
    """A run sheet in figures."""
    before: tuple[Run | None, ...] = (None, *sheet.runs)
    return Alternative(
        choices,
        sheet.settings,
        sheet.wood.boards_used,
        sum(blank.count for blank in sheet.wood.to_buy),
        sheet.wood.handlings,
        sum(is_carried(run, last) for last, run in zip(before, sheet.runs, strict=False)),
        sum(run.minutes for run in sheet.runs),
        sum(run.spacer is not None for run in sheet.runs),
    )


def _beats(one: Alternative, other: Alternative) -> bool:
    """Nowhere worse and somewhere better."""
    nowhere_worse = one.choices.flow is other.choices.flow and all(
        mine <= yours for mine, yours in zip(one.costs, other.costs, strict=True)
    )
    return nowhere_worse and one.costs != other.costs
