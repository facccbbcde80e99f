"""Planning what a store or a file holds: the shop as it shows this job, and the run sheet, made once and kept."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from stopwright.actions.keeping import chosen, create_job, job_document
from stopwright.actions.shop_keeping import current_shop
from stopwright.intake.job_file import job_from_document, job_to_document, job_to_toml, open_job
from stopwright.lengths import Show
from stopwright.model.job import Flow, Job
from stopwright.model.stations import Shop
from stopwright.plan.choices import Choices
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import RunSheet
from stopwright.store.log import Store

SHEETS_KEPT = 128


@dataclass(frozen=True, slots=True)
class Planned:
    """A job with its run sheet, in the shop and the units it is shown in. `left_out` and `notes` are of its reading."""

    job: Job
    shop: Shop
    sheet: RunSheet
    version: int = 0
    left_out: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def plan_file(path: Path, shop: Shop, choices: Choices | None = None) -> Planned:
    """The run sheet of a job file, a folder with job.toml or a bare part list. Raises BadInput."""
    read = open_job(path)
    shown = shop_for(read.job, shop)
    sheet = _sheet(read.job, shown, choices or Choices())
    return Planned(read.job, shown, sheet, left_out=tuple(map(str, read.left_out)), notes=read.notes)


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
    saved = job_document(store, job_id)
    job = job_from_document(dict(saved.document), f"job {job_id}")
    shop = shop_for(job, current_shop(store, default_shop))
    return Planned(job, shop, _sheet(job, shop, choices_from(chosen(store, job_id))), saved.version)


def shop_for(job: Job, shop: Shop) -> Shop:
    """The shop, showing lengths in the job's unit: as it likes them, or mm and 1/64 in where the job has the other."""
    if shop.show.unit == job.lengths:
        return shop
    return replace(shop, show=Show.MM if job.lengths == "mm" else Show.SIXTY_FOURTHS)


def choices_from(body: Mapping[str, Any]) -> Choices:
    """The choices that a "plan chosen" event holds; what it does not know is left at its default."""
    known = {field.name for field in fields(Choices)}
    plain = {name: value for name, value in body.items() if name in known and value is not None}
    if "flow" in plain:
        plain["flow"] = Flow(plain["flow"])
    return Choices(**plain)


@lru_cache(maxsize=SHEETS_KEPT)
def _sheet(job: Job, shop: Shop, choices: Choices) -> RunSheet:
    return make_plan(job, shop, choices)
