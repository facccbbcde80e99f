"""Keeping jobs: made, saved, listed, fetched."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from stopwright.errors import ChangedMeanwhile, NotFound, StopwrightError
from stopwright.store.events import Clock, Event, is_job_number, new_id, next_job_number, utc_now, written
from stopwright.store.job_fold import (
    SAVES,
    Saved,
    fold_choices,
    fold_saved,
    fold_together,
    numbers_together,
    save_of,
)
from stopwright.store.log import Store

MOVES = ("job put away", "job brought back")


@dataclass(frozen=True, slots=True)
class JobCard:
    """A job as the list of jobs shows it; `worked_at` is the time of its newest event."""

    job: str
    name: str
    version: int
    saved_at: str
    worked_at: str


def create_job(store: Store, document: Mapping[str, Any], device: str, now: Clock = utc_now, id_: str = "") -> str:
    """The number of the new job that holds this document. With the same `id_` again: the job made the first time."""
    id_ = id_ or new_id()
    while True:
        made = store.event(id_)
        if made:
            return made.job
        number = next_job_number(store.newest(SAVES))
        kind, body = save_of(None, document)
        try:
            return _save(store, Event(id_, number, kind, written(now()), device, body), 0).job
        except ChangedMeanwhile:
            continue  # somebody else took the number


def save_job(
    store: Store, job: str, document: Mapping[str, Any], base: int, device: str, now: Clock = utc_now, id_: str = ""
) -> int:
    """The new version of the job; with the id of one that was saved, that version again.

    Raises ChangedMeanwhile when `base` is not its newest version, NotFound. Several jobs that are worked together are
    no job that could be changed: StopwrightError.
    """
    refuse_several(store, job)
    stands = job_document(store, job)
    made = store.event(id_) if id_ else None
    if made and made.job == job and made.kind in SAVES:
        return made.seq
    kind, body = save_of(stands if base == stands.version else None, document)
    return _save(store, Event(id_ or new_id(), job, kind, written(now()), device, body), base).seq


def jobs(store: Store) -> list[JobCard]:
    """All jobs, the one worked on last first."""
    worked = store.newest()
    cards = []
    for job in store.newest(SAVES):
        saved = fold_saved(store.events(job, kinds=SAVES))
        if saved:
            cards.append(JobCard(job, saved.name, saved.version, saved.at, worked[job].at))
    return sorted(cards, key=lambda card: worked[card.job].seq, reverse=True)


def job_document(store: Store, job: str) -> Saved:
    """The job's document as it was saved last, with its version. Raises NotFound."""
    saved = store.folded(job, fold_saved, SAVES) if is_job_number(job) else None
    if saved is None:
        raise NotFound("there is no such job", f"job {job}", "choose one from the list of jobs")
    return saved


def members_of(store: Store, job: str) -> tuple[str, ...]:
    """The numbers of the jobs that are worked together under this number; none where it is one job."""
    return store.folded(job, fold_together, SAVES) if is_job_number(job) else ()


def refuse_several(store: Store, job: str) -> None:
    """Raises StopwrightError where several jobs are worked together under this number, NotFound where there is none."""
    saved = job_document(store, job)
    if numbers := numbers_together(saved.document):
        raise StopwrightError(
            "several jobs are worked together under this number",
            saved.name or f"job {job}",
            f"open the job that you mean by itself: {', '.join(numbers)}",
        )


def is_archived(store: Store, job: str) -> bool:
    """Whether the job was taken out of the list of those at hand."""
    moves = store.events(job, kinds=MOVES)
    return bool(moves) and moves[-1].kind == "job put away"


def choose_plan(store: Store, job: str, choices: Mapping[str, Any], device: str, now: Clock = utc_now) -> None:
    """Takes down what was chosen for the plan of the job. Raises NotFound."""
    job_document(store, job)
    store.append([Event(new_id(), job, "plan chosen", written(now()), device, {"choices": dict(choices)})])


def chosen(store: Store, job: str) -> Mapping[str, Any]:
    """What was chosen last for the plan of the job, empty if nothing was."""
    return store.folded(job, fold_choices, ("plan chosen", "undo"))


def _save(store: Store, event: Event, base: int) -> Event:
    return store.append([event], base=base, kinds=SAVES)[0]
