"""How the runs of a job stand, as plain data for the pages that follow it; every length as texts."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from stopwright.actions.working import ADVICE
from stopwright.store.events import Event
from stopwright.store.run_fold import Measured, RunState, fold_runs, standing
from stopwright.web.shown import length_texts, small_texts

TAPS_KEPT = 12
"""How many of a run's last taps a page knows, to take them back."""


@dataclass(frozen=True, slots=True)
class Standing:
    """The runs of a job by key as plain data, after event `seq` of that job."""

    seq: int
    runs: dict[str, dict[str, Any]]


def fold_standing(events: Sequence[Event]) -> Standing:
    """How the runs stand after these events of one job."""
    taps: dict[str, list[dict[str, Any]]] = {}
    for event in standing(events):
        run = event.body.get("run")
        if isinstance(run, str):
            taps.setdefault(run, []).append(_tap(event))
    runs = {key: _run(state, taps.get(key, [])[-TAPS_KEPT:]) for key, state in fold_runs(events).items()}
    return Standing(max((event.seq for event in events), default=0), runs)


def slot_of(mark: str, mirrored: bool) -> str:
    """What names a line of pieces in scripts: the mark, with a ~ for its mirrored half.

    >>> slot_of("A", True)
    'A~'
    """
    return f"{mark}~" if mirrored else mark


def _tap(event: Event) -> dict[str, Any]:
    body = event.body
    tap: dict[str, Any] = {"id": event.id, "kind": event.kind}
    if "mark" in body:
        tap |= {"slot": slot_of(body["mark"], body.get("mirrored", False)), "count": body.get("count", 1)}
    if event.kind == "piece spoiled":
        tap["counted"] = body.get("counted", True)
    return tap


def _run(state: RunState, taps: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "set": state.is_set,
        "done": state.done,
        "proved": state.proved,
        "cut": {slot_of(*piece): count for piece, count in state.cut.items() if count},
        "spoiled": {slot_of(*piece): count for piece, count in state.spoiled.items() if count},
        "taps": taps,
        "trials": [_trial(state, one) for one in {one.axis: one for one in state.measured}.values()],
        "readings": {axis: {"nm": nm, "texts": length_texts(nm)} for axis, nm in state.readings.items()},
    }


def _trial(state: RunState, trial: Measured) -> dict[str, Any]:
    times = state.times_outside(trial.axis)
    return {
        "axis": trial.axis,
        "within": trial.within,
        "judged": trial.tolerance is not None,
        "measured": length_texts(trial.measured),
        "off": small_texts(abs(trial.off)),
        "over": (trial.off > 0) - (trial.off < 0),
        "corrected": length_texts(trial.corrected),
        "advice": ADVICE if times >= 2 else "",
    }
