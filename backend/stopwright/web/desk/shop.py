"""The page of the shop: every entry typed and saved as one goes, stations and stops added and taken out, the file."""

from collections.abc import Mapping, Sequence
from typing import Any

from fastapi import APIRouter, Form, Request, UploadFile
from pydantic import BaseModel, ConfigDict, Field
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from stopwright.actions.shop.editing import (
    Change,
    ShopDraft,
    bring_shop,
    change_shop,
    check_shop,
    save_typed_shop,
    shop_as_typed,
    shop_file,
    shop_put_back,
    with_axis,
    with_changeover,
    with_clamps,
    with_glue,
    with_machine,
    with_share,
    with_station,
    without_axis,
    without_changeover,
    without_clamps,
    without_glue,
    without_machine,
    without_share,
    without_station,
)
from stopwright.actions.shop.first_set_up import FIELDS, QUESTIONS, first_answers, save_first_shop
from stopwright.actions.shop.keeping import shop_state
from stopwright.errors import ChangedMeanwhile
from stopwright.intake.files import GREATEST_TEXT
from stopwright.intake.typed_shop import shop_tables
from stopwright.plan.operations.known import OPERATIONS
from stopwright.web.desk import shop_entries
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.typed_fields import MOST_FIELDS, MOST_VERSION, nested


class TypedShop(BaseModel):
    """The shop as it stands in the form; `save` keeps it, else it is only answered."""

    model_config = ConfigDict(extra="forbid")
    base: int = Field(ge=0, le=MOST_VERSION)
    fields: list[tuple[str, str]] = Field(max_length=MOST_FIELDS)
    save: bool = False


def shop_routes(web: Web) -> APIRouter:
    """The routes of the page of the shop."""
    routes = APIRouter()

    def added(request: Request, change: Change, at: str) -> RedirectResponse:
        change_shop(web.store, web.shop, change, shop_state(web.store).version, request.state.device)
        return RedirectResponse(f"/shop{at}", 303)

    def taken_out(request: Request, change: Change, base: int) -> RedirectResponse:
        before = change_shop(web.store, web.shop, change, base, request.state.device)
        return RedirectResponse(f"/shop?before={before}", 303)

    @routes.get("/shop", tags=FOR_PHONES)
    def page(request: Request, before: int = -1) -> HTMLResponse:
        draft = shop_as_typed(web.store, web.shop)
        data = _data(draft, shop_state(web.store).saved is None)
        return web.pages.show(request, "shop.html", here="shop", before=before, **data)

    @routes.post("/shop")
    def typed(request: Request, sent: TypedShop) -> JSONResponse:
        typed_shop = _complete(nested(sent.fields, shop_entries.SEVERAL_AT_ONCE))
        if not sent.save:
            return JSONResponse(_answer(check_shop(typed_shop), sent.base, saved=False))
        now = shop_as_typed(web.store, web.shop)
        try:
            draft = save_typed_shop(web.store, typed_shop, sent.base, request.state.device)
        except ChangedMeanwhile as error:
            said = {"what": error.what, "where": error.where, "next_step": error.next_step}
            return JSONResponse({"error": said, "version": shop_state(web.store).version}, 409)
        again = not draft.faults and _works(draft.typed) != _works(now.typed)
        return JSONResponse(_answer(draft.faults, draft.version, saved=not draft.faults) | {"again": again})

    @routes.post("/shop/stations")
    def add_station(request: Request, work: str = Form()) -> RedirectResponse:
        return added(request, with_station(work), "#last-station")

    @routes.post("/shop/stations/{number}/delete")
    def delete_station(request: Request, number: int, base: int = Form()) -> RedirectResponse:
        return taken_out(request, without_station(number), base)

    @routes.post("/shop/stations/{number}/axes")
    def add_axis(request: Request, number: int, sets: str = Form()) -> RedirectResponse:
        return added(request, with_axis(number, sets), f"#station-{number}")

    @routes.post("/shop/stations/{station}/axes/{number}/delete")
    def delete_axis(request: Request, station: int, number: int, base: int = Form()) -> RedirectResponse:
        return taken_out(request, without_axis(station, number), base)

    @routes.post("/shop/glues")
    def add_glue(request: Request) -> RedirectResponse:
        return added(request, with_glue(), "#glues")

    @routes.post("/shop/glues/{number}/delete")
    def delete_glue(request: Request, number: int, base: int = Form()) -> RedirectResponse:
        return taken_out(request, without_glue(number), base)

    @routes.post("/shop/clamps")
    def add_clamps(request: Request) -> RedirectResponse:
        return added(request, with_clamps(), "#day")

    @routes.post("/shop/clamps/{number}/delete")
    def delete_clamps(request: Request, number: int, base: int = Form()) -> RedirectResponse:
        return taken_out(request, without_clamps(number), base)

    @routes.post("/shop/machines")
    def add_machine(request: Request) -> RedirectResponse:
        return added(request, with_machine(), "#machines")

    @routes.post("/shop/machines/{number}/delete")
    def delete_machine(request: Request, number: int, base: int = Form()) -> RedirectResponse:
        return taken_out(request, without_machine(number), base)

    @routes.post("/shop/machines/{number}/changes")
    def add_changeover(request: Request, number: int) -> RedirectResponse:
        return added(request, with_changeover(number), "#machines")

    @routes.post("/shop/machines/{machine}/changes/{number}/delete")
    def delete_changeover(request: Request, machine: int, number: int, base: int = Form()) -> RedirectResponse:
        return taken_out(request, without_changeover(machine, number), base)

    @routes.post("/shop/machines/{number}/shares")
    def add_share(request: Request, number: int) -> RedirectResponse:
        return added(request, with_share(number), "#machines")

    @routes.post("/shop/machines/{machine}/shares/{number}/delete")
    def delete_share(request: Request, machine: int, number: int, base: int = Form()) -> RedirectResponse:
        return taken_out(request, without_share(machine, number), base)

    @routes.post("/shop/put-back")
    def put_back(request: Request, version: int = Form()) -> RedirectResponse:
        shop_put_back(web.store, web.shop, version, request.state.device)
        return RedirectResponse("/shop", 303)

    @routes.get("/shop/file")
    def take() -> Response:
        named = 'attachment; filename="shop.toml"'
        text = shop_file(web.store, web.shop)
        return Response(text, media_type="application/toml", headers={"content-disposition": named})

    @routes.post("/shop/file")
    def bring(request: Request, file: UploadFile) -> RedirectResponse:
        data = file.file.read(GREATEST_TEXT + 1)
        before = bring_shop(web.store, data, (file.filename or "the shop file")[:200], request.state.device)
        return RedirectResponse(f"/shop?before={before}", 303)

    @routes.get("/shop/set-up")
    def questions(request: Request, lengths: str = "mm") -> HTMLResponse:
        return _questions(web, request, first_answers("in" if lengths == "in" else "mm"), {})

    @routes.post("/shop/set-up")
    async def answered(request: Request) -> Response:
        sent = await request.form(max_fields=200)
        answers = {field: str(sent.get(field, ""))[:400] for field in FIELDS}
        faults = await run_in_threadpool(save_first_shop, web.store, answers, request.state.device)
        return _questions(web, request, answers, faults, 422) if faults else RedirectResponse("/shop", 303)

    return routes


