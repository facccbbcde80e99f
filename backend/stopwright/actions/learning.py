"""Minutes that a shop really takes: for one setting and for one piece, from the times of its taps."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from statistics import median
from typing import Any

from stopwright.actions.keeping import Clock
from stopwright.errors import NotFound
from stopwright.model.stations import Shop, Station
from stopwright.store.events import Event, moment, new_id, utc_now, written
from stopwright.store.log import Store
from stopwright.store.run_fold import standing

FEWEST = 5
"""Times that must have been taken before they say anything."""
LONGEST = timedelta(hours=1)
"""A change from one run to the next that took longer was something else: lunch, a visitor, the night."""
LONGEST_RUN = timedelta(hours=8)
_KINDS = ("stop set", "piece measured", "piece cut", "run done", "undo")


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
        """True when it is at least 3 seconds and a tenth away from what the shop reckons with."""
        return abs(self.seconds - self.in_force) >= max(3, self.in_force / 10)


def learned_minutes(store: Store, shop: Shop) -> list[Learned]:
    """What taps taught about every station of the shop, axes first; only what was seen five times or more."""
    taps = standing(store.events(kinds=_KINDS))
    setting, working = _setting_seconds(taps, shop), _piece_seconds(taps)
    found = []
    for station in shop.stations:
        taken = [(axis.name, setting[station.name, axis.name], axis.minutes * 60) for axis in station.axes]
        taken.append(("", working[station.name], station.minutes_per_piece * 60))
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


def _setting_seconds(taps: Iterable[Event], shop: Shop) -> dict[tuple[str, str], list[float]]:
    """Seconds from a run done to the next run's stops set, on one device, shared among the stops that moved."""
    stations = {station.name: station for station in shop.stations}
    before: dict[str, Event] = {}
    stands: dict[tuple[str, str], list[Any]] = defaultdict(list)
    found: dict[tuple[str, str], list[float]] = defaultdict(list)
    for tap in taps:
        last = before.get(tap.device)
        before[tap.device] = tap
        station = stations.get(tap.body.get("station", ""))
        if tap.kind != "stop set" or station is None:
            continue
        moved = _moved(tap.body["stops"], station, stands)
        if last is None or last.kind != "run done" or not moved:
            continue
        passed = moment(tap.at) - moment(last.at)
        if timedelta(0) <= passed <= LONGEST:
            each = max(0.0, passed.total_seconds() - station.minutes_between * 60) / len(moved)
            for axis in moved:
                found[station.name, axis].append(each)
    return found


def _moved(stops: Iterable[Sequence[Any]], station: Station, stands: dict[tuple[str, str], list[Any]]) -> list[str]:
    """The axes that a run had to move, by what stood there; an axis keeps as many positions as it holds."""
    moved = []
    for name, target in stops:
        axis = next((one for one in station.axes if one.name == name), None)
        if axis and target not in stands[station.name, name]:
            moved.append(name)
            stands[station.name, name] = [*stands[station.name, name], target][-axis.holds :]
    return moved


def _piece_seconds(taps: Iterable[Event]) -> dict[str, list[float]]:
    """Seconds a piece in each run that was done: from its stops set, or its trial piece measured, to its last piece."""
    begun: dict[tuple[str, str], Event] = {}
    last: dict[tuple[str, str], Event] = {}
    cut: dict[tuple[str, str], int] = defaultdict(int)
    found: dict[str, list[float]] = defaultdict(list)
    for tap in taps:
        run = (tap.job, tap.body["run"])
        if tap.kind in ("stop set", "piece measured") and not cut[run]:
            begun[run] = tap
        elif tap.kind == "piece cut":
            cut[run] += tap.body["count"]
            last[run] = tap
        elif tap.kind == "run done" and run in begun and run in last:
            first = begun.pop(run)
            passed = moment(last.pop(run).at) - moment(first.at)
            if timedelta(0) <= passed <= LONGEST_RUN:
                found[first.body["station"]].append(passed.total_seconds() / cut[run])
    return found
