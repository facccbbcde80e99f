"""Spoiled pieces of a job: those that were only counted get their name here, those that have one are made again."""

from fastapi import APIRouter, Form, Request
from starlette.responses import HTMLResponse, RedirectResponse

from stopwright.actions.floor.remaking import REASONS
from stopwright.actions.floor.sorting import piece_cards
from stopwright.actions.floor.spoiled import name_spoiled, unnamed_spoils
from stopwright.actions.jobs.numbering import code_of, find_piece
from stopwright.errors import NotFound
from stopwright.store.events import new_id
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.pieces.all_pieces import run_words


def spoiled_routes(web: Web) -> APIRouter:
    """The page of spoiled pieces and the form in it."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/jobs/{job}/spoiled")
    def spoiled(request: Request, job: str) -> HTMLResponse:
        planned = web.planned(job)
        return web.job_page(
            request,
            "spoiled.html",
            job,
            planned,
            unnamed=unnamed_spoils(web.store, job, planned),
            missing=[card for card in piece_cards(web.store, job, planned) if card.state.missing],
            code_of=lambda piece: code_of(job, piece),
            run_words=lambda run: run_words(run, planned),
            reasons=REASONS,
            id=new_id(),
        )

    @routes.post("/jobs/{job}/spoiled")
    def name(
        request: Request,
        job: str,
        tap: str = Form(max_length=64),
        code: str = Form(max_length=40),
        what: str = Form("", max_length=300),
        id: str = Form("", max_length=48),
    ) -> RedirectResponse:
        found, planned, piece = find_piece(web.store, web.planned, code)
        if found != job:
            raise NotFound(f"this piece belongs to another job, “{planned.job.name}”", f"job {found}", "open its page")
        name_spoiled(web.store, job, planned, tap, piece, what, request.state.device, id_=id)
        return RedirectResponse(f"/jobs/{job}/remake/{code_of(job, piece)}", 303)

    return routes
