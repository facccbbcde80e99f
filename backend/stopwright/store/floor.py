"""How the machines of the shop stand by the taps of all jobs, worked out as the taps come."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from stopwright.lengths import Nm
from stopwright.store.events import Event
from stopwright.store.machine_fold import StopName

FLOOR_KINDS = ("stop set", "machine made ready", "machine used")

_Told: TypeAlias = tuple[str, int]
"""A station, and the how manieth tap told of it."""


@dataclass(frozen=True, slots=True)
class FloorTold:
    """Where each stop was set last and not moved or lost since; what told last of stations and of machines.

    `set_at` which tap told last that stops of a station are set, `ready` for which station a machine was made ready
    and which tap told so.
    """

    stops: Mapping[StopName, Nm | str]
    set_at: Mapping[str, int]
    ready: Mapping[str, _Told]


class FloorSoFar:
    """Taps as they come, in the order in which they count."""

    def __init__(self, kept: Any = None) -> None:
        """Nothing told yet, or what `kept` told."""
        held = kept or {"taps": 0, "stops": [], "set_at": [], "ready": []}
        self._taps: int = held["taps"]
        self._stops: dict[StopName, Nm | str] = {(station, axis): place for station, axis, place in held["stops"]}
        self._set_at: dict[str, int] = dict(held["set_at"])
        self._ready: dict[str, _Told] = {machine: (station, tap) for machine, station, tap in held["ready"]}

    def add(self, taps: Iterable[Event]) -> None:
        """Takes in taps that hold and count after all others."""
        for tap in taps:
            self._taps += 1
            body = tap.body
            if tap.kind == "stop set":
                self._set_at[body["station"]] = self._taps
                for axis, place in body["stops"]:
                    self._stops[body["station"], axis] = place
                continue
            for station, axis in body["lost"] if tap.kind == "machine made ready" else body["moved"]:
                self._stops.pop((station, axis), None)
            if "machine" in body:
                self._ready[body["machine"]] = body.get("to", body.get("ready", "")), self._taps

    def now(self) -> FloorTold:
        """What was told."""
        return FloorTold(dict(self._stops), dict(self._set_at), dict(self._ready))

    def kept(self) -> Any:
        """All of it as JSON holds it."""
        return {
            "taps": self._taps,
            "stops": [[*name, place] for name, place in self._stops.items()],
            "set_at": list(self._set_at.items()),
            "ready": [[machine, *told] for machine, told in self._ready.items()],
        }
