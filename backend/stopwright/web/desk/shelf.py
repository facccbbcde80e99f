"""The shelf of offcuts: what lies there, put there by hand, taken off and put back, and the labels to stick on."""

from collections.abc import Mapping, Sequence

from fastapi import APIRouter, Form, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from stopwright.actions.floor.shelf import NewOffcut, put_back, shelf, shelf_labels, shelve, take_off
from stopwright.actions.jobs.labelling import grid_from
from stopwright.actions.shop.keeping import current_shop
from stopwright.errors import StopwrightError
from stopwright.model.codes import SHELF, encode, spaced
from stopwright.store.events import new_id
from stopwright.web.kit.context import Web
from stopwright.web.kit.faults import status_of, wants_page
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.typed_fields import length_in, numbers_in


def shelf_routes(web: Web) -> APIRouter:
    """The routes of the shelf. `new` in its address names what was put there just now, `gone` what was taken."""
    routes = APIRouter()

    @routes.get("/shelf", tags=FOR_PHONES)
    def lying(request: Request, new: str = "", gone: str = "") -> HTMLResponse:
        return _page(web, request, numbers_in(new), numbers_in(gone))

    @routes.post("/shelf")
    def put(
        request: Request,
        length: str = Form("", max_length=80),
        width: str = Form("", max_length=80),
        thickness: str = Form("", max_length=80),
        material: str = Form("", max_length=120),
        sheet: str = Form("", max_length=8),
        planed: str = Form("", max_length=8),
    ) -> Response:
        unit = current_shop(web.store, web.shop).show.unit
        typed = {"length": length, "width": width, "thickness": thickness}
        try:
            long, wide, thick = (length_in(name, text, unit) for name, text in typed.items())
            material = " ".join(material.split())
            one = NewOffcut(new_id(), long, wide, thick, material, bool(sheet), planed=bool(planed))
            number = shelve(web.store, [one], request.state.device)[0]
        except StopwrightError as fault:
            if not wants_page(request):
                raise
            again = typed | {"material": material, "sheet": sheet, "planed": planed}
            return _page(web, request, typed=again, fault=fault)
        return RedirectResponse(f"/shelf?new={number}", 303)

    @routes.post("/shelf/{number}/take")
    def take(request: Request, number: int) -> RedirectResponse:
        take_off(web.store, number, request.state.device)
        return RedirectResponse(f"/shelf?gone={number}", 303)

    @routes.post("/shelf/{number}/back")
    def back(request: Request, number: int) -> RedirectResponse:
        put_back(web.store, number, request.state.device)
        return RedirectResponse(f"/shelf?new={number}", 303)

    @routes.get("/shelf/labels.pdf")
    def labels(only: str = "", sheet: str = "A4", start: int = 1) -> Response:
        show = current_shop(web.store, web.shop).show
        chosen = set(numbers_in(only)) or {one.number for one in shelf(web.store).lying}
        pdf = shelf_labels(web.store, chosen, grid_from(sheet), web.on_labels, show, start)
        return Response(pdf, media_type="application/pdf", headers={"content-disposition": "inline"})

    return routes


def _page(
    web: Web,
    request: Request,
    new: Sequence[int] = (),
    gone: Sequence[int] = (),
    typed: Mapping[str, str] | None = None,
    fault: StopwrightError | None = None,
) -> HTMLResponse:
    """The shelf; with a `fault` what was typed to be put there stands in its form again."""
    stands, show = shelf(web.store), current_shop(web.store, web.shop).show
    return web.pages.show(
        request,
        "shelf.html",
        status_of(fault),
        shop_show=show,
        here="shelf",
        stands=stands,
        new=set(new),
        gone=stands.offcuts.get(gone[0]) if gone else None,
        code=lambda number: spaced(encode(SHELF, number)),
        unit=show.unit,
        typed=typed or {},
        fault=fault,
    )
