"""A whole job as one file: everything that happened to it, out of one shop and into another."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from stopwright.errors import ChangedMeanwhile, NotFound, StopwrightError
from stopwright.store.events import Event, checked, in_order, is_job_number, new_id, next_job_number
from stopwright.store.kinds import KINDS
from stopwright.store.log import Store
from stopwright.store.old_runs import renewed

WHAT = "whole job"
VERSION = 1
_NEXT_STEP = "bring a file that this program wrote as a whole job"


@dataclass(frozen=True, slots=True)
class Imported:
    """The number a job was given, and whether it is the one it had: then the labels on its pieces still hold."""

    job: str
    labels_hold: bool


def export_job(store: Store, job: str) -> str:
    """The text of a file that holds the whole job, nothing of the shop or its devices' secrets. Raises NotFound.

    Its events stand there as they count: what came late from a phone at its place.
    """
    events = sorted(store.events(job) if is_job_number(job) else [], key=in_order)
    if not events:
        raise NotFound("there is no such job", f"job {job}", "choose one from the list of jobs")
    rows = [{"id": one.id, "kind": one.kind, "at": one.at, "device": one.device, "body": one.body} for one in events]
    return json.dumps({"what": WHAT, "version": VERSION, "job": job, "events": rows}, ensure_ascii=False, indent=1)


def import_job(store: Store, text: str) -> Imported:
    """Takes a whole job in under its own number if that is free, else under the next one; all of it or nothing.

    Events get new ids, so that the same file can come in twice, as two jobs; what undoes an event follows it. The
    versions that documents were based on belong to the old log and are dropped. Raises StopwrightError.
    """
    wanted, events = _read(text)
    while True:
        taken = {one.job for one in store.newest()}
        job = wanted if is_job_number(wanted) and wanted not in taken else next_job_number(taken)
        try:
            store.append(_renamed(events, job), base=0, kinds=tuple(KINDS))
        except ChangedMeanwhile:
            continue  # somebody else took the number
        return Imported(job, job == wanted)


def _read(text: str) -> tuple[str, list[Event]]:
    try:
        whole = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise StopwrightError("this is no whole job", next_step=_NEXT_STEP) from error
    if not isinstance(whole, dict) or whole.get("what") != WHAT or not isinstance(whole.get("events"), list):
        raise StopwrightError("this is no whole job", next_step=_NEXT_STEP)
    if whole.get("version") != VERSION:
        raise StopwrightError("this whole job was written by a newer version", next_step="install the newest version")
    events = [_event(row) for row in whole["events"]]
    if not any(event.kind == "job saved" for event in events):
        raise StopwrightError("the job itself is not in this file", next_step=_NEXT_STEP)
    return str(whole.get("job", "")), events


def _event(row: Any) -> Event:
    if not isinstance(row, Mapping):
        raise StopwrightError("this is no whole job", next_step=_NEXT_STEP)
    id_, kind, at, device, body = (row.get(field, "") for field in ("id", "kind", "at", "device", "body"))
    return checked(Event(id_, "1", kind, at, device, renewed(kind, body) if isinstance(body, dict) else body))


def _renamed(events: list[Event], job: str) -> list[Event]:
    """The events under new ids; what undoes an event names the new one."""
    family = new_id()
    named = {event.id for event in events} | {event.body["event"] for event in events if event.kind == "undo"}
    new = {id_: f"{family}-{place:07}" for place, id_ in enumerate(sorted(named))}
    renamed = []
    for event in events:
        body = dict(event.body)
        if event.kind == "undo":
            body["event"] = new[body["event"]]
        if event.kind == "job saved":
            body["base"] = 0
        renamed.append(replace(event, id=new[event.id], job=job, body=body))
    return renamed
