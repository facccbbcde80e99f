"""Taps without scripts: a form of the run page for the machine ready, the stop set, one piece cut, and the run done."""

from typing import Any

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse

from stopwright.actions.floor.worked_together import shares_in
from stopwright.actions.floor.working import record
from stopwright.errors import NotFound, StopwrightError
from stopwright.store.events import utc_now, written
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.phone.change_facts import ready_told
from stopwright.web.phone.run_page import stops_told
from stopwright.web.phone.run_shares import RunShares

KINDS = {"ready": "machine made ready", "set": "stop set", "cut": "piece cut", "done": "run done"}


def plain_tap_routes(web: Web) -> APIRouter:
    """The route that the form of a run page posts to."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.post("/jobs/{job}/runs/{number}/tap")
    def tap(
        request: Request, job: str, number: str, tap: str = Form("", max_length=60), id: str = Form("", max_length=64)
    ) -> RedirectResponse:
        """`tap` is what was done, "cut A" or "cut A~" for a mirrored one; `id` makes a form sent twice harmless."""
        planned = web.planned(job)
        run = next((one for one in planned.sheet.runs if str(one.number) == number), None)
        does, _, slot = tap.partition(" ")
        if run is None or does not in KINDS:
            raise NotFound("There is no such run.", f"job {job}", "Choose one from the list of all runs.")
        body: dict[str, Any] = {"run": run.id}
        if does == "ready":
            body |= ready_told(run, web.planned(job).shop)
        if does == "set":
            body |= stops_told(run)
        if does == "cut":
            body |= {"mark": slot.removesuffix("~"), "count": 1, "mirrored": slot.endswith("~")}
        event = {"id": f"{id}-{does}-{slot_number(slot)}", "kind": KINDS[does], "at": written(utc_now()), "body": body}
        event |= RunShares(shares_in(run, planned.members)).told(body.get("mark"))
        for refused in record(web.store, job, [event], request.state.device).refused:
            raise StopwrightError(refused.what, next_step=refused.next_step)
        return RedirectResponse(f"/jobs/{job}/runs/{number}", 303)

    return routes


def slot_number(slot: str) -> str:
    """A line of pieces in the signs that an event's id may have.

    >>> slot_number("A~")
    '0041007e'
    """
    return "".join(f"{ord(sign):04x}" for sign in slot[:6])
