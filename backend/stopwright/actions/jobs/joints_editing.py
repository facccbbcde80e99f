"""Joints, mitres, mouldings and cuts as they are typed at the bench: rows kept, and all that can be read of them."""

from collections.abc import Collection, Mapping
from dataclasses import MISSING, dataclass, fields
from typing import Any, get_args, get_origin

from stopwright.actions.jobs.editing import document_at, save_section
from stopwright.actions.jobs.keeping import job_document
from stopwright.errors import NotFound, StopwrightError
from stopwright.intake.documents import Reading
from stopwright.intake.draft import TABLES, CellFault, read_draft, whole_number
from stopwright.intake.keys import Document, is_length, keys_of
from stopwright.model.job import Job
from stopwright.model.joints import Joint
from stopwright.model.parts import free_marks
from stopwright.model.things import Opening
from stopwright.plan.making.known import THINGS
from stopwright.plan.operations.known import CUTS
from stopwright.store.events import Clock, utc_now
from stopwright.store.log import Store

SHAPES = ("joint", "mitre", "moulding", *CUTS)
"""What is edited on the page of joints: lists of the job's document."""
_MADE_FROM_FIELDS = {**CUTS, **THINGS}
"""Kinds whose entries are made from the fields of their dataclasses."""
_LETTERS = {"joint": "J", "moulding": "P"} | {name: kind.letter for name, kind in _MADE_FROM_FIELDS.items()}
_WHOLE = ("count", "repeat", "sides")
_MOST_ROWS = 500


@dataclass(frozen=True, slots=True)
class Readable:
    """All of a job that can be read: `kept` says for each list which of its rows are in it, in order."""

    job: Job
    kept: Mapping[str, tuple[int, ...]]

    def thing(self, table: str, row: int) -> Any:
        """The joint, mitre, moulding or cut of a row; None where it cannot be read yet."""
        rows = self.kept[table]
        cuts = {name: tuple(cut for cut in self.job.cuts if cut.kind == name) for name in CUTS}
        things = ({"joint": self.job.joints, "mitre": self.job.mitres, "moulding": self.job.mouldings} | cuts)[table]
        return things[rows.index(row)] if row in rows else None


def rows_of(document: Mapping[str, Any], table: str) -> list[Document]:
    """The rows of a list as they stand, faulty or not."""
    rows = document.get(table, [])
    return [dict(row) for row in rows if isinstance(row, Mapping)] if isinstance(rows, list) else []


def typed_row(row: Mapping[str, Any], lists: Collection[str] = ()) -> Document:
    """A typed row as a row of the document: empty fields left out, whole numbers and ticks read where they can be.

    Fields in `lists` hold several values with ; between them.

    >>> typed_row({"mark": "J1", "count": "2", "mitred": "yes", "drop": " ", "slot_from": "1 1/2"})
    {'mark': 'J1', 'count': 2, 'mitred': True, 'slot_from': '1 1/2'}
    """
    table: Document = {}
    for field, value in row.items():
        if isinstance(value, str):
            value = " ".join(value.split())
            if field in lists:
                table[field] = [one.strip() for one in value.split(";") if one.strip()]
                continue
            value = whole_number(value) if field in _WHOLE else value
            value = True if field == "mitred" and value == "yes" else value
        elif isinstance(value, list):
            value = [typed_row(one) if isinstance(one, Mapping) else one for one in value]
            value = [one for one in value if one not in ("", {})]
        if value not in ("", None, []):
            table[field] = value
    return table


def typed_thing(row: Mapping[str, Any], table: str) -> Document:
    """A typed row of a kind of thing as a row of the document: what is ticked or counted read as what it is.

    A box that is not ticked is sent by no form; it is false where it is true unless it is said.

    >>> row = {"mark": "D", "count": "2", "opening": [{"number": "3", "width": "449; 448.5"}, {"width": ""}]}
    >>> typed_thing(row, "drawer")["opening"], typed_thing(row, "drawer")["lowered"]
    ([{'number': 3, 'width': ['449', '448.5']}], False)
    """
    kind = THINGS[table]
    typed = typed_row({name: value for name, value in row.items() if name != "opening"}, lists_of(table))
    usual = {field.name: field.default for field in fields(kind)}
    for name, key in keys_of(kind).items():
        if key.kind is bool:
            ticked = typed.pop(name, None) == "yes"
            typed |= {} if ticked is usual[key.field] else {name: ticked}
        elif key.kind is int and name in typed:
            typed[name] = whole_number(typed[name])
    openings = row.get("opening", [])
    lists = [name for name, key in keys_of(Opening).items() if get_origin(key.kind) is tuple]
    rows = [typed_row(one, lists) for one in openings if isinstance(one, Mapping)] if isinstance(openings, list) else []
    rows = [{name: value for name, value in one.items() if value != []} for one in rows]
    measured = [one | {"number": whole_number(one["number"])} if "number" in one else one for one in rows if one]
    return typed | ({"opening": measured} if measured else {})


def with_row(document: Mapping[str, Any], table: str, row: int, typed: Mapping[str, Any]) -> Document:
    """The document with one row as it is typed. Raises NotFound for a row that is not there."""
    rows = rows_of(document, _known(table))
    if not 0 <= row < len(rows):
        raise NotFound("this entry no longer exists", f"{table} {row + 1}", "reload the page")
    rows[row] = typed_thing(typed, table) if table in THINGS else typed_row(typed, lists_of(table))
    return {**document, table: rows}


