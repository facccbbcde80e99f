"""The phone at the machine: a job's runs as one page, and the taps that come back from it."""

from collections.abc import Callable, Mapping
from typing import Any

from fastapi import APIRouter, Request
from pydantic import BaseModel, ConfigDict, Field
from starlette.responses import HTMLResponse, RedirectResponse

from stopwright.actions.floor.outdated import outdated
from stopwright.actions.floor.set_up_pictures import read_picture, refuse_more
from stopwright.actions.floor.trial_texts import read_noted, read_trial
from stopwright.actions.floor.worked_together import run_states
from stopwright.actions.floor.working import UNTOUCHED, job_state, record
from stopwright.actions.jobs.planning import Planned
from stopwright.actions.jobs.repeating import repeats
from stopwright.actions.jobs.together import together_with
from stopwright.actions.shop.memory import readings
from stopwright.actions.shop.pairing import BENCH
from stopwright.errors import NotFound, StopwrightError
from stopwright.store.log import Store
from stopwright.store.together_fold import tap_of
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.well_formed import Row
from stopwright.web.phone.live import Live
from stopwright.web.phone.run_list import RunsPage, runs_page
from stopwright.web.phone.run_page import Memory
from stopwright.web.phone.standing import standing_now

GREATEST_PORTION = 500


_READ: Mapping[str, tuple[str, Callable[[Mapping[str, Any]], dict[str, Any]]]] = {
    "piece measured": ("text", read_trial),
    "reading noted": ("text", read_noted),
    "run pictured": ("jpeg", read_picture),
}
"""Events with something in them as it was typed or taken, under which name, and what reads it."""


class Sent(BaseModel):
    """Taps as a phone sends them; `sent` is what its clock says now."""

    model_config = ConfigDict(extra="forbid")
    events: list[Row] = Field(max_length=GREATEST_PORTION)
    sent: str = ""


def phone_routes(web: Web, live: Live) -> APIRouter:
    """The routes of the phone face."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/jobs/{job}/runs", response_model=None)
    def runs(request: Request, job: str) -> HTMLResponse | RedirectResponse:
        whole = "whole" in request.query_params  # what a phone asks for behind the page that it has opened
        return _together(web, job, "runs") or _show(web, live, request, job, 0, whole)

    @routes.get("/jobs/{job}/runs/{number}", response_model=None)
    def run(request: Request, job: str, number: str) -> HTMLResponse | RedirectResponse:
        place = int(number) if number.isdecimal() and len(number) < 6 else -1
        return _together(web, job, f"runs/{number}") or _show(web, live, request, job, place)

    @routes.get("/jobs/{job}/phone")
    def go_on(job: str) -> RedirectResponse:
        if elsewhere := _together(web, job, "phone"):
            return elsewhere
        planned = web.planned(job)
        states = run_states(web.store, job, planned)
        number = next((run.number for run in planned.sheet.runs if not states.get(run.id, UNTOUCHED).done), None)
        return RedirectResponse(f"/jobs/{job}/runs" + (f"/{number}" if number else ""), 303)

    @routes.post("/jobs/{job}/events")
    def events(request: Request, job: str, sent: Sent) -> dict[str, Any]:
        read, unread = _read_in(web.store, job, sent.events)
        taken = record(web.store, job, read, request.state.device, sent=sent.sent)
        refused = {one.id: {"what": one.what, "where": "", "next_step": one.next_step} for one in taken.refused}
        return {"stored": {tap_of(event): event.seq for event in taken.stored}, "refused": refused | unread}

    @routes.get("/jobs/{job}/standing")
    def standing(job: str) -> dict[str, Any]:
        job_state(web.store, job)
        return _standing(web, live, job)

    return routes


def _together(web: Web, job: str, page: str) -> RedirectResponse | None:
    """To the sheet of the jobs with which this one is worked together: at the machine there is one sheet."""
    number = together_with(web.store, job)
    return RedirectResponse(f"/jobs/{number}/{page}", 303) if number else None


def _show(web: Web, live: Live, request: Request, job: str, number: int, whole: bool = False) -> HTMLResponse:
    planned = web.planned(job)
    if number and all(run.number != number for run in planned.sheet.runs):
        raise NotFound("There is no such run.", f"job {job}", "Choose one from the list of all runs.")
    page = page_of(web, live, request, job, planned, number, whole)
    show = web.pages.ways(request, planned.shop.show).show
    told = [(lot, [one.words(show) for one in lot.differs]) for lot in outdated(web.store, job, planned)]
    return web.pages.show(request, "runs.html", shop_show=planned.shop.show, page=page, outdated=told)


def page_of(web: Web, live: Live, request: Request, job: str, planned: Planned, number: int, whole: bool) -> RunsPage:
    """All runs of a job as the asking device sees them, run `number` on the screen, 0 for the list.

    `whole` brings the screens of all runs.
    """
    return runs_page(
        job,
        planned,
        run_states(web.store, job, planned),
        _standing(web, live, job),
        number,
        web.pages.ways(request, planned.shop.show).show,
        _memory(web, job),
        request.state.device,
        {BENCH: "the bench"} | {device.id: device.name for device in web.door.devices()},
        whole,
    )


def _memory(web: Web, job: str) -> Memory:
    of = repeats(web.store, job)
    notes = {run: state.notes for run, state in job_state(web.store, of).runs.items() if state.notes} if of else {}
    return Memory(readings(web.store), of, notes)


def _standing(web: Web, live: Live, job: str) -> dict[str, Any]:
    """As a message of the live line: all runs."""
    now, mark = standing_now(web, job)
    return {
        "seq": now.seq,
        "sheet": mark,
        "ids": [],
        "all": True,
        "runs": now.runs,
        "machines": now.machines,
        "here": live.open_runs(job),
    }


def _read_in(store: Store, job: str, events: list[dict[str, Any]]) -> tuple[list[dict[str, Any]], dict[str, Any]]:
    """The events with measured texts read as lengths and photos made anew, and the refusals of others, by id."""
    read, unread, pictures = [], {}, 0
    for event in events:
        body, id_ = event.get("body"), str(event.get("id"))
        name, reads = _READ.get(str(event.get("kind")), ("", None))
        try:
            if event.get("kind") == "run pictured" and store.event(id_) is None:
                refuse_more(store, job, pictures)
                pictures += 1
            if reads and isinstance(body, dict) and name in body:
                event = event | {"body": reads(body)}
            read.append(event)
        except StopwrightError as error:
            unread[id_] = {"what": error.what, "where": "", "next_step": error.next_step}
    return read, unread
