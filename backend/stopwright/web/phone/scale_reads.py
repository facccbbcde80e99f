"""What the scales really read where a stop stands: a trial piece that corrected it holds until it is set again.

The phone's pages fold by the same rule (`frontend/scripts/logic/scale-reads.js`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from stopwright.lengths import Nm
from stopwright.plan.run_sheet import Angle, Move, Position, Run
from stopwright.store.run_fold import RunState


@dataclass(frozen=True, slots=True)
class ScaleReads:
    """What a scale reads instead of what the sheet says, nm, since the run of that number."""

    reading: Nm
    since: int


def scale_reads(run: Run, earlier: Sequence[Run], states: Mapping[str, RunState]) -> dict[str, ScaleReads]:
    """By axis, for the stops of `run` that stand as an earlier run left them and read something else than the sheet.

    `earlier` are the runs of the sheet before it, `states` how the runs stand, by the run's key. Of an axis that
    holds several stops each is followed by its place.
    """
    found: dict[str, ScaleReads] = {}
    for stop in run.stops:
        if stop.move is Move.SET:
            continue
        for one in (other for other in earlier if other.station == run.station):
            there = next((other for other in one.stops if (other.axis, other.place) == (stop.axis, stop.place)), None)
            if there is None:
                continue
            if there.move is Move.SET:
                found.pop(stop.axis, None)
            reading = states[one.id].readings.get(stop.axis) if one.id in states else None
            if reading is not None:
                found[stop.axis] = ScaleReads(reading, one.number)
        if stop.axis in found and found[stop.axis].reading == stop.reading:
            del found[stop.axis]
    return found


def scale_facts(run: Run) -> list[dict[str, Any]]:
    """The stops of a run as the scripts follow them: where each is to be, what its scale reads there, set or not."""
    return [
        {"axis": stop.axis, "at": _plain(stop.place), "reads": _plain(stop.reading), "set": stop.move is Move.SET}
        for stop in run.stops
    ]


def _plain(position: Position) -> Nm | str:
    return str(position.degrees) if isinstance(position, Angle) else position
