"""What the page of a job's runs shows: all runs, one of them on the screen, and how they stand."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from markupsafe import Markup

from stopwright.actions.floor.worked_together import shares_in
from stopwright.actions.jobs.planning import Planned
from stopwright.lengths import Show
from stopwright.paper.wording import proof_text
from stopwright.plan.run_sheet import Remark
from stopwright.plan.stations.cut_before import CutBefore
from stopwright.plan.stations.flip_stops_up import flip_stops_up
from stopwright.store.events import new_id
from stopwright.store.run_fold import RunState
from stopwright.web.kit.script_data import as_script_data
from stopwright.web.kit.shown import SHOWN
from stopwright.web.phone.change_facts import machine_facts
from stopwright.web.phone.run_page import Memory, RunView
from stopwright.web.phone.run_shares import RunShares
from stopwright.web.phone.scale_reads import scale_reads


@dataclass(frozen=True, slots=True)
class StationRuns:
    """The runs of one station, in the order of the sheet.

    `next` is the number of the job's next run where it is one of them, else 0.
    """

    name: str
    runs: list[RunView]
    next: int

    @property
    def stands(self) -> str:
        """How many are done, as the page's script says it too."""
        next_run = f" · next: run {self.next}" if self.next else ""
        return f"{self.done} of {len(self.runs)} done{next_run}"

    @property
    def done(self) -> int:
        """How many of them are done."""
        return sum(view.is_done for view in self.runs)


@dataclass(frozen=True)
class RunsPage:
    """The page of one job: all runs, one of them on the screen (0: the list)."""

    job: str
    name: str
    number: int
    runs: list[RunView]
    proof: str
    faults: tuple[Remark, ...]
    standing: Mapping[str, Any]
    tap_id: str
    me: str
    devices: Mapping[str, str]
    jobs: tuple[tuple[str, str], ...]
    """Number and name of the job, of each where several are worked together."""
    machines: Mapping[str, Any]
    has_day: bool
    """Whether it can be said when runs fall."""
    whole: bool
    """Whether the screens of all runs are brought, not only the one on the screen and the one that comes next."""

    def brings(self, number: int) -> bool:
        """Whether the screen of that run comes with the page."""
        return self.whole or number in (self.number, self._goes_on)

    @cached_property
    def _goes_on(self) -> int:
        """The number of the run that the page goes on with, 0 where all are done."""
        left = [view.run.number for view in self.runs if not view.is_done and view.run.number != self.number]
        return next((number for number in left if number > self.number), left[0] if left else 0)

    @property
    def several(self) -> bool:
        """Whether several jobs are worked together."""
        return len(self.jobs) > 1

    @property
    def title(self) -> str:
        """What stands at the top."""
        return next((view.title for view in self.runs if view.run.number == self.number), self.name)

    @property
    def turn(self) -> str:
        """Which run of how many."""
        return f"run {self.number} of {len(self.runs)}" if self.number else ""

    @property
    def done(self) -> int:
        """How many runs are done."""
        return sum(view.is_done for view in self.runs)

    @property
    def stations(self) -> list[StationRuns]:
        """The runs by station, in the order in which the stations come first; the one with the next run is open."""
        found: dict[str, list[RunView]] = {}
        for view in self.runs:
            found.setdefault(view.run.station, []).append(view)
        open_runs = (view.run for view in self.runs if not view.is_done)
        first = next(open_runs, None)
        return [
            StationRuns(name, runs, first.number if first and first.station == name else 0)
            for name, runs in found.items()
        ]

    @property
    def sheet_json(self) -> Markup:
        """The facts of all runs, for the scripts."""
        return as_script_data(
            {
                "job": self.job,
                "name": self.name,
                "mark": self.standing["sheet"],
                "me": self.me,
                "devices": self.devices,
                "shown": [str(show) for show in SHOWN],
                "machines": self.machines,
                "runs": [view.facts() for view in self.runs],
            }
        )

    @property
    def standing_json(self) -> Markup:
        """How the runs stand, for the scripts."""
        return as_script_data(self.standing)


def runs_page(
    job_id: str,
    planned: Planned,
    states: Mapping[str, RunState],
    standing: Mapping[str, Any],
    number: int,
    show: Show,
    memory: Memory,
    me: str,
    devices: Mapping[str, str],
    whole: bool,
) -> RunsPage:
    """The page of a job with run `number` on the screen, 0 for the list of runs; `whole` with the screens of all runs.

    `me` is the device that asks, `devices` the names of all by their ids: an undo says whose tap it takes back.
    """
    job, shop, sheet = planned.job, planned.shop, planned.sheet
    runs = list(sheet.runs)
    flips = flip_stops_up(runs, shop)
    cut_before = CutBefore(runs, job)
    names = {one.number: one.job.name for one in planned.members}
    views = [
        RunView(
            run,
            runs[:place],
            states.get(run.id, RunState()),
            job,
            shop,
            show,
            memory,
            scale_reads(run, runs[:place], states),
            flips.get(run.number),
            cut_before,
            RunShares(shares_in(run, planned.members), names),
            runs[place + 1 :],
        )
        for place, run in enumerate(runs)
    ]
    return RunsPage(
        job_id,
        job.name,
        number,
        views,
        proof_text(sheet.settings),
        sheet.faults,
        standing,
        new_id(),
        me,
        devices,
        tuple(names.items()) or ((job_id, job.name),),
        machine_facts(shop),
        sheet.day is not None,
        whole,
    )
