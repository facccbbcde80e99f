"""Planning again from the floor: what was worked already, what stands on the machines."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from stopwright.actions.floor.stopping import floor_of, lengths_on
from stopwright.actions.jobs.keeping import choose_plan, chosen
from stopwright.actions.jobs.planning import Planned, asked_for
from stopwright.lengths import Nm
from stopwright.model.stations import Shop
from stopwright.plan.ordering.changeovers import with_changes
from stopwright.plan.run_sheet import Move, RunSheet
from stopwright.plan.stations.minutes import setting_minutes
from stopwright.plan.stations.moves import settle_moves
from stopwright.store.log import Store
from stopwright.store.run_fold import PieceKey, RunState


@dataclass(frozen=True, slots=True)
class StillToMake:
    """Settings still to be made over the runs that are not done, changeovers, and the minutes for both."""

    runs: int
    settings: int
    minutes: float
    changes: int = 0


@dataclass(frozen=True, slots=True)
class WorkedBefore:
    """A run that was worked by an earlier plan and that the plan does not have now; its stops by axis, nm or a name."""

    station: str
    work: str
    stops: tuple[tuple[str, Nm | str], ...]
    cut: Mapping[PieceKey, int]


def plan_from_the_machines(store: Store, job: str, default_shop: Shop, device: str) -> int:
    """Plans the job again so that what stands now is used; returns how many stops were found standing.

    It is taken down as a choice: the plan can be made again alike, and runs that were worked keep their names.
    Raises NotFound and BadInput.
    """
    asked = asked_for(store, job, default_shop)
    floor = floor_of(store, asked.shop)
    stands, ready = lengths_on(floor, asked.shop), [list(one) for one in floor.ready.items()]
    told = {"standing": [list(one) for one in stands]} | ({"ready": ready} if ready else {})
    choose_plan(store, job, {**chosen(store, job), **told}, device)
    return len(stands)


def still_to_make(
    planned: Planned,
    states: Mapping[str, RunState],
    stands: Sequence[tuple[str, str, Nm]],
    ready: Mapping[str, str] | None = None,
) -> StillToMake:
    """What is left of the sheet: runs not done, the settings and changeovers they need from how the machines stand."""
    by_station: dict[str, dict[str, set[Nm]]] = {}
    for station, axis, position in stands:
        by_station.setdefault(station, {}).setdefault(axis, set()).add(position)
    begun = [run for run in planned.sheet.runs if not states.get(run.id, RunState()).done]
    left = settle_moves(with_changes(begun, planned.shop, ready or {}), planned.shop, by_station)
    changes = [run.change.minutes for run in left if run.change]
    stations = {station.name: station for station in planned.shop.stations}
    settings = sum(stop.move is Move.SET for run in left for stop in run.stops)
    minutes = sum(setting_minutes(stations[run.station], run.stops) for run in left)
    return StillToMake(len(left), settings, minutes + sum(changes), len(changes))


def worked_before(sheet: RunSheet, states: Mapping[str, RunState]) -> tuple[WorkedBefore, ...]:
    """Runs that were worked, done or begun, and that the plan does not have now."""
    keys = {run.id for run in sheet.runs}
    gone = {key: state for key, state in states.items() if key not in keys and (state.done or any(state.cut.values()))}
    return tuple(WorkedBefore(state.station, state.work, state.stops, state.cut) for state in gone.values())
