"""Planning again: what was worked already, what stands on the machines, a longer search, or the quick plan at once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from stopwright.actions.floor.stopping import floor_of, lengths_on
from stopwright.actions.jobs.keeping import choose_plan, chosen
from stopwright.actions.jobs.planning import Asked, Planned, asked_for, make_sheet, sheet_search, version_of
from stopwright.actions.jobs.searching import Search, Searches
from stopwright.lengths import Nm
from stopwright.model.stations import Shop
from stopwright.plan.ordering.changeovers import with_changes
from stopwright.plan.run_sheet import Move, RunSheet
from stopwright.plan.stations.minutes import setting_minutes
from stopwright.plan.stations.moves import settle_moves
from stopwright.plan.weighing.alternatives import figures
from stopwright.store.log import Store
from stopwright.store.run_fold import PieceKey, RunState

QUICK = 0
"""Steps of search for the plan that is there at once."""


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


@dataclass(frozen=True, slots=True)
class Found:
    """What a longer search found: the better plan's figures, and whether it is better than the one before."""

    sheet: RunSheet
    steps: int
    better: bool


_LONGER = Searches()


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


def take_the_quick_plan(store: Store, job: str, device: str) -> None:
    """Ends waiting for a plan: the one that is there at once is taken, and that is taken down. Raises NotFound."""
    _choose_steps(store, job, QUICK, version_of(store, job), device)


def search_longer(store: Store, job: str, default_shop: Shop, seconds: float, device: str) -> Search[Found]:
    """Begins a longer search for the job's plan, or returns the one that is on. Raises NotFound and BadInput.

    When it ends, by itself or by `stop`, its plan is chosen if it is better than the one before: fewer pieces
    without wood, then fewer boards, settings, handlings, minutes, or the same and now proven. The steps it took are
    taken down, so that the plan can be made again alike. It also ends when what it plans has changed.
    """
    asked = asked_for(store, job, default_shop)

    def work(search: Search[Found]) -> Found:
        before = sheet_search(asked).answer()
        assert before is not None
        sheet = make_sheet(search, asked, search)
        found = Found(sheet, search.looked, _worth(sheet, asked) < _worth(before, asked))
        if found.better and asked_for(store, job, default_shop) == asked:
            _choose_steps(store, job, found.steps, asked.version, device)
        return found

    seen = store.last_seq

    def outdated() -> bool:
        nonlocal seen
        before, seen = seen, store.last_seq
        return seen != before and asked_for(store, job, default_shop) != asked

    known = _LONGER.known((job, asked))
    if known and known.finished:
        _LONGER.forget((job, asked))
    return _LONGER.begin((job, asked), work, seconds=seconds, outdated=outdated)


def longer_search(store: Store, job: str, default_shop: Shop) -> Search[Found] | None:
    """The longer search of the job's plan that is on, or that ended without a better plan; None if there is none."""
    return _LONGER.known((job, asked_for(store, job, default_shop)))


def _choose_steps(store: Store, job: str, steps: int, version: int, device: str) -> None:
    choose_plan(store, job, {**chosen(store, job), "steps": steps, "version": version}, device)


def _worth(sheet: RunSheet, asked: Asked) -> tuple[float, ...]:
    """What a shop wants of a plan, the less the better; at last the gaps that are still open."""
    gaps = (sheet.wood.boards_used - sheet.wood.least_possible, sheet.settings.made - sheet.settings.least_possible)
    return (len(sheet.faults), *figures(sheet, asked.choices).costs, *gaps)
