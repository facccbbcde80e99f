"""Pictures of set-ups, as the log keeps them."""

from base64 import b64decode

from fastapi import APIRouter
from starlette.responses import Response

from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.keeping import members_of
from stopwright.errors import NotFound
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES

_KEPT = {"cache-control": "private, max-age=31536000, immutable"}


def picture_routes(web: Web) -> APIRouter:
    """The route of one picture."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/jobs/{job}/pictures/{event}")
    def picture(job: str, event: str) -> Response:
        jobs = members_of(web.store, job) or (job,)
        notes = (note for one in jobs for run in job_state(web.store, one).runs.values() for note in run.notes)
        note = next((one for one in notes if one.is_picture and event in (one.event, one.tap)), None)
        found = web.store.event(note.event) if note else None
        if found is None:
            raise NotFound("There is no such picture.", f"job {job}", "It may have been taken back.")
        return Response(b64decode(found.body["jpeg"]), media_type="image/jpeg", headers=_KEPT)

    return routes
