"""How the machines of a job stand beside what its sheet says: what was moved or lost, and what they are ready for."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.store.events import Event
from stopwright.store.run_fold import standing

StopName: TypeAlias = tuple[str, str]
"""A station and one of its stops."""

MACHINE_KINDS = frozenset({"machine made ready", "machine used", "stop set", "stop made", "piece measured", "undo"})
"""What tells of it."""


@dataclass(frozen=True, slots=True)
class Moved:
    """A stop that was moved, or lost in a changeover: nothing that it was set to before stands.

    `since` are the runs that were set since then, with where they had it (nm or a name); `made` those at which it was
    made by itself while other stops were not.
    """

    since: tuple[tuple[str, Nm | str], ...] = ()
    made: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Machines:
    """How machines stand. `moved` by station and stop; `ready` for which station each machine was made ready last.

    `unproved` by run the stops that a trial piece had proved before they were moved. `noted` is the last time that a
    machine was needed for something else, with all that was told then.
    """

    moved: Mapping[StopName, Moved] = field(default_factory=dict)
    ready: Mapping[str, str] = field(default_factory=dict)
    unproved: Mapping[str, frozenset[str]] = field(default_factory=dict)
    noted: Event | None = None


def fold_machines(events: Iterable[Event]) -> Machines:
    """How the machines stand by the taps of a job, in whatever order they are handed over, undone ones among them.

    >>> at, body = "2026-03-01T07:00:00.000Z", {"moved": [["saw", "rip fence"]], "stands": []}
    >>> fold_machines([Event("used-0001", "1", "machine used", at, "phone", body)]).moved
    {('saw', 'rip fence'): Moved(since=(), made=frozenset())}
    """
    return machines_after(standing(events, MACHINE_KINDS))


def machines_after(taps: Iterable[Event]) -> Machines:
    """How the machines stand after taps that hold, in the order in which they count."""
    moved: dict[StopName, Moved] = {}
    ready: dict[str, str] = {}
    measured: dict[StopName, set[str]] = {}
    unproved: dict[str, frozenset[str]] = {}
    noted = None
    for event in taps:
        body = event.body
        if event.kind in ("machine made ready", "machine used"):
            for station, axis in body["lost"] if event.kind == "machine made ready" else body["moved"]:
                moved[station, axis] = Moved()
                for run in measured.pop((station, axis), ()):
                    unproved[run] = unproved.get(run, frozenset()) | {axis}
            if event.kind == "machine made ready":
                ready[body["machine"]] = body["to"]
            elif "machine" in body and "ready" in body:
                ready[body["machine"]] = body["ready"]
            noted = event if event.kind == "machine used" else noted
        elif event.kind == "piece measured":
            measured.setdefault((body["station"], body["axis"]), set()).add(body["run"])
            unproved[body["run"]] = unproved.get(body["run"], frozenset()) - {body["axis"]}
        elif event.kind == "stop set":
            for axis, place in body["stops"]:
                before = moved.get((body["station"], axis))
                if before is not None:
                    moved[body["station"], axis] = Moved((*before.since, (body["run"], place)), before.made)
        elif event.kind == "stop made":
            for (station, axis), before in moved.items():
                if axis == body["axis"]:
                    moved[station, axis] = Moved(before.since, before.made | {body["run"]})
    return Machines(moved, ready, {run: axes for run, axes in unproved.items() if axes}, noted)


class MachinesSoFar:
    """As `fold_machines`, fed with news."""

    def __init__(self) -> None:
        self._events: list[Event] = []
        self._stale = False
        self._machines = Machines()

    def add(self, events: Iterable[Event]) -> None:
        """Takes in more events."""
        news = [event for event in events if event.kind in MACHINE_KINDS]
        self._events += news
        self._stale = self._stale or bool(news)

    def now(self) -> Machines:
        """How they stand now. Most jobs never tell of it: then nothing is worked out."""
        if self._stale and any(event.kind.startswith("machine") for event in self._events):
            self._machines = fold_machines(self._events)
        self._stale = False
        return self._machines
