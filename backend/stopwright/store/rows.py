"""Events as rows of the log: one event found, one taken down."""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from sqlite_utils import Database

from stopwright.errors import ChangedMeanwhile, StopwrightError
from stopwright.store.events import Event, body_text

SELECT = "select seq, id, job, kind, at, device, body, place from events"


def stored(db: Database, event: Event) -> Event | None:
    """The event that was stored under this id, None if there is none; StopwrightError if that one says otherwise."""
    row = db.execute(f"{SELECT} where id = ?", [event.id]).fetchone()
    if row is None:
        return None
    known = event_of(row)
    if known is None:
        raise StopwrightError(f"the event {event.id} is damaged in the log", next_step="bring back a good copy")
    if (known.job, known.kind, known.body) != (event.job, event.kind, json.loads(body_text(event))):
        raise StopwrightError(
            f"the id {event.id} stands for another event already", next_step="load the page again and repeat the tap"
        )
    return known


def refuse_if_changed(db: Database, job: str, base: int, kinds: Sequence[str]) -> None:
    """Raises ChangedMeanwhile when an event of these kinds came to the job after seq `base`."""
    newest = db.execute(
        f"select coalesce(max(seq), 0) from events where job = ? and kind in ({', '.join('?' * len(kinds))})",
        [job, *kinds],
    ).fetchone()[0]
    if newest > base:
        raise ChangedMeanwhile(
            "somebody else has changed it since you opened it; nothing of yours was saved",
            f"job {job}" if job else "the shop",
            "load it again and repeat your change",
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
