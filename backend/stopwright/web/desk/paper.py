"""Everything of a job on paper: what there is, on A4 or Letter, and the PDFs themselves."""

from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.responses import Response

from stopwright.actions.jobs.planning import Planned
from stopwright.actions.jobs.printing import PAGES, PAPERS, paper_of
from stopwright.errors import NotFound
from stopwright.paper.wording import runs_text
from stopwright.web.desk.sheet import planned_page
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES


@dataclass(frozen=True, slots=True)
class Paper:
    """One thing to print: its name, what is on it, where it is; `missing` says why there is none."""

    name: str
    about: str
    address: str
    missing: str = ""


def paper_routes(web: Web) -> APIRouter:
    """The routes of the papers."""
    routes = APIRouter(prefix="/jobs/{job}/paper")

    @routes.get("", tags=FOR_PHONES)
    def paper(request: Request, job: str, page: str = "A4") -> Response:
        size = page if page in PAGES else "A4"

        def made(planned: Planned) -> dict[str, Any]:
            return {"papers": _papers(job, planned, size), "sizes": tuple(PAGES), "chosen": size}

        return planned_page(web, request, job, "paper.html", made)

    @routes.get("/{what}.pdf", tags=FOR_PHONES)
    def pdf(job: str, what: str, page: str = "A4") -> Response:
        if what not in PAPERS:
            raise NotFound("there is no such paper", f"job {job}", "choose one from the list of papers")
        planned = web.planned_alone(job)
        named = quote(f"{planned.job.name} {what}.pdf", safe="")
        return Response(
            paper_of(planned, what, page),
            media_type="application/pdf",
            headers={"content-disposition": f"inline; filename*=UTF-8''{named}"},
        )

    return routes


def _papers(job: str, planned: Planned, size: str) -> list[Paper]:
    sheet, start = planned.sheet, f"/jobs/{job}"
    missing = "This job has no joints or cuts yet; add them on its joints page."
    joints = "" if planned.job.joints or planned.job.cuts else missing
    runs = runs_text([run.number for run in sheet.runs])
    return [
        Paper(
            "Run sheet",
            f"{runs.capitalize()}, with boxes to tick, layouts, tenons and what to look at.",
            f"{start}/paper/run-sheet.pdf?page={size}",
        ),
        Paper(
            "Run sheet in short",
            "A line or two a run, with the blocks to make: a hundred runs on four pages.",
            f"{start}/paper/run-sheet-in-short.pdf?page={size}",
        ),
        Paper(
            "Station by station",
            "A page to pin up at every machine: its own runs in full, and the blocks used there.",
            f"{start}/paper/by-station.pdf?page={size}",
        ),
        Paper(
            "Layouts",
            "Every board and sheet to scale, cuts numbered as the saw makes them.",
            f"{start}/paper/layouts.pdf?page={size}",
            "" if sheet.wood.layouts else "No wood is laid out yet; write down what is on hand on the wood page.",
        ),
        Paper(
            "Master pieces",
            "At true size, over several pages where they are long. Print at 100 %.",
            f"{start}/master-pieces.pdf?page={size}",
            joints,
        ),
        Paper(
            "Story stick",
            "Every slot of the job on one strip, at true size. Print at 100 %.",
            f"{start}/story-stick.pdf?page={size}",
            joints,
        ),
        Paper(
            "Glue-up sheet",
            "Dry fit and the stages of the glue-up, with boxes to tick for every unit.",
            f"{start}/glue-up.pdf?page={size}",
            joints,
        ),
    ]
