"""The page that a label's code opens: which piece this is, and what happens to it next."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from stopwright.actions.floor.shelf import shelf
from stopwright.actions.floor.sorting import PieceCard, cards_for
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.numbering import find_piece
from stopwright.actions.jobs.planning import Planned
from stopwright.errors import StopwrightError
from stopwright.model.codes import SHELF, decode, spaced
from stopwright.plan.assembling.pieces import Piece
from stopwright.plan.run_sheet import Form, Run
from stopwright.store.run_fold import RunState
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.run_titles import run_title


@dataclass(frozen=True, slots=True)
class PiecePage:
    """A piece, the runs it passes with their state, and the next one of them (None when all are done)."""

    job: str
    name: str
    units: int
    card: PieceCard
    runs: list[tuple[Run, str, RunState]]
    next_title: str
    note: str = ""

    @property
    def lies_in(self) -> str:
        """The boards or strips that it may still lie in, as the next run takes them; empty once it is a piece."""
        taken = [lot for lot in self.next.takes if self.piece.mark in dict(lot.becomes)] if self.next else []
        return "; ".join(lot.name for lot in taken if lot.form is not Form.PIECE)

    @property
    def piece(self) -> Piece:
        """The piece itself."""
        return self.card.piece

    @property
    def code(self) -> str:
        """The code on its label."""
        return spaced(self.card.code)

    @property
    def next(self) -> Run | None:
        """The run it waits for."""
        return self.card.next


def piece_routes(web: Web) -> APIRouter:
    """The address on a label, in upper case as the label has it, and as a person types it."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/P/{code}")
    @routes.get("/p/{code}")
    def piece(request: Request, code: str) -> Response:
        number = shelf_number(code)
        if number in shelf(web.store).offcuts:
            return RedirectResponse(f"/shelf#offcut-{number}", 303)
        page = piece_page(web, code)
        planned = web.planned(page.job)
        return web.pages.show(request, "piece.html", shop_show=planned.shop.show, page=page)

    return routes


def shelf_number(code: str) -> int | None:
    """The number of the offcut that a label from the shelf has, None for the label of a piece.

    >>> from stopwright.model.codes import encode
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
    job, planned, piece = find_piece(web.store, web.planned, code)
    states = job_state(web.store, job)
    card = cards_for([piece], states, planned, job)[0]
    runs = [(run, _title(run, planned), states.run(run.id)) for run in card.runs]
    title = _title(card.next, planned) if card.next else ""
    note = next((part.note for part in planned.job.parts if part.mark == piece.mark), "")
    return PiecePage(job, planned.job.name, planned.job.units, card, runs, title, note)


def _title(run: Run, planned: Planned) -> str:
    return run_title(run, next((one for one in planned.shop.stations if one.name == run.station), None))
