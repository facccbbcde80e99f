"""The hardware of a job: what a unit needs besides wood, typed as a short list."""

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from stopwright.actions.jobs.keeping import job_document
from stopwright.web.desk.parts import list_routes, page_data
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.script_data import as_script_data


def hardware_routes(web: Web) -> APIRouter:
    """The routes of the list of hardware."""
    routes = APIRouter()

    @routes.get("/jobs/{job}/hardware", tags=FOR_PHONES)
    def hardware(request: Request, job: str) -> HTMLResponse:
        saved = job_document(web.store, job)
        return web.pages.show(
            request,
            "hardware.html",
            here="hardware",
            job=job,
            job_name=saved.name,
            draft=as_script_data(page_data(job, saved, "hardware")),
        )

    routes.include_router(list_routes(web, "hardware", "hardware"))
    return routes
