"""The lists of a job edited at the bench (parts, wood, hardware): where a page starts, checked while typing, saved."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from fastapi import APIRouter, Request
from pydantic import BaseModel, ConfigDict, Field
from starlette.responses import HTMLResponse

from stopwright.actions.jobs.editing import (
    SETTINGS,
    Draft,
    DraftAnswer,
    answer_to,
    check_draft,
    pasted_rows,
    save_draft,
    typed_rows,
)
from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.thing_answers import made_lines
from stopwright.actions.shop.keeping import current_shop
from stopwright.intake.draft import NO_PART, STOCK_KINDS
from stopwright.intake.files import GREATEST_ROWS, GREATEST_TEXT
from stopwright.model.job import Flow, Job
from stopwright.model.parts import Grain, Hand, Kind, Made, Rings
from stopwright.store.events import new_id
from stopwright.store.job_fold import Saved
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.script_data import as_script_data
from stopwright.web.kit.sheet_faults import to_mend
from stopwright.web.kit.well_formed import Row

Column = dict[str, Any]


class SentDraft(BaseModel):
    """A draft as a page sends it; `base` and `id` only when it is to be saved, `marks` old -> new of renamed parts."""

    model_config = ConfigDict(extra="forbid")
    rows: list[Row] = Field(max_length=GREATEST_ROWS)
    settings: dict[str, str] | None = None
    marks: dict[str, str] = Field(default_factory=dict, max_length=GREATEST_ROWS)
    base: int = 0
    id: str = ""


class SentRows(BaseModel):
    """Rows as they came from a clipboard."""

    model_config = ConfigDict(extra="forbid")
    text: str = Field(max_length=GREATEST_TEXT)


def column(field: str, label: str, about: str, **more: Any) -> Column:
    """A column of a list: its field, its head, what it is for; `number`, `unique`, `choices` for some."""
    return {"field": field, "label": label, "about": about} | more


PART_COLUMNS: tuple[Column, ...] = (
    column("mark", "Mark", "what the part is called on labels and the run sheet; given if left empty", unique=True),
    column("name", "Name", "what it is, such as Leg or Upper rail"),
    column("quantity", "Quantity", "how many pieces in all", number=True),
    column("length", "Length", "finished, along the piece", number=True),
    column("width", "Width", "finished, across the piece", number=True),
    column("thickness", "Thickness", "finished", number=True),
    column("material", "Material", "the wood it is cut from, named as on the wood page", known=True),
    column("kind", "Kind", "solid wood, sheet, or a moulding that is run while long", choices=list(Kind)),
    column(
        "grain", "Grain", "how it lies to the length of the part; any lets a sheet part be turned", choices=list(Grain)
    ),
    column("hand", "Hand", "pairs where half of the pieces are mirror images of the others", choices=list(Hand)),
    column("tolerance", "Tolerance ±", "how far off a piece may be; empty: what is usual for its size", number=True),
    column("note", "Note", "anything whoever cuts it should know"),
    column(
        "made",
        "Made",
        "whole from one board, a panel of equal strips, or of boards as they are wide",
        choices=list(Made),
    ),
    column("strip", "Strip", "of a panel: how wide a strip may be at most; empty: what is usual", number=True),
    column("measured", "Measured", "how thick it really is: grooves that it goes into are cut to that", number=True),
    column(
        "rings",
        "Growth rings",
        "flat to the face or upright (quarter): the width of solid wood moves by that",
        choices=list(Rings),
    ),
)
PER_UNIT = column("per_unit", "Per unit", "how many one unit takes, instead of the quantity", number=True)
STOCK_COLUMNS: tuple[Column, ...] = (
    column(
        "kind",
        "Kind",
        "rough or planed board, sheet, or an offcut; offcuts are used first",
        choices=list(STOCK_KINDS),
    ),
    column("quantity", "On hand", "how many lie there; empty: as many as are needed can be bought", number=True),
    column("length", "Length", "as measured, along the grain", number=True),
    column("width", "Width", "as measured; of a board the sound width", number=True),
    column("thickness", "Thickness", "as measured, rough", number=True),
    column("material", "Material", "named as in the part list", known=True),
    column("zone", "Not to use", "from where to where along the length, such as 400 to 460"),
    column("price", "Price each", "of one piece, in your money", number=True),
    column("label", "Label", "what is written on it, if anything", unique=True),
    column("bow", "Bow", "how far the middle of a board stands off a straight line from end to end", number=True),
)
HARDWARE_COLUMNS: tuple[Column, ...] = (
    column("name", "Name", "what it is, such as Knob or Drawer slide 450"),
    column("count", "Per unit", "how many one finished unit needs", number=True),
    column("note", "Note", "where it goes, which make or size"),
)
LISTS: Mapping[str, tuple[str, tuple[Column, ...]]] = {
    "part": ("parts", PART_COLUMNS),
    "stock": ("wood", STOCK_COLUMNS),
    "hardware": ("hardware", HARDWARE_COLUMNS),
}
"""The page of each list, and its columns."""


def parts_routes(web: Web) -> APIRouter:
    """The routes of the part list and, for checking and saving, of every list of a job."""
    routes = APIRouter()

    @routes.get("/jobs/{job}/parts", tags=FOR_PHONES)
    def parts(request: Request, job: str) -> HTMLResponse:
        saved = job_document(web.store, job)
        return web.pages.show(
            request,
            "parts.html",
            here="parts",
            job=job,
            job_name=saved.name,
            flows=list(Flow),
            glues=[glue.name for glue in current_shop(web.store, web.shop).glues],
            settings=settings_of(saved.document),
            draft=as_script_data(page_data(job, saved, "part")),
            made=made_lines(saved.document),
        )

    @routes.get("/jobs/{job}/version", tags=FOR_PHONES)
    def version(job: str) -> dict[str, Any]:
        return {"version": job_document(web.store, job).version}

    @routes.post("/jobs/{job}/parts/pasted")
    def pasted(job: str, sent: SentRows) -> dict[str, Any]:
        lengths = settings_of(job_document(web.store, job).document)["lengths"]
        return {"rows": pasted_rows(sent.text, lengths)}

    routes.include_router(list_routes(web, "parts", "part"))
    return routes


def list_routes(web: Web, page: str, table: str) -> APIRouter:
    """What the editor of one list of a job asks: how it stands now, what is said to a draft, and to save it."""
    routes = APIRouter(prefix=f"/jobs/{{job}}/{page}")

    @routes.get("/now", tags=FOR_PHONES)
    def now(job: str) -> dict[str, Any]:
        return page_data(job, job_document(web.store, job), table)

    @routes.post("/check")
    def check(job: str, sent: SentDraft) -> dict[str, Any]:
        draft = Draft(table, sent.rows, sent.settings, sent.marks)
        return answered(job, check_draft(web.store, job, draft), table, job_document(web.store, job).document)

    @routes.post("/save")
    def save(request: Request, job: str, sent: SentDraft) -> dict[str, Any]:
        draft = Draft(table, sent.rows, sent.settings, sent.marks)
        version, answer = save_draft(web.store, job, draft, sent.base, request.state.device, id_=sent.id or new_id())
        return {"version": version} | answered(job, answer, table, job_document(web.store, job).document)

    return routes


def page_data(job: str, saved: Saved, table: str) -> dict[str, Any]:
    """What the editor of a list starts from: columns, rows, settings, version, and what is said to them."""
    rows = typed_rows(saved.document, table)
    page, known = LISTS[table]
    columns = list(known)
    if table == "part" and any("per_unit" in row for row in rows):
        columns.insert(3, PER_UNIT)
    return {
        "address": f"/jobs/{job}/{page}",
        "job": job,
        "version": saved.version,
        "columns": columns,
        "rows": rows,
        "settings": settings_of(saved.document) if table == "part" else None,
        "answer": answered(job, answer_to(saved.document, table), table, saved.document),
    }


def settings_of(document: Mapping[str, Any]) -> dict[str, str]:
    """The settings of a job as texts of a form; one that is not there at its default."""
    usual = {"name": "", "lengths": "mm", "units": 1, "flow": Flow.STATION_BY_STATION.value, "glue": ""}
    return {key: str(document.get(key, usual[key])) for key in SETTINGS}


def answered(job: str, answer: DraftAnswer, table: str, document: Mapping[str, Any]) -> dict[str, Any]:
    """What the page shows beside the cells, below the list with the way to each place, and in one line above it."""
    faults = [fault for fault in answer.faults if fault.field != NO_PART]
    here = [asdict(fault) for fault in faults if fault.table in (table, "")]
    there = to_mend(job, [fault for fault in faults if fault.table not in (table, "")], document)
    elsewhere = [
        {"where": place.where, "mend": place.mend, "words": " ".join(filter(None, (", ".join(fields), what)))}
        for place in there
        for fields, what in place.faults
    ]
    summary = _summary(answer.job, len(faults), table)
    said = {"faults": here, "elsewhere": elsewhere, "readings": answer.readings, "summary": summary}
    return said | ({"rows": answer.rows} if answer.rows is not None else {})


def _summary(job: Job | None, faults: int, table: str) -> str:
    if faults:
        return f"{faults} {'thing stands' if faults == 1 else 'things stand'} in the way of a plan"
    if table != "part":
        return ""
    if job is None:
        return "No part yet"
    parts, pieces = len(job.parts), sum(part.quantity for part in job.parts)
    return f"{parts} {'part' if parts == 1 else 'parts'}, {pieces} {'piece' if pieces == 1 else 'pieces'}"
