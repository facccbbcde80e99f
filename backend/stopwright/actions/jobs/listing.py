"""The list of jobs: cards with what each holds, jobs archived and restored, copied, and exported."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import tomli_w

from stopwright.actions.jobs.keeping import MOVES, create_job, is_archived, job_document, members_of, refuse_several
from stopwright.actions.jobs.together import JOINS, name_of, refuse_to_join, together_with
from stopwright.errors import StopwrightError
from stopwright.intake.draft import NO_PART, read_draft
from stopwright.intake.job_file import job_from_document
from stopwright.intake.part_list_out import write_part_list_csv, write_part_list_xlsx
from stopwright.model.parts import GREATEST_QUANTITY
from stopwright.store.events import Clock, Event, new_id, utc_now, written
from stopwright.store.job_fold import SAVES, fold_saved, numbers_together
from stopwright.store.log import Store
from stopwright.store.whole_job import export_job

_LINES = "job-lines"


@dataclass(frozen=True, slots=True)
class JobLine:
    """A job as a line of the list: units, parts and pieces, None where it cannot be read; `faults` stand in the way.

    That a job has no part yet is no fault here. `together` are the numbers of the jobs that are worked together
    under this one, `within` is the number under which this one is.
    """

    job: str
    name: str
    worked_at: str
    units: int | None
    parts: int | None
    pieces: int | None
    faults: int
    together: tuple[str, ...] = ()
    within: str = ""

    @property
    def may_join(self) -> bool:
        """Whether it can be worked together with others."""
        return bool(self.parts) and not (self.faults or self.together or self.within)


@dataclass(frozen=True, slots=True)
class JobList:
    """The jobs at hand, the one worked on last first, and those archived."""

    at_hand: tuple[JobLine, ...]
    archived: tuple[JobLine, ...]


@dataclass(frozen=True, slots=True)
class Export:
    """A file to take out: its name, the type that browsers know it by, its bytes, as they come where they are many."""

    name: str
    media_type: str
    data: bytes | Iterator[bytes]


def job_list(store: Store) -> JobList:
    """All jobs, those at hand apart from those archived.

    What a job holds is read once for each of its versions and kept beside the log.
    """
    saved, worked = store.newest(SAVES), store.newest()
    away = {job for job in store.newest(MOVES) if is_archived(store, job)}
    kept = store.kept.read(_LINES, store.first_id)
    known: dict[str, list[Any]] = kept if isinstance(kept, dict) else {}
    lines = {}
    for job in sorted(saved, key=lambda job: worked[job].seq, reverse=True):
        held = known.get(job)
        if held is None or held[0] != saved[job].seq:
            held = [saved[job].seq, *_holds(store, job)]
        lines[job] = held
    if lines != known:
        store.kept.write(_LINES, store.first_id, lines)
    joined = set(store.newest(JOINS))
    told = []
    for job, (_, name, units, parts, pieces, faults, together) in lines.items():
        within = together_with(store, job) if job in joined else ""
        told.append(JobLine(job, name, worked[job].at, units, parts, pieces, faults, tuple(together), within))
    return JobList(
        tuple(line for line in told if line.job not in away), tuple(line for line in told if line.job in away)
    )


def start_job(store: Store, name: str, units: str, lengths: str, device: str, now: Clock = utc_now) -> str:
    """The number of a new job without parts. Raises StopwrightError when it has no name or the number is none."""
    name = " ".join(name.split())[:200]
    if not name:
        raise StopwrightError("the job has no name", next_step="give it one, such as what is made")
    unit = "in" if lengths == "in" else "mm"
    return create_job(store, {"name": name, "lengths": unit, "units": units_in(units), "part": []}, device, now)


def units_in(text: str) -> int:
    """How many units are made, as typed. Raises StopwrightError."""
    if not text.strip().isdecimal() or len(text) > 20 or not 1 <= int(text) <= GREATEST_QUANTITY:
        step = f"write a whole number from 1 to {GREATEST_QUANTITY}"
        raise StopwrightError(f"'{text[:20]}' is not a number of units", next_step=step)
    return int(text)


def copy_job(store: Store, job: str, device: str, now: Clock = utc_now) -> str:
    """The number of a new job with the same document, named as a copy; what was worked stays with the first."""
    refuse_several(store, job)
    document = dict(job_document(store, job).document)
    document["name"] = f"{document.get('name') or 'Job'} (copy)"
    return create_job(store, document, device, now)


def archive_job(store: Store, job: str, device: str, now: Clock = utc_now) -> None:
    """Takes a job out of the list of those at hand; nothing of it is lost. Raises NotFound.

    Several jobs worked together are then jobs by themselves again. StopwrightError for one that is among such.
    """
    job_document(store, job)
    if together := together_with(store, job):
        step = f"let it leave {name_of(store, together)} first"
        raise StopwrightError("it is worked together with other jobs", name_of(store, job), step)
    if not is_archived(store, job):
        store.append([Event(new_id(), job, "job put away", written(now()), device)])


def restore_job(store: Store, job: str, device: str, now: Clock = utc_now) -> None:
    """Puts a job that was archived into the list again. Raises NotFound.

    Jobs that were worked together are so again: StopwrightError where one of them cannot.
    """
    job_document(store, job)
    if is_archived(store, job):
        numbers = members_of(store, job)
        for one in numbers:
            refuse_to_join(store, one)
        at = written(now())
        back = Event(new_id(), job, "job brought back", at, device)
        store.append([back, *(Event(new_id(), one, "job joined", at, device, {"together": job}) for one in numbers)])


def export(store: Store, job: str, what: str) -> Export:
    """A job as "job.toml", its parts as "parts.csv" or "parts.xlsx", or all that happened as "whole.json".

    Raises NotFound; BadInput when parts are asked for and the job cannot be read, StopwrightError for several jobs that
    are worked together. A job file holds what was typed, faulty or not.
    """
    refuse_several(store, job)
    saved = job_document(store, job)
    name = (
        "-".join(filter(None, "".join(c if c.isalnum() else " " for c in saved.name.lower()).split())) or f"job-{job}"
    )
    if what == "job.toml":
        return Export(f"{name}.toml", "application/toml", tomli_w.dumps(dict(saved.document)).encode())
    if what == "whole.json":
        return Export(f"{name}.whole.json", "application/json", map(str.encode, export_job(store, job)))
    read = job_from_document(saved.document, saved.name or f"job {job}")
    if what == "parts.csv":
        return Export(f"{name}.csv", "text/csv; charset=utf-8", write_part_list_csv(read.parts, read.lengths).encode())
    if what == "parts.xlsx":
        make = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
        return Export(f"{name}.xlsx", make, write_part_list_xlsx(read.parts, read.lengths))
    raise StopwrightError(
        f"there is no file '{what[:40]}'", next_step="choose job.toml, parts.csv, parts.xlsx, whole.json"
    )


def _holds(store: Store, job: str) -> tuple[str, int | None, int | None, int | None, int, Sequence[str]]:
    """What the job is called and holds: units, parts, pieces, faults, the numbers of several jobs, as in its line."""
    saved = fold_saved(store.events(job, kinds=SAVES))
    if saved is None:  # all of it is damaged
        return "", None, None, None, 1, ()
    if numbers := numbers_together(saved.document):
        return saved.name, None, None, None, 0, numbers
    read = read_draft(saved.document)
    faults = sum(fault.field != NO_PART for fault in read.faults)
    if read.job is None:
        return saved.name, None, None, None, faults, ()
    parts = read.job.parts
    return saved.name, read.job.units, len(parts), sum(part.quantity for part in parts), faults, ()
