"""The board for a screen on the wall: what every station works at, from across the room."""

from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from stopwright.plan.operations.known import ROLES
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.script_data import as_script_data
from stopwright.web.kit.shown import SHOWN, position_texts
from stopwright.web.phone.live import Live
from stopwright.web.phone.run_page import RunView
from stopwright.web.phone.taps import page_of


def board_routes(web: Web, live: Live) -> APIRouter:
    """The route of the board."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/jobs/{job}/board")
    def board(request: Request, job: str) -> HTMLResponse:
        planned = web.planned(job)
        page = page_of(web, live, request, job, planned, 0, False)
        facts = {
            "job": job,
            "mark": page.standing["sheet"],
            "shown": [str(show) for show in SHOWN],
            "runs": [_facts(view) for view in page.runs],
        }
        return web.job_page(request, "board.html", job, planned, page=page, facts=as_script_data(facts))

    return routes


def _facts(view: RunView) -> dict[str, Any]:
    """What is seen of a run from across the room: its number, its work, where its stops are to be, its pieces.

    A tool that is put in comes behind the stops that are set by a number.
    """
    return {
        "number": view.run.number,
        "key": view.run.id,
        "station": view.run.station,
        "work": view.work,
        "minutes": view.minutes,
        "stops": [
            {"axis": stop.axis, "name": view.name(stop), "texts": position_texts(view.start(stop))}
            for stop in sorted(view.shown_stops, key=lambda stop: ROLES[stop.sets].is_put_in)
        ],
        "pieces": [
            {"slot": one.slot, "mark": one.mark, "mirrored": one.mirrored, "need": one.need, "marks": one.marks}
            for one in view.pieces
        ],
    }
