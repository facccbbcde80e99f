"""The page of joints, mitres and mouldings: chosen, typed, drawn, answered and saved as one goes."""

import re
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any

from fastapi import APIRouter, Form, Request
from pydantic import BaseModel, ConfigDict, Field
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse

from stopwright.actions.jobs.joint_answers import (
    Answer,
    answer_cut,
    answer_joint,
    answer_mitre,
    answer_moulding,
    space_slats,
)
from stopwright.actions.jobs.joints_editing import (
    SHAPES,
    add_row,
    delete_row,
    lists_of,
    put_back,
    rows_of,
    save_row,
    with_row,
)
from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.thing_answers import things_in
from stopwright.actions.shop.keeping import current_shop
from stopwright.errors import ChangedMeanwhile
from stopwright.intake.draft import CellFault, plain_rows, read_draft
from stopwright.lengths import Show, format_exact, show_in
from stopwright.model.gear import Cutters, SlotBits
from stopwright.model.parts import free_marks
from stopwright.model.stations import Shop
from stopwright.paper.wording import lying_text
from stopwright.plan.operations.known import CUTS, OPERATIONS
from stopwright.web.desk import joint_entries
from stopwright.web.desk.cut_entries import cut_entries, cut_groups, several_at_once
from stopwright.web.desk.entry_fields import Entry
from stopwright.web.drawings.cut_piece import draw_cut_piece
from stopwright.web.drawings.joint import draw_joint
from stopwright.web.drawings.joint_section import draw_section
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.typed_fields import MOST_FIELDS, MOST_VERSION, nested


def _answer_cut(table: str, document: Mapping[str, Any], row: int, shop: Shop) -> Answer:
    return answer_cut(document, table, row, shop)


ANSWERS: dict[str, Callable[[Mapping[str, Any], int, Shop], Answer]] = {
    "joint": answer_joint,
    "mitre": answer_mitre,
    "moulding": answer_moulding,
    **{name: partial(_answer_cut, name) for name in CUTS},
}
GROUPS = (
    ("joint", "Joints", "Add a joint", "Delete this joint"),
    ("mitre", "Mitres", "Add a mitre", "Delete this mitre"),
    ("moulding", "Mouldings", "Add a moulding", "Delete this moulding"),
    *cut_groups(),
)
_IN_A_LIST = re.compile(r"(\w+) (\d+)(?: (\w+))?(?: \d+)?")
SLATS = "slats"
"""Fields of the spacing of slats: asked, never kept."""


class Typed(BaseModel):
    """A row as it stands in the form; `save` keeps it, else it is only answered."""

    model_config = ConfigDict(extra="forbid")
    base: int = Field(ge=0, le=MOST_VERSION)
    fields: list[tuple[str, str]] = Field(max_length=MOST_FIELDS)
    save: bool = False


