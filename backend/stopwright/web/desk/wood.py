"""The wood of a job: what is on hand, what the shelf offers, what to buy, what cutting leaves, how it moves."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Form, Request
from markupsafe import Markup
from starlette.responses import HTMLResponse, RedirectResponse, Response

from stopwright.actions.floor.shelf import LeftOver, fitting, left_over, shelve, use_in_job
from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.moisture import moisture_typed, percent_in, set_moisture
from stopwright.actions.jobs.planning import Planned
from stopwright.errors import BadInput, StopwrightError
from stopwright.lengths import Nm, parse_length, show_in
from stopwright.model.moisture import USUAL_MOISTURE
from stopwright.model.parts import Part, Rings
from stopwright.model.stock import Stock
from stopwright.paper.wording import hardware_text, panel_text
from stopwright.plan.timber.buying import Purchase, Totals, totals, what_to_buy
from stopwright.plan.timber.grooves import MEASURE_FIRST, TOOLING, USUAL_PLAY, GrooveAdvice, groove_for
from stopwright.plan.timber.movement import SPECIES, movement, species_of, wide_parts
from stopwright.store.shelf_fold import Offcut
from stopwright.web.desk.parts import list_routes, page_data
from stopwright.web.drawings.stock import stock_drawings
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.script_data import as_script_data


@dataclass(frozen=True, slots=True)
class Outlook:
    """What the plan says about wood; None where the job cannot be planned yet."""

    boards_used: int
    proven: bool
    lines: tuple[Purchase, ...]
    totals: Totals
    fitting: list[Offcut]
    left_over: list[LeftOver]
    missing: tuple[str, ...]
    drawn: list[tuple[Stock, Markup]]
    hardware: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MovementAsked:
    """The form of wood movement as filled in, with its answer in nm or what was wrong with it."""

    species: str
    width: str
    start: str
    end: str
    rings: Rings
    read: Nm = 0
    grown: Nm | None = None
    fault: str = ""


@dataclass(frozen=True, slots=True)
class GrooveAsked:
    """The form of measured sheets as filled in, with its answer or what was wrong with it."""

    measured: str
    play: str
    advice: GrooveAdvice | None = None
    fault: str = ""


def wood_routes(web: Web) -> APIRouter:
    """The routes of the wood page."""
    routes = APIRouter()

    @routes.get("/jobs/{job}/wood", tags=FOR_PHONES)
    def wood(request: Request, job: str) -> HTMLResponse:
        return page(request, job)

    def page(request: Request, job: str, said: Mapping[str, str] | None = None, fault: str = "") -> HTMLResponse:
        saved = job_document(web.store, job)
        outlook, planned = _outlook(web, job)
        show = planned.shop.show if planned else show_in(str(saved.document.get("lengths")))
        asked = movement_asked(request.query_params, show.unit)
        return web.pages.show(
            request,
            "wood.html",
            shop_show=show,
            here="wood",
            job=job,
            job_name=saved.name,
            outlook=outlook,
            draft=as_script_data(page_data(job, saved, "stock")),
            asked=asked,
            groove=groove_asked(request.query_params, show.unit),
            tooling=(MEASURE_FIRST, TOOLING),
            species=SPECIES,
            ring_ways=list(Rings),
            unit=show.unit,
            wide=_advice(planned) if planned else [],
            panels=[(one, panel_text(one, show)) for one in planned.sheet.panels] if planned else [],
            moisture=moisture_typed(saved.document, said or {}),
            moisture_fault=fault,
        )

    @routes.get("/jobs/{job}/wood/outlook", tags=FOR_PHONES)
    def outlook_now(request: Request, job: str) -> dict[str, str]:
        outlook, planned = _outlook(web, job)
        page = web.pages.show(
            request, "_wood_outlook.html", shop_show=planned.shop.show if planned else None, job=job, outlook=outlook
        )
        return {"html": bytes(page.body).decode()}

    @routes.post("/jobs/{job}/wood/moisture")
    def moisture(
        request: Request, job: str, made_at: str = Form(""), driest: str = Form(""), wettest: str = Form("")
    ) -> Response:
        said = {"made_at": made_at[:20], "driest": driest[:20], "wettest": wettest[:20]}
        try:
            set_moisture(web.store, job, said, request.state.device)
        except StopwrightError as error:
            return page(request, job, said, f"{error.what}; {error.next_step}")
        return RedirectResponse(f"/jobs/{job}/wood#movement", 303)

    @routes.post("/jobs/{job}/wood/use")
    def use(request: Request, job: str, offcut: int = Form()) -> RedirectResponse:
        use_in_job(web.store, offcut, job, request.state.device)
        return RedirectResponse(f"/jobs/{job}/wood", 303)

    @routes.post("/jobs/{job}/wood/shelve")
    def keep(request: Request, job: str, offcut: list[str] | None = Form(None)) -> RedirectResponse:  # noqa: B008
        planned = web.planned(job)
        chosen = [one.offcut for one in left_over(web.store, job, planned) if one.offcut.id in (offcut or ())]
        numbers = shelve(web.store, chosen, request.state.device)
        return RedirectResponse(f"/shelf?new={','.join(map(str, numbers))}", 303)

    routes.include_router(list_routes(web, "wood", "stock"))
    return routes


def movement_asked(said: Mapping[str, Any], unit: str) -> MovementAsked:
    """The answer to a filled-in form, with the fault in words; an empty form is not answered."""
    usual = USUAL_MOISTURE
    start, end = said.get("from", f"{usual.driest}")[:20], said.get("to", f"{usual.wettest}")[:20]
    name, width = said.get("species", "white ash")[:40], said.get("width", "")[:60]
    rings = Rings.QUARTER if said.get("rings") == Rings.QUARTER else Rings.FLAT
    asked = MovementAsked(name, width, start, end, rings)
    species = next((one for one in SPECIES if one.name == name), None)
    if not width.strip() or species is None:
        return asked
    try:
        read = parse_length(width, unit)
        grown = movement(read, species.coefficient(rings), percent_in(start), percent_in(end))
    except StopwrightError as error:
        return MovementAsked(name, width, start, end, rings, fault=f"{error.what}; {error.next_step}")
    return MovementAsked(name, width, start, end, rings, read, grown)


def groove_asked(said: Mapping[str, Any], unit: str) -> GrooveAsked:
    """The groove for the thicknesses written down, one beside the other; an empty form is not answered."""
    measured, play = said.get("measured", "")[:400], said.get("play", "")[:60]
    if not measured.strip():
        return GrooveAsked(measured, play)
    try:
        readings = [parse_length(one.strip(), unit) for one in measured.split(";") if one.strip()]
        advice = groove_for(readings, parse_length(play, unit) if play.strip() else USUAL_PLAY)
    except StopwrightError as error:
        return GrooveAsked(measured, play, fault=f"{error.what}; {error.next_step}")
    return GrooveAsked(measured, play, advice)


def _outlook(web: Web, job: str) -> tuple[Outlook | None, Planned | None]:
    try:
        planned = web.planned(job)
    except BadInput:
        return None, None
    lines = what_to_buy(planned.job, planned.sheet)
    wood = planned.sheet.wood
    return Outlook(
        wood.boards_used,
        wood.proven,
        lines,
        totals(lines),
        fitting(web.store, planned.job, planned.shop),
        left_over(web.store, job, planned),
        tuple(sorted({blank.mark for blank in wood.to_buy})),
        list(zip(planned.job.stock, stock_drawings(planned.job.stock, planned.shop.show), strict=True)),
        tuple(map(hardware_text, planned.sheet.hardware)),
    ), planned


def _advice(planned: Planned) -> list[tuple[Part, str, Nm]]:
    """Wide solid parts whose wood is known, with how much they move between the driest and the wettest of the job."""
    found = []
    moisture = planned.job.moisture
    for part in wide_parts(planned.job.parts):
        species = species_of(part.material)
        if species:
            coefficient = species.coefficient(part.rings)
            found.append((part, species.name, movement(part.width, coefficient, moisture.driest, moisture.wettest)))
    return found
