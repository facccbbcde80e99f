"""Plans to choose from at the bench: the chart, two side by side, flip stops, and what each constraint costs."""

from dataclasses import dataclass, replace
from typing import Any

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from stopwright.actions.jobs.comparing import Comparison, choose, compare_again, compare_plans
from stopwright.actions.jobs.keeping import chosen, refuse_several
from stopwright.actions.jobs.planning import Planned
from stopwright.actions.jobs.searching import Search
from stopwright.model.job import Flow
from stopwright.paper.front_text import wood_words
from stopwright.paper.wording import minutes_text
from stopwright.plan.choices import Choices
from stopwright.plan.weighing.alternatives import Alternative
from stopwright.web.desk.sheet import PATIENCE, planned_page
from stopwright.web.drawings.front import draw_front
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.waiting import answer_of, progress_of

TURNING = {"": None, "no": False, "yes": True}


@dataclass(frozen=True, slots=True)
class PlanView:
    """One plan to choose, by its number from 1."""

    number: int
    plan: Alternative
    is_now: bool

    @property
    def flow(self) -> str:
        """How it goes through the saw."""
        return str(self.plan.choices.flow or Flow.STATION_BY_STATION)

    @property
    def wood(self) -> str:
        """How it lays out the wood, where that is not the usual."""
        return wood_words(self.plan.choices)

    @property
    def minutes(self) -> str:
        """How long the whole job takes."""
        return minutes_text(self.plan.minutes)

    @property
    def turning(self) -> str:
        """The word that stands for its turning in a form."""
        return next(word for word, may in TURNING.items() if may is self.plan.choices.may_turn)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of two plans side by side; `better` is 1 or 2 for the plan that has less, 0 for none."""

    what: str
    one: str
    other: str
    better: int


def choices_routes(web: Web) -> APIRouter:
    """The routes of the choices."""
    routes = APIRouter(prefix="/jobs/{job}/choices")

    @routes.get("", tags=FOR_PHONES)
    def choices(request: Request, job: str, one: int = 0, other: int = 0) -> Response:
        refuse_several(web.store, job)

        def made(planned: Planned) -> dict[str, Any]:
            search = compare_plans(web.store, job, web.shop)
            found = answer_of(search, PATIENCE)
            return {"search": search} | (_compared(found, planned, one, other) if found else {"found": None})

        return planned_page(web, request, job, "choices.html", made)

    @routes.get("/progress", tags=FOR_PHONES)
    def progress(job: str) -> dict[str, Any]:
        refuse_several(web.store, job)
        return progress_of(compare_plans(web.store, job, web.shop))

    @routes.post("")
    def pick(
        request: Request,
        job: str,
        flow: str = Form(""),
        turning: str = Form(""),
        one_width: str = Form(""),
        no_strips: str = Form(""),
        usual: str = Form(""),
    ) -> Response:
        wanted = Flow(flow) if flow in tuple(Flow) and not usual else None
        soonest = chosen(web.store, job).get("soonest", False)  # the order of the day is chosen on the run sheet
        turn, mix = TURNING.get(turning), not one_width
        choices = Choices() if usual else Choices(wanted, turn, mix, strips=not no_strips, soonest=soonest)
        choose(web.store, job, choices, request.state.device)
        return RedirectResponse(f"/jobs/{job}/sheet", 303)

    @routes.post("/stop")
    def stop(job: str) -> Response:
        search: Search[Comparison] = compare_plans(web.store, job, web.shop)
        search.stop()
        search.answer(PATIENCE)
        return RedirectResponse(f"/jobs/{job}/choices", 303)

    @routes.post("/again")
    def again(job: str) -> Response:
        compare_again(web.store, job, web.shop)
        return RedirectResponse(f"/jobs/{job}/choices", 303)

    return routes


def _compared(found: Comparison, planned: Planned, one: int, other: int) -> dict[str, Any]:
    now = found.now.choices
    flow = now.flow or planned.job.flow
    views = []
    for number, plan in enumerate(found.front, start=1):
        views.append(PlanView(number, plan, plan.choices == replace(now, flow=flow, standing=(), soonest=False)))
    first, second = _pair(views, one, other)
    return {
        "found": found,
        "views": views,
        "charts": _charts(found, views),
        "first": first,
        "second": second,
        "lines": _side_by_side(first.plan, second.plan) if first and second else [],
        "now_is_there": any(view.is_now for view in views),
        "minutes": minutes_text,
    }


def _charts(found: Comparison, views: list[PlanView]) -> list[Any]:
    now = next((view.number for view in views if view.is_now), 0)
    if len({(plan.boards, plan.settings.made, plan.handlings) for plan in found.front}) < 2:
        return []  # all plans lie on one point
    return [draw_front(found.front, now, what) for what in ("settings", "handlings")]


def _pair(views: list[PlanView], one: int, other: int) -> tuple[PlanView | None, PlanView | None]:
    """The two that were asked for, else the first of each flow."""
    by_number = {view.number: view for view in views}
    of_flow = [next((view for view in views if view.plan.choices.flow is flow), None) for flow in Flow]
    first = by_number.get(one) or of_flow[0] or (views[0] if views else None)
    second = by_number.get(other) or of_flow[1] or (views[-1] if views else None)
    if not one and first and second and first.number > second.number:
        return second, first
    return first, second


def _side_by_side(one: Alternative, other: Alternative) -> list[Line]:
    def line(what: str, mine: float, yours: float, words: Any = str) -> Line:
        return Line(what, words(mine), words(yours), 0 if mine == yours else 1 if mine < yours else 2)

    lines = [
        line("settings", one.settings.made, other.settings.made),
        line("minutes of setting", one.settings.minutes, other.settings.minutes, minutes_text),
        line("boards and sheets", one.boards, other.boards),
        line("handlings of a board or strip", one.handlings, other.handlings),
        line("stacks carried and put down", one.carries, other.carries),
        line("runs with a strip or block put in", one.strips, other.strips),
        line("the whole job", one.minutes, other.minutes, minutes_text),
    ]
    return [line("pieces without wood", one.missing, other.missing), *lines] if one.missing or other.missing else lines
