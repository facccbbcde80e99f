"""The live line of a job: server-sent events for every open page."""

from fastapi import APIRouter, Header, Request
from starlette.responses import StreamingResponse

from stopwright.actions.jobs.keeping import job_document
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.phone.live import Line, Live


def live_routes(web: Web, live: Live) -> APIRouter:
    """The route that open pages follow."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/jobs/{job}/live")
    def follow(
        request: Request, job: str, after: int = 0, run: int = 0, page: str = "", last_event_id: str = Header("")
    ) -> StreamingResponse:
        job_document(web.store, job)
        device, name = request.state.device, request.state.device_name
        line = Line(job, run, page[:64], device, name)
        seen = int(last_event_id) if last_event_id.isdecimal() and len(last_event_id) < 16 else after
        return StreamingResponse(
            live.follow(line, max(0, min(seen, 2**53))),
            media_type="text/event-stream",
            headers={"cache-control": "no-store"},
        )

    return routes
