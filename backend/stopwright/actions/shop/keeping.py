"""Keeping the shop: its document, and what trial pieces taught about its scales and blades."""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from typing import Any

from stopwright.errors import Inconsistent
from stopwright.intake.shop_file import default_shop, shop_from_document
from stopwright.model.gear import Blade
from stopwright.model.machines import Machine
from stopwright.model.stations import Axis, Shop, Station
from stopwright.store.events import Clock, Event, new_id, utc_now, written
from stopwright.store.job_fold import SHOP_SAVES, save_of
from stopwright.store.log import Store
from stopwright.store.shop_fold import SHOP_KINDS, ShopState, fold_shop


def shop_state(store: Store) -> ShopState:
    """The shop's document with its version, and what was accepted since it was saved."""
    return store.folded("", fold_shop)


def current_shop(store: Store, default: Shop, lengths: str = "mm") -> Shop:
    """The shop as plans must know it: as saved, `default` if it never was, with what was accepted since.

    The shop that ships with the program has its scales in `lengths`, the unit of the job it is wanted for. A kerf
    goes to the station that has this blade on it now.
    """
    if default is default_shop() and lengths == "in":
        default = default_shop("in")
    return _as_it_stands(shop_state(store), default)


def shop_at(store: Store, default: Shop, version: int) -> Shop:
    """The shop as it stood when `version` was its newest."""
    return _as_it_stands(fold_shop(event for event in store.events("") if event.seq <= version), default)


def save_shop(store: Store, document: Mapping[str, Any], base: int, device: str, now: Clock = utc_now) -> int:
    """The new version of the shop. ChangedMeanwhile when it, a zero or a kerf was changed after version `base`.

    Raises BadInput for a document that describes no shop: no page could plan with it.
    """
    shop_from_document(document, "shop")
    state = shop_state(store)
    kind, body = save_of(state.saved if base == state.version else None, document, SHOP_SAVES)
    event = Event(new_id(), "", kind, written(now()), device, body)
    return store.append([event], base=base, kinds=SHOP_KINDS)[0].seq


def _as_it_stands(state: ShopState, default: Shop) -> Shop:
    shop = shop_from_document(state.saved.document, "shop") if state.saved else default
    return replace(
        shop,
        stations=tuple(_as_measured(station, state) for station in shop.stations),
        machines=tuple(_changed_over_in(machine, state) for machine in shop.machines),
    )


def _changed_over_in(machine: Machine, state: ShopState) -> Machine:
    for (name, from_, to), seconds in state.changeovers.items():
        if name == machine.name and {from_, to} <= set(machine.stations):
            with suppress(Inconsistent):  # the shop that ships may have been given other minutes since
                machine = machine.taking(from_, to, seconds / 60)
    return machine


def _as_measured(station: Station, state: ShopState) -> Station:
    axes = tuple(_axis_as_measured(station.name, axis, state) for axis in station.axes)
    blade = station.of(Blade)
    kerf = state.kerfs.get((station.name, blade.blade))
    seconds = state.seconds.get((station.name, ""))
    return replace(
        station.fitted(replace(blade, kerf=kerf.kerf)) if kerf else station,
        axes=axes,
        minutes_per_piece=station.minutes_per_piece if seconds is None else seconds / 60,
    )


def _axis_as_measured(station: str, axis: Axis, state: ShopState) -> Axis:
    place = (station, axis.name)
    seconds = state.seconds.get(place)
    minutes = axis.minutes if seconds is None else seconds / 60
    return replace(axis, zero=state.zeros.get(place, axis.zero), minutes=minutes)
