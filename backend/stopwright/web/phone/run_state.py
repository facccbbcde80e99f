"""How the runs of a job stand, as plain data for the pages that follow it; every length as texts."""

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from stopwright.actions.floor.working import ADVICE
from stopwright.lengths import MM, Nm, nearest
from stopwright.store.events import Event
from stopwright.store.machine_fold import Machines, MachinesSoFar
from stopwright.store.run_fold import ByRun, Measured, PieceKey, RunState, run_state
from stopwright.store.together_fold import IDS_TOLD
from stopwright.web.kit.shown import SHOWN, length_texts, small_texts

NOTHING: Mapping[PieceKey, int] = MappingProxyType({})
TAPS_KEPT = 12
"""How many of a run's last taps a page knows, to take them back."""


@dataclass(frozen=True, slots=True)
class Standing:
    """The runs of a job by key as plain data, after event `seq` of that job; `recent` its last events as (seq, id).

    `machines` is how the machines stand beside what the sheet says.
    """

    seq: int
    runs: dict[str, dict[str, Any]]
    recent: tuple[tuple[int, str], ...]
    machines: dict[str, Any]


class StandingSoFar:
    """How the runs stand; what changes with a tap is worked out again, nothing else."""

    def __init__(self) -> None:
        self._runs = ByRun(_run)
        self._machines = MachinesSoFar()
        self._recent: deque[tuple[int, str]] = deque(maxlen=IDS_TOLD)

    def add(self, events: Sequence[Event]) -> None:
        """Takes in what came to the log, in its order."""
        self._runs.add(events)
        self._machines.add(events)
        self._recent.extend((event.seq, event.id) for event in events[-IDS_TOLD:])

    def now(self) -> Standing:
        """How they stand now."""
        seq = self._recent[-1][0] if self._recent else 0
        return Standing(seq, self._runs.now(), tuple(self._recent), machines_json(self._machines.now()))


def machines_json(machines: Machines) -> dict[str, Any]:
    """How machines stand as the scripts have it: a stop is named by its station and its name on two lines."""
    return {
        "moved": {
            f"{station}\n{axis}": {"since": [list(one) for one in moved.since], "made": sorted(moved.made)}
            for (station, axis), moved in machines.moved.items()
        },
        "ready": dict(machines.ready),
        "unproved": {run: sorted(axes) for run, axes in machines.unproved.items()},
    }


def slot_of(mark: str, mirrored: bool) -> str:
    """What names a line of pieces in scripts: the mark, with a ~ for its mirrored half.

    >>> slot_of("A", True)
    'A~'
    """
    return f"{mark}~" if mirrored else mark


def _tap(event: Event) -> dict[str, Any]:
    body = event.body
    tap: dict[str, Any] = {"id": event.id, "kind": event.kind, "device": event.device}
    if "mark" in body:
        tap |= {"slot": slot_of(body["mark"], body.get("mirrored", False)), "count": body.get("count", 1)}
    if event.kind == "stop made":
        tap["axis"] = body["axis"]
    if event.kind == "piece spoiled":
        tap["counted"] = body.get("counted", True)
    return tap


def _run(taps: list[Event]) -> dict[str, Any]:
    return plain_run(run_state(taps), taps)


def plain_run(state: RunState, taps: Sequence[Event], before: Mapping[PieceKey, int] = NOTHING) -> dict[str, Any]:
    """A run as plain data; `before` counts what was cut by a job of several before its stops were set for all."""
    steps = {one.axis: one.step for one in state.measured if one.corrected == state.readings[one.axis]}
    return {
        "set": state.is_set,
        "made": list(state.made),
        "done": state.done,
        "proved": state.proved,
        "cut": {slot_of(*piece): count for piece, count in state.cut.items() if count},
        "spoiled": {slot_of(*piece): count for piece, count in state.spoiled.items() if count},
        "taps": [_tap(tap) for tap in taps[-TAPS_KEPT:]],
        "trials": [_trial(state, one) for one in {one.axis: one for one in state.measured}.values()],
        "notes": [
            {"id": one.event, "text": one.text, "picture": one.is_picture, "device": one.device} for one in state.notes
        ],
        "readings": {axis: _reading(nm, steps.get(axis)) for axis, nm in state.readings.items()},
    } | ({"before": {slot_of(*piece): count for piece, count in before.items()}} if before else {})


def _reading(nm: Nm, step: Nm | None) -> dict[str, Any]:
    """A reading; where the scale has no such mark also the nearest `mark`, and what is `beside` it in words.

    In the unit that the scale is not marked in the reading is given as it is.
    """
    texts = length_texts(nm)
    reading: dict[str, Any] = {"nm": nm, "texts": texts}
    mark = nearest(nm, step) if step else nm
    if mark == nm or step is None:
        return reading
    unit = "mm" if step % (MM // 100) == 0 else "in"
    side = "more" if nm > mark else "less"
    rows = [
        (marked, f"{off} {side}") if show.unit == unit and off != "0" else (plain, "")
        for show, plain, marked, off in zip(SHOWN, texts, length_texts(mark), small_texts(abs(nm - mark)), strict=True)
    ]
    return reading | {"mark": [marked for marked, _ in rows], "beside": [words for _, words in rows]}


def _trial(state: RunState, trial: Measured) -> dict[str, Any]:
    times = state.times_outside(trial.axis)
    return {
        "axis": trial.axis,
        "within": trial.within,
        "judged": trial.tolerance is not None,
        "measured": length_texts(trial.by_the_person),
        "off": small_texts(abs(trial.off)),
        "over": (trial.off > 0) - (trial.off < 0),
        "corrected": length_texts(trial.corrected),
        "to": _reading(trial.corrected, trial.step),
        "advice": ADVICE if times >= 2 else "",
    }
