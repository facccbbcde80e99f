"""Several jobs worked together, at the bench: begun, joined and left, and what that saves in settings and minutes."""

from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from starlette.responses import HTMLResponse, RedirectResponse

from stopwright.actions.floor.worked_together import Figures, Saving, figures_of
from stopwright.actions.jobs.keeping import job_document, members_of
from stopwright.actions.jobs.listing import JobLine, job_list
from stopwright.actions.jobs.planning import Planned, asked_for, sheet_search
from stopwright.actions.jobs.together import begin_together, join, leave, name_of
from stopwright.errors import NotFound, StopwrightError
from stopwright.model.counts import counted
from stopwright.paper.wording import minutes_text
from stopwright.web.kit.context import Web
from stopwright.web.kit.faults import status_of
from stopwright.web.kit.waiting import answer_of, tell_failure

HALF = 0.5
"""Minutes are told to the half."""
PATIENCE = 0.7
"""Seconds the page waits for plans before it is shown without what they say."""


@dataclass(frozen=True, slots=True)
class MemberLine:
    """One of the jobs: its number and name, and what it takes by its own sheet, None while that is not known."""

    job: str
    name: str
    takes: str | None


def together_routes(web: Web) -> APIRouter:
    """The routes of jobs that are worked together."""
    routes = APIRouter()

    @routes.post("/together")
    def begin(request: Request, job: Annotated[list[str] | None, Form()] = None) -> RedirectResponse:
        number = begin_together(web.store, [one[:10] for one in job or ()], request.state.device)
        return RedirectResponse(f"/jobs/{number}/together", 303)

    @routes.get("/jobs/{job}/together")
    def page(request: Request, job: str) -> HTMLResponse:
        return _page(web, request, job)

    @routes.post("/jobs/{job}/together/join", response_model=None)
    def let_join(
        request: Request, job: str, who: str = Form("", max_length=10), base: int = Form(0)
    ) -> HTMLResponse | RedirectResponse:
        return _moved(web, request, job, lambda: join(web.store, job, who, base, request.state.device))

    @routes.post("/jobs/{job}/together/leave", response_model=None)
    def let_leave(
        request: Request, job: str, who: str = Form("", max_length=10), base: int = Form(0)
    ) -> HTMLResponse | RedirectResponse:
        return _moved(web, request, job, lambda: leave(web.store, job, who, base, request.state.device))

    return routes


def saving_of(web: Web, planned: Planned) -> Saving | None:
    """What the jobs take together and each alone; None while a plan of one of them is not made."""
    alone = []
    for member in planned.members:
        sheet = answer_of(sheet_search(asked_for(web.store, member.number, web.shop)), PATIENCE)
        if sheet is None:
            return None
        alone.append(figures_of(sheet))
    return Saving(figures_of(planned.sheet), tuple(alone))


def figures_text(figures: Figures) -> str:
    """What a sheet takes, in words.

    >>> figures_text(Figures(36, 168.2))
    '36 settings, about 2 h 48 min'
    """
    return f"{counted(figures.settings, 'setting')}, about {minutes_text(figures.minutes)}"


def saved_text(saving: Saving) -> str:
    """What they do together against one after the other: save settings and minutes, or take longer.

    >>> saved_text(Saving(Figures(78, 282), (Figures(36, 168), Figures(54, 130))))
    'save 12 settings and 16 min'
    >>> saved_text(Saving(Figures(9, 31), (Figures(5, 15), Figures(4, 15))))
    'save nothing and take 1 min longer'
    """
    after = saving.one_after_the_other
    settings, minutes = after.settings - saving.together.settings, after.minutes - saving.together.minutes
    said = [counted(settings, "setting")] if settings > 0 else []
    said += [minutes_text(minutes)] if minutes >= HALF / 2 else []
    longer = f" and take {minutes_text(-minutes)} longer" if minutes <= -HALF / 2 else ""
    return f"save {' and '.join(said) or 'nothing'}{longer}"


def _moved(web: Web, request: Request, job: str, move: Any) -> HTMLResponse | RedirectResponse:
    """Back to the page after a job has joined or left; where it cannot, the page says why."""
    try:
        move()
    except NotFound:
        raise
    except StopwrightError as fault:
        return _page(web, request, job, fault)
    return RedirectResponse(f"/jobs/{job}/together", 303)


def _page(web: Web, request: Request, job: str, fault: StopwrightError | None = None) -> HTMLResponse:
    saved, numbers = job_document(web.store, job), members_of(web.store, job)
    if not numbers:
        step = "choose several on the page of all jobs"
        raise NotFound("this is one job by itself", saved.name or f"job {job}", step)
    planned, in_the_way = _planned(web, job)
    saving = saving_of(web, planned) if planned else None
    takes: tuple[str | None, ...] = tuple(map(figures_text, saving.alone)) if saving else (None,) * len(numbers)
    return web.pages.show(
        request,
        "together.html",
        status_of(fault),
        here="together",
        job=job,
        job_name=saved.name,
        members=[MemberLine(one, name_of(web.store, one), take) for one, take in zip(numbers, takes, strict=True)],
        version=saved.version,
        may_join=_may_join(web),
        fault=fault or in_the_way,
        together=figures_text(saving.together) if saving else "",
        after=figures_text(saving.one_after_the_other) if saving else "",
        saves=saved_text(saving) if saving else "",
    )


def _planned(web: Web, job: str) -> tuple[Planned | None, StopwrightError | None]:
    """The plan if it is made, and what stands in its way: a job among them that cannot be planned with the others."""
    try:
        tell_failure()
        asked = asked_for(web.store, job, web.shop)
    except StopwrightError as fault:
        return None, fault
    sheet = answer_of(sheet_search(asked), PATIENCE)
    return (asked.planned(sheet) if sheet else None), None


def _may_join(web: Web) -> list[JobLine]:
    return [line for line in job_list(web.store).at_hand if line.may_join]
