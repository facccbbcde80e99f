"""The rack on the phone: which boards to fetch, the number to chalk on each, what they and what goes in measure."""

from collections.abc import Iterable, Mapping

from fastapi import APIRouter, Form, Request
from starlette.responses import HTMLResponse, RedirectResponse

from stopwright.actions.floor.rack import boards_to_fetch, is_cut, measure_board, measure_part, parts_to_measure
from stopwright.actions.jobs.openings import frames_to_measure, measure_dry_frame, measure_opening, openings_to_measure
from stopwright.errors import NotFound, StopwrightError
from stopwright.intake.draft import whole_number
from stopwright.intake.scalars import number_in
from stopwright.lengths import Nm, format_exact, parse_length
from stopwright.model.things import MEASURED as MEASURES
from stopwright.model.things import MEASURED_DRY
from stopwright.paper.wording import hardware_text
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES

MEASURED = ("length", "width", "thickness")
READINGS = 2
"""In how many places an opening is measured in each direction: at front and back, left and right."""


def _readings(name: str) -> list[str]:
    """The fields of the form for one measure of an opening."""
    return [f"{name}_{number}" for number in range(1, READINGS + 1)]


def _read(typed: Mapping[str, str], names: Iterable[str], unit: str) -> dict[str, tuple[Nm, ...]]:
    """What was typed for each of these measures, in one place or several, nm."""
    return {
        name: tuple(parse_length(typed[one], unit) for one in _readings(name) if typed.get(one, "").strip())
        for name in names
    }


def rack_routes(web: Web) -> APIRouter:
    """The page of the rack and the form of a board that was measured."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/jobs/{job}/rack")
    def rack(request: Request, job: str) -> HTMLResponse:
        return _page(request, job)

    @routes.post("/jobs/{job}/rack/{place}", response_model=None)
    def measured(
        request: Request,
        job: str,
        place: int,
        length: str = Form("", max_length=60),
        width: str = Form("", max_length=60),
        thickness: str = Form("", max_length=60),
        flaw_from: str = Form("", max_length=60),
        flaw_to: str = Form("", max_length=60),
        bow: str = Form("", max_length=60),
    ) -> HTMLResponse | RedirectResponse:
        typed = {"length": length, "width": width, "thickness": thickness, "bow": bow}
        typed |= {"flaw_from": flaw_from, "flaw_to": flaw_to}
        planned = web.planned(job)
        unit = planned.shop.show.unit
        try:
            size = (parse_length(length, unit), parse_length(width, unit), parse_length(thickness, unit))
            has_flaw = flaw_from.strip() or flaw_to.strip()
            flaw = (parse_length(flaw_from, unit), parse_length(flaw_to, unit)) if has_flaw else None
            bowed = parse_length(bow, unit) if bow.strip() else None
            measure_board(web.store, job, planned, place, size, request.state.device, flaw, bowed)
        except StopwrightError as error:
            return _page(request, job, place, typed, f"{error.what}; {error.next_step}")
        return RedirectResponse(f"/jobs/{job}/rack", 303)

    @routes.post("/jobs/{job}/rack/parts/{mark}", response_model=None)
    def part_measured(
        request: Request, job: str, mark: str, measured: str = Form("", max_length=60)
    ) -> HTMLResponse | RedirectResponse:
        planned = web.planned(job)
        try:
            thickness = parse_length(measured, planned.shop.show.unit)
            measure_part(web.store, job, planned, mark, thickness, request.state.device)
        except NotFound:
            raise
        except StopwrightError as error:
            return _page(
                request, job, part=mark, typed={"measured": measured}, fault=f"{error.what}; {error.next_step}"
            )
        return RedirectResponse(f"/jobs/{job}/rack", 303)

    @routes.post("/jobs/{job}/rack/openings/{mark}", response_model=None)
    async def opening_measured(request: Request, job: str, mark: str) -> HTMLResponse | RedirectResponse:
        form = await request.form(max_fields=20)
        typed = {name: str(value)[:60] for name, value in form.items()}
        planned = web.planned(job)
        unit = planned.shop.show.unit
        try:
            number = number_in(whole_number(typed["number"]), whole=True) if typed.get("number", "").strip() else None
            readings = _read(typed, MEASURES, unit)
            measure_opening(web.store, job, planned, mark, number, readings, request.state.device)
        except NotFound:
            raise
        except StopwrightError as error:
            return _page(request, job, opening=mark, typed=typed, fault=f"{error.what}; {error.next_step}")
        return RedirectResponse(f"/jobs/{job}/rack", 303)

    @routes.post("/jobs/{job}/rack/frames/{mark}", response_model=None)
    async def frame_measured(request: Request, job: str, mark: str) -> HTMLResponse | RedirectResponse:
        form = await request.form(max_fields=20)
        typed = {name: str(value)[:60] for name, value in form.items()}
        planned = web.planned(job)
        try:
            readings = _read(typed, MEASURED_DRY, planned.shop.show.unit)
            measure_dry_frame(web.store, job, planned, mark, readings, request.state.device)
        except NotFound:
            raise
        except StopwrightError as error:
            return _page(request, job, frame=mark, typed=typed, fault=f"{error.what}; {error.next_step}")
        return RedirectResponse(f"/jobs/{job}/rack#frames", 303)

    def _page(
        request: Request,
        job: str,
        place: int = -1,
        typed: dict[str, str] | None = None,
        fault: str = "",
        part: str = "",
        opening: str = "",
        frame: str = "",
    ) -> HTMLResponse:
        planned = web.planned(job)
        unit, boards = planned.shop.show.unit, boards_to_fetch(planned)
        fields = {
            one.place: {field: format_exact(getattr(one.layout, field), unit) for field in MEASURED}
            | ({"bow": format_exact(bow, unit)} if (bow := planned.job.stock[one.layout.stock].bow) else {})
            for one in boards
        }
        if place in fields and typed:
            fields[place] = typed
        return web.job_page(
            request,
            "rack.html",
            job,
            planned,
            boards=boards,
            fields=fields,
            to_buy=planned.sheet.wood.to_buy,
            hardware=tuple(map(hardware_text, planned.sheet.hardware)),
            cut=is_cut(web.store, job, planned),
            unit=unit,
            place=place,
            fault=fault,
            to_measure=parts_to_measure(planned),
            wrong_part=part,
            openings=openings_to_measure(planned),
            wrong_opening=opening,
            frames=frames_to_measure(planned),
            wrong_frame=frame,
            readings=_readings,
            typed=typed or {},
            exact=lambda length: format_exact(length, unit),
        )

    return routes
