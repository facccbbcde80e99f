"""Events as rows of the log: one event found, one taken down."""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from sqlite_utils import Database

from stopwright.errors import ChangedMeanwhile, StopwrightError
from stopwright.store.events import Event, body_text

JOBS = """
    with recursive jobs (job) as (
        select min(job) from events where job > ''
        union all
        select (select min(job) from events where events.job > jobs.job) from jobs where jobs.job is not null
    )
"""
"""The jobs of the log, looked up one after the other: a log of many events has few jobs."""

AS_THEY_COUNT = "iif(place, place, seq), place > 0, iif(place, at, ''), seq"
"""`events.in_order`, of what is stored."""

SELECT = "select seq, id, job, kind, at, device, body, place from events"


class Newest(NamedTuple):
    """The newest event of a job, or of some kinds: its seq and its time."""

    seq: int
    at: str


def newest_of_each_job(db: Database, kinds: Sequence[str]) -> dict[str, Newest]:
    """By job, the newest of its events, or of those of `kinds`."""
    one = "(select max(seq) from events where job = jobs.job)"
    if kinds:
        each = ["select max(seq) as newest from events where kind = ? and job = jobs.job" for _ in kinds]
        one = f"(select max(newest) from ({' union all '.join(each)}))"
    found = f"select jobs.job as job, {one} as seq from jobs where jobs.job is not null"
    rows = db.execute(
        f"{JOBS} select found.job, events.seq, at from ({found}) found join events using (seq)", list(kinds)
    )
    return {job: Newest(seq, at) for job, seq, at in rows}


def stored(db: Database, event: Event) -> Event | None:
    """The event that was stored under this id, None if there is none; StopwrightError if that one says otherwise."""
    row = db.execute(f"{SELECT} where id = ?", [event.id]).fetchone()
    if row is None:
        return None
    known = event_of(row)
    if known is None:
        raise StopwrightError(f"the event {event.id} is damaged in the log", next_step="restore a good copy")
    if (known.job, known.kind, known.body) != (event.job, event.kind, json.loads(body_text(event))):
        raise StopwrightError(
            f"the id {event.id} stands for another event already", next_step="reload the page and repeat the tap"
        )
    return known


def refuse_if_changed(db: Database, job: str, base: int, kinds: Sequence[str]) -> None:
    """Raises ChangedMeanwhile when an event of these kinds came to the job after seq `base`, a damaged one left out."""
    newest = db.execute(
        "select coalesce(max(seq), 0) from events where job = ? and json_valid(body)"
        f" and kind in ({', '.join('?' * len(kinds))})",
        [job, *kinds],
    ).fetchone()[0]
    if newest > base:
        raise ChangedMeanwhile(
            "somebody else has changed it since you opened it; nothing of yours was saved",
            f"job {job}" if job else "the shop",
            "reload it and repeat your change",
        )


def insert(db: Database, event: Event) -> Event:
    """Takes one event down. `do nothing` looks at the id only: a row wanting a field still fails loudly."""
    row = db.execute(
        "insert into events (id, job, kind, at, device, body, place) values (?, ?, ?, ?, ?, ?, ?)"
        " on conflict (id) do nothing returning seq",
        [event.id, event.job, event.kind, event.at, event.device, body_text(event), event.place],
    ).fetchone()
    if row is None:  # the same id twice in one call
        known = stored(db, event)
        assert known is not None
        return known
    return replace(event, seq=row[0])


def event_of(row: tuple[Any, ...]) -> Event | None:
    """The event that a row of `SELECT` holds; None where a damaged disk has made something else of it."""
    seq, id_, job, kind, at, device, body, place = row
    try:
        told = json.loads(body)
        "".join((id_, job, kind, at, device, body)).encode()
    except ValueError:
        return None
    return Event(id_, job, kind, at, device, told, seq, place) if isinstance(told, dict) else None


def events_of(rows: Iterable[tuple[Any, ...]]) -> Iterator[Event]:
    """The events of rows, those left out that cannot be read."""
    return (event for row in rows if (event := event_of(row)))
