"""What phone and bench say of the day: when each run falls from now on, when clamps come free, when all is done."""

from collections.abc import Iterator
from typing import Any

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from stopwright.actions.floor.day_now import DayNow, day_now, runs_left, stages_of
from stopwright.actions.floor.worked_together import run_states
from stopwright.actions.jobs.keeping import choose_plan, chosen
from stopwright.lengths import Show, format_length
from stopwright.model.counts import counted
from stopwright.model.whose import lot_for
from stopwright.paper.wording import runs_text
from stopwright.plan.day.hours import Seconds
from stopwright.plan.day.timetable import Entry, day_and_time
from stopwright.store.events import utc_now
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES


def day_routes(web: Web) -> APIRouter:
    """The routes of the day."""
    routes = APIRouter(prefix="/jobs/{job}")

    @routes.get("/day", tags=FOR_PHONES)
    def now(request: Request, job: str) -> dict[str, Any]:
        planned = web.planned(job)
        states = run_states(web.store, job, planned)
        day = day_now(planned, states, stages_of(web.store, job, planned), utc_now())
        return {"day": day_facts(day, web.pages.ways(request, planned.shop.show).show) if day else None}

    @routes.post("/sheet/order")
    def order(request: Request, job: str, soonest: str = Form("")) -> Response:
        choose_plan(web.store, job, {**chosen(web.store, job), "soonest": soonest == "yes"}, request.state.device)
        return RedirectResponse(f"/jobs/{job}/sheet#day", 303)

    return routes


def day_facts(day: DayNow, show: Show) -> dict[str, Any]:
    """Words for every run that is left, by its number, and for the whole."""
    return {
        "at": day_and_time(day.at)[1],
        "runs": {str(run.number): _falls(one, day.at) for run, one in runs_left(day)},
        "held": list(_held(day, show)),
        "glued": _glued_next(day),
        "done": f"all done {clock_text(day.onward.done, day.at)}" if day.onward.left else "",
    }


def clock_text(at: Seconds, now: Seconds) -> str:
    """A moment as one says it now. Which days are worked is not known, so they are counted, not named.

    >>> clock_text(14 * 3600, 9 * 3600), clock_text(38 * 3600, 9 * 3600), clock_text(62 * 3600, 9 * 3600)
    ('about 14:00', 'on the next working day, about 14:00', 'in 2 working days, about 14:00')
    """
    (day, time), (today, _) = day_and_time(at), day_and_time(now)
    if day <= today:
        return f"about {time}"
    return (
        f"on the next working day, about {time}" if day == today + 1 else f"in {day - today} working days, about {time}"
    )


def _falls(one: Entry, now: Seconds) -> str:
    begins, ends = clock_text(one.begin, now), clock_text(one.end, now)
    if one.begin - now < 60:
        return f"now, until {ends.removeprefix('on ')}"
    return (
        f"{begins} to {ends.rpartition(' ')[2]}" if day_and_time(one.begin)[0] == day_and_time(one.end)[0] else begins
    )


def _glued_next(day: DayNow) -> str:
    """The next stage of a unit to be glued up, and when."""
    one = next((one for one in day.onward.left if one.stage), None)
    if one is None:
        return ""
    whose = lot_for(one.whose, "") if one.whose else ""
    return f"glue-up next: {whose}stage {one.stage} of unit {one.unit}, {_falls(one, day.at)}"


def _held(day: DayNow, show: Show) -> Iterator[str]:
    """When clamps come free that are on something now, and what can be done until then."""
    together: dict[tuple[Seconds, int], int] = {}
    for one in day.onward.held:
        for opening, count in one.clamps:
            together[one.free // 60 * 60, opening] = together.get((one.free // 60 * 60, opening), 0) + count
    for (free, opening), count in sorted(together.items()):
        meanwhile = [run.number for run, one in runs_left(day) if one.begin < free and not one.nth]
        clamps = f"{counted(count, 'clamp')} of {format_length(opening, show)} {'comes' if count == 1 else 'come'} free"
        said = f"{clamps} {clock_text(free, day.at)}"
        yield f"{said}; meanwhile {runs_text(meanwhile)}" if meanwhile else said
