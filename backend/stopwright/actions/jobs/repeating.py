"""A job worked once more, begun at the readings that worked."""

from collections.abc import Sequence

from stopwright.actions.jobs.keeping import create_job, job_document, refuse_several
from stopwright.store.events import Clock, Event, new_id, utc_now, written
from stopwright.store.log import Store


def repeat_job(store: Store, job: str, device: str, now: Clock = utc_now, id_: str = "") -> str:
    """The number of a new job with the same document, to be begun at the readings that worked. Raises NotFound."""
    refuse_several(store, job)
    id_ = id_ or new_id()
    again = create_job(store, job_document(store, job).document, device, now, id_)
    store.append([Event(f"{id_}-of", again, "job repeated", written(now()), device, {"of": job})])
    return again


def repeats(store: Store, job: str) -> str:
    """The number of the job that this one repeats, "" if it repeats none."""
    return store.folded(job, _repeats, ("job repeated",))


def _repeats(events: Sequence[Event]) -> str:
    return str(events[-1].body["of"]) if events else ""
