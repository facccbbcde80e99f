"""How the runs of a plan stand, of one job or of several that are worked together; what that saves; one job's part."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from stopwright.actions.floor.tap_shares import ever_together
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.planning import Planned
from stopwright.model.whose import is_of, own_name
from stopwright.plan.run_sheet import Run, RunSheet
from stopwright.plan.together import Member, own_run, own_sheet, whose
from stopwright.store.events import in_order
from stopwright.store.log import Store
from stopwright.store.machine_fold import MACHINE_KINDS, Machines, MachinesSoFar, machines_after
from stopwright.store.run_fold import RunState, standing
from stopwright.store.together_fold import RunTogether, Share, Taps, TapsSoFar, run_together, runs_left_over


@dataclass(frozen=True, slots=True)
class Figures:
    """What a run sheet takes: settings, and minutes in all."""

    settings: int
    minutes: float


@dataclass(frozen=True, slots=True)
class Saving:
    """What several jobs take together, and each of them by its own sheet, in their order."""

    together: Figures
    alone: tuple[Figures, ...]

    @property
    def one_after_the_other(self) -> Figures:
        """What they take one after the other."""
        return Figures(sum(one.settings for one in self.alone), sum(one.minutes for one in self.alone))


def figures_of(sheet: RunSheet) -> Figures:
    """What a sheet takes."""
    return Figures(sheet.settings.made, sum(run.minutes for run in sheet.runs))


def run_states(store: Store, job: str, planned: Planned) -> Mapping[str, RunState]:
    """How the runs of the plan stand, by id, and what was worked beside it. Raises NotFound."""
    if not planned.members:
        return job_state(store, job).runs
    taps = taps_of(store, job)
    found = {id_: one.state for id_, one in runs_of_several(planned, taps).items()}
    shares = [share for run in planned.sheet.runs for share in shares_in(run, planned.members)]
    mine = {one.number: taps.runs.get(one.number, {}) for one in planned.members}
    return found | runs_left_over(shares, mine)


def machines_of(store: Store, job: str, planned: Planned) -> Machines:
    """How the machines stand beside what the sheet of a job, or of several, says: its runs by their ids on it."""
    if not planned.members:
        return store.grown(job, MachinesSoFar)
    taps = taps_of(store, job)
    named = (
        replace(event, body={**event.body, "run": id_})
        for id_, one in runs_of_several(planned, taps).items()
        for event in one.taps
    )
    at_the_bench = standing(store.events(job, kinds=tuple(MACHINE_KINDS)), MACHINE_KINDS)
    once = {(event.id, event.body.get("run", "")): event for event in (*named, *at_the_bench)}
    return machines_after(sorted(once.values(), key=in_order))


def taps_of(store: Store, number: str) -> Taps:
    """The taps of all jobs that were ever worked together under a number, read at one moment.

    Those that have left are among them, and what was written under the number itself: so no page that knew one of them
    hears an older word than it knows.
    """
    return store.grown((number, *sorted(ever_together(store, number))), TapsSoFar)


def runs_of_several(planned: Planned, taps: Taps) -> dict[str, RunTogether]:
    """How the runs of a plan of several jobs stand, by id; a run that nobody has begun is left out."""
    found = {run.id: run_together(shares_in(run, planned.members), taps.runs) for run in planned.sheet.runs}
    return {id_: one for id_, one in found.items() if one.taps}


def shares_in(run: Run, members: Sequence[Member]) -> tuple[Share, ...]:
    """What of a run is whose."""
    numbers = whose(run, [one.number for one in members])
    return tuple(Share(number, own_run(run, number).id, dict(_names(run, number))) for number in numbers)


def part_of(planned: Planned, number: str, version: int) -> Planned:
    """The plan of several jobs as it is for one of them: its own pieces and boards, the runs numbered as for all."""
    member = next(one for one in planned.members if one.number == number)
    own = own_sheet(planned.sheet, planned.members, number)
    return replace(planned, job=member.job, sheet=own, version=version, members=())


def _names(run: Run, number: str) -> Iterator[tuple[str, str]]:
    """What is counted in the run of this job: its own name for it, and the one on the sheet of all."""
    for line in run.lines:
        if any(is_of(number, mark) for mark, _ in line.becomes):
            yield own_name(number, line.lot), line.lot
    for pieces in run.pieces:
        if is_of(number, pieces.mark):
            yield own_name(number, pieces.mark), pieces.mark
