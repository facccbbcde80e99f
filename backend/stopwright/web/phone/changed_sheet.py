"""What a phone must know when the run sheet has changed under its hands: pieces that are cut by the old one."""

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter

from stopwright.actions.floor.replanning import WorkedBefore, worked_before
from stopwright.actions.floor.worked_together import run_states
from stopwright.plan.run_sheet import RunSheet
from stopwright.store.run_fold import RunState
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.shown import SHOWN, length_texts


def changed_sheet_routes(web: Web) -> APIRouter:
    """The route that a phone asks when the bench's word names another sheet than its own."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/jobs/{job}/worked-before")
    def worked(job: str) -> dict[str, Any]:
        planned = web.planned(job)
        return {"lines": cut_before(planned.sheet, run_states(web.store, job, planned))}

    return routes


def cut_before(sheet: RunSheet, states: Mapping[str, RunState]) -> list[dict[str, Any]]:
    """A line for each run that the sheet does not have any more and whose pieces are cut: pieces, station, stops."""
    return [_line(one) for one in worked_before(sheet, states) if any(one.cut.values())]


def _line(one: WorkedBefore) -> dict[str, Any]:
    pieces = [
        f"{count} × {mark}{' mirrored' if mirrored else ''}" for (mark, mirrored), count in one.cut.items() if count
    ]
    stops = [
        {"axis": axis, "texts": length_texts(at) if isinstance(at, int) else [at] * len(SHOWN)}
        for axis, at in one.stops
    ]
    return {"pieces": ", ".join(pieces), "station": one.station, "stops": stops}
