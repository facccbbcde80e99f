"""Planning what a store holds: the shop as it shows this job, and the run sheet, made once and kept."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from hashlib import sha256
from pathlib import Path
from typing import Any

from stopwright.actions.jobs.file_planning import Planned, shop_for
from stopwright.actions.jobs.keeping import chosen, create_job, is_archived, job_document, members_of, refuse_several
from stopwright.actions.jobs.planners import made
from stopwright.actions.jobs.searching import Search, Searches
from stopwright.actions.shop.keeping import current_shop
from stopwright.errors import BadInput, StopwrightError
from stopwright.intake.job_file import job_from_document, job_to_document, job_to_toml, open_job
from stopwright.model.counts import counted
from stopwright.model.job import Flow, Job
from stopwright.model.stations import Shop
from stopwright.plan.choices import Choices
from stopwright.plan.effort import Effort, Steps
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import RunSheet
from stopwright.plan.together import Member, job_together, plan_together
from stopwright.store.job_fold import Saved
from stopwright.store.log import Store

__all__ = [
    "Asked",
    "Planned",
    "asked_for",
    "bring_job",
    "choices_from",
    "plan_for",
    "sheet_search",
    "shop_for",
    "steps_from",
]

SHEETS_KEPT = 128
GREATEST_STEPS = 10**9


@dataclass(frozen=True, slots=True)
class Asked:
    """Everything a run sheet is made from: job, shop, choices, and the steps of search (None: fit for waiting).

    `members` are the jobs where several are worked together; the job is then all of them.
    """

    job: Job
    shop: Shop
    choices: Choices
    steps: int | None = None
    version: int = 0
    members: tuple[Member, ...] = ()

    def planned(self, sheet: RunSheet) -> Planned:
        """The job with the run sheet that was made from this."""
        return Planned(self.job, self.shop, sheet, self.version, members=self.members)


def bring_job(store: Store, path: Path, device: str = "bench") -> str:
    """Takes a job file (or folder, or part list) into the store and returns its number; once for the same contents."""
    job = open_job(path).job
    id_ = f"brought-{sha256(job_to_toml(job).encode()).hexdigest()[:24]}"
    return create_job(store, job_to_document(job), device, id_=id_)


def plan_for(store: Store, job_id: str, default_shop: Shop) -> Planned:
    """The run sheet of a stored job as it stands now, by the choices taken down for it.

    Raises NotFound, and BadInput when the job as saved cannot be read. The same job in the same shop is planned
    once; what is asked again is answered from memory.
    """
    asked = asked_for(store, job_id, default_shop)
    sheet = sheet_search(asked).answer()
    assert sheet is not None
    return asked.planned(sheet)


def asked_for(store: Store, job_id: str, default_shop: Shop) -> Asked:
    """What the run sheet of a stored job is made from now. Raises NotFound and BadInput.

    For several jobs that are worked together StopwrightError says which of them cannot be, and why.
    """
    saved = job_document(store, job_id)
    if numbers := members_of(store, job_id):
        return _asked_together(store, job_id, saved, numbers, default_shop)
    job = job_from_document(dict(saved.document), f"job {job_id}")
    shop = shop_for(job, current_shop(store, default_shop, job.lengths))
    body = chosen(store, job_id)
    return Asked(job, shop, choices_from(body), steps_from(body, saved.version), saved.version)


def version_of(store: Store, job: str) -> int:
    """The version that a longer or shorter search is for: of the job, of several the newest of any. Raises NotFound."""
    return max(job_document(store, one).version for one in (job, *members_of(store, job)))


def sheet_search(asked: Asked) -> Search[RunSheet]:
    """The planning of this sheet: the same for all who ask, begun by the first; what it made is kept."""

    def plan(search: Search[RunSheet]) -> RunSheet:
        return make_sheet(search, asked, None if asked.steps is None else Steps(asked.steps))

    return _SHEETS.begin((asked.members or asked.job, asked.shop, asked.choices, asked.steps), plan)


def make_sheet(search: Search[Any], asked: Asked, effort: Effort | None) -> RunSheet:
    """The run sheet of what is asked for, made by a planner where there is one."""
    if asked.members:
        return made(search, plan_together, asked.members, asked.job.name, asked.shop, asked.choices, effort)
    return made(search, make_plan, asked.job, asked.shop, asked.choices, effort)


def choices_from(body: Mapping[str, Any]) -> Choices:
    """The choices that a "plan chosen" event holds; what it does not know is left at its default."""
    known = {field.name for field in fields(Choices)}
    plain = {name: value for name, value in body.items() if name in known and value is not None}
    if "flow" in plain:
        plain["flow"] = Flow(plain["flow"])
    for name in ("standing", "ready"):
        if name in plain:
            plain[name] = tuple(tuple(one) for one in plain[name])
    return Choices(**plain)


def steps_from(body: Mapping[str, Any], version: int) -> int | None:
    """The steps of search that a "plan chosen" event asks for, for the version it was made for; else None.

    >>> steps_from({"steps": 900, "version": 7}, 7), steps_from({"steps": 900, "version": 7}, 8)
    (900, None)
    """
    steps = body.get("steps") if body.get("version") == version else None
    return min(steps, GREATEST_STEPS) if isinstance(steps, int) and steps >= 0 else None


def _asked_together(store: Store, number: str, saved: Saved, numbers: Sequence[str], default_shop: Shop) -> Asked:
    each = {one: _asked_of_member(store, one, default_shop) for one in numbers}
    members = tuple(
        Member(one, asked.job, replace(asked.choices, standing=(), ready=(), soonest=False), asked.steps)
        for one, asked in each.items()
    )
    first = each[numbers[0]]
    for member, asked in zip(members, each.values(), strict=True):
        if member.flow != members[0].flow:
            step = f"choose {members[0].flow} for it, or let it leave"
            what = f"it goes {member.flow}, {members[0].job.name} {members[0].flow}"
            raise StopwrightError(what, member.job.name, step)
        if replace(asked.shop, show=first.shop.show) != first.shop:
            step = "describe your own shop once on the shop page, or let it leave"
            raise StopwrightError("the scales of the shop are in another unit for it", member.job.name, step)
    name, body = saved.name or f"job {number}", chosen(store, number)
    version = version_of(store, number)
    strips = all(member.choices.strips for member in members)
    choices = replace(choices_from(body), flow=None, may_turn=None, mix_widths=True, strips=strips)
    return Asked(job_together(members, name), first.shop, choices, steps_from(body, version), version, members)


def _asked_of_member(store: Store, number: str, default_shop: Shop) -> Asked:
    """What the run sheet of one of several jobs is made from; raises StopwrightError in words about that job."""
    refuse_several(store, number)
    name = job_document(store, number).name or f"job {number}"
    if is_archived(store, number):
        raise StopwrightError("it is archived", name, "restore it to the list of jobs, or let it leave")
    try:
        return asked_for(store, number, default_shop)
    except BadInput as bad:
        count = counted(len(bad.faults), "thing")
        raise StopwrightError(f"{count} of it must be fixed first", name, "open it, or let it leave") from bad


_SHEETS = Searches(SHEETS_KEPT)
