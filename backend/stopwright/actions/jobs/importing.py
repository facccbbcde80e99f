"""Lists and jobs that people bring: looked at first, columns mapped and remembered, then taken over whole."""

import threading
from collections import OrderedDict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from hashlib import sha256

from stopwright.actions.jobs.editing import save_section, typed_rows
from stopwright.actions.jobs.keeping import create_job, job_document
from stopwright.errors import BadInput, Fault, NotFound, StopwrightError
from stopwright.intake.apart import read_apart
from stopwright.intake.draft import part_tables
from stopwright.intake.job_file import document_of_job_file, job_of_part_list, job_to_document, name_of_list
from stopwright.intake.keys import Document
from stopwright.intake.part_list import PartList, parts_from_rows, rows_as_written
from stopwright.intake.rows import Table, fields_of, read_rows
from stopwright.intake.sheet_words import reads_like_sheet
from stopwright.model.parts import Grain, Kind, Part
from stopwright.store.events import Clock, Event, new_id, utc_now, written
from stopwright.store.log import Store
from stopwright.store.run_fold import standing
from stopwright.store.whole_job import read_whole_job, take_in

MOST_WAITING = 12
MOST_CELLS_WAITING = 2_000_000
READ_HERE = 50_000
"""Characters of pasted rows that are read at once, without a process of their own."""


@dataclass(frozen=True, slots=True)
class Brought:
    """A list that was read and waits to be taken over: into `job`, or as a new job where that is ""."""

    table: Table
    job: str = ""


@dataclass(frozen=True, slots=True)
class Wish:
    """How a list is to be taken: what a bare number means, column -> field (None: guess), units, name of a new job.

    `sheets`: parts of a material that is called as sheets are, are sheets; `grain`: how that of sheets runs where the
    list does not say. Both are asked, and hold only where the list has no such column.
    """

    lengths: str = "mm"
    mapping: Mapping[str, str] | None = None
    units: int = 1
    name: str = ""
    replace: bool = False
    as_written: bool = False
    sheets: bool = False
    grain: Grain = Grain.ANY


@dataclass(frozen=True, slots=True)
class Look:
    """What would be taken over. `parts` is None where `faults` stand in the way; `remembered`: mapped as last time.

    `like_sheets` are materials that may be sheets where the list has no kinds; `asks_grain`: there are sheets, and the
    list does not say how their grain runs.
    """

    table: Table
    mapping: Mapping[str, str]
    remembered: bool
    parts: PartList | None
    faults: tuple[Fault, ...] = ()
    like_sheets: tuple[str, ...] = ()
    asks_grain: bool = False


class Waiting:
    """Lists that wait between two pages, by a token; only the newest few are kept, and none over a restart."""

    def __init__(self) -> None:
        self._lists: OrderedDict[str, Brought] = OrderedDict()
        self._lock = threading.Lock()

    def put(self, brought: Brought) -> str:
        """The token under which the list waits."""
        token = new_id()
        with self._lock:
            self._lists[token] = brought
            while len(self._lists) > 1 and (len(self._lists) > MOST_WAITING or self._cells() > MOST_CELLS_WAITING):
                self._lists.popitem(last=False)
        return token

    def get(self, token: str) -> Brought:
        """The list that waits. Raises NotFound when it does no longer."""
        with self._lock:
            if token in self._lists:
                return self._lists[token]
        raise NotFound("this list no longer waits here", next_step="upload it again")

    def _cells(self) -> int:
        return sum(len(row.cells) for brought in self._lists.values() for row in brought.table.rows)


def bring(store: Store, source: bytes | str, name: str, device: str, job: str = "") -> str | Brought:
    """The list to look at; or, for a job file or a job export, the number of the job it was taken in as.

    Raises BadInput for what cannot be read, StopwrightError when there is nothing or it does not belong here.
    """
    if not source:
        raise StopwrightError("there is nothing to read", next_step="choose a file, or paste rows with their header")
    is_job = name.lower().endswith((".toml", ".json"))
    if not (is_job and isinstance(source, bytes)):
        if isinstance(source, str) and len(source) <= READ_HERE:
            return Brought(read_rows(source, name), job)
        return Brought(read_apart(read_rows, source, name, file=name or "pasted rows"), job)
    if job:
        raise StopwrightError("a job file is a job of its own", name, "upload it from the list of jobs")
    if name.lower().endswith(".json"):
        text = source.decode("utf-8", "replace")
        return take_in(store, read_apart(read_whole_job, text, name, utc_now(), file=name)).job
    return create_job(store, read_apart(document_of_job_file, source, name, file=name), device)


