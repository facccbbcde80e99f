"""Editing a job at the bench: sections of its document saved on their own, and how a draft of one reads."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from stopwright.actions.jobs.keeping import job_document, save_job
from stopwright.errors import BadInput, ChangedMeanwhile, NotFound
from stopwright.intake.draft import (
    CellFault,
    Typed,
    hardware_readings,
    hardware_tables,
    part_readings,
    part_tables,
    plain_rows,
    read_draft,
    sound,
    stock_readings,
    stock_rows,
    stock_tables,
    whole_number,
)
from stopwright.intake.keys import Document
from stopwright.intake.part_list import rows_as_written
from stopwright.intake.rows import read_rows
from stopwright.intake.said_units import units_said
from stopwright.model.job import Job
from stopwright.plan.operations.known import CUTS
from stopwright.store.events import Clock, new_id, utc_now
from stopwright.store.job_fold import SAVES, fold_saved
from stopwright.store.log import Store

SETTINGS = ("name", "lengths", "units", "flow", "glue")
"""What of a job is set beside its part list."""
TABLES = {
    "part": (part_tables, part_readings, plain_rows),
    "stock": (stock_tables, stock_readings, stock_rows),
    "hardware": (hardware_tables, hardware_readings, plain_rows),
}
"""The lists that are edited like a spreadsheet: how their rows are read, what they read as, and the way back."""

NAMING: Mapping[str, tuple[str, ...]] = {"joint": ("post", "rail"), "mitre": ("part",), "moulding": ("parts",)} | {
    name: kind.naming() for name, kind in CUTS.items()
}
"""What names parts by their marks."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A list of a job as it stands in the editor: its settings (None: not edited here) and typed rows.

    `marks` says old -> new of parts that were given another mark: whatever names them follows.
    """

    table: str
    rows: Sequence[Mapping[str, Any]]
    settings: Mapping[str, Any] | None = None
    marks: Mapping[str, str] = field(default_factory=dict)

    def section(self, document: Mapping[str, Any]) -> Document:
        """The keys of the job's document that the draft stands for; an empty setting stands for nothing.

        Where a bare number comes to mean another unit, every length of the job that is there already says its own.
        """
        tables_of, _, _ = TABLES[self.table]
        section: Document = {self.table: tables_of(self.rows)} | renamed(document, self.marks)
        if self.changes_unit(document):
            section = units_said({**document, **section}, _unit_of(document))
        for key in SETTINGS if self.settings is not None else ():
            value = sound(str((self.settings or {}).get(key, "")))
            section[key] = (whole_number(value) if key == "units" else value) or None
        return section

    def changes_unit(self, document: Mapping[str, Any]) -> bool:
        """Whether a bare number means another unit with this draft."""
        return self.settings is not None and self.settings.get("lengths") not in (None, _unit_of(document))


@dataclass(frozen=True, slots=True)
class DraftAnswer:
    """What the bench says to a draft: every fault of the whole job, how cells read, and the job if it has no fault.

    `rows` are those of the draft where they were written anew: with their unit, when a bare number means another one.
    """

    faults: tuple[CellFault, ...]
    readings: list[Typed]
    job: Job | None
    rows: list[Typed] | None = None


def check_draft(store: Store, job: str, draft: Draft) -> DraftAnswer:
    """How a draft reads within its job; nothing is saved. Raises NotFound."""
    document = job_document(store, job).document
    return answer_to(with_section(document, draft.section(document)), draft.table)


def answer_to(document: Mapping[str, Any], table: str) -> DraftAnswer:
    """How a document reads, with the cells of one of its lists."""
    read = read_draft(document)
    rows = document.get(table, [])
    _, readings_of, _ = TABLES[table]
    readings = readings_of(rows, str(document.get("lengths", "mm"))) if isinstance(rows, list) else []
    return DraftAnswer(read.faults, readings, read.job)


def typed_rows(document: Mapping[str, Any], table: str) -> list[Typed]:
    """The rows of a list of the job as they are typed."""
    _, _, rows_of = TABLES[table]
    return rows_of(document.get(table, []))


def pasted_rows(text: str, lengths: str) -> list[Typed] | None:
    """Pasted rows by the columns that their own header names, None where they have no header that is understood.

    >>> pasted_rows("Qty\\tPart\\tL\\n4\\tLeg\\t450", "mm"), pasted_rows("4\\tLeg\\t450", "mm")
    ([{'quantity': '4', 'name': 'Leg', 'length': '450'}], None)
    """
    try:
        table = read_rows(text)
    except BadInput:
        return None
    return rows_as_written(table, lengths) if table.header_row and len(table.guess) > 1 else None


def save_draft(
    store: Store, job: str, draft: Draft, base: int, device: str, now: Clock = utc_now, id_: str = ""
) -> tuple[int, DraftAnswer]:
    """The version that holds the draft, faulty or not, and what is said to it. As `save_section`."""
    stood = job_document(store, job).document
    section = draft.section(stood)
    version = save_section(store, job, section, base, device, now, id_)
    answer = answer_to(job_document(store, job).document, draft.table)
    return version, replace(answer, rows=typed_rows(section, draft.table)) if draft.changes_unit(stood) else answer


def _unit_of(document: Mapping[str, Any]) -> str:
    return str(document.get("lengths", "mm"))


def save_section(
    store: Store,
    job: str,
    section: Mapping[str, Any],
    base: int,
    device: str,
    now: Clock = utc_now,
    id_: str = "",
) -> int:
    """The version of the job that holds these keys of its document; None takes a key out. Other keys stay.

    Two windows that edit different sections of a job do not disturb each other. ChangedMeanwhile when one of
    these keys was changed after version `base`; NotFound. The same id again changes nothing.
    """
    id_ = id_ or new_id()
    while True:
        made = store.event(id_)
        if made:
            return made.seq
        current = job_document(store, job)
        if base != current.version:
            _refuse_changed(document_at(store, job, base), current.document, section)
        document = with_section(current.document, section)
        if document == current.document:
            return current.version
        try:
            return save_job(store, job, document, current.version, device, now, id_)
        except ChangedMeanwhile:
            continue  # another section was saved in between, or this one: look again


def with_section(document: Mapping[str, Any], section: Mapping[str, Any]) -> Document:
    """The document with these keys replaced, and those that are None taken out."""
    return {key: value for key, value in {**document, **section}.items() if value is not None}


def renamed(document: Mapping[str, Any], marks: Mapping[str, str]) -> Document:
    """The lists that name parts by a mark that has changed, with the new one."""
    changed: Document = {}
    for table, names in NAMING.items():
        rows = document.get(table)
        if isinstance(rows, list):
            after = [_follow(row, names, marks) if isinstance(row, Mapping) else row for row in rows]
            changed |= {table: after} if after != rows else {}
    return changed


def _follow(row: Mapping[str, Any], names: Sequence[str], marks: Mapping[str, str]) -> Document:
    def new(named: Any) -> Any:
        return [new(one) for one in named] if isinstance(named, list) else marks.get(str(named), named)

    return {key: new(value) if key in names else value for key, value in row.items()}


def document_at(store: Store, job: str, version: int) -> Mapping[str, Any]:
    """The document of one version of the job. Raises NotFound."""
    saved = fold_saved(event for event in store.events(job, kinds=SAVES) if event.seq <= version)
    if saved is None or saved.version != version or saved.since is None:
        raise NotFound("this version of the job is not there", f"job {job}", "reload the page")
    return saved.document


def _refuse_changed(then: Mapping[str, Any], now: Mapping[str, Any], section: Mapping[str, Any]) -> None:
    changed = [key for key in section if then.get(key) != now.get(key) and now.get(key) != section[key]]
    if changed:
        raise ChangedMeanwhile(
            "this was changed in another window meanwhile",
            ", ".join(changed),
            "look at what stands there now, then keep one of the two",
        )
