"""Several jobs worked together: begun, joined and left. What is worked is in each job's own log all the time."""

from collections.abc import Sequence

from stopwright.actions.jobs.keeping import is_archived, job_document, members_of, refuse_several
from stopwright.errors import ChangedMeanwhile, NotFound, StopwrightError
from stopwright.store.events import Clock, Event, new_id, next_job_number, utc_now, written
from stopwright.store.job_fold import SAVES, WHOLE, fold_joined
from stopwright.store.log import Store

MOST_TOGETHER = 20
LONGEST_NAME = 200
JOINS = ("job joined", "job left")


def together_with(store: Store, job: str) -> str:
    """The number under which the job is worked together with others now, "" where it is worked by itself.

    Both must say so, the job and those it is worked with: a job that came here out of another shop does not.
    """
    number = store.folded(job, fold_joined, JOINS)
    holds = bool(number) and job in members_of(store, number) and not is_archived(store, number)
    return number if holds else ""


def begin_together(store: Store, jobs: Sequence[str], device: str, now: Clock = utc_now, id_: str = "") -> str:
    """The number under which these jobs are worked together from now on. With the same `id_` again: that of before.

    Raises NotFound for a job that is not there, StopwrightError for one that cannot be among them, for one that is
    named twice, and for fewer than two.
    """
    id_ = id_ or new_id()
    known = store.event(id_)
    if known:
        return known.job
    for job in jobs:
        refuse_to_join(store, job)
    _refuse_numbers(jobs)
    while True:
        number = next_job_number(store.newest(SAVES))
        try:
            _keep(store, number, jobs, 0, [("job joined", job) for job in jobs], device, now, id_)
            return number
        except ChangedMeanwhile:
            continue  # somebody else took the number


def join(store: Store, number: str, job: str, base: int, device: str, now: Clock = utc_now) -> None:
    """Takes one more job among those worked together under a number; `base` is the version that was looked at.

    Raises NotFound, ChangedMeanwhile, and StopwrightError for a job that cannot be among them.
    """
    numbers = _several(store, number)
    refuse_to_join(store, job, number)
    if job in numbers:
        raise StopwrightError("it is among them already", name_of(store, job), "choose another job")
    _refuse_numbers([*numbers, job])
    _keep(store, number, [*numbers, job], base, [("job joined", job)], device, now, new_id())


def leave(store: Store, number: str, job: str, base: int, device: str, now: Clock = utc_now) -> None:
    """Lets a job go its own way again; all that was worked of it stays with it.

    Raises NotFound, ChangedMeanwhile, and StopwrightError when only one would be left.
    """
    numbers = _several(store, number)
    if job not in numbers:
        raise NotFound("it is not among these jobs", f"job {job}", "reload the page")
    left = [one for one in numbers if one != job]
    if len(left) < 2:
        step = "split them: each is then worked by itself"
        raise StopwrightError("one job alone is not worked together", name_of(store, number), step)
    _keep(store, number, left, base, [("job left", job)], device, now, new_id())


def refuse_to_join(store: Store, job: str, but: str = "") -> None:
    """Raises NotFound or StopwrightError when the job cannot be worked together with others.

    It may be worked under the number `but` already.
    """
    refuse_several(store, job)
    name = name_of(store, job)
    if is_archived(store, job):
        raise StopwrightError("it is archived", name, "restore it to the list of jobs first")
    if (within := together_with(store, job)) not in ("", but):
        step = f"let it leave {name_of(store, within)} first"
        raise StopwrightError("it is worked together with other jobs already", name, step)


def name_of(store: Store, job: str) -> str:
    """What a job calls itself, with its number where it has no name. Raises NotFound."""
    return job_document(store, job).name or f"job {job}"


def _several(store: Store, number: str) -> tuple[str, ...]:
    saved = job_document(store, number)
    numbers = members_of(store, number)
    if not numbers:
        step = "choose several jobs on the page of all jobs"
        raise NotFound("this is one job by itself", saved.name or f"job {number}", step)
    return numbers


def _refuse_numbers(jobs: Sequence[str]) -> None:
    if len(set(jobs)) < len(jobs):
        raise StopwrightError("a job is named twice", "the jobs to work together", "choose each of them once")
    if len(jobs) < 2:
        raise StopwrightError("that is one job alone", "the jobs to work together", "choose two or more")
    if len(jobs) > MOST_TOGETHER:
        step = f"choose {MOST_TOGETHER} at most"
        raise StopwrightError(f"{len(jobs)} jobs at once are too many", "the jobs to work together", step)


def _keep(
    store: Store,
    number: str,
    jobs: Sequence[str],
    base: int,
    moves: Sequence[tuple[str, str]],
    device: str,
    now: Clock,
    id_: str,
) -> None:
    """Takes down which jobs are worked together, here and in the log of each that joins or leaves: all or none."""
    at, in_order = written(now()), sorted(jobs, key=int)
    names = " + ".join(name_of(store, job) for job in in_order)
    document = {"name": names[:LONGEST_NAME], "together": in_order}
    events = [Event(id_, number, WHOLE, at, device, {"document": document, "base": base})]
    events += [Event(new_id(), job, kind, at, device, {"together": number}) for kind, job in moves]
    store.append(events, base=base, kinds=SAVES)
