"""The page of things to make: a form for every kind, and what follows from it line by line with every formula."""

from collections.abc import Mapping, Sequence
from dataclasses import fields
from typing import Any

from fastapi import APIRouter, Form, Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse

from stopwright.actions.jobs.joints_editing import add_row, rows_of, with_row
from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.thing_answers import ThingAnswer, answer_thing
from stopwright.actions.jobs.things_editing import change_line, delete_thing, put_thing_back, save_thing
from stopwright.errors import ChangedMeanwhile
from stopwright.intake.draft import read_draft
from stopwright.intake.things import CHANGED
from stopwright.lengths import Show, show_in
from stopwright.model.things import CHANGEABLE
from stopwright.plan.making.known import KINDS, THINGS
from stopwright.web.desk.joints import (
    Typed,
    changed_meanwhile,
    part_choices,
    part_of_page,
    row_named,
    said_by_field,
)
from stopwright.web.desk.thing_entries import ThingEntries, thing_entries
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.typed_fields import nested


def things_routes(web: Web) -> APIRouter:
    """The routes of the page of things to make."""
    routes = APIRouter(prefix="/jobs/{job}/things")

    @routes.get("", tags=FOR_PHONES)
    def page(request: Request, job: str, at: str = "", gone: str = "") -> HTMLResponse:
        saved = job_document(web.store, job)
        table, row = _chosen(at, saved.document)
        show = _show(web, request, saved.document)
        return web.pages.show(
            request,
            "things.html",
            shop_show=show,
            here="things",
            job=job,
            job_name=saved.name,
            base=saved.version,
            undo=gone.split(".", 1) if "." in gone else None,
            **_data(saved.document, table, row, show),
        )

    @routes.post("/put-back")
    def back(request: Request, job: str, table: str = Form(), version: int = Form()) -> RedirectResponse:
        put_thing_back(web.store, job, table, version, request.state.device)
        return RedirectResponse(f"/jobs/{job}/things", 303)

    @routes.post("/changed")
    async def changed(request: Request, job: str) -> RedirectResponse:
        sent = {name: str(value) for name, value in (await request.form()).items()}
        typed = {name: sent[name] for name in CHANGEABLE if name in sent}
        base = int(sent["base"]) if sent.get("base", "").isdecimal() and len(sent["base"]) < 16 else 0
        change_line(web.store, job, sent.get("of", ""), typed, base, request.state.device)
        at = sent.get("at_thing", "")
        return RedirectResponse(f"/jobs/{job}/things?at={at}#line-{sent.get('of', '')}" if _is_place(at) else
                                f"/jobs/{job}/things", 303)  # fmt: skip

    @routes.post("/{table}/add")
    def add(request: Request, job: str, table: str, like: str = Form("")) -> RedirectResponse:
        row = add_row(web.store, job, table, row_named(like), request.state.device)
        return RedirectResponse(f"/jobs/{job}/things?at={table}.{row}", 303)

    @routes.post("/{table}/{row}/delete")
    def delete(request: Request, job: str, table: str, row: int, base: int = Form()) -> RedirectResponse:
        version = delete_thing(web.store, job, table, row, base, request.state.device)
        return RedirectResponse(f"/jobs/{job}/things?gone={table}.{version}", 303)

    @routes.post("/{table}/{row}")
    def typed(request: Request, job: str, table: str, row: int, sent: Typed) -> JSONResponse:
        row_typed = nested(sent.fields, lists_of_marks(table))
        saved = job_document(web.store, job)
        document, version = with_row(saved.document, table, row, row_typed), sent.base
        if sent.save:
            try:
                version = save_thing(web.store, job, table, row, row_typed, sent.base, request.state.device)
            except ChangedMeanwhile as changed:
                return changed_meanwhile(changed, saved.version)
        show = _show(web, request, document)
        data = _data(document, table, row, show) | {"base": version}
        parts = {
            name: part_of_page(web, request, f"_{name}.html", show, job=job, **data)
            for name in ("thing_list", "thing_answer")
        }
        faults = [{"field": field, "text": text} for field, text in data["fault_of"].items()]
        return JSONResponse({"version": version, "saved": sent.save, "faults": faults, "parts": parts})

    return routes


