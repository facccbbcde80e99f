"""How the machines of the shop stand by the taps of all jobs, worked out as the taps come."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from stopwright.lengths import Nm
from stopwright.store.events import Event
from stopwright.store.machine_fold import StopName

FLOOR_KINDS = ("stop set", "machine made ready", "machine used")

Place: TypeAlias = tuple[str, Nm | str]
"""A stop and where it was set."""

_Told: TypeAlias = tuple[str, int]
"""A station, and the how manieth tap told of it."""


@dataclass(frozen=True, slots=True)
class FloorTold:
    """Where each stop was set last and not moved or lost since; what told last of stations and of machines.

    `of_run` the stops of the run that was set last at each station; `set_at` which tap told of it, `ready` for which
    station a machine was made ready and which tap told so.
    """

    stops: Mapping[StopName, Nm | str]
    of_run: Mapping[str, tuple[Place, ...]]
    set_at: Mapping[str, int]
    ready: Mapping[str, _Told]


class FloorSoFar:
    """Taps as they come, in the order in which they count."""

    def __init__(self, kept: Any = None) -> None:
        """Nothing told yet, or what `kept` told."""
        held = kept or {"taps": 0, "stops": [], "of_run": [], "set_at": [], "ready": []}
        self._taps: int = held["taps"]
        self._stops: dict[StopName, Nm | str] = {(station, axis): place for station, axis, place in held["stops"]}
        self._of_run: dict[str, tuple[Place, ...]] = {
            station: tuple((axis, place) for axis, place in stops) for station, stops in held["of_run"]
        }
        self._set_at: dict[str, int] = dict(held["set_at"])
        self._ready: dict[str, _Told] = {machine: (station, tap) for machine, station, tap in held["ready"]}

    def add(self, taps: Iterable[Event]) -> None:
        """Takes in taps that hold and count after all others."""
        for tap in taps:
            self._taps += 1
            body = tap.body
            if tap.kind == "stop set":
                self._set_at[body["station"]] = self._taps
                self._of_run[body["station"]] = tuple((axis, place) for axis, place in body["stops"])
                for axis, place in body["stops"]:
                    self._stops[body["station"], axis] = place
                continue
            for station, axis in body["lost"] if tap.kind == "machine made ready" else body["moved"]:
                self._stops.pop((station, axis), None)
            if "machine" in body:
                self._ready[body["machine"]] = body.get("to", body.get("ready", "")), self._taps

    def now(self) -> FloorTold:
        """What was told."""
        return FloorTold(dict(self._stops), dict(self._of_run), dict(self._set_at), dict(self._ready))

    def kept(self) -> Any:
        """All of it as JSON holds it."""
        return {
            "taps": self._taps,
            "stops": [[*name, place] for name, place in self._stops.items()],
            "of_run": list(self._of_run.items()),
            "set_at": list(self._set_at.items()),
            "ready": [[machine, *told] for machine, told in self._ready.items()],
        }
