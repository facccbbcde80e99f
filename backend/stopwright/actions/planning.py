"""Planning what a store holds: the shop as it shows this job, and the run sheet, made once and kept."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from hashlib import sha256
from pathlib import Path
from typing import Any

from stopwright.actions.file_planning import Planned, shop_for
from stopwright.actions.keeping import chosen, create_job, job_document
from stopwright.actions.planners import made
from stopwright.actions.searching import Search, Searches
from stopwright.actions.shop_keeping import current_shop
from stopwright.intake.job_file import job_from_document, job_to_document, job_to_toml, open_job
from stopwright.model.job import Flow, Job
from stopwright.model.stations import Shop
from stopwright.plan.choices import Choices
from stopwright.plan.effort import Steps
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import RunSheet
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
    """Everything a run sheet is made from: job, shop, choices, and the steps of search (None: fit for waiting)."""

    job: Job
    shop: Shop
    choices: Choices
    steps: int | None = None
    version: int = 0


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
    return Planned(asked.job, asked.shop, sheet, asked.version)


def asked_for(store: Store, job_id: str, default_shop: Shop) -> Asked:
    """What the run sheet of a stored job is made from now. Raises NotFound and BadInput."""
    saved = job_document(store, job_id)
    job = job_from_document(dict(saved.document), f"job {job_id}")
    shop = shop_for(job, current_shop(store, default_shop, job.lengths))
    body = chosen(store, job_id)
    return Asked(job, shop, choices_from(body), steps_from(body, saved.version), saved.version)


def sheet_search(asked: Asked) -> Search[RunSheet]:
    """The planning of this sheet: the same for all who ask, begun by the first; what it made is kept."""

    def plan(search: Search[RunSheet]) -> RunSheet:
        effort = None if asked.steps is None else Steps(asked.steps)
        return made(search, make_plan, asked.job, asked.shop, asked.choices, effort)

    return _SHEETS.begin((asked.job, asked.shop, asked.choices, asked.steps), plan)


def choices_from(body: Mapping[str, Any]) -> Choices:
    """The choices that a "plan chosen" event holds; what it does not know is left at its default."""
    known = {field.name for field in fields(Choices)}
    plain = {name: value for name, value in body.items() if name in known and value is not None}
    if "flow" in plain:
        plain["flow"] = Flow(plain["flow"])
    if "standing" in plain:
        plain["standing"] = tuple(tuple(one) for one in plain["standing"])
    return Choices(**plain)


def steps_from(body: Mapping[str, Any], version: int) -> int | None:
    """The steps of search that a "plan chosen" event asks for, for the version it was made for; else None.

    >>> steps_from({"steps": 900, "version": 7}, 7), steps_from({"steps": 900, "version": 7}, 8)
    (900, None)
    """
    steps = body.get("steps") if body.get("version") == version else None
    return min(steps, GREATEST_STEPS) if isinstance(steps, int) and steps >= 0 else None


_SHEETS = Searches(SHEETS_KEPT)