def joints_routes(web: Web) -> APIRouter:
    """The routes of the page of joints."""
    routes = APIRouter()

    @routes.get("/jobs/{job}/joints", tags=FOR_PHONES)
    def page(request: Request, job: str, at: str = "", gone: str = "") -> HTMLResponse:
        saved = job_document(web.store, job)
        table, row = _chosen(at, saved.document)
        shop = _shop(web, saved.document)
        show = _show(web, request, saved.document)
        data = _data(saved.document, table, row, shop, show)
        undo = gone.split(".", 1) if "." in gone else None
        return web.pages.show(
            request,
            "joints.html",
            shop_show=show,
            here="joints",
            job=job,
            job_name=saved.name,
            base=saved.version,
            undo=undo,
            **data,
        )

    @routes.post("/jobs/{job}/joints/{table}/add")
    def add(request: Request, job: str, table: str, like: str = Form("")) -> RedirectResponse:
        row = add_row(web.store, job, table, row_named(like), request.state.device)
        return RedirectResponse(f"/jobs/{job}/joints?at={table}.{row}", 303)

    @routes.post("/jobs/{job}/joints/put-back")
    def back(request: Request, job: str, table: str = Form(), version: int = Form()) -> RedirectResponse:
        put_back(web.store, job, table, version, request.state.device)
        return RedirectResponse(f"/jobs/{job}/joints", 303)

    @routes.post("/jobs/{job}/joints/{table}/{row}/delete")
    def delete(request: Request, job: str, table: str, row: int, base: int = Form()) -> RedirectResponse:
        version = delete_row(web.store, job, table, row, base, request.state.device)
        return RedirectResponse(f"/jobs/{job}/joints?gone={table}.{version}", 303)

    @routes.post("/jobs/{job}/joints/{table}/{row}")
    def typed(request: Request, job: str, table: str, row: int, sent: Typed) -> JSONResponse:
        row_typed, slats = _split(sent.fields, table)
        saved = job_document(web.store, job)
        document, version = with_row(saved.document, table, row, row_typed), sent.base
        if sent.save:
            try:
                version = save_row(web.store, job, table, row, row_typed, sent.base, request.state.device)
            except ChangedMeanwhile as changed:
                return changed_meanwhile(changed, saved.version)
        shop = _shop(web, document)
        show = _show(web, request, document)
        data = _data(document, table, row, shop, show, slats)
        names = ("joint_list", "joint_answer", *(("joint_slats",) if table == "joint" else ()))
        parts = {name: part_of_page(web, request, f"_{name}.html", show, job=job, **data) for name in names}
        faults = [{"field": field, "text": text} for field, text in data["fault_of"].items()]
        return JSONResponse({"version": version, "saved": sent.save, "faults": faults, "parts": parts})

    return routes


def _data(
    document: Mapping[str, Any],
    table: str,
    row: int,
    shop: Shop,
    show: Show,
    slats: Mapping[str, str] | None = None,
) -> dict[str, Any]:
    """What the templates of the page need."""
    rows = {name: [_shown(one, name) for one in rows_of(document, name)] for name in SHAPES}
    answer = ANSWERS[table](document, row, shop) if row >= 0 else Answer(())
    every, unit = read_draft(document).faults, "in" if document.get("lengths") == "in" else "mm"
    sketch = answer.sketch
    mortiser, spindle = shop.station_for("mortise"), shop.station_for("mould")
    return {
        "groups": GROUPS,
        "rows": rows,
        "table": table,
        "row": row,
        "typed": rows[table][row] if row >= 0 else {},
        "faulty": {name: _faulty(every, name) for name in SHAPES},
        "parts": part_choices(document),
        "unit": unit,
        "entries": joint_entries,
        "answer": answer,
        "fault_of": said_by_field(answer.faults),
        "picture": draw_joint(sketch, show) if sketch else "",
        "section": draw_section(sketch, show) if sketch else "",
        "slats": space_slats(slats or {}, document, row) if table == "joint" else None,
        "bits": [format_exact(bit, unit) for bit in mortiser.of(SlotBits).bits] if mortiser else [],
        "cutters": spindle.of(Cutters).cutters if spindle else (),
        "cut_kinds": tuple(CUTS),
        "has_masters": any(rows[name] for name in ("joint", *CUTS)),
        "lying_text": lying_text,
        "cut_entries": _cut_entries(table, document, shop),
        "cut_picture": draw_cut_piece(answer.piece, show) if answer.piece else "",
    }


def _cut_entries(table: str, document: Mapping[str, Any], shop: Shop) -> tuple[Entry, ...]:
    if table not in CUTS:
        return ()
    work = next(one.work for one in OPERATIONS.values() if CUTS[table] in one.asked)
    return cut_entries(table, part_choices(document), [one.name for one in shop.stations if work in one.work])


