"""What lets a phone open its pages without network: the service worker, over HTTPS or on this machine only."""

from pathlib import Path

from fastapi import APIRouter, Request
from starlette.responses import FileResponse, HTMLResponse

from stopwright.actions.jobs.numbering import pieces_of, portions_of
from stopwright.actions.jobs.planning import Planned
from stopwright.plan.assembling.assembly import assembly_stages
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES

GREATEST_UNITS = 40
"""Of how many units a phone keeps the pages of dry fit and glue-up."""


def kept_routes(web: Web, frontend: Path) -> APIRouter:
    """The worker's script, at the top of all addresses (a worker may only serve what lies below its own), the pages
    that it keeps, and the one that it shows where none is kept."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/worker.js")
    def worker() -> FileResponse:
        return FileResponse(frontend / "scripts" / "worker.js", media_type="text/javascript")

    @routes.get("/out-of-reach")
    def out_of_reach(request: Request) -> HTMLResponse:
        return web.pages.show(request, "out_of_reach.html")

    @routes.get("/reach")
    def reach() -> dict[str, bool]:
        return {"reach": True}

    @routes.get("/jobs/{job}/pages-to-keep")
    def pages_to_keep(job: str) -> dict[str, list[str]]:
        planned = web.planned(job)
        if not planned.members:
            return {"pages": [f"/jobs/{job}/runs", *_of_pieces(web, job, planned)]}
        each = [page for one in planned.members for page in _of_pieces(web, one.number, web.planned(one.number))]
        return {"pages": [f"/jobs/{job}/runs", *each]}

    return routes


def _of_pieces(web: Web, number: str, planned: Planned) -> list[str]:
    """The pages of a job's own pieces and wood."""
    plan = assembly_stages(planned.job)
    units = range(1, min(planned.job.units, GREATEST_UNITS) + 1)
    more = [f"sort/{portion}" for portion in range(2, portions_of(pieces_of(web.store, number, planned)) + 1)]
    glued = [
        f"glue-up/{unit}/{page}"
        for unit in units
        if plan.stages
        for page in ("dry-fit", *(stage.number for stage in plan.of_unit(unit)))
    ]
    return [f"/jobs/{number}/{page}" for page in ("sort", *more, "spoiled", "pieces", "rack", "glue-up", *glued)]
