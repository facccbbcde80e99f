"""The shelf of offcuts: what lies there, put there by hand, taken off and put back, and the labels to stick on."""

from fastapi import APIRouter, Form, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from stopwright.actions.labelling import grid_from
from stopwright.actions.shelf import NewOffcut, put_back, shelf, shelf_labels, shelve, take_off
from stopwright.actions.shop_keeping import current_shop
from stopwright.errors import StopwrightError
from stopwright.lengths import Nm, parse_length
from stopwright.model.codes import SHELF, encode, spaced
from stopwright.store.events import new_id
from stopwright.web.context import Web
from stopwright.web.let_in_routes import at_the_bench

LOCAL = "http://stopwright.local:8765"


def shelf_routes(web: Web) -> APIRouter:
    """The routes of the shelf. `new` in its address names what was put there just now, `gone` what was taken."""
    routes = APIRouter()

    @routes.get("/shelf")
    def lying(request: Request, new: str = "", gone: str = "") -> HTMLResponse:
        stands, show = shelf(web.store), current_shop(web.store, web.shop).show
        return web.pages.show(
            request,
            "shelf.html",
            shop_show=show,
            here="shelf",
            stands=stands,
            new=set(_numbers(new)),
            gone=stands.offcuts.get(_numbers(gone)[0]) if _numbers(gone) else None,
            code=lambda number: spaced(encode(SHELF, number)),
            unit=show.unit,
        )

    @routes.post("/shelf")
    def put(
        request: Request,
        length: str = Form("", max_length=80),
        width: str = Form("", max_length=80),
        thickness: str = Form("", max_length=80),
        material: str = Form("", max_length=120),
        sheet: str = Form("", max_length=8),
    ) -> RedirectResponse:
        at_the_bench(request)
        unit = current_shop(web.store, web.shop).show.unit
        sizes = [
            _size(name, text, unit) for name, text in (("length", length), ("width", width), ("thickness", thickness))
        ]
        one = NewOffcut(new_id(), sizes[0], sizes[1], sizes[2], " ".join(material.split()), bool(sheet))
        return RedirectResponse(f"/shelf?new={shelve(web.store, [one], request.state.device)[0]}", 303)

    @routes.post("/shelf/{number}/take")
    def take(request: Request, number: int) -> RedirectResponse:
        at_the_bench(request)
        take_off(web.store, number, request.state.device)
        return RedirectResponse(f"/shelf?gone={number}", 303)

    @routes.post("/shelf/{number}/back")
    def back(request: Request, number: int) -> RedirectResponse:
        at_the_bench(request)
        put_back(web.store, number, request.state.device)
        return RedirectResponse(f"/shelf?new={number}", 303)

    @routes.get("/shelf/labels.pdf")
    def labels(request: Request, only: str = "", sheet: str = "A4", start: int = 1) -> Response:
        at_the_bench(request)
        show = current_shop(web.store, web.shop).show
        chosen = set(_numbers(only)) or {one.number for one in shelf(web.store).lying}
        pdf = shelf_labels(web.store, chosen, grid_from(sheet), web.address or LOCAL, show, start)
        return Response(pdf, media_type="application/pdf", headers={"content-disposition": "inline"})

    return routes


def _numbers(text: str) -> list[int]:
    return [int(one) for one in text.split(",") if one.isascii() and one.isdecimal() and len(one) < 7]


def _size(name: str, text: str, unit: str) -> Nm:
    if not text.strip():
        raise StopwrightError("is empty", name, f"measure the {name}")
    try:
        return parse_length(text, unit)
    except StopwrightError as error:
        raise StopwrightError(error.what, name, error.next_step) from error
