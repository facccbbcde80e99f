"""Pieces that were cut before the job was changed: kept as they are cut, or just they made again."""

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse

from stopwright.actions.floor.outdated import keep_as_cut, make_again
from stopwright.web.kit.context import Web


def outdated_routes(web: Web) -> APIRouter:
    """The two answers to pieces that no longer fit."""
    routes = APIRouter(prefix="/jobs/{job}/outdated")

    @routes.post("/keep")
    def keep(request: Request, job: str, key: str = Form(max_length=250)) -> RedirectResponse:
        keep_as_cut(web.store, job, web.planned(job), key, request.state.device)
        return RedirectResponse(f"/jobs/{job}/sheet", 303)

    @routes.post("/again")
    def again(
        request: Request, job: str, key: str = Form(max_length=250), id: str = Form("", max_length=40)
    ) -> RedirectResponse:
        make_again(web.store, job, web.planned(job), key, request.state.device, id_=id)
        return RedirectResponse(f"/jobs/{job}/spoiled", 303)

    return routes