def _shown(row: Mapping[str, Any], table: str) -> dict[str, Any]:
    """A row as the templates take it, whatever a file has put into its lists."""
    if table in CUTS:
        ticked = {name: row[name] if isinstance(row.get(name), list) else [] for name in several_at_once(table)}
        told = {name: _in_one_line(row[name]) for name in lists_of(table) if name in row}
        return {**row, **ticked, **told}
    lists = {name: row[name] if isinstance(row.get(name), list) else [] for name in ("parts", "edges", "pass")}
    return {**row, **lists, "pass": [one for one in lists["pass"] if isinstance(one, Mapping)]}


def _in_one_line(value: object) -> str:
    return "; ".join(map(str, value)) if isinstance(value, list) else str(value)


def said_by_field(faults: Sequence[CellFault]) -> dict[str, str]:
    """What is wrong, by the name of the field in the form: "pass 2 cutter" of a fault is `pass.1.cutter` there."""
    said: dict[str, str] = {}
    for fault in faults:
        inside = _IN_A_LIST.fullmatch(fault.field)
        if inside and inside[3]:
            name = f"{inside[1]}.{int(inside[2]) - 1}.{inside[3]}"
        else:
            name = inside[1] if inside else fault.field
        said.setdefault(name, f"{fault.what}; {fault.next_step}")
    return said


def row_named(said: str) -> int | None:
    """The row that an address or a form names by its place, None where it names none."""
    return int(said) if said.isdecimal() and len(said) < 6 else None


def changed_meanwhile(changed: ChangedMeanwhile, version: int) -> JSONResponse:
    """The answer to a form that was saved elsewhere since it was opened, with the version that stands now."""
    error = {"what": changed.what, "where": changed.where, "next_step": changed.next_step}
    return JSONResponse({"error": error, "version": version}, 409)


def part_of_page(web: Web, request: Request, name: str, shop_show: Show, /, **data: Any) -> str:
    """A template filled by itself, to be put into a page that is open."""
    return bytes(web.pages.show(request, name, shop_show=shop_show, **data).body).decode()


def part_choices(document: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Mark and words of every part line, as far as it is filled in, and of what things make."""
    rows = plain_rows(document.get("part", []))
    marks = free_marks([row.get("mark", "") for row in rows])
    own = [(mark, f"{mark} {row.get('name', '')}".strip()) for mark, row in zip(marks, rows, strict=True)]
    return own + [(part.mark, f"{part.mark} {part.name}") for part in things_in(document).parts]


def _split(fields: Sequence[tuple[str, str]], table: str) -> tuple[dict[str, Any], dict[str, str]]:
    """The row, and what was asked about slats."""
    typed = nested(fields, several_at_once(table) or joint_entries.SEVERAL_AT_ONCE)
    slats = typed.pop(SLATS, {})
    return typed, {name: str(value) for name, value in slats.items()} if isinstance(slats, dict) else {}


def _chosen(at: str, document: Mapping[str, Any]) -> tuple[str, int]:
    """List and row that are shown; the first there is where the address names none that stands."""
    table, _, row = at.partition(".")
    place = row_named(row)
    if table in SHAPES and place is not None and place < len(rows_of(document, table)):
        return table, place
    return next(((name, 0) for name in SHAPES if rows_of(document, name)), ("joint", -1))


def _faulty(faults: Sequence[CellFault], table: str) -> dict[int, int]:
    """How many things are wrong with each row of a list."""
    found: dict[int, int] = {}
    for fault in faults:
        if fault.table == table:
            found[fault.row] = found.get(fault.row, 0) + 1
    return found


def _shop(web: Web, document: Mapping[str, Any]) -> Shop:
    return current_shop(web.store, web.shop, str(document.get("lengths", "mm")))


def _show(web: Web, request: Request, document: Mapping[str, Any]) -> Show:
    """How this device shows lengths; unless it says so, in the job's unit."""
    shop = _shop(web, document)
    unit = str(document.get("lengths", "mm"))
    own = shop.show if shop.show.unit == unit else show_in(unit)
    return web.pages.ways(request, own).show
