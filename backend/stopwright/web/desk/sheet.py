"""The run sheet at the bench: looked at, planned again, searched longer; faults of the job where there is no plan."""

from functools import partial
from typing import Any

from fastapi import APIRouter, Form, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse, Response

from stopwright.actions.floor.outdated import can_be_kept, outdated
from stopwright.actions.floor.replanning import plan_from_the_machines, still_to_make, worked_before
from stopwright.actions.floor.stopping import floor_of, lengths_on, machine_used, set_again
from stopwright.actions.floor.worked_together import machines_of, run_states
from stopwright.actions.jobs.longer import Found, longer_search, search_longer, take_the_quick_plan
from stopwright.actions.jobs.planning import Asked, Planned, asked_for, sheet_search
from stopwright.actions.jobs.searching import Search
from stopwright.actions.jobs.together import together_with
from stopwright.actions.shop.keeping import current_shop
from stopwright.errors import BadInput
from stopwright.store.events import new_id
from stopwright.web.access.pairing import qr_svg
from stopwright.web.desk.sheet_view import SheetView
from stopwright.web.desk.together import figures_text, saved_text, saving_of
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.sheet_faults import faults_page
from stopwright.web.kit.waiting import answer_of, progress_of, tell_failure
from stopwright.web.phone.live import Live
from stopwright.web.phone.standing import standing_now

PATIENCE = 0.7
"""Seconds a page waits for a plan before it says that one is being made."""
LONGER = {10: "10 seconds", 60: "a minute", 300: "5 minutes"}


def sheet_routes(web: Web, live: Live) -> APIRouter:
    """The routes of the run sheet's page."""
    routes = APIRouter(prefix="/jobs/{job}/sheet")

    @routes.get("", tags=FOR_PHONES)
    def sheet(request: Request, job: str) -> Response:
        return planned_page(web, request, job, "sheet.html", lambda planned: _page(web, live, request, job, planned))

    @routes.get("/progress", tags=FOR_PHONES)
    def progress(job: str, what: str = "plan") -> dict[str, Any]:
        search: Search[Any] | None = longer_search(web.store, job, web.shop)
        if what == "plan":
            search = sheet_search(asked_for(web.store, job, web.shop))
        return progress_of(search)

    @routes.post("/quick")
    def quick(request: Request, job: str) -> Response:
        take_the_quick_plan(web.store, job, request.state.device)
        return RedirectResponse(f"/jobs/{job}/sheet", 303)

    @routes.post("/longer")
    def longer(request: Request, job: str, seconds: int = Form(10)) -> Response:
        search_longer(web.store, job, web.shop, seconds if seconds in LONGER else 10, request.state.device)
        return RedirectResponse(f"/jobs/{job}/sheet#search", 303)

    @routes.post("/stop")
    def stop(job: str) -> Response:
        search = longer_search(web.store, job, web.shop)
        if search:
            search.stop()
            search.answer(PATIENCE)
        return RedirectResponse(f"/jobs/{job}/sheet#search", 303)

    @routes.post("/machine-used")
    async def used(request: Request, job: str) -> Response:
        sent = await request.form(max_fields=400)
        moved, ready = ([str(one)[:400] for one in sent.getlist(name) if one] for name in ("moved", "ready"))
        shop = current_shop(web.store, web.shop)
        told = partial(
            machine_used, web.store, job, shop, map(_pair, moved), dict(map(_pair, ready)), request.state.device
        )
        await run_in_threadpool(told)
        return RedirectResponse(f"/jobs/{job}/sheet#machines", 303)

    @routes.post("/from-the-machines")
    def from_the_machines(request: Request, job: str) -> Response:
        plan_from_the_machines(web.store, job, web.shop, request.state.device)
        return RedirectResponse(f"/jobs/{job}/sheet", 303)

    return routes


def _pair(sent: str) -> tuple[str, str]:
    """Two names as one value of a form: the length of the first stands before both.

    >>> _pair(pair_value("saw", "rip fence"))
    ('saw', 'rip fence')
    """
    length, _, both = sent.partition(" ")
    at = int(length) if length.isdecimal() and len(length) < 6 else 0
    return both[:at], both[at:]


def pair_value(one: str, other: str) -> str:
    """Two names of whatever signs as one value of a form."""
    return f"{len(one)} {one}{other}"


def planned_page(web: Web, request: Request, job: str, name: str, made: Any) -> Response:
    """A page of the plan, `made(planned)` gives its data; where there is no plan, one that waits or shows faults."""
    try:
        tell_failure()
        asked = asked_for(web.store, job, web.shop)
        found = answer_of(sheet_search(asked), PATIENCE)
    except BadInput as bad:
        return faults_page(web, request, job, bad)
    if found is None:
        return _waiting(web, request, job, asked)
    planned = asked.planned(found)
    data = {"here": "sheet", "job": job, "job_name": planned.job.name, "shop_show": planned.shop.show, "asked": asked}
    data |= {"members": asked.members}
    return web.pages.show(request, name, **(data | made(planned)))


def _page(web: Web, live: Live, request: Request, job: str, planned: Planned) -> dict[str, Any]:
    states = run_states(web.store, job, planned)
    floor = floor_of(web.store, planned.shop)
    stands = lengths_on(floor, planned.shop)
    now, mark = standing_now(web, job)
    standing = {
        "job": job,
        "seq": now.seq,
        "sheet": mark,
        "runs": now.runs,
        "machines": now.machines,
        "here": live.open_runs(job),
    }
    view = SheetView(
        job,
        planned,
        states,
        standing,
        web.pages.ways(request, planned.shop.show).show,
        still_to_make(planned, states, stands, floor.ready),
        worked_before(planned.sheet, states),
        set_again(planned.sheet.runs, states, machines_of(web.store, job, planned)),
    )
    search: Search[Found] | None = longer_search(web.store, job, web.shop)
    address = f"{web.address}/jobs/{job}/phone".upper() if web.address else ""
    return {
        "page": view,
        "stands": stands,
        "floor": floor,
        "pair": pair_value,
        "shared": planned.shop.machines,
        "search": search,
        "found": search.answer(0) if search and search.finished and not search.error else None,
        "longer": LONGER,
        "outdated": outdated(web.store, job, planned),
        "can_be_kept": can_be_kept,
        "show": web.pages.ways(request, planned.shop.show).show,
        "new_id": new_id,
        "qr": qr_svg(address) if address else "",
        "address": address,
        "saving": saving_of(web, planned) if planned.members else None,
        "within": together_with(web.store, job),
        "figures_text": figures_text,
        "saved_text": saved_text,
    }


def _waiting(web: Web, request: Request, job: str, asked: Asked) -> Response:
    return web.pages.show(
        request,
        "sheet_waiting.html",
        here="sheet",
        job=job,
        job_name=asked.job.name,
        members=asked.members,
        parts=len(asked.job.parts),
        pieces=sum(part.quantity for part in asked.job.parts),
    )
