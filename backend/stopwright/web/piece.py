"""The page that a label's code opens: which piece this is, and what happens to it next."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from stopwright.actions.planning import Planned, plan_for
from stopwright.actions.working import job_state
from stopwright.errors import NotFound, StopwrightError
from stopwright.model.codes import SHELF, decode, encode
from stopwright.plan.pieces import Piece, list_pieces
from stopwright.plan.run_sheet import Run
from stopwright.store.run_fold import RunState
from stopwright.web.context import Web
from stopwright.web.run_page import run_title


@dataclass(frozen=True, slots=True)
class PiecePage:
    """A piece, the runs it passes with their state, and the next one of them (None when all are done)."""

    job: str
    name: str
    units: int
    code: str
    piece: Piece
    runs: list[tuple[Run, str, RunState]]
    next: Run | None
    next_title: str


def piece_routes(web: Web) -> APIRouter:
    """The address on a label, in upper case as the label has it, and as a person types it."""
    routes = APIRouter()

    @routes.get("/P/{code}")
    @routes.get("/p/{code}")
    def piece(request: Request, code: str) -> Response:
        number = shelf_number(code)
        if number is not None:
            return RedirectResponse(f"/shelf#offcut-{number}", 303)
        page = piece_page(web, code)
        planned = plan_for(web.store, page.job, web.shop)
        return web.pages.show(request, "piece.html", shop_show=planned.shop.show, page=page)

    return routes


def shelf_number(code: str) -> int | None:
    """The number of the offcut that a label from the shelf has, None for the label of a piece.

    >>> shelf_number(encode(SHELF, 12)), shelf_number(encode(3, 12))
    (12, None)
    """
    try:
        job, index = decode(code)
    except StopwrightError:
        return None
    return index if job == SHELF else None


def piece_page(web: Web, code: str) -> PiecePage:
    """The page of the piece with this code. Raises NotFound for a misread code and for one that no piece has."""
    try:
        number, index = decode(code)
    except StopwrightError as error:
        raise NotFound(error.what, code[:40], error.next_step) from error
    job = str(number)
    planned = plan_for(web.store, job, web.shop)
    piece = next((one for one in list_pieces(planned.job, planned.sheet) if one.index == index), None)
    if piece is None:
        raise NotFound("there is no such piece", f"job {job}", "check the code on the label; the part list has changed")
    states = job_state(web.store, job)
    runs = [(run, _title(run, planned), states.run(run.key)) for run in planned.sheet.runs if _passes(piece, run)]
    following = next(((run, title) for run, title, state in runs if not state.done), (None, ""))
    return PiecePage(job, planned.job.name, planned.job.units, encode(number, index), piece, runs, *following)


def _passes(piece: Piece, run: Run) -> bool:
    lines = [pieces for pieces in run.pieces if pieces.mark == piece.mark]
    if len({pieces.mirrored for pieces in lines}) < 2 and not any(pieces.mirrored for pieces in lines):
        return bool(lines)
    return any(pieces.mirrored == (piece.hand == "left") for pieces in lines)


def _title(run: Run, planned: Planned) -> str:
    return run_title(run, next((one for one in planned.shop.stations if one.name == run.station), None))
