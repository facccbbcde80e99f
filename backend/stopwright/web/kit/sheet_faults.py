"""The page of a job that cannot be planned: every fault of it, each with the way to the place where it is mended."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from fastapi import FastAPI, Request
from starlette.responses import Response

from stopwright.actions.jobs.editing import answer_to
from stopwright.actions.jobs.keeping import job_document
from stopwright.errors import BadInput, StopwrightError
from stopwright.intake.draft import CellFault
from stopwright.intake.things import CHANGED
from stopwright.plan.making.known import THINGS
from stopwright.web.kit.context import Web
from stopwright.web.kit.faults import FaultPages, status_of, wants_page

_WORDS = {"stock": "Wood"}
"""What tables are called, but for those that are called as in the file."""
_NAMES = ("mark", "part", "of", "label", "name")


@dataclass(frozen=True, slots=True)
class ToMend:
    """One place with faults, where it is corrected, and for each thing wrong the fields it is wrong with."""

    where: str
    mend: str
    faults: tuple[tuple[tuple[str, ...], str], ...]


def faults_page(web: Web, request: Request, job: str, bad: BadInput, status: int = 200) -> Response:
    """Every fault of the job by its place; a job that has no part yet is shown as just begun.

    Where the job has none, it is the shop that cannot be read.
    """
    saved = job_document(web.store, job)
    faults = answer_to(saved.document, "part").faults
    places = to_mend(job, faults, saved.document)
    if not places:
        places = [
            ToMend("The shop", "/shop", tuple(((one.column,), f"{one.what}; {one.next_step}") for one in bad.faults))
        ]
    return web.pages.show(
        request,
        "sheet_faults.html",
        status,
        here="sheet",
        job=job,
        job_name=saved.name,
        places=places,
        count=len(faults) or len(bad.faults),
        empty=not any(saved.document.get(name) for name in ("part", *THINGS)),
    )


def install_faults_page(app: FastAPI, web: Web, otherwise: FaultPages) -> None:
    """Shows the faults of a job in place of every page of it that needs the plan, so that nobody is sent to a file."""

    def told(request: Request, error: Exception) -> Response:
        assert isinstance(error, BadInput)
        job = request.path_params.get("job", "")
        if job and request.method == "GET" and wants_page(request):
            try:
                if answer_to(job_document(web.store, job).document, "part").faults:
                    return faults_page(web, request, job, error, status_of(error))
            except StopwrightError:
                pass  # the first error says it better
        return otherwise.answer(request, error)

    app.add_exception_handler(BadInput, told)


def to_mend(job: str, faults: Sequence[CellFault], document: Mapping[str, Any]) -> list[ToMend]:
    """The faults of a job place by place, in the order of the document; what is wrong alike is said once."""
    places = []
    for (table, row), here in groupby(faults, key=lambda fault: (fault.table, fault.row)):
        said: dict[str, list[str]] = {}
        for fault in here:
            said.setdefault(f"{fault.what}; {fault.next_step}", []).append(fault.field.replace("_", " "))
        alike = tuple((tuple(filter(None, fields)), _of_several(what, fields)) for what, fields in said.items())
        places.append(ToMend(_where(table, row, document), _mend(job, table, row), alike))
    return places


def _of_several(what: str, fields: Sequence[str]) -> str:
    return f"are {what.removeprefix('is ')}" if len(fields) > 1 and what.startswith("is ") else what


def _mend(job: str, table: str, row: int) -> str:
    page = {"part": "parts", "": "parts", "stock": "wood", "hardware": "hardware"}.get(table)
    if page:
        return f"/jobs/{job}/{page}"
    if table in THINGS or table == CHANGED:
        return f"/jobs/{job}/things" + (f"?at={table}.{row}#entry" if table in THINGS else "")
    return f"/jobs/{job}/joints?at={table}.{row}#entry"


def _where(table: str, row: int, document: Mapping[str, Any]) -> str:
    if not table:
        return "The job itself"
    rows = document.get(table, [])
    entry = rows[row] if isinstance(rows, list) and 0 <= row < len(rows) else {}
    names = (str(entry[name])[:40] for name in _NAMES if isinstance(entry, dict) and entry.get(name))
    name = next(names, "")
    word = _WORDS.get(table, table.capitalize())
    return f"{word} {name} (line {row + 1})" if name else f"{word}, line {row + 1}"
