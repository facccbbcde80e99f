"""The wood of a job: what is on hand, what the shelf offers, what to buy, what cutting leaves, how it moves."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from fastapi import APIRouter, Form, Request
from markupsafe import Markup
from starlette.responses import HTMLResponse, RedirectResponse

from stopwright.actions.keeping import job_document
from stopwright.actions.planning import Planned
from stopwright.actions.shelf import LeftOver, fitting, left_over, shelve, use_in_job
from stopwright.errors import BadInput, StopwrightError
from stopwright.lengths import Nm, Show, parse_length
from stopwright.model.parts import Part
from stopwright.model.stock import Stock
from stopwright.plan.timber.buying import Purchase, Totals, totals, what_to_buy
from stopwright.plan.timber.grooves import MEASURE_FIRST, TOOLING, USUAL_PLAY, GrooveAdvice, groove_for
from stopwright.plan.timber.movement import SPECIES, Cut, movement, species_of, wide_parts
from stopwright.store.shelf_fold import Offcut
from stopwright.web.bench_parts import list_routes, page_data
from stopwright.web.context import Web
from stopwright.web.drawings.stock import stock_drawings
from stopwright.web.guard import FOR_PHONES
from stopwright.web.script_data import as_script_data

USUAL_MOISTURE = ("8", "12")
"""Percent between which indoor wood moves over the year in a heated house; offered to start from."""


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


@dataclass(frozen=True, slots=True)
class MovementAsked:
    """The form of wood movement as filled in, with its answer in nm or what was wrong with it."""

    species: str
    width: str
    start: str
    end: str
    cut: str
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
        saved = job_document(web.store, job)
        outlook, planned = _outlook(web, job)
        show = (
            planned.shop.show if planned else Show.SIXTY_FOURTHS if saved.document.get("lengths") == "in" else Show.MM
        )
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
            cuts=list(Cut),
            unit=show.unit,
            wide=_advice(planned, asked) if planned else [],
        )

    @routes.get("/jobs/{job}/wood/outlook", tags=FOR_PHONES)
    def outlook_now(request: Request, job: str) -> dict[str, str]:
        outlook, planned = _outlook(web, job)
        page = web.pages.show(
            request, "_wood_outlook.html", shop_show=planned.shop.show if planned else None, job=job, outlook=outlook
        )
        return {"html": bytes(page.body).decode()}

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
    start, end = said.get("from", USUAL_MOISTURE[0])[:20], said.get("to", USUAL_MOISTURE[1])[:20]
    name, width = said.get("species", "white ash")[:40], said.get("width", "")[:60]
    cut = Cut.RADIAL if said.get("cut") == Cut.RADIAL else Cut.TANGENTIAL
    asked = MovementAsked(name, width, start, end, cut)
    species = next((one for one in SPECIES if one.name == name), None)
    if not width.strip() or species is None:
        return asked
    try:
        read = parse_length(width, unit)
        grown = movement(read, species.coefficient(cut), _percent(start), _percent(end))
    except StopwrightError as error:
        return MovementAsked(name, width, start, end, cut, fault=f"{error.what}; {error.next_step}")
    return MovementAsked(name, width, start, end, cut, read, grown)


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


def _percent(text: str) -> Fraction:
    plain = text.strip().removesuffix("%").strip().replace(",", ".")
    if not plain.replace(".", "", 1).isdecimal() or not plain.isascii() or len(plain) > 8:
        raise StopwrightError(f"'{text}' is not a moisture", next_step="write percent, such as 8")
    return Fraction(plain)


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
    ), planned


def _advice(planned: Planned, asked: MovementAsked) -> list[tuple[Part, str, Nm]]:
    """Wide solid parts whose wood is known, with how much they move between the moistures asked about."""
    found = []
    for part in wide_parts(planned.job.parts):
        species = species_of(part.material)
        try:
            start, end = _percent(asked.start), _percent(asked.end)
            if species:
                moved = abs(movement(part.width, species.coefficient(Cut(asked.cut)), start, end))
                found.append((part, species.name, moved))
        except StopwrightError:
            return []
    return found
