"""Planning what a file holds. It needs no store, so that a run sheet is printed without loading one."""

from dataclasses import dataclass, replace
from pathlib import Path

from stopwright.intake.job_file import open_job
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import show_in
from stopwright.model.job import Job
from stopwright.model.stations import Shop
from stopwright.plan.choices import Choices
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import RunSheet
from stopwright.plan.together import Member


@dataclass(frozen=True, slots=True)
class Planned:
    """A job with its run sheet, in the shop and the units it is shown in. `left_out` and `notes` are of its reading.

    `members` are the jobs where several are worked together; the job is then all of them.
    """

    job: Job
    shop: Shop
    sheet: RunSheet
    version: int = 0
    left_out: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    members: tuple[Member, ...] = ()


def plan_file(path: Path, shop: Shop | None = None, choices: Choices | None = None) -> Planned:
    """The run sheet of a job file, a folder with job.toml or a bare part list. Raises BadInput.

    Without a shop it is the one that ships with the program, its scales in the job's unit.
    """
    read = open_job(path)
    shown = shop_for(read.job, shop or default_shop(read.job.lengths))
    sheet = make_plan(read.job, shown, choices or Choices())
    return Planned(read.job, shown, sheet, left_out=tuple(map(str, read.left_out)), notes=read.notes)


def shop_for(job: Job, shop: Shop) -> Shop:
    """The shop, showing lengths in the job's unit: as it likes them, or mm and 1/64 in where the job has the other."""
    if shop.show.unit == job.lengths:
        return shop
    return replace(shop, show=show_in(job.lengths))
