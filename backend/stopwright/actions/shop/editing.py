"""Editing the shop at the bench: typed, checked by the rules of a shop file, saved with its version; stations, stops,
glues and clamps added and taken out; the file brought and taken away.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeAlias

from stopwright.actions.shop.keeping import current_shop, save_shop, shop_at, shop_state
from stopwright.errors import BadInput, Fault, NotFound, StopwrightError
from stopwright.intake.apart import read_apart
from stopwright.intake.shop_file import default_shop, shop_from_document, shop_in, shop_to_document, shop_to_toml
from stopwright.intake.typed_shop import field_of, shop_tables, typed_shop
from stopwright.lengths import MM
from stopwright.model.day import Clamps
from stopwright.model.machines import Change as Changeover
from stopwright.model.machines import Machine, Share
from stopwright.model.stations import Axis, Glue, Shop, Station
from stopwright.plan.operations.known import OPERATIONS, ROLES
from stopwright.store.events import Clock, utc_now
from stopwright.store.log import Store

Change: TypeAlias = Callable[[Shop], Shop]
"""One change of a shop."""
_NO_ROOM = 40


@dataclass(frozen=True, slots=True)
class ShopDraft:
    """The shop as it stands in the form: every field as text, and what is wrong by the name of its field."""

    typed: Mapping[str, Any]
    version: int
    faults: Mapping[str, str]


def shop_as_typed(store: Store, default: Shop) -> ShopDraft:
    """The shop as it stands now, measured zeros and kerfs in it, with the version that a change must name."""
    return ShopDraft(typed_shop(current_shop(store, default)), shop_state(store).version, {})


def check_shop(typed: Mapping[str, Any]) -> dict[str, str]:
    """What is wrong with a typed shop, by the name of the field; empty when it can be saved."""
    try:
        shop_from_document(shop_tables(typed), "shop")
    except BadInput as bad:
        return _by_field(bad.faults)
    return {}


def save_typed_shop(store: Store, typed: Mapping[str, Any], base: int, device: str, now: Clock = utc_now) -> ShopDraft:
    """The shop after saving; with faults nothing is saved. Raises ChangedMeanwhile."""
    faults = check_shop(typed)
    if faults:
        return ShopDraft(typed, base, faults)
    shop = shop_from_document(shop_tables(typed), "shop")
    version = save_shop(store, shop_to_document(shop), base, device, now)
    return ShopDraft(typed_shop(shop), version, {})


def change_shop(store: Store, default: Shop, change: Change, base: int, device: str, now: Clock = utc_now) -> int:
    """Saves the shop with one change made to it; returns the version from before, for `shop_put_back`.

    `base` is the version that was looked at. Raises ChangedMeanwhile: a number may mean another station by now.
    """
    save_shop(store, shop_to_document(change(current_shop(store, default))), base, device, now)
    return base


def shop_put_back(store: Store, default: Shop, version: int, device: str, now: Clock = utc_now) -> None:
    """Makes the shop again what it was when `version` was its newest."""
    document = shop_to_document(shop_at(store, default, version))
    save_shop(store, document, shop_state(store).version, device, now)


def with_station(work: str) -> Change:
    """A change: one more station for this work, as in the shop that ships, under a free name."""

    def change(shop: Shop) -> Shop:
        if len(shop.stations) >= _NO_ROOM:
            raise StopwrightError(f"there are {_NO_ROOM} stations already", next_step="take one out first")
        wanted = _one_of(OPERATIONS, work)
        like = default_shop().station_for(wanted) or Station(wanted, (wanted,))
        name = _free(like.name, [station.name for station in shop.stations])
        return replace(shop, stations=(*shop.stations, replace(like, name=name)))

    return change


def without_station(number: int) -> Change:
    """A change: the station of that number taken out."""

    def change(shop: Shop) -> Shop:
        return replace(shop, stations=_without(shop.stations, number, "station"))

    return change


def with_axis(station: int, sets: str) -> Change:
    """A change: one more stop of a station, for what it does not set yet."""

    def change(shop: Shop) -> Shop:
        here = _there(shop.stations, station, "station")
        wanted = _one_of(ROLES, sets)
        name = _free(wanted, [axis.name for axis in here.axes])
        high = 1_000 * MM if ROLES[wanted].is_length else 10_000 * MM
        return _with(shop, station, replace(here, axes=(*here.axes, Axis(name, wanted, high=high))))

    return change


def without_axis(station: int, number: int) -> Change:
    """A change: a stop of a station taken out."""

    def change(shop: Shop) -> Shop:
        here = _there(shop.stations, station, "station")
        return _with(shop, station, replace(here, axes=_without(here.axes, number, "stop")))

    return change


def with_glue() -> Change:
    """A change: one more glue, its minutes to be written in."""

    def change(shop: Shop) -> Shop:
        glue = Glue(_free("glue", [glue.name for glue in shop.glues]), 5, 60)
        return replace(shop, glues=(*shop.glues, glue))

    return change


def without_glue(number: int) -> Change:
    """A change: a glue taken out."""

    def change(shop: Shop) -> Shop:
        return replace(shop, glues=_without(shop.glues, number, "glue"))

    return change


def with_clamps() -> Change:
    """A change: clamps of one more kind, how far they open and how many to be written in."""

    def change(shop: Shop) -> Shop:
        return replace(shop, clamps=(*shop.clamps, Clamps(600 * MM, 4)))

    return change


def without_clamps(number: int) -> Change:
    """A change: clamps of a kind taken out."""

    def change(shop: Shop) -> Shop:
        return replace(shop, clamps=_without(shop.clamps, number, "kind of clamps"))

    return change


def with_machine() -> Change:
    """A change: one more machine, of the first two stations that are in none."""

    def change(shop: Shop) -> Shop:
        free = [station.name for station in shop.stations if shop.machine_of(station.name) is None]
        if len(free) < 2:
            raise StopwrightError("fewer than two stations are left", next_step="add the stations first")
        name = _free("machine", [machine.name for machine in shop.machines])
        return replace(shop, machines=(*shop.machines, Machine(name, tuple(free[:2]), 5)))

    return change


def without_machine(number: int) -> Change:
    """A change: a machine taken out; its stations are machines of their own then."""

    def change(shop: Shop) -> Shop:
        return replace(shop, machines=_without(shop.machines, number, "machine"))

    return change


def with_changeover(machine: int) -> Change:
    """A change: what it takes from the first to the second station of a machine."""

    def change(shop: Shop) -> Shop:
        here = _there(shop.machines, machine, "machine")
        named = Changeover(here.stations[0], here.stations[1], here.minutes)
        return _with_machine(shop, machine, replace(here, changes=(*here.changes, named)))

    return change


def without_changeover(machine: int, number: int) -> Change:
    """A change: a changeover of a machine taken out."""

    def change(shop: Shop) -> Shop:
        here = _there(shop.machines, machine, "machine")
        return _with_machine(shop, machine, replace(here, changes=_without(here.changes, number, "changeover")))

    return change


def with_share(machine: int) -> Change:
    """A change: one physical stop that all stations of a machine read."""

    def change(shop: Shop) -> Shop:
        here = _there(shop.machines, machine, "machine")
        return _with_machine(shop, machine, replace(here, shares=(*here.shares, Share("flip stops", here.stations))))

    return change


def without_share(machine: int, number: int) -> Change:
    """A change: a shared stop of a machine taken out."""

    def change(shop: Shop) -> Shop:
        here = _there(shop.machines, machine, "machine")
        return _with_machine(shop, machine, replace(here, shares=_without(here.shares, number, "shared stop")))

    return change


def bring_shop(store: Store, data: bytes, name: str, device: str, now: Clock = utc_now) -> int:
    """Takes a shop file in place of the shop; returns the version from before. Raises BadInput with every fault."""
    shop, before = read_apart(shop_in, data, name, file=name), shop_state(store).version
    save_shop(store, shop_to_document(shop), before, device, now)
    return before


def shop_file(store: Store, default: Shop) -> str:
    """The text of a shop file that holds the shop as it stands now."""
    return shop_to_toml(current_shop(store, default))


def _by_field(faults: Sequence[Fault]) -> dict[str, str]:
    said: dict[str, str] = {}
    for fault in faults:
        said.setdefault(field_of(fault), f"{fault.what}; {fault.next_step}")
    return said


def _with(shop: Shop, number: int, station: Station) -> Shop:
    stations = [station if place == number else one for place, one in enumerate(shop.stations)]
    return replace(shop, stations=tuple(stations))


def _with_machine(shop: Shop, number: int, machine: Machine) -> Shop:
    machines = [machine if place == number else one for place, one in enumerate(shop.machines)]
    return replace(shop, machines=tuple(machines))


def _there(things: Sequence[Any], number: int, what: str) -> Any:
    if not 0 <= number < len(things):
        raise NotFound(f"this {what} no longer exists", "the shop", "reload the page")
    return things[number]


def _without(things: tuple[Any, ...], number: int, what: str) -> tuple[Any, ...]:
    _there(things, number, what)
    return things[:number] + things[number + 1 :]


def _one_of(known: Iterable[str], value: str) -> str:
    if value not in known:
        raise StopwrightError(f"'{value[:40]}' is not one of the choices", next_step=f"choose from {', '.join(known)}")
    return value


def _free(name: str, taken: Sequence[str]) -> str:
    """The name itself, or with the first number that makes it new."""
    numbered = (f"{name} {number}" for number in range(2, len(taken) + 3))
    return next(one for one in (name, *numbered) if one not in taken)
