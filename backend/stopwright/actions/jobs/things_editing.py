"""Things to make as they are typed at the bench: saved with what names their parts, and lines changed by hand."""

from collections.abc import Mapping
from typing import Any

from stopwright.actions.jobs.editing import document_at, renamed, save_section
from stopwright.actions.jobs.joints_editing import rows_of, typed_row, with_row
from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.thing_answers import things_in
from stopwright.errors import NotFound
from stopwright.intake.draft import whole_number
from stopwright.intake.keys import Document
from stopwright.intake.things import CHANGED
from stopwright.model.things import CHANGEABLE
from stopwright.plan.making.known import THINGS
from stopwright.store.events import Clock, utc_now
from stopwright.store.log import Store


def save_thing(
    store: Store, job: str, table: str, row: int, typed: Mapping[str, Any], base: int, device: str, now: Clock = utc_now
) -> int:
    """The version that holds the thing as typed, faulty or not; what names its parts follows where its mark changes.

    Raises ChangedMeanwhile, NotFound.
    """
    before = document_at(store, job, base)
    after = with_row(before, table, row, typed)
    old, new = (str(rows_of(one, table)[row].get("mark", "")) for one in (before, after))
    section: Document = {table: after[table]}
    if old and new and old != new:
        marks = {part.mark: new + part.mark[len(old) :] for part in _made_of(before, table, row)}
        section |= renamed(before, marks) | {table: after[table]}
        if rows_of(before, CHANGED):
            section[CHANGED] = [_of_another(change, old, new, before) for change in rows_of(before, CHANGED)]
    return save_section(store, job, section, base, device, now)


def delete_thing(store: Store, job: str, table: str, row: int, base: int, device: str, now: Clock = utc_now) -> int:
    """Takes a thing out with what was changed of its lines; the version in which it still stood, for `put_thing_back`.

    Raises ChangedMeanwhile, NotFound.
    """
    document = document_at(store, job, base)
    rows = rows_of(document, table)
    if table not in THINGS or not 0 <= row < len(rows):
        raise NotFound("this entry no longer exists", f"{table} {row + 1}", "reload the page")
    mine = _lines_of(document, str(rows[row].get("mark", "")))
    changes = [change for change in rows_of(document, CHANGED) if str(change.get("of")) not in mine]
    before = job_document(store, job).version
    left = [*rows[:row], *rows[row + 1 :]]
    save_section(store, job, {table: left or None, CHANGED: changes or None}, base, device, now)
    return before


def put_thing_back(store: Store, job: str, table: str, version: int, device: str, now: Clock = utc_now) -> None:
    """Makes the things of a kind again what they were in an earlier version, and what was changed by hand. NotFound."""
    before = document_at(store, job, version)
    if table not in THINGS:
        raise NotFound("there is no such list", table, "choose a kind of thing")
    section = {table: before.get(table), CHANGED: before.get(CHANGED)}
    save_section(store, job, section, job_document(store, job).version, device, now)


def change_line(
    store: Store, job: str, of: str, typed: Mapping[str, str], base: int, device: str, now: Clock = utc_now
) -> int:
    """The version in which a line is changed by hand as typed; what is empty follows the thing again.

    Raises ChangedMeanwhile, and NotFound for a mark that nothing makes.
    """
    document = document_at(store, job, base)
    made = things_in(document)
    if of not in {line.mark for line in made.parts} | {cut.mark for cut in made.cuts}:
        raise NotFound(f"nothing that is made has the mark {of[:40]}", f"job {job}", "reload the page")
    rows = rows_of(document, CHANGED)
    place = next((n for n, row in enumerate(rows) if str(row.get("of")) == of), len(rows))
    stood = rows[place] if place < len(rows) else {}
    kept = {name: value for name, value in stood.items() if name not in typed and name != "of"}
    row = kept | typed_row({name: typed[name] for name in CHANGEABLE if name in typed}, ("at",))
    row = {name: value for name, value in row.items() if value not in ("", [])}
    if "quantity" in row:
        row["quantity"] = whole_number(row["quantity"])
    changed = [*rows[:place], *([{"of": of} | row] if row else []), *rows[place + 1 :]]
    return save_section(store, job, {CHANGED: changed or None}, base, device, now)


def _made_of(document: Mapping[str, Any], table: str, row: int) -> list[Any]:
    """The parts that one thing makes, none where it cannot be read."""
    mark = str(rows_of(document, table)[row].get("mark", ""))
    return [part for part in things_in(document).parts if getattr(part, "thing", "") == mark]


def _lines_of(document: Mapping[str, Any], mark: str) -> set[str]:
    """The marks of all parts and cuts that the thing of a mark makes."""
    lots = [lot for lot in things_in(document).lots if lot.thing.mark == mark]
    return {part.mark for lot in lots for part in lot.parts} | {cut.mark for lot in lots for cut in lot.cuts}


def _of_another(change: Mapping[str, Any], old: str, new: str, document: Mapping[str, Any]) -> Document:
    """A change by hand under the mark that its line has after its thing was given another."""
    of = str(change.get("of", ""))
    return {**change, "of": new + of[len(old) :]} if of in _lines_of(document, old) else dict(change)
