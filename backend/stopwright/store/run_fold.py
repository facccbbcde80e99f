"""How the runs of a job stand, worked out from its events; in whatever order they are handed over, the same."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, TypeAlias, TypeVar

from stopwright.lengths import Nm
from stopwright.store.events import Event, in_order
from stopwright.store.kinds import KINDS

T = TypeVar("T")

PieceKey: TypeAlias = tuple[str, bool]
"""A part's mark, or the name of a lot that is not pieces yet, and whether the mirrored half is meant."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A trial piece: where the stop was read, what the piece was to be and what it was, nm.

    `corrected` is the reading to go on with: as it was when the piece is within tolerance, else the new one.
    `tolerance` None: the phone did not know it, so the piece proves nothing.
    """

    axis: str
    target: Nm
    reading: Nm
    measured: Nm
    tolerance: Nm | None
    outboard: bool
    at: str
    device: str
    event: str
    step: Nm | None = None
    """The finest graduation of the scale, None where the phone did not know it."""
    wanted: Nm | None = None
    """What the person was to measure, where that is not the target itself: a slot, from the end of its piece."""

    @property
    def off(self) -> Nm:
        """Measured minus target."""
        return self.measured - self.target

    @property
    def by_the_person(self) -> Nm:
        """What the person measured."""
        return self.measured if self.wanted is None else self.wanted + self.off

    @property
    def within(self) -> bool:
        """True when the piece is within tolerance."""
        return self.tolerance is not None and abs(self.off) <= self.tolerance

    @property
    def corrected(self) -> Nm:
        """The reading to go on with."""
        return (
            self.reading if self.within else corrected_reading(self.reading, self.target, self.measured, self.outboard)
        )


@dataclass(frozen=True, slots=True)
class Note:
    """What somebody wrote about the set-up of a run, or a picture of it.

    `event` is its own, by which it is taken back; `tap` the one that it is a share of, where several jobs have it.
    """

    event: str
    tap: str
    text: str
    is_picture: bool
    at: str
    device: str


@dataclass(frozen=True, slots=True)
class RunState:
    """How one run stands. Counts are of good pieces; `readings` what each axis is read at now, nm.

    `is_ready`: its machine was made ready for it, and not needed for something else since.
    `made` are the axes whose stops were made one by one, in the order of time, while not all are set.
    `spoiled` counts every piece that went wrong here, `measured` is in the order of time. `station`, `work` and
    `stops` (axis, and nm or a name) are what was told when the stops were set; a run without stops may not tell.
    `notes` are in the order of time.
    """

    is_set: bool = False
    is_ready: bool = False
    made: tuple[str, ...] = ()
    cut: Mapping[PieceKey, int] = field(default_factory=dict)
    spoiled: Mapping[PieceKey, int] = field(default_factory=dict)
    measured: tuple[Measured, ...] = ()
    readings: Mapping[str, Nm] = field(default_factory=dict)
    done: bool = False
    last_at: str = ""
    station: str = ""
    work: str = ""
    stops: tuple[tuple[str, Nm | str], ...] = ()
    notes: tuple[Note, ...] = ()

    @property
    def proved(self) -> bool:
        """True when a trial piece was measured and the last one at every axis measured was within tolerance."""
        last = {one.axis: one for one in self.measured}
        return bool(last) and all(one.within for one in last.values())

    def times_outside(self, axis: str) -> int:
        """How many of the last trial pieces in a row were outside the tolerance."""
        times = 0
        for one in reversed([one for one in self.measured if one.axis == axis]):
            if one.within:
                break
            times += 1
        return times


def corrected_reading(reading: Nm, target: Nm, measured: Nm, outboard: bool = False) -> Nm:
    """The reading that would have given the target, in nm; an outboard stop moves the other way.

    >>> corrected_reading(450_000_000, 450_000_000, 450_600_000)
    449400000
    >>> corrected_reading(450_000_000, 450_000_000, 450_600_000, outboard=True)
    450600000
    """
    return reading + (measured - target if outboard else target - measured)


def standing(events: Iterable[Event], kinds: Collection[str] = KINDS) -> list[Event]:
    """The events of these kinds that hold, in the order in which they count: repeats and what was undone are left out.

    Undoing removes a tap of the same job, whichever arrives first; an undo itself is not undone, and neither is
    what was not tapped.

    >>> tap = Event("tap-0001", "1", "run done", "2026-03-01T07:00:00.000Z", "", {"run": "saw"})
    >>> undo = Event("undo-001", "1", "undo", "2026-03-01T06:00:00.000Z", "", {"event": "tap-0001"})
    >>> standing([undo, tap, tap]), len(standing([tap, tap]))
    ([], 1)
    """
    once = {event.id: event for event in events if event.kind in kinds or event.kind == "undo"}
    undone = {(event.job, event.body["event"]) for event in once.values() if event.kind == "undo"}
    hold = [event for event in once.values() if event.kind in KINDS and event.kind != "undo"]
    if undone:
        hold = [event for event in hold if (event.job, event.id) not in undone or not KINDS[event.kind].tapped]
    return sorted(hold, key=in_order)


class ByRun(Generic[T]):
    """What `of_run` makes of each run's taps, kept up to date: only runs that news touches are worked out again.

    `of_run` gets the taps of one run that hold, in the order in which they count, never none at all.
    """

    def __init__(self, of_run: Callable[[list[Event]], T]) -> None:
        self._of_run = of_run
        self._taps: dict[str, dict[str, Event]] = defaultdict(dict)
        self._run_of: dict[tuple[str, str], str] = {}
        self._undone: set[tuple[str, str]] = set()
        self._found: dict[str, T] = {}
        self._stale: set[str] = set()

    def add(self, events: Iterable[Event]) -> None:
        """Takes in more events, in any order, known ones too."""
        for event in events:
            if event.kind == "undo":
                undone = (event.job, event.body["event"])
                self._undone.add(undone)
                if undone in self._run_of:
                    self._stale.add(self._run_of[undone])
            elif event.kind in _OF_A_RUN and "run" in event.body:
                run = event.body["run"]
                self._taps[run][event.id] = event
                self._run_of[event.job, event.id] = run
                self._stale.add(run)

    def now(self) -> dict[str, T]:
        """By the run's key; runs without any tap that holds are left out."""
        if self._stale:
            self._found = dict(self._found)
            for run in self._stale:
                taps = [tap for tap in self._taps[run].values() if (tap.job, tap.id) not in self._undone]
                self._found.pop(run, None)
                if taps:
                    self._found[run] = self._of_run(sorted(taps, key=in_order))
            self._stale.clear()
        return self._found


