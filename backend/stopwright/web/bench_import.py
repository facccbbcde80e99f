"""Bringing lists and jobs in: a page to choose or paste, and one to map the columns and look before taking over."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Form, Request, UploadFile
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, QueryParams
from starlette.responses import HTMLResponse, RedirectResponse, Response

from stopwright.actions.importing import Brought, Look, Waiting, Wish, bring, look_at, suggested_name, take_over
from stopwright.actions.keeping import job_document
from stopwright.intake.columns import FIELDS
from stopwright.web.bench_parts import PART_COLUMNS, settings_of
from stopwright.web.context import Web
from stopwright.web.let_in_routes import at_the_bench
from stopwright.web.portions import MOST_BYTES

ROWS_SHOWN = 12
FAULTS_SHOWN = 40
LABELS = {column["field"]: column["label"] for column in PART_COLUMNS} | {"per_unit": "Per unit"}


@dataclass(frozen=True, slots=True)
class ImportPage:
    """What the mapping page shows: the list, what was wished, what it would come to."""

    token: str
    file: str
    look: Look
    wish: Wish
    name: str
    base: int
    fields: Mapping[str, str]
    places: Mapping[int, frozenset[str]]

    @property
    def pieces(self) -> int:
        """How many pieces would be taken over."""
        return sum(part.quantity for part in self.look.parts.parts) if self.look.parts else 0


def import_routes(web: Web) -> APIRouter:
    """The routes of bringing in. A list waits in memory between the two pages."""
    routes = APIRouter()
    waiting = Waiting()

    @routes.get("/import")
    def choose(request: Request) -> HTMLResponse:
        return web.pages.show(request, "import.html", here="import", job="", job_name="", most=MOST_BYTES)

    @routes.get("/jobs/{job}/import")
    def choose_for(request: Request, job: str) -> HTMLResponse:
        name = job_document(web.store, job).name
        return web.pages.show(request, "import.html", here="import", job=job, job_name=name, most=MOST_BYTES)

    @routes.post("/import")
    def take_in(request: Request, file: UploadFile | None = None, rows: str = Form("")) -> Response:
        return _take_in(request, file, rows, "")

    @routes.post("/jobs/{job}/import")
    def take_in_for(request: Request, job: str, file: UploadFile | None = None, rows: str = Form("")) -> Response:
        job_document(web.store, job)
        return _take_in(request, file, rows, job)

    @routes.get("/import/{token}")
    def look(request: Request, token: str) -> HTMLResponse:
        brought = waiting.get(token)
        wish, base = _wish(web, brought, request.query_params)
        seen = look_at(web.store, brought, wish)
        page = ImportPage(
            token, brought.table.file, seen, wish, wish.name or suggested_name(brought), base, LABELS, _places(seen)
        )
        name = job_document(web.store, brought.job).name if brought.job else ""
        return web.pages.show(
            request,
            "import_columns.html",
            here="import",
            job=brought.job,
            job_name=name,
            page=page,
            rows_shown=ROWS_SHOWN,
            faults_shown=FAULTS_SHOWN,
        )

    @routes.post("/import/{token}")
    async def take(request: Request, token: str) -> RedirectResponse:
        at_the_bench(request)
        brought, form = waiting.get(token), await request.form()
        wish, base = _wish(web, brought, form)
        job = await run_in_threadpool(take_over, web.store, brought, wish, request.state.device, base)
        return RedirectResponse(f"/jobs/{job}/parts", 303)

    def _take_in(request: Request, file: UploadFile | None, rows: str, job: str) -> Response:
        at_the_bench(request)
        named = file.filename or "" if file else ""
        source = file.file.read() if file and named else rows
        brought = bring(web.store, source, named, request.state.device, job)
        if isinstance(brought, str):
            return RedirectResponse(f"/jobs/{brought}/parts", 303)
        return RedirectResponse(f"/import/{waiting.put(brought)}", 303)

    return routes


def _wish(web: Web, brought: Brought, said: QueryParams | FormData) -> tuple[Wish, int]:
    """What a form says about taking a list over, and the version of the job it was looked at with."""
    texts = {key: value for key, value in said.items() if isinstance(value, str)}
    mapping = {
        column: texts[f"column-{place}"] if texts[f"column-{place}"] in FIELDS else ""
        for place, column in enumerate(brought.table.columns)
        if f"column-{place}" in texts
    }
    lengths, units, base = texts.get("lengths", ""), texts.get("units", "1"), texts.get("base", "0")
    if brought.job:
        saved = job_document(web.store, brought.job)
        settings = settings_of(saved.document)
        lengths, units, base = settings["lengths"], settings["units"], texts.get("base", str(saved.version))
    wish = Wish(
        lengths="in" if lengths == "in" else "mm",
        mapping=mapping or None,
        units=int(units) if units.isdecimal() and len(units) < 7 and 1 <= int(units) <= 100_000 else 1,
        name=texts.get("name", ""),
        replace=texts.get("how") == "replace",
        as_written=texts.get("take") == "as written",
    )
    return wish, int(base) if base.isdecimal() and len(base) < 16 else 0


def _places(look: Look) -> Mapping[int, frozenset[str]]:
    """Which columns of which rows of the list are at fault."""
    places: dict[int, set[str]] = {}
    for fault in look.faults:
        places.setdefault(fault.row, set()).add(fault.column)
    return {row: frozenset(columns) for row, columns in places.items()}
