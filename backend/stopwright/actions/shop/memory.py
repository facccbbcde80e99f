"""The shop's memory: zeros to accept, kerfs to write to a blade, readings that worked, a job done again."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import TypeAlias

from stopwright.errors import NotFound
from stopwright.lengths import Nm
from stopwright.model.gear import Blade
from stopwright.model.stations import Axis, Shop, Station
from stopwright.store.events import Clock, Event, new_id, utc_now, written
from stopwright.store.log import Store
from stopwright.store.memory import (
    KerfFound,
    Mark,
    Remembered,
    RippedBoard,
    Trial,
    ZeroFound,
    find_kerf,
    find_zero,
)
from stopwright.store.taught import TRIAL_KINDS, Taught, TaughtSoFar

Readings: TypeAlias = Mapping[Mark, Remembered]
"""Readings from before."""


@dataclass(frozen=True, slots=True)
class AxisMemory:
    """What trial pieces with the blade now on taught about one axis; `zero` None: fewer than three, or no scale.

    `trials` are the last of `count`, oldest first, for the plot of drift and scatter.
    """

    station: str
    axis: str
    blade: str
    count: int
    trials: tuple[Trial, ...]
    zero: ZeroFound | None


def scales(store: Store, shop: Shop) -> list[AxisMemory]:
    """What is known about every axis of the shop that has had a trial piece with the blade now on."""
    taught = _taught(store)
    found = []
    for station in shop.stations:
        blade = station.of(Blade).blade
        for axis in station.axes:
            here = taught.last.get((station.name, axis.name, blade), ())
            zero = find_zero(here, axis.zero, axis.step) if axis.step else None
            if here:
                count = taught.count[station.name, axis.name, blade]
                found.append(AxisMemory(station.name, axis.name, blade, count, here, zero))
    return found


def accept_zero(
    store: Store, shop: Shop, station: str, axis: str, zero: Nm, device: str, now: Clock = utc_now, id_: str = ""
) -> None:
    """Takes a zero (nm) for the scale of an axis; every reading planned from now on follows it. Raises NotFound."""
    _axis(shop, station, axis)
    body = {"station": station, "axis": axis, "zero_nm": zero}
    store.append([Event(id_ or new_id(), "", "zero accepted", written(now()), device, body)])


def measure_kerf(
    store: Store,
    shop: Shop,
    station: str,
    boards: Sequence[RippedBoard],
    graduation: Nm,
    device: str,
    now: Clock = utc_now,
    id_: str = "",
) -> KerfFound:
    """The kerf of the blade now on, by ripped boards measured to `graduation` (nm), written to the blade.

    Raises NotFound, and StopwrightError when the figures cannot be right; nothing is written then.
    """
    blade = _station(shop, station).of(Blade).blade
    found = find_kerf(boards, graduation)
    body = {
        "station": station,
        "blade": blade,
        "kerf_nm": found.kerf,
        "uncertainty_nm": found.uncertainty,
        "boards": [asdict(board) | {"strips": list(board.strips)} for board in boards],
    }
    store.append([Event(id_ or new_id(), "", "kerf measured", written(now()), device, body)])
    return found


def readings(store: Store) -> Readings:
    """Every reading to start from again: those that worked, of all jobs."""
    return _taught(store).readings


def _taught(store: Store) -> Taught:
    return store.settled("taught", TRIAL_KINDS, TaughtSoFar)


def _station(shop: Shop, name: str) -> Station:
    for station in shop.stations:
        if station.name == name:
            return station
    raise NotFound(f"there is no station {name!r}", "the shop", "choose one that the shop has")


def _axis(shop: Shop, station: str, name: str) -> Axis:
    for axis in _station(shop, station).axes:
        if axis.name == name:
            return axis
    raise NotFound(f"the {station} has no {name!r}", "the shop", "choose an axis that it has")
