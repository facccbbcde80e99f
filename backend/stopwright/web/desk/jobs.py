"""The list of jobs at the bench: made, copied, archived and restored, and exported."""

from dataclasses import dataclass
from urllib.parse import quote

from fastapi import APIRouter, Form, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response, StreamingResponse

from stopwright.actions.jobs.keeping import job_document, members_of
from stopwright.actions.jobs.listing import archive_job, copy_job, export, job_list, restore_job, start_job
from stopwright.actions.jobs.repeating import repeat_job
from stopwright.actions.shop.pairing import BENCH
from stopwright.errors import StopwrightError
from stopwright.web.kit.context import Web
from stopwright.web.kit.faults import status_of, wants_page
from stopwright.web.kit.guard import FOR_PHONES


@dataclass(frozen=True, slots=True)
class NewJob:
    """The form of a new job as it was filled in."""

    name: str = ""
    units: str = "1"
    lengths: str = ""


def jobs_routes(web: Web) -> APIRouter:
    """The routes of the first page. `away` in its address says which job was archived just now."""
    routes = APIRouter()

    @routes.get("/", tags=FOR_PHONES)
    def start(request: Request, away: str = "") -> HTMLResponse:
        return _page(web, request, away)

    @routes.get("/jobs", tags=FOR_PHONES)
    def again() -> RedirectResponse:
        """Where a job that could not be made was shown, and the address is asked for once more."""
        return RedirectResponse("/", 303)

    @routes.post("/jobs")
    def make(
        request: Request,
        name: str = Form("", max_length=400),
        units: str = Form("1", max_length=40),
        lengths: str = Form("mm", max_length=4),
    ) -> Response:
        try:
            job = start_job(web.store, name, units, lengths, request.state.device)
        except StopwrightError as fault:
            if not wants_page(request):
                raise
            return _page(web, request, typed=NewJob(name, units, lengths), fault=fault)
        return RedirectResponse(f"/jobs/{job}/parts", 303)

    @routes.get("/jobs/{job}", tags=FOR_PHONES)
    def open_job(job: str) -> RedirectResponse:
        job_document(web.store, job)
        return RedirectResponse(f"/jobs/{job}/{'sheet' if members_of(web.store, job) else 'parts'}", 303)

    @routes.post("/jobs/{job}/copy")
    def copy(request: Request, job: str) -> RedirectResponse:
        return RedirectResponse(f"/jobs/{copy_job(web.store, job, request.state.device)}/parts", 303)

    @routes.post("/jobs/{job}/repeat")
    def repeat(request: Request, job: str) -> RedirectResponse:
        return RedirectResponse(f"/jobs/{repeat_job(web.store, job, request.state.device)}/parts", 303)

    @routes.post("/jobs/{job}/archive")
    def away(request: Request, job: str) -> RedirectResponse:
        archive_job(web.store, job, request.state.device)
        return RedirectResponse(f"/?away={job}", 303)

    @routes.post("/jobs/{job}/restore")
    def back(request: Request, job: str) -> RedirectResponse:
        restore_job(web.store, job, request.state.device)
        return RedirectResponse("/", 303)

    @routes.get("/jobs/{job}/files/{what}")
    def take_out(job: str, what: str) -> Response:
        made = export(web.store, job, what)
        named = f"attachment; filename*=UTF-8''{quote(made.name)}"
        headers = {"content-disposition": named}
        if isinstance(made.data, bytes):
            return Response(made.data, media_type=made.media_type, headers=headers)
        return StreamingResponse(made.data, media_type=made.media_type, headers=headers)

    return routes


def _page(
    web: Web, request: Request, away: str = "", typed: NewJob | None = None, fault: StopwrightError | None = None
) -> HTMLResponse:
    """The list; with a `fault` the new job that was typed stands in its form again."""
    listed = job_list(web.store)
    return web.pages.show(
        request,
        "jobs.html",
        status_of(fault),
        here="jobs",
        listed=listed,
        just_now=next((line for line in listed.archived if line.job == away), None),
        at_bench=request.state.device == BENCH,
        typed=typed or NewJob(),
        fault=fault,
    )