def _data(document: Mapping[str, Any], table: str, row: int, show: Show) -> dict[str, Any]:
    """What the templates of the page need."""
    rows = {name: rows_of(document, name) for name in THINGS}
    answer = answer_thing(document, table, row) if row >= 0 else ThingAnswer(())
    mine = {line.made.mark for lot in answer.lots for line in lot.parts}
    others = [choice for choice in part_choices(document) if choice[0] not in mine]
    every = read_draft(document).faults
    changes = {str(one.get("of")): one for one in rows_of(document, CHANGED)}
    places = [str(one.get("of")) for one in rows_of(document, CHANGED)]
    wrong: dict[str, list[str]] = {}
    for fault in every:
        if fault.table == CHANGED and 0 <= fault.row < len(places):
            wrong.setdefault(places[fault.row], []).append(f"{fault.field} {fault.what}; {fault.next_step}")
    return {
        "kinds": KINDS,
        "rows": rows,
        "table": table,
        "row": row,
        "typed": _typed(rows[table][row], table) if row >= 0 else {},
        "openings": _openings(rows[table][row]) if row >= 0 else [],
        "faulty": {name: {one.row for one in every if one.table == name} for name in THINGS},
        "answer": answer,
        "show": show,
        "fault_of": said_by_field(answer.faults),
        "changes": changes,
        "wrong": wrong,
        "entries": thing_entries(table, others, show) if row >= 0 else ThingEntries((), (), ()),
        "several": lists_of_marks(table),
        "kind": KINDS.get(table),
    }


def _typed(row: Mapping[str, Any], table: str) -> dict[str, Any]:
    """A row as the form takes it: a box is ticked as it is by itself where the row says nothing."""
    ticks = {field.name: field.default for field in fields(THINGS[table]) if isinstance(field.default, bool)}
    told = {name: "; ".join(map(str, value)) for name, value in row.items() if isinstance(value, list)}
    named = {name: row[name] for name in lists_of_marks(table) if isinstance(row.get(name), list)}
    return {**ticks, **row, **told, **named}


def _openings(row: Mapping[str, Any]) -> list[dict[str, Any]]:
    """What was measured, a row each, and an empty one to go on with."""
    listed = row.get("opening", [])
    tables: Sequence[Any] = listed if isinstance(listed, list) else []
    rows = [dict(one) for one in tables if isinstance(one, Mapping)]
    told = [
        {name: "; ".join(map(str, value)) if isinstance(value, list) else value for name, value in one.items()}
        for one in rows
    ]
    return [*told, {}]


def lists_of_marks(table: str) -> tuple[str, ...]:
    """The entries of a kind of thing in which several parts are ticked."""
    kind = THINGS.get(table)
    words = {field.name: field.metadata["words"] for field in fields(kind)} if kind else {}
    return tuple(name for name, one in words.items() if one.names_parts)


def _is_place(at: str) -> bool:
    table, _, row = at.partition(".")
    return table in THINGS and row.isdecimal() and len(row) < 6


def _chosen(at: str, document: Mapping[str, Any]) -> tuple[str, int]:
    """List and row that are shown; the first there is where the address names none that stands."""
    table, _, row = at.partition(".")
    if _is_place(at) and int(row) < len(rows_of(document, table)):
        return table, int(row)
    return next(((name, 0) for name in THINGS if rows_of(document, name)), ("", -1))


def _show(web: Web, request: Request, document: Mapping[str, Any]) -> Show:
    """How this device shows lengths; unless it says so, in the job's unit."""
    return web.pages.ways(request, show_in(str(document.get("lengths")))).show
