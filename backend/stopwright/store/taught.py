"""What all trial pieces of the shop taught: the last ones at each axis, and the readings that worked."""

from collections.abc import Iterable, Mapping
from dataclasses import astuple, dataclass
from typing import Any, TypeAlias

from stopwright.store.events import Event
from stopwright.store.memory import Mark, Remembered, Trial, remember, trial_of
from stopwright.store.run_fold import Measured
from stopwright.store.together_fold import shared_once

RECALLED = 60
"""Trial pieces with one blade at one axis that can be looked at; older ones are counted."""

Place: TypeAlias = tuple[str, str, str]
"""A station, an axis, a blade."""

TRIAL_KINDS = ("piece measured",)


@dataclass(frozen=True, slots=True)
class Taught:
    """By place how many trial pieces there were and the last of them, oldest first; by mark where to start from."""

    count: Mapping[Place, int]
    last: Mapping[Place, tuple[Trial, ...]]
    readings: Mapping[Mark, Remembered]


class TaughtSoFar:
    """Trial pieces as they come, in the order in which they count."""

    def __init__(self, kept: Any = None) -> None:
        """Empty, or what `kept` told."""
        held = kept or {"places": [], "readings": []}
        self._count: dict[Place, int] = {}
        self._last: dict[Place, tuple[Trial, ...]] = {}
        for place, count, last in held["places"]:
            self._count[_place(place)] = count
            self._last[_place(place)] = tuple(map(_trial, last))
        self._readings: dict[Mark, Remembered] = {
            (station, axis, blade, target): Remembered(*fields)
            for station, axis, blade, target, *fields in held["readings"]
        }

    def add(self, taps: Iterable[Event]) -> None:
        """Takes in trial pieces that hold and came after all others; one that several jobs share counts once."""
        for trial in map(trial_of, shared_once(taps)):
            place = (trial.station, trial.axis, trial.blade)
            self._count[place] = self._count.get(place, 0) + 1
            self._last[place] = (*self._last.get(place, ()), trial)[-RECALLED:]
            remember(self._readings, trial)

    def now(self) -> Taught:
        """What they taught."""
        return Taught(dict(self._count), dict(self._last), dict(self._readings))

    def kept(self) -> Any:
        """All of it as JSON holds it."""
        return {
            "places": [[place, count, list(map(astuple, self._last[place]))] for place, count in self._count.items()],
            "readings": [[*mark, *astuple(one)] for mark, one in self._readings.items()],
        }


def _place(held: Iterable[str]) -> Place:
    station, axis, blade = held
    return station, axis, blade


def _trial(held: list[Any]) -> Trial:
    station, axis, blade, job, run, piece = held
    return Trial(station, axis, blade, job, run, Measured(*piece))
