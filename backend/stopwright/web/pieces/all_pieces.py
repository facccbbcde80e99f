"""The pieces of a job: the table at the bench, and sorting at the phone."""

from collections.abc import Iterable
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from stopwright.actions.floor.sorting import UNTOUCHED, PieceCard, cards_for, how_sorted
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.listing import job_list
from stopwright.actions.jobs.numbering import PORTION, code_of, pieces_of, portions_of
from stopwright.actions.jobs.planning import Planned
from stopwright.model.codes import spaced
from stopwright.plan.assembling.pieces import Piece
from stopwright.plan.run_sheet import Run
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.run_titles import run_title
from stopwright.web.kit.script_data import as_script_data
from stopwright.web.kit.typed_fields import numbers_in

AT_ONCE = 300
"""Pieces on one page of the table."""


def pieces_routes(web: Web) -> APIRouter:
    """The routes of pieces and sorting."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/jobs/{job}/pieces")
    def pieces(request: Request, job: str, first: int = 1) -> HTMLResponse:
        planned = web.planned(job)
        state, all_pieces = job_state(web.store, job), pieces_of(web.store, job, planned)
        first = max(1, min(first, len(all_pieces)))
        shown = all_pieces[first - 1 : first - 1 + AT_ONCE]
        again = [piece for piece in all_pieces if state.pieces.get(piece.index, UNTOUCHED).missing]
        chosen = set(numbers_in(",".join(request.query_params.getlist("only"))))
        return web.job_page(
            request,
            "pieces.html",
            job,
            planned,
            here="pieces",
            cards=cards_for(shown, state, planned, job),
            again=cards_for(again, state, planned, job),
            count=len(all_pieces),
            units=len({piece.unit for piece in all_pieces if piece.unit is not None}),
            first=first,
            before=max(first - AT_ONCE, 1) if first > 1 else 0,
            after=first + AT_ONCE if first + AT_ONCE <= len(all_pieces) else 0,
            chosen=chosen,
            elsewhere=sorted(chosen - {piece.index for piece in shown}),
            spaced=spaced,
            state=state_words,
            run_words=lambda run: run_words(run, planned),
        )

    @routes.get("/jobs/{job}/sort")
    def sort(request: Request, job: str) -> HTMLResponse:
        planned = web.planned(job)
        facts = {
            "job": job,
            "units": planned.job.units,
            "jobs": {line.job: line.name for line in job_list(web.store).at_hand if line.job != job},
            "portions": portions_of(pieces_of(web.store, job, planned)),
            "portion": PORTION,
            "pieces": _portion(web, job, planned, 1),
        }
        return web.job_page(
            request,
            "sort.html",
            job,
            planned,
            facts=as_script_data(facts),
            standing=as_script_data(_standing(web, job, planned)),
        )

    @routes.get("/jobs/{job}/sort/{portion}")
    def sort_portion(job: str, portion: int) -> dict[str, Any]:
        return {"pieces": _portion(web, job, web.planned(job), portion)}

    @routes.get("/jobs/{job}/pieces/standing")
    def standing(job: str) -> dict[str, Any]:
        return _standing(web, job, web.planned(job))

    return routes


def state_words(card: PieceCard) -> str:
    """How a piece stands, in a few words."""
    if card.state.missing:
        return "to be made again"
    if card.sorted:
        return f"with unit {card.piece.unit}"
    if card.state.unit is not None:
        return f"lies with unit {card.state.unit}, which is not its own"
    return "on its way" if card.next else "through all its runs"


def run_words(run: Run, planned: Planned) -> str:
    """A run as a person calls it: `run 6, saw, crosscut`."""
    station = next((one for one in planned.shop.stations if one.name == run.station), None)
    return f"run {run.number}, {run_title(run, station).lower()}"


def _portion(web: Web, job: str, planned: Planned, portion: int) -> list[dict[str, Any]]:
    numbers = range((portion - 1) * PORTION, portion * PORTION)
    return [_facts(job, piece) for piece in pieces_of(web.store, job, planned) if piece.index in numbers]


def _facts(job: str, piece: Piece) -> dict[str, Any]:
    position = piece.place or (f"{piece.nth} of {piece.per_unit}" if piece.unit and piece.per_unit > 1 else "")
    return {
        "code": code_of(job, piece),
        "index": piece.index,
        "label": piece.label,
        "name": piece.name,
        "unit": piece.unit,
        "position": position,
        "hand": piece.hand,
    }


def _standing(web: Web, job: str, planned: Planned) -> dict[str, Any]:
    """Which pieces lie in which unit, which are to be made again, and where the others wait; by spans of numbers."""
    seq = web.store.last_seq  # looked at first: what came up to here is in what is read next
    state = job_state(web.store, job)
    found = how_sorted(pieces_of(web.store, job, planned), state, planned)
    return {
        "seq": seq,
        "sorted": {unit: _spans(numbers) for unit, numbers in found.by_unit.items()},
        "spoiled": found.spoiled,
        "waits": {run_words(run, planned): _spans(numbers) for run, numbers in found.waits},
    }


def _spans(numbers: Iterable[int]) -> list[list[int]]:
    """Numbers as spans from the first to the last of those that follow each other.

    >>> _spans([4, 1, 2, 3, 9])
    [[1, 4], [9, 9]]
    """
    spans: list[list[int]] = []
    for number in sorted(numbers):
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    return spans
