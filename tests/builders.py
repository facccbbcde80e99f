"""Small parts, shops and jobs for tests: millimetres in, model out."""

from collections.abc import Iterable
from dataclasses import fields, replace
from typing import Any, Unpack

from stopwright.lengths import MM
from stopwright.model.job import Job
from stopwright.model.joints import Joint
from stopwright.model.parts import Part
from stopwright.model.stations import Axis, Shop, Station
from stopwright.model.stock import Stock, StockKind
from stopwright.plan.operations.known import GEAR
from stopwright.plan.run_sheet import Move, Run
from stopwright.plan.stations.minutes import setting_minutes
from tests.more_of import MoreOfJob, MoreOfPart, MoreOfShop, MoreOfStock


def mm(value: float) -> int:
    """Millimetres as nanometres."""
    return round(value * MM)


def a_part(
    mark: str = "A",
    quantity: int = 4,
    size: tuple[float, float, float] = (450, 60, 22),
    name: str = "",
    **more: Unpack[MoreOfPart],
) -> Part:
    """A part of length × width × thickness in mm."""
    length, width, thickness = map(mm, size)
    return Part(mark, name or f"part {mark}", quantity, length, width, thickness, **more)


def a_board(
    quantity: int | None = 1,
    size: tuple[float, float, float] = (2400, 150, 27),
    kind: StockKind = StockKind.BOARD,
    **more: Unpack[MoreOfStock],
) -> Stock:
    """A board of length × width × thickness in mm."""
    length, width, thickness = map(mm, size)
    return Stock(kind, quantity, length, width, thickness, **more)


def fitted(station: Station, **figures: Any) -> Station:
    """The station with some figures of its gear; each goes to the gear that its work needs it in."""
    for kind in dict.fromkeys(kind for work in station.work for kind in GEAR.get(work, ())):
        mine = {field.name: figures[field.name] for field in fields(kind) if field.name in figures}
        if mine:
            station = station.fitted(replace(station.of(kind), **mine))
    assert set(figures) <= {field.name for one in station.gear for field in fields(one)}, figures
    return station


def a_saw(
    axes: tuple[Axis, ...] | None = None, work: tuple[str, ...] = ("rip", "square", "crosscut"), **figures: Any
) -> Station:
    """A saw with a fence and two flip stops, kerf 3.2, trim 5."""
    fence = Axis("rip fence", "width", step=mm(0.5), low=mm(5), high=mm(1250), minutes=1.0)
    stops = Axis("flip stops", "length", 2, mm(0.5), 0, mm(60), mm(2600), mm(60), 0.75)
    saw = Station("saw", work, (fence, stops) if axes is None else axes)
    return fitted(saw, **({"kerf": mm(3.2), "trim": mm(5)} | figures))


def a_planer(axes: tuple[Axis, ...] | None = None, **figures: Any) -> Station:
    """A thickness planer: greatest cut 1.6, rollers 300 apart, scale to 0.1."""
    height = Axis("height", "thickness", step=mm(0.1), low=mm(4), high=mm(230))
    planer = Station("planer", ("plane",), (height,) if axes is None else axes)
    return fitted(planer, **({"greatest_cut": mm(1.6), "rollers": mm(300)} | figures))


def a_jointer() -> Station:
    """A jointer: nothing to set."""
    return Station("jointer", ("joint",))


def a_shop(*stations: Station, **more: Unpack[MoreOfShop]) -> Shop:
    """A shop of these stations, else jointer, planer and saw."""
    return Shop("test shop", stations or (a_jointer(), a_planer(), a_saw()), **more)


def a_job(*parts: Part, joints: tuple[Joint, ...] = (), **more: Unpack[MoreOfJob]) -> Job:
    """A job of these parts, else of one."""
    return Job("test job", parts or (a_part(),), joints=joints, **more)


def at_length(position: object) -> int:
    """Where a stop stands that is set to a length, nm; fails for an angle or a cutter."""
    assert isinstance(position, int), position
    return position


def settings_made(runs: Iterable[Run]) -> int:
    """How many stops are set over these runs."""
    return sum(stop.move is Move.SET for run in runs for stop in run.stops)


def minutes_made(runs: Iterable[Run], station: Station) -> float:
    """The minutes for setting them."""
    return sum(setting_minutes(station, run.stops) for run in runs)
