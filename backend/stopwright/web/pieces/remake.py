"""A piece that went wrong and is made again: asked about, led through its runs, and whole again."""

from fastapi import APIRouter, Form, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from stopwright.actions.floor.remaking import REASONS, finish_remake, pass_run, remake_stands, spoil_piece
from stopwright.actions.floor.shelf import take_off
from stopwright.actions.floor.sorting import PieceCard, cards_for
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.numbering import code_of, find_piece
from stopwright.actions.jobs.planning import Planned
from stopwright.errors import NotFound
from stopwright.model.codes import spaced
from stopwright.store.events import new_id
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.notes_shown import notes_shown
from stopwright.web.pieces.all_pieces import run_words


def remake_routes(web: Web) -> APIRouter:
    """The routes of a remake."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/jobs/{job}/remake/{code}")
    def remake(request: Request, job: str, code: str) -> HTMLResponse:
        return _page(web, request, job, code)

    @routes.post("/jobs/{job}/remake/{code}")
    def went_wrong(
        request: Request,
        job: str,
        code: str,
        run: str = Form(max_length=2000),
        what: str = Form("", max_length=120),
        more: str = Form("", max_length=300),
        id: str = Form("", max_length=64),
    ) -> RedirectResponse:
        planned, card = _card(web, job, code)
        said = ", ".join(filter(None, (what.strip(), more.strip())))
        spoil_piece(web.store, job, planned, card.piece, run, said, request.state.device, id_=id)
        return RedirectResponse(f"/jobs/{job}/remake/{card.code}", 303)

    @routes.post("/jobs/{job}/remake/{code}/passed")
    def passed(
        request: Request,
        job: str,
        code: str,
        run: str = Form(max_length=2000),
        together: str = Form("", max_length=4),
        id: str = Form("", max_length=40),
    ) -> RedirectResponse:
        """`together`: with all others of its part and hand that are made again too and have not passed the run."""
        planned, card = _card(web, job, code)
        stands = remake_stands(web.store, job, planned, card.piece)
        id = id or new_id()
        for piece in (card.piece, *(stands.along.get(run, ()) if together else ())):
            own = id if piece is card.piece else f"{id}-{piece.index}"
            pass_run(web.store, job, planned, piece, run, request.state.device, id_=own)
        return _back(job, card)

    @routes.post("/jobs/{job}/remake/{code}/wood")
    def take_wood(request: Request, job: str, code: str, offcut: int = Form()) -> RedirectResponse:
        _, card = _card(web, job, code)
        take_off(web.store, offcut, request.state.device, job)
        return _back(job, card)

    @routes.post("/jobs/{job}/remake/{code}/whole")
    def whole(
        request: Request,
        job: str,
        code: str,
        rest: str = Form("", max_length=20),
        id: str = Form("", max_length=40),
    ) -> Response:
        """`rest` says what became of runs that were not passed: "passed" all the same, or "left" out; else it asks."""
        planned, card = _card(web, job, code)
        left = remake_stands(web.store, job, planned, card.piece).left
        if left and rest not in ("passed", "left"):
            return _page(web, request, job, code, asks=True)
        id = id or new_id()
        if rest == "passed":
            for run in left:
                pass_run(web.store, job, planned, card.piece, run.id, request.state.device, id_=f"{id}-{run.number}")
        finish_remake(web.store, job, card.piece, request.state.device, id_=id)
        return RedirectResponse(f"/p/{card.code}", 303)

    return routes


def _page(web: Web, request: Request, job: str, code: str, asks: bool = False) -> HTMLResponse:
    """How the piece stands; with `asks` it is asked what became of the runs that were not passed."""
    planned, card = _card(web, job, code)
    stands = remake_stands(web.store, job, planned, card.piece)
    sister = stands.remake.sister if stands.remake else None
    return web.job_page(
        request,
        "remake.html",
        job,
        planned,
        card=card,
        stands=stands,
        next=stands.left[0] if stands.left else None,
        asks=asks,
        sister_code=code_of(job, sister) if sister else "",
        reasons=REASONS,
        spaced=spaced,
        run_words=lambda run: run_words(run, planned),
        notes_of=lambda run: notes_shown(job, job_state(web.store, job).run(run.id).notes),
        last=_last_passed(web, job, card),
        id=new_id(),
    )


def _card(web: Web, job: str, code: str) -> tuple[Planned, PieceCard]:
    found, planned, piece = find_piece(web.store, web.planned, code)
    if found != job:
        raise NotFound(f"this piece belongs to another job, “{planned.job.name}”", f"job {found}", "open its page")
    return planned, cards_for([piece], job_state(web.store, job), planned, job)[0]


def _last_passed(web: Web, job: str, card: PieceCard) -> str:
    """The key of the run that a piece came to last, as far as runs are done or begun."""
    state = job_state(web.store, job)
    begun = [run for run in card.runs if state.run(run.id).done or state.run(run.id).cut]
    return begun[-1].id if begun else card.runs[0].id if card.runs else ""


def _back(job: str, card: PieceCard) -> RedirectResponse:
    """To the run that comes next, so that what is tapped keeps its place."""
    return RedirectResponse(f"/jobs/{job}/remake/{card.code}#next", 303)
