"""Seconds that settings, pieces and changeovers really took, from the times of taps, worked out as the taps come."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any, TypeAlias

from stopwright.model.stations import Shop, Station
from stopwright.store.events import Event, moment
from stopwright.store.together_fold import shared_once

LONGEST = timedelta(hours=1)
"""A change from one run to the next that took longer was something else: lunch, a visitor, the night."""
LONGEST_RUN = timedelta(hours=8)
PACE_KINDS = ("stop set", "piece measured", "piece cut", "run done", "machine made ready", "machine used")

_Run: TypeAlias = tuple[str, str]
_Axis: TypeAlias = tuple[str, str]
_Change: TypeAlias = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Pace:
    """Seconds of every setting seen, by station and axis, of every piece, by station, and of every changeover, by
    machine and the stations it was changed from and to.
    """

    setting: Mapping[_Axis, Sequence[float]]
    piece: Mapping[str, Sequence[float]]
    change: Mapping[_Change, Sequence[float]]


class PaceSoFar:
    """Taps as they come, in the order in which they count.

    A setting took from a run done, or the machine made ready, to the next run's stops set, on one device, less the
    shop's minutes between runs, shared among the stops that moved; a changeover from a run done to the machine made
    ready. A piece took its share of the time from the run's stops set, or its trial piece
    measured, to its last piece. What several jobs worked together is one run of all their pieces.
    """

    def __init__(self, shop: Shop, kept: Any = None) -> None:
        """Nothing seen yet, or what `kept` told."""
        held = kept or {"before": [], "stands": [], "setting": [], "runs": [], "cut": [], "piece": [], "change": []}
        self._stations = {station.name: station for station in shop.stations}
        self._before: dict[str, tuple[str, str]] = {device: (kind, at) for device, kind, at in held["before"]}
        self._stands: dict[_Axis, list[Any]] = defaultdict(list)
        self._stands |= {(station, axis): list(stops) for station, axis, stops in held["stands"]}
        self._setting: dict[_Axis, list[float]] = defaultdict(list)
        self._setting |= {(station, axis): list(seconds) for station, axis, seconds in held["setting"]}
        self._begun: dict[_Run, tuple[str, str]] = {}
        self._last: dict[_Run, str] = {}
        for job, run, station, begun, last in held["runs"]:
            if begun:
                self._begun[job, run] = station, begun
            if last:
                self._last[job, run] = last
        self._cut: dict[_Run, int] = defaultdict(int)
        self._cut |= {(job, run): count for job, run, count in held["cut"]}
        self._piece: dict[str, list[float]] = defaultdict(list)
        self._piece |= {station: list(seconds) for station, seconds in held["piece"]}
        self._change: dict[_Change, list[float]] = defaultdict(list)
        self._change |= {(machine, from_, to): list(seconds) for machine, from_, to, seconds in held["change"]}

    def add(self, taps: Iterable[Event]) -> None:
        """Takes in taps that hold and count after all others."""
        for tap in shared_once(taps):
            self._take_setting(tap)
            if tap.kind == "machine used":
                self._begun.clear()  # what was in hand then was left alone for a while
            elif tap.kind != "machine made ready":
                self._take_piece(tap)

    def now(self) -> Pace:
        """What was seen."""
        return Pace(dict(self._setting), dict(self._piece), dict(self._change))

    def kept(self) -> Any:
        """All of it as JSON holds it."""
        runs = {**self._begun, **self._last}
        return {
            "before": [[device, *last] for device, last in self._before.items()],
            "stands": [[*axis, stops] for axis, stops in self._stands.items()],
            "setting": [[*axis, seconds] for axis, seconds in self._setting.items()],
            "runs": [[*run, *self._begun.get(run, ("", "")), self._last.get(run, "")] for run in runs],
            "cut": [[*run, count] for run, count in self._cut.items()],
            "piece": list(self._piece.items()),
            "change": [[*change, seconds] for change, seconds in self._change.items()],
        }

    def _take_setting(self, tap: Event) -> None:
        last = self._before.get(tap.device)
        self._before[tap.device] = tap.kind, tap.at
        for name, axis in tap.body.get("lost", tap.body.get("moved", ())):
            self._stands.pop((name, axis), None)
        if tap.kind == "machine made ready" and last is not None and last[0] == "run done":
            passed = moment(tap.at) - moment(last[1])
            if timedelta(0) <= passed <= LONGEST:
                self._change[tap.body["machine"], tap.body["from"], tap.body["to"]].append(passed.total_seconds())
        station = self._stations.get(tap.body.get("station", ""))
        if tap.kind != "stop set" or station is None:
            return
        moved = self._moved(tap.body["stops"], station)
        if last is None or last[0] not in ("run done", "machine made ready") or not moved:
            return
        passed = moment(tap.at) - moment(last[1])
        if timedelta(0) <= passed <= LONGEST:
            each = max(0.0, passed.total_seconds() - station.minutes_between * 60) / len(moved)
            for axis in moved:
                self._setting[station.name, axis].append(each)

    def _moved(self, stops: Iterable[Sequence[Any]], station: Station) -> list[str]:
        """The axes that a run had to move, by what stood there; an axis keeps as many positions as it holds."""
        moved = []
        for name, target in stops:
            axis = next((one for one in station.axes if one.name == name), None)
            if axis and target not in self._stands[station.name, name]:
                moved.append(name)
                self._stands[station.name, name] = [*self._stands[station.name, name], target][-axis.holds :]
        return moved

    def _take_piece(self, tap: Event) -> None:
        run = ("" if "tap" in tap.body else tap.job, tap.body["run"])
        if tap.kind in ("stop set", "piece measured") and not self._cut[run]:
            self._begun[run] = tap.body["station"], tap.at
        elif tap.kind == "piece cut":
            self._cut[run] += tap.body["count"]
            self._last[run] = tap.at
        elif tap.kind == "run done" and run in self._begun and run in self._last:
            station, begun = self._begun.pop(run)
            passed = moment(self._last.pop(run)) - moment(begun)
            if timedelta(0) <= passed <= LONGEST_RUN:
                self._piece[station].append(passed.total_seconds() / self._cut[run])


def pace_key(shop: Shop) -> str:
    """What the seconds of settings hang on besides the taps: stations, what lies between runs, what axes hold."""
    return repr(
        [(one.name, one.minutes_between, [(axis.name, axis.holds) for axis in one.axes]) for one in shop.stations]
    )
