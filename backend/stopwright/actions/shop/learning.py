"""Minutes that a shop really takes: for a setting, a piece, a changeover, from the times of its taps."""

from dataclasses import dataclass
from functools import partial
from statistics import median

from stopwright.errors import Inconsistent, NotFound, StopwrightError
from stopwright.model.stations import Shop
from stopwright.store.events import Clock, Event, new_id, utc_now, written
from stopwright.store.log import Store
from stopwright.store.pace import PACE_KINDS, Pace, PaceSoFar, pace_key

FEWEST = 5
"""Times that must have been taken before they say anything."""
FEWEST_CHANGES = 3
"""A machine is changed over seldom: so many times are enough."""


@dataclass(frozen=True, slots=True)
class Learned:
    """The median of `times` observations in seconds, for one setting of an axis, or (`axis` "") for one piece.

    `in_force` is what the shop reckons with, in seconds; `offered` says whether the difference is worth taking.
    """

    station: str
    axis: str
    seconds: int
    in_force: float
    times: int

    @property
    def offered(self) -> bool:
        """Whether the difference is worth taking."""
        return _is_worth_taking(self.seconds, self.in_force)


@dataclass(frozen=True, slots=True)
class LearnedChange:
    """The median of so many `times` that a machine was made ready for one station after another, in seconds.

    `in_force` is what the shop reckons with, `offered` as for other minutes.
    """

    machine: str
    from_: str
    to: str
    seconds: int
    in_force: float
    times: int

    @property
    def offered(self) -> bool:
        """Whether the difference is worth taking."""
        return _is_worth_taking(self.seconds, self.in_force)


def _is_worth_taking(seconds: int, in_force: float) -> bool:
    """True when it is at least 3 seconds and a tenth away from what the shop reckons with."""
    return abs(seconds - in_force) >= max(3, in_force / 10)


def _pace(store: Store, shop: Shop) -> Pace:
    return store.settled("pace", PACE_KINDS, partial(PaceSoFar, shop), pace_key(shop))


def learned_changeovers(store: Store, shop: Shop) -> list[LearnedChange]:
    """What taps taught about the changeovers of the shop's machines; only what was seen three times or more."""
    seen = _pace(store, shop).change
    return [
        LearnedChange(machine.name, from_, to, round(median(seconds)), machine.between[from_, to] * 60, len(seconds))
        for machine in shop.machines
        for (name, from_, to), seconds in sorted(seen.items())
        if name == machine.name and (from_, to) in machine.between and len(seconds) >= FEWEST_CHANGES
    ]


def accept_changeover_minutes(
    store: Store, shop: Shop, machine: str, from_: str, to: str, seconds: int, device: str, now: Clock = utc_now
) -> None:
    """Has the shop reckon with so many seconds for a changeover.

    Raises NotFound, and StopwrightError where the way over a third station would then take less.
    """
    one = next((one for one in shop.machines if one.name == machine), None)
    if one is None or (from_, to) not in one.between:
        raise NotFound(f"the shop has no change from {from_!r} to {to!r} there", "the shop", "reload the page")
    try:
        one.taking(from_, to, seconds / 60)
    except Inconsistent as error:
        problem = error.problems[0]
        raise StopwrightError(problem.what, f"machine {machine}", problem.next_step) from error
    body = {"machine": machine, "from": from_, "to": to, "seconds": seconds}
    store.append([Event(new_id(), "", "changeover minutes accepted", written(now()), device, body)])


def learned_minutes(store: Store, shop: Shop) -> list[Learned]:
    """What taps taught about every station of the shop, axes first; only what was seen five times or more."""
    pace = _pace(store, shop)
    found = []
    for station in shop.stations:
        taken = [
            (axis.name, pace.setting.get((station.name, axis.name), ()), axis.minutes * 60) for axis in station.axes
        ]
        taken.append(("", pace.piece.get(station.name, ()), station.minutes_per_piece * 60))
        found += [
            Learned(station.name, axis, round(median(seconds)), in_force, len(seconds))
            for axis, seconds, in_force in taken
            if len(seconds) >= FEWEST
        ]
    return found


def accept_minutes(
    store: Store, shop: Shop, station: str, axis: str, seconds: int, device: str, now: Clock = utc_now, id_: str = ""
) -> None:
    """Has the shop reckon with so many seconds for one setting of the axis, or ("") for one piece. Raises NotFound."""
    one = next((one for one in shop.stations if one.name == station), None)
    if one is None or (axis and all(axis != other.name for other in one.axes)):
        raise NotFound(f"the shop has no {axis or station!r} there", "the shop", "choose from those that it has")
    body = {"station": station, "axis": axis, "seconds": seconds}
    store.append([Event(id_ or new_id(), "", "minutes accepted", written(now()), device, body)])