def _questions(
    web: Web, request: Request, answers: Mapping[str, str], faults: Mapping[str, str], status: int = 200
) -> HTMLResponse:
    return web.pages.show(
        request, "set_up.html", status, here="shop", questions=QUESTIONS, answers=answers, faults=faults
    )


def _data(draft: ShopDraft, never_saved: bool) -> dict[str, Any]:
    stations = draft.typed["station"]
    return {
        "typed": draft.typed,
        "base": draft.version,
        "faults": draft.faults,
        "entries": shop_entries,
        "never_saved": never_saved,
        "works": list(OPERATIONS),
        "free_sets": [
            [sets for sets in _sets_of(station["work"]) if sets not in {axis["sets"] for axis in station["axis"]}]
            for station in stations
        ],
        "lost_by": [_may_be_lost(machine, stations) for machine in shop_tables(draft.typed).get("machine", [])],
        "entries_of": [shop_entries.entries_of(frozenset(station["work"])) for station in stations],
    }


def _may_be_lost(machine: Mapping[str, Any], stations: Sequence[Mapping[str, Any]]) -> list[str]:
    """What axes of a machine's stations set, each once: a changeover may lose it."""
    names = machine.get("stations", ())
    here = (axis["sets"] for station in stations if station["name"] in names for axis in station["axis"])
    return list(dict.fromkeys(here))


def _sets_of(works: Sequence[str]) -> list[str]:
    """What can be set at a station that does these works."""
    return list(dict.fromkeys(role.name for work in works if work in OPERATIONS for role in OPERATIONS[work].roles))


def _answer(faults: Mapping[str, str], version: int, saved: bool) -> dict[str, Any]:
    said = [{"field": field, "text": text} for field, text in faults.items()]
    return {"version": version, "saved": saved, "faults": said}


def _complete(typed: dict[str, Any]) -> dict[str, Any]:
    """The typed shop with what a form leaves out: a tick that is not set."""
    return {"spacers": "", **typed}


def _works(typed: Mapping[str, Any]) -> list[Any]:
    """What the stations do: with it the entries of the page change."""
    return [sorted(station["work"]) for station in typed["station"]]