def look_at(store: Store, brought: Brought, wish: Wish) -> Look:
    """What the list would come to with this mapping; without one, with that kept for such a list, else the guess."""
    table = brought.table
    kept = store.folded("", _mappings).get(signature(table)) if wish.mapping is None else None
    told = wish.mapping if wish.mapping is not None else kept or {}
    mapping = fields_of(table.columns, table.rows, told)
    try:
        parts = parts_from_rows(table, wish.lengths, told, wish.units, _taken(store, brought, wish))
    except BadInput as bad:
        return Look(table, mapping, kept is not None, None, bad.faults)
    like = sorted({part.material for part in parts.parts if reads_like_sheet(part.material)})
    like = [] if "kind" in mapping.values() else like
    parts = replace(parts, parts=tuple(_as_asked(part, like, mapping, wish) for part in parts.parts))
    asks = "grain" not in mapping.values() and any(part.kind is Kind.SHEET for part in parts.parts)
    return Look(table, mapping, kept is not None, parts, like_sheets=tuple(like), asks_grain=asks)


def take_over(store: Store, brought: Brought, wish: Wish, device: str, base: int = 0, now: Clock = utc_now) -> str:
    """The number of the job that holds the list now; how its columns were mapped is kept for the next such list.

    With `as_written` faulty rows come too, to be fixed in the list. Raises BadInput for faults otherwise,
    ChangedMeanwhile when the parts of the job were changed after version `base`.
    """
    look = look_at(store, brought, wish)
    if look.parts is None and not wish.as_written:
        raise BadInput(look.faults)
    _keep_mapping(store, look, device, now)
    tables = _tables(look, wish)
    if not brought.job:
        name = " ".join(wish.name.split())[:200] or suggested_name(brought)
        document = {"name": name, "lengths": wish.lengths, "units": wish.units, "part": tables}
        return create_job(store, document, device, now)
    stands = [] if wish.replace else part_tables(typed_rows(job_document(store, brought.job).document, "part"))
    save_section(store, brought.job, {"part": [*stands, *tables]}, base, device, now)
    return brought.job


def suggested_name(brought: Brought) -> str:
    """What a job made from the list may be called: its file, in words."""
    return "New job" if brought.table.file == "pasted rows" else name_of_list(brought.table.file)


def signature(table: Table) -> str:
    """What tells lists of one source from others: a digest of their columns in order."""
    return sha256("\x1f".join(table.columns).encode()).hexdigest()


def _as_asked(part: Part, like_sheets: Collection[str], mapping: Mapping[str, str], wish: Wish) -> Part:
    if wish.sheets and part.material in like_sheets:
        part = replace(part, kind=Kind.SHEET)
    asked = part.kind is Kind.SHEET and "grain" not in mapping.values()
    return replace(part, grain=wish.grain) if asked else part


def _taken(store: Store, brought: Brought, wish: Wish) -> list[str]:
    """Marks that the list must leave alone."""
    if not brought.job or wish.replace:
        return []
    return [row["mark"] for row in typed_rows(job_document(store, brought.job).document, "part") if row.get("mark")]


def _tables(look: Look, wish: Wish) -> list[Document]:
    if look.parts is None:
        return part_tables(rows_as_written(look.table, wish.lengths, look.mapping))
    whole = job_of_part_list(look.parts, "list", wish.lengths).job
    tables: list[Document] = job_to_document(whole)["part"]
    return tables


def _keep_mapping(store: Store, look: Look, device: str, now: Clock) -> None:
    mapping = {column: look.mapping.get(column, "") for column in look.table.columns}
    if store.folded("", _mappings).get(signature(look.table)) != mapping:
        body = {"signature": signature(look.table), "mapping": mapping}
        store.append([Event(new_id(), "", "mapping kept", written(now()), device, body)])


def _mappings(events: Iterable[Event]) -> dict[str, Mapping[str, str]]:
    kept = (event for event in standing(events) if event.kind == "mapping kept")
    return {event.body["signature"]: event.body["mapping"] for event in kept}
