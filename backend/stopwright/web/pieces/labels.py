"""Labels at the bench: chosen, looked at as they will be printed, and made as a PDF."""

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Form, Request
from markupsafe import Markup
from starlette.background import BackgroundTask
from starlette.responses import FileResponse, Response

from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.labelling import (
    SHEETS,
    grid_from,
    labels_being_made,
    labels_of,
    labels_search,
    making_of,
    strip_labels_of,
)
from stopwright.actions.jobs.numbering import JobPiece, give_codes_to, pieces_of_each
from stopwright.actions.jobs.planning import Planned
from stopwright.errors import BadInput, StopwrightError
from stopwright.paper.labels import Label, label_svg
from stopwright.web.kit.context import Web
from stopwright.web.kit.faults import wants_page
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.sheet_faults import faults_page
from stopwright.web.kit.typed_fields import numbers_in
from stopwright.web.kit.waiting import answer_of, progress_of

OTHER = "other"
PATIENCE = 2.0
"""Seconds a page waits for labels before it says how many are made."""
SHOWN_FIRST = 6
"""How many labels are drawn to look at."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """What is asked for: the sheet by its word, or `own` in mm; the first label still there; pieces by index.

    `strips`: the strips of glued panels have labels too.
    """

    sheet: str
    own: str
    start: int
    only: tuple[int, ...]
    strips: bool = False

    @property
    def word(self) -> str:
        """The word that the grid is made from."""
        return self.own.strip() if self.sheet == OTHER else self.sheet


def label_routes(web: Web) -> APIRouter:
    """The routes of the label page and its PDF."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/jobs/{job}/labels")
    def labels(
        request: Request,
        job: str,
        sheet: str = "A4",
        own: str = "57x32",
        start: int = 1,
        only: str = "",
        strips: bool = False,
    ) -> Response:
        try:
            planned = web.planned(job)
        except BadInput as bad:
            return faults_page(web, request, job, bad)
        chosen = Chosen(sheet[:20], own[:80], start, () if planned.members else _indices(request, only), strips)
        pieces = _of(pieces_of_each(web.store, job, planned), chosen)
        of_strips = strip_labels_of(pieces, planned.shop)
        shown = _asked(pieces, planned, chosen)
        drawings, fault = _drawn(web, shown, chosen)
        return web.job_page(
            request,
            "labels.html",
            job,
            planned,
            here="labels" if planned.members else "pieces",
            chosen=chosen,
            sheets=[*SHEETS, OTHER],
            pieces=[one.piece for one in pieces],
            of_strips=len(of_strips),
            count=len(shown),
            members=planned.members,
            drawings=drawings,
            fault=fault,
            reachable=bool(web.address),
        )

    @routes.post("/jobs/{job}/labels.pdf")
    def pdf(
        request: Request,
        job: str,
        sheet: str = Form("A4", max_length=20),
        own: str = Form("", max_length=80),
        start: int = Form(1),
        only: str = Form("", max_length=1_000_000),
        strips: bool = Form(False),
    ) -> Response:
        planned = web.planned(job)
        chosen = Chosen(sheet, own, start, () if planned.members else numbers_in(only), strips)
        give_codes_to(web.store, job, planned, request.state.device)  # nothing new when it is asked again
        pieces = _of(pieces_of_each(web.store, job, planned), chosen)
        labels = _asked(pieces, planned, chosen)
        search = labels_search(labels, grid_from(chosen.word), web.on_labels, chosen.start)
        file = answer_of(search, PATIENCE if wants_page(request) else None)
        if file is not None:
            kept = BackgroundTask(lambda: file)  # until the last byte is sent
            headers = {"content-disposition": "inline"}
            return FileResponse(file.path, media_type="application/pdf", headers=headers, background=kept)
        making = making_of(search)
        here = "labels" if planned.members else "pieces"
        told = {"here": here, "chosen": chosen, "of": len(labels), "making": making}
        return web.job_page(request, "labels_waiting.html", job, planned, **told)

    @routes.get("/jobs/{job}/labels/progress")
    def progress(job: str, making: str = "") -> dict[str, Any]:
        job_document(web.store, job)
        return progress_of(labels_being_made(making))

    return routes


def _indices(request: Request, only: str) -> tuple[int, ...]:
    """The pieces chosen, as `only=3,5` or as a form with boxes sends them: `only=3&only=5`."""
    return numbers_in(",".join(request.query_params.getlist("only")) or only)


def _of(pieces: tuple[JobPiece, ...], chosen: Chosen) -> tuple[JobPiece, ...]:
    only = set(chosen.only)
    return tuple(one for one in pieces if not only or one.piece.index in only)


def _asked(pieces: tuple[JobPiece, ...], planned: Planned, chosen: Chosen) -> tuple[Label, ...]:
    """The labels that are asked for: those of strips first, for they come off the saw before their panels do."""
    of_strips = strip_labels_of(pieces, planned.shop) if chosen.strips else ()
    return (*of_strips, *labels_of(pieces, planned.shop.show))


def _drawn(web: Web, labels: tuple[Label, ...], chosen: Chosen) -> tuple[list[Markup], StopwrightError | None]:
    """The first labels as they will be printed, or why they cannot be."""
    try:
        grid = grid_from(chosen.word)
        if not 1 <= chosen.start <= grid.per_page:
            raise StopwrightError(
                f"there is no label {chosen.start} on a sheet of {grid.per_page}",
                next_step=f"start at a label from 1 to {grid.per_page}",
            )
        return [Markup(label_svg(label, grid, web.on_labels)) for label in labels[:SHOWN_FIRST]], None
    except StopwrightError as fault:
        return [], fault
