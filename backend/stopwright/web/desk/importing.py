"""Bringing lists and jobs in: a page to choose or paste, and one to map the columns and look before taking over."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Form, Request, UploadFile
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, QueryParams
from starlette.responses import HTMLResponse, RedirectResponse, Response

from stopwright.actions.jobs.importing import Brought, Look, Waiting, Wish, bring, look_at, suggested_name, take_over
from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.listing import units_in
from stopwright.actions.shop.keeping import current_shop
from stopwright.errors import BadInput, Fault, StopwrightError
from stopwright.intake.columns import FIELDS
from stopwright.model.parts import Grain
from stopwright.web.desk.parts import PART_COLUMNS, settings_of
from stopwright.web.kit.context import Web
from stopwright.web.kit.faults import status_of, wants_page
from stopwright.web.kit.portions import MOST_BYTES

CELLS_SHOWN = 60_000
"""Cells of a list that are shown on one page: every row of all but the widest and longest lists."""
FAULTS_SHOWN = 40
LABELS = {column["field"]: column["label"] for column in PART_COLUMNS} | {"per_unit": "Per unit"}


@dataclass(frozen=True, slots=True)
class ImportPage:
    """What the mapping page shows: the list, what was wished, what it would come to."""

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

    @property
    def to_choose(self) -> list[str]:
        """What no column of the list is yet, as it is called on the page."""
        return [LABELS[one.column] for one in self.look.faults if self._is_unchosen(one)]

    @property
    def faults(self) -> list[Fault]:
        """What is wrong inside the rows."""
        return [one for one in self.look.faults if not self._is_unchosen(one)]

    def _is_unchosen(self, fault: Fault) -> bool:
        return fault.column in LABELS and fault.column not in self.look.table.columns


def import_routes(web: Web) -> APIRouter:
    """The routes of bringing in. A list waits in memory between the two pages."""
    routes = APIRouter()
    waiting = Waiting()

    @routes.get("/import")
    def choose(request: Request) -> HTMLResponse:
        return _choose(request, "")

    @routes.get("/jobs/{job}/import")
    def choose_for(request: Request, job: str) -> HTMLResponse:
        return _choose(request, job)

    @routes.post("/import")
    def take_in(request: Request, file: UploadFile | None = None, rows: str = Form("")) -> Response:
        return _take_in(request, file, rows, "")

    @routes.post("/jobs/{job}/import")
    def take_in_for(request: Request, job: str, file: UploadFile | None = None, rows: str = Form("")) -> Response:
        job_document(web.store, job)
        return _take_in(request, file, rows, job)

    @routes.get("/import/{token}")
    def look(request: Request, token: str) -> HTMLResponse:
        return _look(request, token, request.query_params)

    def _look(request: Request, token: str, said: QueryParams | FormData) -> HTMLResponse:
        brought = waiting.get(token)
        wish, base = _wish(web, brought, said)
        units = str(said.get("units", "1"))
        fault = _fault_of_units(units)
        seen = look_at(web.store, brought, wish)
        page = ImportPage(
            brought.table.file, seen, wish, wish.name or suggested_name(brought), base, LABELS, _places(seen)
        )
        name = job_document(web.store, brought.job).name if brought.job else ""
        return web.pages.show(
            request,
            "import_columns.html",
            422 if fault else 200,
            here="import",
            units=units,
            units_fault=fault,
            job=brought.job,
            job_name=name,
            page=page,
            rows_shown=max(1, CELLS_SHOWN // len(brought.table.columns)),
            faults_shown=FAULTS_SHOWN,
        )

    @routes.post("/import/{token}")
    async def take(request: Request, token: str) -> Response:
        brought, form = waiting.get(token), await request.form()
        if not brought.job and _fault_of_units(str(form.get("units", "1"))):
            return await run_in_threadpool(_look, request, token, form)
        wish, base = _wish(web, brought, form)
        job = await run_in_threadpool(take_over, web.store, brought, wish, request.state.device, base)
        return RedirectResponse(f"/jobs/{job}/parts", 303)

    def _choose(request: Request, job: str, rows: str = "", fault: StopwrightError | None = None) -> HTMLResponse:
        return web.pages.show(
            request,
            "import.html",
            status_of(fault),
            here="import",
            job=job,
            job_name=job_document(web.store, job).name if job else "",
            most=MOST_BYTES,
            rows=rows,
            fault=fault,
            faults=fault.faults if isinstance(fault, BadInput) else (),
            faults_shown=FAULTS_SHOWN,
        )

    def _take_in(request: Request, file: UploadFile | None, rows: str, job: str) -> Response:
        named = file.filename or "" if file else ""
        source = file.file.read() if file and named else rows
        try:
            brought = bring(web.store, source, named, request.state.device, job)
        except StopwrightError as fault:
            if not wants_page(request):
                raise
            return _choose(request, job, rows, fault)
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
    if not lengths:
        lengths = current_shop(web.store, web.shop).lengths
    if brought.job:
        saved = job_document(web.store, brought.job)
        settings = settings_of(saved.document)
        lengths, units, base = settings["lengths"], settings["units"], texts.get("base", str(saved.version))
    wish = Wish(
        lengths="in" if lengths == "in" else "mm",
        mapping=mapping or None,
        units=1 if _fault_of_units(units) else units_in(units),
        name=texts.get("name", ""),
        replace=texts.get("how") == "replace",
        as_written=texts.get("take") == "as written",
        sheets=texts.get("sheets") == "yes",
        grain=Grain(texts["grain"]) if texts.get("grain") in list(Grain) else Grain.ANY,
    )
    return wish, int(base) if base.isdecimal() and len(base) < 16 else 0


def _fault_of_units(text: str) -> str:
    try:
        units_in(text)
    except StopwrightError as error:
        return f"{error.what}; {error.next_step}"
    return ""


def _places(look: Look) -> Mapping[int, frozenset[str]]:
    """Which columns of which rows of the list are at fault."""
    places: dict[int, set[str]] = {}
    for fault in look.faults:
        places.setdefault(fault.row, set()).add(fault.column)
    return {row: frozenset(columns) for row, columns in places.items()}
