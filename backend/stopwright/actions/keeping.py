"""Keeping jobs: made, saved, listed, fetched."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeAlias

from stopwright.errors import ChangedMeanwhile, NotFound
from stopwright.store.events import Event, is_job_number, new_id, next_job_number, utc_now, written
from stopwright.store.job_fold import Saved, fold_choices, fold_saved
from stopwright.store.log import Store

Clock: TypeAlias = Callable[[], datetime]


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
        number = next_job_number(event.job for event in store.newest("job saved"))
        try:
            return _save(store, number, document, 0, device, now, id_).job
        except ChangedMeanwhile:
            continue  # somebody else took the number


def save_job(
    store: Store, job: str, document: Mapping[str, Any], base: int, device: str, now: Clock = utc_now, id_: str = ""
) -> int:
    """The new version of the job. Raises ChangedMeanwhile when `base` is not its newest version, NotFound."""
    job_document(store, job)
    return _save(store, job, document, base, device, now, id_ or new_id()).seq


def jobs(store: Store) -> list[JobCard]:
    """All jobs, the one worked on last first."""
    worked = {event.job: event for event in store.newest()}
    cards = []
    for event in store.newest("job saved"):
        saved = fold_saved([event])
        assert saved is not None
        cards.append(JobCard(event.job, saved.name, saved.version, saved.at, worked[event.job].at))
    return sorted(cards, key=lambda card: worked[card.job].seq, reverse=True)


def job_document(store: Store, job: str) -> Saved:
    """The job's document as it was saved last, with its version. Raises NotFound."""
    saved = store.folded(job, fold_saved, ("job saved",)) if is_job_number(job) else None
    if saved is None:
        raise NotFound("there is no such job", f"job {job}", "choose one from the list of jobs")
    return saved


def choose_plan(store: Store, job: str, choices: Mapping[str, Any], device: str, now: Clock = utc_now) -> None:
    """Takes down what was chosen for the plan of the job. Raises NotFound."""
    job_document(store, job)
    store.append([Event(new_id(), job, "plan chosen", written(now()), device, {"choices": dict(choices)})])


def chosen(store: Store, job: str) -> Mapping[str, Any]:
    """What was chosen last for the plan of the job, empty if nothing was."""
    return store.folded(job, fold_choices, ("plan chosen", "undo"))


def _save(store: Store, job: str, document: Mapping[str, Any], base: int, device: str, now: Clock, id_: str) -> Event:
    event = Event(id_, job, "job saved", written(now()), device, {"document": dict(document), "base": base})
    return store.append([event], base=base, kinds=("job saved",))[0]
