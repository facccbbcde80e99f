"""What a trial piece of a run proves: which stops, whether it is asked for, and what is to be measured for each."""

from collections.abc import Mapping
from functools import cached_property
from typing import Any

from stopwright.lengths import Nm
from stopwright.model.gear import Blade
from stopwright.model.stations import Station
from stopwright.plan.operations.known import OPERATIONS, ROLES
from stopwright.plan.run_sheet import Measured, Move, Position, Run, Stop
from stopwright.web.kit.shown import position_texts


class RunTrials:
    """The trial pieces of one run, at its station where the shop has it."""

    def __init__(self, run: Run, station: Station | None) -> None:
        self._run = run
        self._station = station

    @property
    def stops(self) -> list[Stop]:
        """The stops that a trial piece can prove."""
        differs = bool(self._measured)
        return [stop for stop in self._run.stops if _measurable(stop) and (not differs or stop.sets in self._measured)]

    @property
    def are_asked(self) -> bool:
        """True when a trial piece is asked for before counting."""
        return any(self._asked(stop) for stop in self.stops)

    def facts(self, stop: Stop, called: str, start: Position) -> dict[str, Any]:
        """What a trial piece for the stop asks to be measured; lengths only to be handed back.

        `called` is the stop inside a sentence, `start` the reading that the run begins with.
        """
        cut = self._measured.get(stop.sets)
        body = {
            "axis": stop.axis,
            "target_nm": stop.target,
            "reading_nm": start,
            "station": self._run.station,
            "blade": self._station.of(Blade).blade if self._station else "",
        }
        more: dict[str, Any] = {} if stop.tolerance is None else {"tolerance_nm": stop.tolerance}
        return {
            "axis": stop.axis,
            "asked": self._asked(stop),
            "title": f"Measure the {cut.what}" if cut else f"Measure the {stop.sets}",
            "say": cut.what if cut else f"{stop.sets} at {called}",
            "called": called if cut else "the stop",
            "target": position_texts(cut.wanted if cut else stop.target),
            "body": body | more | self._step(stop) | _measured_at_the_cut(cut),
        }

    @cached_property
    def _measured(self) -> Mapping[str, Measured]:
        return OPERATIONS[self._run.work].measured(self._run)

    def _asked(self, stop: Stop) -> bool:
        """True for a stop that is made now and that a first piece has to prove."""
        made_now = stop.move is Move.SET and stop.tolerance is not None
        return made_now and _measurable(stop) and (ROLES[stop.sets].is_proved or stop.sets in self._measured)

    def _step(self, stop: Stop) -> dict[str, Nm]:
        """The finest graduation of its scale, to be handed back: a corrected reading is said by a mark it has."""
        axes = self._station.axes if self._station else ()
        step = next((axis.step for axis in axes if axis.name == stop.axis), None)
        return {"step_nm": step} if step else {}


def _measured_at_the_cut(cut: Measured | None) -> dict[str, Any]:
    """What a trial piece hands back where something else is measured than what the stop stands for."""
    if cut is None:
        return {}
    return {"wanted_nm": cut.wanted} | ({"outboard": True} if cut.outboard else {})


def _measurable(stop: Stop) -> bool:
    return isinstance(stop.target, int) and not ROLES[stop.sets].is_put_in
