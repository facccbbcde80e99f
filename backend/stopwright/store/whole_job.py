"""A whole job as one file: everything that happened to it, out of one shop and into another."""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import chain
from typing import Any

from stopwright.errors import ChangedMeanwhile, NotFound, StopwrightError
from stopwright.intake.document_shape import refuse_odd
from stopwright.intake.json_text import refuse_no_document
from stopwright.store.events import Event, checked, is_job_number, moment, new_id, next_job_number
from stopwright.store.job_fold import CHANGE, SAVES, WHOLE, fold_saved, numbers_together
from stopwright.store.kinds import KINDS
from stopwright.store.log import Store
from stopwright.store.old_runs import renewed

WHAT = "whole job"
VERSION = 2
"""Version 1 held the document of the job whole with each change; it is read as well."""
AHEAD = timedelta(days=1)
"""How far the clock of another shop may be ahead of ours."""
_NEXT_STEP = "use a job export that this program wrote"


@dataclass(frozen=True, slots=True)
class Imported:
    """The number a job was given, and whether it is the one it had: then the labels on its pieces still hold."""

    job: str
    labels_hold: bool


def export_job(store: Store, job: str) -> Iterator[str]:
    """The text of a file that holds the whole job, line by line; nothing of the shop or its devices' secrets.

    Its events stand there as they count: what came late from a phone at its place. Raises NotFound at once.
    """
    events = store.as_they_count(job) if is_job_number(job) else iter(())
    first = next(events, None)
    if first is None:
        raise NotFound("there is no such job", f"job {job}", "choose one from the list of jobs")
    saved = store.folded(job, fold_saved, SAVES)
    if saved and (numbers := numbers_together(saved.document)):
        step = f"take out each of them by itself: {', '.join(numbers)}"
        raise StopwrightError("these are several jobs that are worked together, not a job", f"job {job}", step)
    return _lines(job, chain([first], events))


def _lines(job: str, events: Iterable[Event]) -> Iterator[str]:
    yield f'{{"what": "{WHAT}", "version": {VERSION}, "job": "{job}", "events": ['
    between = "\n"
    for one in events:
        row = {"id": one.id, "kind": one.kind, "at": one.at, "device": one.device, "body": one.body}
        yield between + json.dumps(row, ensure_ascii=False)
        between = ",\n"
    yield "\n]}\n"


@dataclass(frozen=True, slots=True)
class WholeJob:
    """What a file of a whole job holds, checked: the number it had there and everything that happened to it."""

    number: str
    events: tuple[Event, ...]


def read_whole_job(text: str, file: str, now: datetime) -> WholeJob:
    """The whole job in a text. All of it is looked at before any of it comes in.

    Raises StopwrightError that says which of its events is wrong: one of a kind or with a body that no log takes, a
    document that no editor makes, one that happened after tomorrow by our clock.
    """
    refuse_no_document(text, file)
    whole = json.loads(text)
    if not isinstance(whole, dict) or whole.get("what") != WHAT or not isinstance(whole.get("events"), list):
        raise StopwrightError("this is not a job export", file, _NEXT_STEP)
    if whole.get("version") not in (1, VERSION):
        raise StopwrightError("this job export was written by a newer version", file, "install the newest version")
    if not is_job_number(whole.get("job")):
        raise StopwrightError("it has no valid job number", file, _NEXT_STEP)
    events = tuple(_event(row, f"{file}, event {place}", now) for place, row in enumerate(whole["events"], start=1))
    saved = fold_saved(events)
    if saved is None or saved.since is None:
        raise StopwrightError("the job itself is not in this file, or not whole", file, _NEXT_STEP)
    return WholeJob(whole["job"], events)


def take_in(store: Store, whole: WholeJob) -> Imported:
    """Takes a whole job in under its own number if that is free, else under the lowest one; all of it or nothing.

    Events get new ids, so that the same file can come in twice, as two jobs; what undoes an event follows it. The
    versions that documents were based on belong to the old log and are dropped. Raises StopwrightError.
    """
    while True:
        taken = store.newest()
        job = whole.number if whole.number not in taken else next_job_number(taken)
        try:
            store.append(_renamed(whole.events, job), base=0, kinds=tuple(KINDS))
        except ChangedMeanwhile:
            continue  # somebody else took the number
        return Imported(job, job == whole.number)


def _event(row: Any, where: str, now: datetime) -> Event:
    if not isinstance(row, Mapping):
        raise StopwrightError("this is not an event", where, _NEXT_STEP)
    id_, kind, at, device, body = (row.get(field, "") for field in ("id", "kind", "at", "device", "body"))
    try:
        event = checked(Event(id_, "1", kind, at, device, renewed(kind, body) if isinstance(body, dict) else body))
    except StopwrightError as error:
        raise StopwrightError(error.what, where, _NEXT_STEP) from error
    if moment(event.at) > now + AHEAD:
        step = "set the clock of this machine right if it is behind, or use a file that export-job wrote"
        raise StopwrightError(f"it happened on {event.at[:10]}, which is in the future", where, step)
    if kind in SAVES:
        document = event.body["document"] if kind == WHOLE else _put_in(event.body["change"])
        if numbers_together(document):
            what = "these are several jobs that are worked together, not a job"
            raise StopwrightError(what, where, "import each of the jobs by itself")
        refuse_odd(document, where)
    return event


def _put_in(change: Mapping[str, Any]) -> dict[str, Any]:
    """What a change puts into the document."""
    rows = {key: [row for _, _, put in several for row in put] for key, several in change.get("rows", {}).items()}
    return {**change.get("set", {}), **rows}


_NAMES = {"undo": "event", CHANGE: "after"}
"""The kinds that name another event, and where."""


def _renamed(events: Sequence[Event], job: str) -> list[Event]:
    """The events under new ids; what undoes or follows an event names the new one.

    A job that comes by itself shares its taps with none.
    """
    family = new_id()
    named = {event.id for event in events}
    named |= {event.body[_NAMES[event.kind]] for event in events if event.kind in _NAMES}
    new = {id_: f"{family}-{place:07}" for place, id_ in enumerate(sorted(named))}
    renamed = []
    for event in events:
        body = {key: value for key, value in event.body.items() if key != "tap"}
        if event.kind in _NAMES:
            body[_NAMES[event.kind]] = new[body[_NAMES[event.kind]]]
        if event.kind == WHOLE:
            body["base"] = 0
        renamed.append(replace(event, id=new[event.id], job=job, body=body))
    return renamed