def fold_runs(events: Iterable[Event]) -> dict[str, RunState]:
    """How each run of a job stands, by the run's key; runs without any event are left out."""
    runs = runs_so_far()
    runs.add(events)
    return runs.now()


def runs_so_far() -> ByRun[RunState]:
    """As `fold_runs`, to be kept and fed with news."""
    return ByRun(run_state)


_OF_A_RUN = frozenset(
    {
        "stop made",
        "stop set",
        "piece cut",
        "piece spoiled",
        "piece measured",
        "reading noted",
        "run noted",
        "run pictured",
        "run done",
        "run reopened",
        "machine made ready",
        "machine used",
    }
)


def run_state(taps: list[Event]) -> RunState:
    """How one run stands after its taps that hold, in the order in which they count, at least one."""
    cut: dict[PieceKey, int] = defaultdict(int)
    spoiled: dict[PieceKey, int] = defaultdict(int)
    readings: dict[str, Nm] = {}
    measured = []
    notes = []
    made: dict[str, None] = {}
    is_set = is_ready = done = False
    about: Mapping[str, Any] = {}
    for tap in taps:
        if tap.kind == "stop set":
            is_set, about = True, tap.body
        elif tap.kind == "stop made":
            made[tap.body["axis"]] = None
        elif tap.kind == "piece cut":
            cut[_piece(tap)] += tap.body["count"]
        elif tap.kind == "piece spoiled":
            spoiled[_piece(tap)] += tap.body["count"]
            if tap.body.get("counted", True):
                cut[_piece(tap)] = min(cut[_piece(tap)], tap.body.get("need", cut[_piece(tap)]))
                cut[_piece(tap)] -= tap.body["count"]
        elif tap.kind == "piece measured":
            measured.append(measured_of(tap))
            readings[tap.body["axis"]] = measured[-1].corrected
        elif tap.kind in ("run noted", "run pictured"):
            text = tap.body.get("text", "")
            notes.append(
                Note(tap.id, tap.body.get("tap", tap.id), text, tap.kind == "run pictured", tap.at, tap.device)
            )
        elif tap.kind == "reading noted":
            readings[tap.body["axis"]] = tap.body["reading_nm"]
        elif tap.kind in ("machine made ready", "machine used"):
            is_ready = tap.kind == "machine made ready"
        elif tap.kind in ("run done", "run reopened"):
            done = tap.kind == "run done"
    good = {piece: max(0, count) for piece, count in cut.items()}
    return RunState(
        is_set,
        is_ready,
        tuple(made),
        good,
        dict(spoiled),
        tuple(measured),
        readings,
        done,
        taps[-1].at,
        about["station"] if about else "",
        about["work"] if about else "",
        tuple((axis, position) for axis, position in about["stops"]) if about else (),
        tuple(notes),
    )


def _piece(tap: Event) -> PieceKey:
    return (tap.body["mark"], tap.body.get("mirrored", False))


def measured_of(tap: Event) -> Measured:
    """The trial piece that a "piece measured" tells of."""
    body = tap.body
    return Measured(
        body["axis"],
        body["target_nm"],
        body["reading_nm"],
        body["measured_nm"],
        body.get("tolerance_nm"),
        body.get("outboard", False),
        tap.at,
        tap.device,
        tap.id,
        body.get("step_nm"),
        body.get("wanted_nm"),
    )