def lists_of(table: str) -> tuple[str, ...]:
    """The fields of a cut or thing that hold several lengths."""
    if table not in _MADE_FROM_FIELDS:
        return ()
    kinds = ((name, key.kind) for name, key in keys_of(_MADE_FROM_FIELDS[table]).items())
    return tuple(name for name, kind in kinds if get_origin(kind) is tuple and is_length(get_args(kind)[0]))


def save_row(
    store: Store,
    job: str,
    table: str,
    row: int,
    typed: Mapping[str, Any],
    base: int,
    device: str,
    now: Clock = utc_now,
) -> int:
    """The version that holds the row as typed, faulty or not. Raises ChangedMeanwhile, NotFound."""
    document = with_row(document_at(store, job, base), table, row, typed)
    return save_section(store, job, {table: document[table]}, base, device, now)


def add_row(store: Store, job: str, table: str, like: int | None, device: str, now: Clock = utc_now) -> int:
    """The number of a new row at the end of the list, a copy of row `like` under a free mark where one is given."""
    saved = job_document(store, job)
    rows = rows_of(saved.document, _known(table))
    if len(rows) >= _MOST_ROWS:
        raise StopwrightError(f"there are {_MOST_ROWS} of them already", next_step="divide the job")
    new = dict(rows[like]) if like is not None and 0 <= like < len(rows) else _first_guess(table)
    if table in THINGS:
        new.pop("opening", None)  # a copy stands in openings of its own
    if table in _LETTERS:
        new = {"mark": _free_mark(rows, _LETTERS[table])} | {key: value for key, value in new.items() if key != "mark"}
    save_section(store, job, {table: [*rows, new]}, saved.version, device, now)
    return len(rows)


def delete_row(store: Store, job: str, table: str, row: int, base: int, device: str, now: Clock = utc_now) -> int:
    """Takes a row out and returns the version in which it still stood, for `put_back`.

    `base` is the version in which the row was seen. Raises ChangedMeanwhile, so that no other row goes in its place.
    """
    rows = rows_of(document_at(store, job, base), _known(table))
    if not 0 <= row < len(rows):
        raise NotFound("this entry no longer exists", f"{table} {row + 1}", "reload the page")
    before = job_document(store, job).version
    save_section(store, job, {table: [*rows[:row], *rows[row + 1 :]] or None}, base, device, now)
    return before


def put_back(store: Store, job: str, table: str, version: int, device: str, now: Clock = utc_now) -> None:
    """Makes a list again what it was in an earlier version. Raises NotFound."""
    before = document_at(store, job, version)
    current = job_document(store, job)
    save_section(store, job, {_known(table): before.get(table)}, current.version, device, now)


def readable(document: Mapping[str, Any]) -> Readable | None:
    """All of a document that can be read as a job, faulty rows and settings left out; None without a single part."""
    rest: Document = {"name": "Job", **document}
    tables = {name: rows_of(document, name) for name in TABLES}
    marks = free_marks([str(part.get("mark") or "") for part in tables["part"]])
    tables["part"] = [{**part, "mark": mark} for part, mark in zip(tables["part"], marks, strict=True)]
    kept = {name: list(range(len(rows))) for name, rows in tables.items()}
    for _ in range(20):
        read = read_draft({**rest, **{name: [tables[name][row] for row in kept[name]] for name in TABLES}})
        if read.job:
            return Readable(read.job, {name: tuple(rows) for name, rows in kept.items()})
        bad = {(fault.table, kept[fault.table][fault.row]) for fault in read.faults if _has_row(fault, kept)}
        kept = {name: [row for row in rows if (name, row) not in bad] for name, rows in kept.items()}
        for fault in read.faults:
            if not fault.table:
                rest.pop(fault.field.split()[0], None)
        if not any(kept[name] for name in ("part", *THINGS)):
            return None
    return None


def faults_in(document: Mapping[str, Any], table: str, row: int) -> tuple[CellFault, ...]:
    """What is wrong with one row, field by field."""
    return tuple(fault for fault in read_draft(document).faults if (fault.table, fault.row) == (table, row))


def joint_values(row: Mapping[str, Any], unit: str) -> dict[str, Any]:
    """What can be read of a joint already, field by field, lengths in nm."""
    missing = [key for key in keys_of(Joint) if key not in row]
    return Reading("", unit=unit).values(Joint, row, (), given=missing)


def _known(table: str) -> str:
    if table not in (*SHAPES, *THINGS):
        raise NotFound("there is no such list", table, "choose joints, mitres, mouldings, a kind of cut or a thing")
    return table


def _has_row(fault: CellFault, kept: Mapping[str, list[int]]) -> bool:
    return fault.table in kept and 0 <= fault.row < len(kept[fault.table])


def _free_mark(rows: list[Document], letter: str) -> str:
    taken = {str(row.get("mark")) for row in rows}
    return next(mark for number in range(1, len(rows) + 2) if (mark := f"{letter}{number}") not in taken)


def _first_guess(table: str) -> Document:
    """What a new row begins with: nothing a person would have to take back."""
    if table == "mitre":
        return {"sides": 4}
    if table == "moulding":
        return {"edges": ["edge"], "pass": [{}]}
    if table not in _MADE_FROM_FIELDS:
        return {}
    several = [name for name, key in keys_of(_MADE_FROM_FIELDS[table]).items() if get_origin(key.kind) is tuple]
    guessed = {}
    for field in fields(_MADE_FROM_FIELDS[table]):
        name, among = field.name.rstrip("_"), field.metadata["words"].among
        if among and field.default is MISSING and name not in several:
            guessed[name] = str(among[0])
    return guessed
