"""A job as it is being typed: rows of texts to tables of a document and back, every fault at its cell."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from stopwright.errors import BadInput, Fault, StopwrightError
from stopwright.intake.documents import Reading
from stopwright.intake.job_file import job_from_document
from stopwright.intake.keys import Document, keys_of
from stopwright.intake.part_cells import Habit, is_length, read_cell
from stopwright.intake.things import CHANGED
from stopwright.lengths import Show, format_length
from stopwright.model.job import Job
from stopwright.model.parts import Grain, Kind, Made, Part, Rings, free_marks
from stopwright.model.stock import Stock, StockKind
from stopwright.plan.making.known import THINGS
from stopwright.plan.operations.known import CUTS

TABLES = ("part", "joint", "stock", "hardware", "mitre", "moulding", *CUTS, *THINGS, CHANGED)
_SAID_TOGETHER: Mapping[str, Document] = {
    "planed board": {"kind": StockKind.BOARD.value, "planed": True},
    "planed offcut": {"kind": StockKind.OFFCUT.value, "planed": True},
    "offcut of a sheet": {"kind": StockKind.OFFCUT.value, "sheet": True},
}
"""Kinds of wood as one types them that are a kind and a flag in a file."""
_FLAGS = ("kind", "planed", "sheet")
STOCK_KINDS = (*StockKind, *_SAID_TOGETHER)
"""The kinds of wood as one types them."""

_ZONE = re.compile(r"(?P<start>.+?)\s+to\s+(?P<end>.+?)(?:\s+across\s+(?P<low>.+?)\s+to\s+(?P<high>.+))?", re.I)
_SHOW = {"mm": (Show.MM, Show.SIXTY_FOURTHS), "in": (Show.SIXTY_FOURTHS, Show.MM)}

Typed = dict[str, str]
"""One row as typed: field -> text, empty cells left out."""


@dataclass(frozen=True, slots=True)
class CellFault:
    """What is wrong at one place: row `row` (from 0) of a table, or with `table` "" something of the job itself."""

    table: str
    row: int
    field: str
    what: str
    next_step: str


NO_PART = "file"
"""The field of the fault that a job has no part yet."""


@dataclass(frozen=True, slots=True)
class DraftRead:
    """A document read as far as it can be: the job if it has no fault, else None and every fault."""

    job: Job | None
    faults: tuple[CellFault, ...] = ()


def read_draft(document: Mapping[str, Any]) -> DraftRead:
    """The job in a document, or all that stands in the way of it; never raises.

    >>> read_draft({"name": "Stool", "part": [{"name": "Leg", "quantity": 4, "width": 38}]}).faults[0]
    CellFault(table='part', row=0, field='length', what='is missing', next_step='fill it in')
    """
    try:
        return DraftRead(job_from_document(document, "job"))
    except BadInput as bad:
        return DraftRead(None, tuple(_at_its_cell(fault, document) for fault in bad.faults))


def part_tables(rows: Iterable[Mapping[str, Any]]) -> list[Document]:
    """Typed part rows as tables: quantities that can be read become numbers, all else stays as typed.

    >>> part_tables([{"name": "Leg", "quantity": "24 pcs", "length": "45 cm", "width": ""}])
    [{'name': 'Leg', 'quantity': 24, 'length': '45 cm'}]
    """
    return [_filled(row, {"quantity": _count, "per_unit": _count, "tolerance": _without_sign}) for row in rows]


def plain_rows(tables: object) -> list[Typed]:
    """Tables as rows to type in; the inverse of `part_tables` and `hardware_tables` for what they make."""
    return [{field: _text(value) for field, value in table.items()} for table in _tables(tables)]


def stock_tables(rows: Iterable[Mapping[str, Any]]) -> list[Document]:
    """Typed rows of wood as tables: number, price and the zones not to use are read where they can be.

    >>> stock_tables([{"kind": "board", "zone": "400 to 460; 1 m to 1.1 m across 0 to 40"}])[0]["zone"][1]
    {'start': '1 m', 'end': '1.1 m', 'low': '0', 'high': '40'}
    """
    tables = []
    for row in rows:
        table = _filled(row, {"quantity": _count, "price": _price, "zone": _zones})
        tables.append(table | _SAID_TOGETHER.get(str(table.get("kind", "")).lower().strip(), {}))
    return tables


def stock_rows(tables: object) -> list[Typed]:
    """Tables of wood as rows to type in; the inverse of `stock_tables`."""
    rows = []
    for table in _tables(tables):
        row = {field: _text(value) for field, value in table.items() if field not in ("sheet", "zone", "planed")}
        flags = {"kind": StockKind.BOARD.value} | {field: table[field] for field in _FLAGS if field in table}
        said = next((said for said, meant in _SAID_TOGETHER.items() if meant.items() <= flags.items()), None)
        row |= {"kind": said} if said else {}
        if "zone" in table:
            row["zone"] = _zones_text(table["zone"])
        rows.append(row)
    return rows


def hardware_tables(rows: Iterable[Mapping[str, Any]]) -> list[Document]:
    """Typed rows of hardware as tables.

    >>> hardware_tables([{"name": "Knob", "count": "2 pcs", "note": " "}])
    [{'name': 'Knob', 'count': 2}]
    """
    return [_filled(row, {"count": _whole}) for row in rows]


def hardware_readings(tables: Sequence[Document], _: str) -> list[Typed]:
    """Hardware is read as it is typed."""
    return [{} for _ in tables]


def part_readings(tables: Sequence[Document], unit: str) -> list[Typed]:
    """How every part cell is read: lengths where the text says it otherwise, and what an empty cell stands for.

    >>> part_readings([{"name": "Leg", "length": "45 cm"}], "mm")[0]["length"]
    '450 mm, 17 23/32 in (−0.0022)'
    """
    marks = free_marks([str(table.get("mark") or "") for table in tables])
    readings = []
    for table, mark in zip(tables, marks, strict=True):
        sheet = str(table.get("kind", "")).lower() == Kind.SHEET
        empty = {"mark": mark, "kind": Kind.SOLID.value, "hand": "same", "made": Made.WHOLE.value}
        empty |= {"tolerance": "usual", "strip": "usual" if table.get("made") == Made.PANEL else ""}
        empty |= {"measured": "as listed", "rings": "" if sheet else Rings.FLAT.value}
        empty["grain"] = (Grain.ANY if sheet else Grain.ALONG).value
        readings.append(_lengths_read(Part, table, unit) | {k: v for k, v in empty.items() if k not in table})
    return readings


def stock_readings(tables: Sequence[Document], unit: str) -> list[Typed]:
    """As `part_readings`, for wood: no number means as many as are needed."""
    return [
        _lengths_read(Stock, table, unit) | ({} if "quantity" in table else {"quantity": "as needed"})
        for table in tables
    ]


def whole_number(text: object) -> object:
    """A typed number as a whole number where it is one, else as typed."""
    return _count(text) if isinstance(text, str) else text


def sound(text: str) -> str:
    """A typed text without space around and doubled inside, and without halves of characters, which nothing can keep.

    >>> sound("  17  3/4 \\ud800")
    '17 3/4 ?'
    """
    return " ".join(text.split()).encode("utf-8", "replace").decode()


def _at_its_cell(fault: Fault, document: Mapping[str, Any]) -> CellFault:
    table, _, field = fault.column.partition(" ")
    if table not in TABLES:
        return CellFault("", -1, fault.column, fault.what, fault.next_step)
    rows, row = document.get(table), fault.row - 1
    held = rows[row] if isinstance(rows, list) and row < len(rows) else None
    is_empty = isinstance(held, Mapping) and field not in held  # there is a cell for it: say so, not how a file says it
    return CellFault(table, row, field, fault.what, "fill it in" if is_empty else fault.next_step)


def _filled(row: Mapping[str, Any], read: Mapping[str, Any]) -> Document:
    table: Document = {}
    for field, value in row.items():
        text = sound(value) if isinstance(value, str) else value
        if text not in ("", None):
            table[sound(field)] = read[field](text) if field in read and isinstance(text, str) else text
    return table


def _tables(tables: object) -> list[Mapping[str, Any]]:
    return [table for table in tables if isinstance(table, Mapping)] if isinstance(tables, list) else []


def _text(value: object) -> str:
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    return value if isinstance(value, str) else str(value)


def _count(text: str) -> int | str:
    try:
        return int(read_cell("quantity", text, Habit({})))
    except StopwrightError:
        return text


def _whole(text: str) -> int | str:
    """As `_count`, and negative numbers too: the fault then says what would do."""
    return int(text) if re.fullmatch(r"-[0-9]{1,9}", text) else _count(text)


def _without_sign(text: str) -> str:
    return re.sub(r"^(?:±|\+\s*/\s*[-−–])\s*", "", text)


def _price(text: str) -> float | str:
    return float(text.replace(",", ".")) if re.fullmatch(r"[0-9]{1,9}(?:[.,][0-9]{1,4})?", text) else text


def _zones(text: str) -> list[Document] | str:
    found = [_ZONE.fullmatch(zone.strip()) for zone in text.split(";") if zone.strip()]
    return [{k: v for k, v in zone.groupdict().items() if v} for zone in found if zone] if all(found) else text


def _zones_text(zones: object) -> str:
    if isinstance(zones, str):
        return zones
    said = []
    for zone in _tables(zones):
        across = f" across {_text(zone.get('low', 0))} to {_text(zone['high'])}" if "high" in zone else ""
        said.append(f"{_text(zone.get('start', 0))} to {_text(zone.get('end', ''))}{across}")
    return "; ".join(said)


def _lengths_read(kind: type, table: Document, unit: str) -> Typed:
    """Lengths in both units, where what was typed is not already the plain number."""
    reading = Reading("", unit=unit)
    fields = [field for field in keys_of(kind) if is_length(field) and isinstance(table.get(field), str)]
    values = reading.values(kind, {field: table[field] for field in fields}, (), given=set(keys_of(kind)) - set(fields))
    here, there = _SHOW.get(unit, _SHOW["mm"])
    texts = {}
    for field in fields:
        if values.get(field) is not None and format_length(values[field], here, with_unit=False) != table[field]:
            texts[field] = f"{format_length(values[field], here)}, {format_length(values[field], there)}"
    return texts
