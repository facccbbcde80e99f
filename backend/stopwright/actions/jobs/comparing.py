"""The plans worth choosing between, both flows side by side, and what each constraint costs; one chosen from them."""

from collections.abc import Iterator
from dataclasses import dataclass

from stopwright.actions.jobs.keeping import choose_plan
from stopwright.actions.jobs.planners import made
from stopwright.actions.jobs.planning import Asked, asked_for, sheet_search
from stopwright.actions.jobs.searching import Search, Searches
from stopwright.errors import StopwrightError
from stopwright.model.job import Flow, Job
from stopwright.model.stations import Shop
from stopwright.plan.choices import Choices
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import RunSheet
from stopwright.plan.weighing.alternatives import Alternative, choices_to_try, figures, front
from stopwright.plan.weighing.constraint_costs import ConstraintCost, constraint_cost, relaxations
from stopwright.plan.weighing.flow_figures import FlipStops, flip_stops
from stopwright.store.log import Store


@dataclass(frozen=True, slots=True)
class Comparison:
    """What a person chooses from. `now` is the plan as it is chosen; `whole` False: stopped before all was tried.

    `front` are the plans that no other of their flow beats, `flows` the usual plan of each flow, `costs` what
    relaxing each constraint would save against `now`.
    """

    now: Alternative
    front: tuple[Alternative, ...]
    flows: tuple[Alternative, ...]
    flip_stops: FlipStops | None
    costs: tuple[ConstraintCost, ...]
    whole: bool


_COMPARED = Searches()


def compare_plans(store: Store, job: str, default_shop: Shop) -> Search[Comparison]:
    """Begins comparing the plans of a job, or returns the comparison that is on or done. Raises NotFound, BadInput.

    Stopped, it answers with what it has tried so far.
    """
    asked = asked_for(store, job, default_shop)
    tried = choices_to_try(asked.job, asked.shop)
    relaxed = relaxations(asked.job, asked.shop, asked.choices)
    return _COMPARED.begin(asked, lambda search: _compare(asked, search), of=1 + len(tried) + len(relaxed))


def compare_again(store: Store, job: str, default_shop: Shop) -> None:
    """Lets a comparison go that was stopped, so that the next one tries all. Raises NotFound and BadInput."""
    _COMPARED.forget(asked_for(store, job, default_shop))


def compared(job: Job, shop: Shop) -> tuple[Alternative, ...]:
    """The front of a job that is not in a store, in the order in which `choose` counts it."""
    return front(figures(make_plan(job, shop, choices), choices) for choices in choices_to_try(job, shop))


def chosen_of(found: tuple[Alternative, ...], number: int) -> Choices:
    """The choices of the plan with this number, counted from 1. Raises StopwrightError if there is none."""
    if not 1 <= number <= len(found):
        raise StopwrightError(f"there is no plan {number}", next_step=f"choose from 1 to {len(found)}")
    return found[number - 1].choices


def choose(store: Store, job: str, choices: Choices, device: str) -> None:
    """Takes down which plan was chosen; what stood on the machines is left out. Raises NotFound."""
    body = {name: getattr(choices, name) for name in ("flow", "may_turn", "mix_widths", "strips")}
    body |= {"soonest": True} if choices.soonest else {}
    choose_plan(store, job, body, device)


def _compare(asked: Asked, search: Search[Comparison]) -> Comparison:
    sheet = sheet_search(asked).answer()
    assert sheet is not None
    search.at = 1
    plans: dict[Choices, RunSheet] = {}
    for choices in choices_to_try(asked.job, asked.shop):
        if search.stopped:
            break
        plans[choices] = made(search, make_plan, asked.job, asked.shop, choices)
        search.at += 1
    found = front(figures(plans[choices], choices) for choices in plans)
    usual = [choices for choices in (Choices(flow) for flow in Flow) if choices in plans]
    flows = tuple(figures(plans[choices], choices) for choices in usual)
    by_parts = next((plans[one] for one in usual if one.flow is Flow.PART_BY_PART), None)
    flips = flip_stops(by_parts, asked.shop) if by_parts else None
    costs = tuple(_costs(asked, sheet, search))
    return Comparison(figures(sheet, asked.choices), found, flows, flips, costs, not search.stopped)


def _costs(asked: Asked, sheet: RunSheet, search: Search[Comparison]) -> Iterator[ConstraintCost]:
    for relaxed in relaxations(asked.job, asked.shop, asked.choices):
        if search.stopped:
            return
        yield made(search, constraint_cost, relaxed, sheet)
        search.at += 1
