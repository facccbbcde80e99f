"""A tap on the run sheet of several jobs: each job whose pieces it concerns gets its share into its own log."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, TypeGuard

from stopwright.errors import StopwrightError
from stopwright.store.job_fold import SAVES, fold_ever_together
from stopwright.store.log import Store

OF_A_PIECE = ("piece cut", "piece spoiled")
_NEXT_STEP = "reload the page; if it happens again, the page and the program are of different versions"


@dataclass(frozen=True, slots=True)
class SentShare:
    """A tap as it goes to one job: whose, and what is taken down there."""

    job: str
    sent: Any


def ever_together(store: Store, job: str) -> Collection[str]:
    """The numbers of all jobs that were ever worked together under this number; none for one job.

    A phone that was off the network still sends what was tapped for one that has left.
    """
    return store.folded(job, fold_ever_together, SAVES)


def shares_of_tap(store: Store, sent: Any, job: str, several: Collection[str]) -> Sequence[SentShare]:
    """What a device sent, as it goes to the log of each job that it concerns; one job gets it as it is.

    On a sheet of several, `shares` of the tap says whose it is, {job, run, mark}: the run, and for pieces the mark, as
    the job has them by itself. Raises StopwrightError for a tap that does not say so.
    """
    if not isinstance(sent, Mapping):
        return [SentShare(job, sent)]
    body = sent.get("body")
    if not isinstance(body, dict):
        return [SentShare(job, sent)]
    if "tap" in body:
        raise StopwrightError("a share of a tap is not tapped", next_step=_NEXT_STEP)
    if not several:
        return [SentShare(job, sent)]
    id_, kind, shares = sent.get("id"), sent.get("kind"), sent.get("shares")
    if not isinstance(id_, str) or not _are_shares(shares, several) or (kind in OF_A_PIECE and len(shares) > 1):
        raise StopwrightError("this tap does not say of which jobs it is", next_step=_NEXT_STEP)
    if "piece" in body:
        raise StopwrightError("a piece with its own name belongs to one job", next_step="tap it on the page of its job")
    if kind == "undo":
        return _undoing(store, sent, str(body.get("event", "")), [share["job"] for share in shares])
    named = ("run", "mark") if "mark" in body else ("run",)
    return _shared(
        sent, [(share["job"], {**body, **{key: share.get(key) for key in named}, "tap": id_}) for share in shares]
    )


def share_id(tap: str, job: str) -> str:
    """The id of the event that is a job's share of a tap, but for the first job: that share has the tap's own id."""
    return sha256(f"{tap} {job}".encode()).hexdigest()[:32]


def _undoing(store: Store, sent: Mapping[str, Any], tap: str, jobs: Sequence[str]) -> Sequence[SentShare]:
    """The undo of a tap in the logs that have it; one that is still on its way is undone wherever it may come to."""
    ids = [(job, id_) for job in jobs for id_ in (tap, share_id(tap, job))]
    found = [(job, id_) for job, id_ in ids if (event := store.event(id_)) and event.job == job]
    return _shared(sent, [(job, {"event": id_, "tap": sent["id"]}) for job, id_ in found or ids])


def _shared(sent: Mapping[str, Any], bodies: Sequence[tuple[str, Mapping[str, Any]]]) -> Sequence[SentShare]:
    """A tap as it goes to each of these jobs, the first under its own id."""
    kept = {"kind": sent.get("kind"), "at": sent.get("at", "")}
    ids = [share_id(sent["id"], f"{job} {body['event']}" if "event" in body else job) for job, body in bodies]
    return [
        SentShare(job, {"id": id_ if place else sent["id"], **kept, "body": dict(body)})
        for place, ((job, body), id_) in enumerate(zip(bodies, ids, strict=True))
    ]


def _are_shares(shares: Any, several: Collection[str]) -> TypeGuard[list[Mapping[str, Any]]]:
    if not isinstance(shares, list) or not 1 <= len(shares) <= len(several):
        return False
    jobs = [share.get("job") if isinstance(share, Mapping) else None for share in shares]
    known = all(isinstance(job, str) and job in several for job in jobs)
    return known and len(set(jobs)) == len(jobs)
