"""Finding a piece by its label: the code typed, or a photo that the bench reads."""

from typing import Any

from fastapi import APIRouter, Request, UploadFile
from starlette.responses import JSONResponse, RedirectResponse, Response

from stopwright.actions.floor.scanning import code_in, read_photo
from stopwright.actions.jobs.labelled import label_in, labelled
from stopwright.actions.jobs.numbering import find_piece
from stopwright.errors import StopwrightError
from stopwright.model.codes import LENGTH, SHELF, decode, spaced
from stopwright.web.kit.context import Web
from stopwright.web.kit.faults import wants_page
from stopwright.web.kit.guard import FOR_PHONES


def scan_routes(web: Web) -> APIRouter:
    """The page that finds pieces, and the reading of photos for it and for scripts of other pages."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/scan")
    def typed(request: Request, code: str | None = None) -> Response:
        if code is None:
            return web.pages.show(request, "scan.html", found=None, code="", fault=None)
        try:
            found = _by_print(web, code[:200])
        except StopwrightError as fault:
            return web.pages.show(request, "scan.html", 422, found=None, code=code[:60], fault=fault)
        if len(found) == 1:
            return RedirectResponse(f"/p/{found[0]['code']}", 303)
        return web.pages.show(request, "scan.html", found=found, code=code[:60], fault=None)

    @routes.post("/scan")
    def photo(request: Request, photo: UploadFile) -> Response:
        page = wants_page(request)
        try:
            found = [_found(web, code) for code in read_photo(photo.file.read())]
        except StopwrightError as fault:
            if not page:
                raise
            return web.pages.show(request, "scan.html", 422, found=None, code="", fault=fault)
        if not page:
            return JSONResponse({"found": found})
        if len(found) == 1:
            return RedirectResponse(f"/p/{found[0]['code']}", 303)
        return web.pages.show(request, "scan.html", found=found, code="", fault=None)

    return routes


def _by_print(web: Web, text: str) -> list[dict[str, Any]]:
    """What was typed from a label, its code or its large print; that of several jobs, all of them."""
    if code := code_in(text):
        return [{"code": code}]
    try:
        found = labelled(web.store, text)
    except StopwrightError:
        if not label_in(text) or sum(map(str.isalnum, text)) == LENGTH:
            decode(text)  # says what is wrong with the code
        raise
    return [
        {"code": one.code, "spaced": spaced(one.code), "label": one.label, "name": f"{one.name}, {one.job_name}"}
        for one in found
    ]


def _found(web: Web, code: str) -> dict[str, Any]:
    """A code with what is known of it; a label whose piece is gone is still shown."""
    known: dict[str, Any] = {"code": code, "spaced": spaced(code), "label": "", "name": "no such piece any more"}
    if decode(code)[0] == SHELF:
        return known | {"label": f"offcut {decode(code)[1]}", "name": "on the shelf"}
    try:
        job, planned, piece = find_piece(web.store, web.planned, code)
    except StopwrightError:
        return known
    unit = f"unit {piece.unit}" if piece.unit else "spare"
    return known | {"label": piece.label, "name": f"{piece.name}, {unit}, {planned.job.name}", "job": job}
