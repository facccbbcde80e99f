"""The shop's memory at the bench: drift of every scale, kerf of every blade, minutes, readings that worked."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Form, Request
from markupsafe import Markup
from starlette.responses import HTMLResponse, RedirectResponse, Response

from stopwright.actions.shop.keeping import current_shop, shop_state
from stopwright.actions.shop.learning import (
    Learned,
    accept_changeover_minutes,
    accept_minutes,
    learned_changeovers,
    learned_minutes,
)
from stopwright.actions.shop.memory import AxisMemory, accept_zero, measure_kerf, readings, scales
from stopwright.errors import ChangedMeanwhile, StopwrightError
from stopwright.lengths import Nm
from stopwright.model.gear import Blade
from stopwright.model.stations import Axis, Station
from stopwright.store.memory import Remembered, RippedBoard
from stopwright.store.shop_fold import Kerf
from stopwright.web.drawings.drift import draw_drift
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.typed_fields import length_in

MOST_STRIPS = 60


@dataclass(frozen=True, slots=True)
class StationMemory:
    """What is known about one station, for its part of the page."""

    station: Station
    scales: list[tuple[Axis, AxisMemory, Markup]]
    kerf: Kerf | None
    learned: list[Learned]
    readings: list[tuple[str, Nm, Remembered]]

    @property
    def blade(self) -> Blade:
        """The blade that is on it now."""
        return self.station.of(Blade)

    @property
    def nothing(self) -> bool:
        """True when there is nothing to show or to measure."""
        return not (self.taught or self.blade.kerf)

    @property
    def taught(self) -> bool:
        """True when work at the station or a measured kerf has taught something."""
        return bool(self.scales or self.kerf or self.learned or self.readings)


def memory_routes(web: Web) -> APIRouter:
    """The routes of the memory page; what changes the shop is done at the bench only."""
    routes = APIRouter()

    @routes.get("/memory", tags=FOR_PHONES)
    def memory(request: Request) -> HTMLResponse:
        return _page(web, request)

    @routes.post("/memory/zero")
    def zero(request: Request, station: str = Form(""), axis: str = Form(""), zero_nm: int = Form()) -> Response:
        shop = current_shop(web.store, web.shop)
        found = next((one.zero for one in scales(web.store, shop) if (one.station, one.axis) == (station, axis)), None)
        if found is None or found.zero != zero_nm:
            raise ChangedMeanwhile(
                "another trial piece was measured meanwhile", "the shop's memory", "reload the page, then accept"
            )
        accept_zero(web.store, shop, station, axis, zero_nm, request.state.device)
        return _back(station)

    @routes.post("/memory/minutes")
    def minutes(
        request: Request, station: str = Form(""), axis: str = Form(""), seconds: int = Form(ge=0, le=86_400)
    ) -> Response:
        accept_minutes(web.store, current_shop(web.store, web.shop), station, axis, seconds, request.state.device)
        return _back(station)

    @routes.post("/memory/changeover")
    def changeover(
        request: Request,
        machine: str = Form(""),
        from_: str = Form("", alias="from"),
        to: str = Form(""),
        seconds: int = Form(ge=0, le=86_400),
    ) -> Response:
        shop = current_shop(web.store, web.shop)
        accept_changeover_minutes(web.store, shop, machine, from_, to, seconds, request.state.device)
        return RedirectResponse("/memory#changeovers", 303)

    @routes.post("/memory/kerf")
    def kerf(
        request: Request,
        station: str = Form(""),
        width: str = Form("", max_length=400),
        strips: str = Form("", max_length=4000),
        rest: str = Form("rest"),
        graduation: str = Form("", max_length=400),
    ) -> Response:
        shop = current_shop(web.store, web.shop)
        unit = web.pages.ways(request, shop.show).show.unit
        try:
            board = _ripped(width, strips, rest == "cut", unit)
            to_nearest = length_in("what you measured to", graduation, unit)
            measure_kerf(web.store, shop, station, [board], to_nearest, request.state.device)
        except StopwrightError as error:
            typed = {"station": station, "width": width, "strips": strips, "rest": rest, "graduation": graduation}
            return _page(web, request, typed | {"fault": f"{error.where} {error.what}; {error.next_step}".strip()}, 422)
        return _back(station)

    return routes


def _back(station: str) -> RedirectResponse:
    return RedirectResponse(f"/memory#{anchor(station)}", 303)


def anchor(station: str) -> str:
    """What a station's part of the page is called in an address.

    >>> anchor("slot mortiser")
    'at-slot-mortiser'
    """
    return "at-" + "-".join("".join(sign if sign.isalnum() else " " for sign in station.lower()).split())


def _page(web: Web, request: Request, typed: Mapping[str, str] | None = None, status: int = 200) -> HTMLResponse:
    shop = current_shop(web.store, web.shop)
    show = web.pages.ways(request, shop.show).show
    known, learned, kerfs = scales(web.store, shop), learned_minutes(web.store, shop), shop_state(web.store).kerfs
    worked = readings(web.store)
    stations = []
    for station in shop.stations:
        here = [
            (axis, one, draw_drift(one, axis.zero, show))
            for axis in station.axes
            for one in known
            if (one.station, one.axis) == (station.name, axis.name)
        ]
        again = [
            (axis, target, one)
            for (name, axis, blade, target), one in sorted(worked.items(), key=lambda item: item[0])
            if (name, blade) == (station.name, station.of(Blade).blade)
        ]
        taught = [one for one in learned if one.station == station.name]
        stations.append(StationMemory(station, here, kerfs.get((station.name, station.of(Blade).blade)), taught, again))
    return web.pages.show(
        request, "memory.html", status, shop_show=shop.show, here="memory", stations=stations, typed=typed or {},
        anchor=anchor, unit=show.unit, changeovers=learned_changeovers(web.store, shop),
    )  # fmt: skip


def _ripped(width: str, strips: str, all_cut: bool, unit: str) -> RippedBoard:
    """The board that was typed, one strip a line. Raises StopwrightError."""
    whole = length_in("width of the board", width, unit)
    lines = [line.strip() for line in strips.replace(";", "\n").splitlines()]
    measured = tuple(length_in(f"strip {n}", line, unit) for n, line in enumerate(filter(None, lines), start=1))
    if len(measured) > MOST_STRIPS:
        raise StopwrightError("so many strips are not needed", next_step=f"measure {MOST_STRIPS} at most")
    return RippedBoard(whole, measured, len(measured) if all_cut else len(measured) - 1)
