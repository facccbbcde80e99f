"""The day as it really goes: when what is left falls, by what the log says was done and by the clock of the bench."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.file_planning import Planned
from stopwright.plan.day.hours import Seconds
from stopwright.plan.day.onward import Onward, onward
from stopwright.plan.day.timetable import Entry, glue_up_id
from stopwright.plan.run_sheet import Run, RunSheet
from stopwright.plan.stations.minutes import setting_minutes
from stopwright.store.events import moment
from stopwright.store.log import Store
from stopwright.store.piece_fold import Stage
from stopwright.store.run_fold import RunState


@dataclass(frozen=True, slots=True)
class DayNow:
    """A job's day from `at` on, seconds from midnight before today as the clock on the wall shows them."""

    at: Seconds
    onward: Onward
    sheet: RunSheet


def stages_of(store: Store, job: str, planned: Planned) -> dict[str, Stage]:
    """How the stages of all units stand, by their ids among the lines of a day; of every job that is worked."""
    numbers = [(one.number, one.number) for one in planned.members] or [("", job)]
    return {
        glue_up_id(stage, unit, whose): stands
        for whose, number in numbers
        for (unit, stage), stands in job_state(store, number).assembly.stages.items()
    }


def day_now(
    planned: Planned,
    runs: Mapping[str, RunState],
    stages: Mapping[str, Stage],
    now: datetime,
    zone: tzinfo | None = None,
) -> DayNow | None:
    """What is left of the job and when it falls, from now on; None where the shop says no day.

    `runs` and `stages` say how these stand, by their ids. `now` has a zone; `zone` is the one of the shop, None: that
    of this machine.
    """
    plan = planned.sheet.day
    if plan is None:
        return None
    wall = now.astimezone(zone).replace(tzinfo=None)
    midnight = wall.replace(hour=0, minute=0, second=0, microsecond=0)

    def at(text: str) -> Seconds:
        done = moment(text).astimezone(zone).replace(tzinfo=None)
        return (min(done, wall) - midnight) // timedelta(seconds=1)

    since = (wall - midnight) // timedelta(seconds=1)
    ended: dict[str, Seconds] = {}
    left: dict[str, Seconds] = {}
    for one in plan.entries:
        run = planned.sheet.run(one.run) if one.run else None
        if run is not None:
            stands = runs.get(run.id, RunState())
            if stands.done or (one.nth and _cut(stands) >= one.nth):
                ended[one.id] = at(stands.last_at)
            elif not one.nth:
                left[one.id] = _left(planned, run, stands, one)
        elif one.stage:
            stage = stages.get(one.id, Stage())
            if stage.done:
                ended[one.id] = at(stage.done)
            elif stage.begun:
                left[one.id] = max(0, one.hands - (since - at(stage.begun)))
    found = onward(plan, since, ended, left)
    return DayNow(since, found, planned.sheet) if found else None


def runs_left(day: DayNow) -> Iterator[tuple[Run, Entry]]:
    """The runs that are left, each with its line; one that glues several panels with the first that is left."""
    seen: set[str] = set()
    for one in day.onward.left:
        run = day.sheet.run(one.run) if one.run else None
        if run is not None and run.id not in seen:
            seen.add(run.id)
            yield run, one


def _left(planned: Planned, run: Run, stands: RunState, one: Entry) -> Seconds:
    """Seconds of hands that a run still takes: no setting where it is set, the rest by what is counted already."""
    station = next(station for station in planned.shop.stations if station.name == run.station)
    preparing = setting_minutes(station, run.stops) + (run.change.minutes if run.change else 0)
    working = max(0.0, one.hands - preparing * 60)
    share = 1 - min(1.0, _cut(stands) / run.count) if run.count else 0.0
    is_ready = stands.is_set or _cut(stands) > 0
    return round(working * share + (0 if is_ready else one.hands - working))


def _cut(stands: RunState) -> int:
    return sum(stands.cut.values())
