"""Part lists as they come from the wild (CSV, XLSX, pasted rows) to parts; every fault at once, no row lost."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from stopwright.errors import BadInput, Fault, Inconsistent, StopwrightError
from stopwright.intake.columns import FIELDS, REQUIRED, named_as, nearest_field, unit_named, unit_of
from stopwright.intake.delimited import Row
from stopwright.intake.part_cells import Habit, is_length, read_cell, unguarded, with_unit, writes_decimal_comma
from stopwright.intake.rows import NEXT_STEP, Table, fields_of, read_rows
from stopwright.intake.scalars import shortened
from stopwright.lengths import MM
from stopwright.model.parts import Grain, Kind, Part, free_marks

_TOTAL = re.compile(
    r"(?:grand |sub-?)?(?:total|sum)s?\b.*|(?:zwischen)?summe\b.*|gesamt.*|(?:sous-)?total\b.*|somme\b.*", re.I
)
_NOTHING = re.compile(r"[-–—]*")
_HARMLESS = {"name": "?", "quantity": 2, "length": MM, "width": MM, "thickness": MM}


@dataclass(frozen=True, slots=True)
class PartList:
    """Parts as read, with what was made of the columns.

    `mapping` says column -> field; `left_out` what was not taken over (columns, totals) with its place and what
    can be done; `notes` what was understood silently and may be looked at.
    """

    parts: tuple[Part, ...]
    mapping: Mapping[str, str]
    left_out: tuple[Fault, ...] = ()
    notes: tuple[str, ...] = ()


def read_part_list(
    source: Path | bytes | str,
    lengths: str = "mm",
    name: str = "",
    mapping: Mapping[str, str] | None = None,
    units: int = 1,
    taken: Sequence[str] = (),
) -> PartList:
    """The parts of a list: a file, its bytes under `name`, or rows pasted as text.

    `lengths` is what a bare number means, `mapping` (column -> field, nothing to leave it out) goes before what
    would be guessed, `units` multiplies `per_unit`, `taken` are marks that are used elsewhere in the job.
    Raises BadInput with every fault.

    >>> read_part_list("name,qty,l,w,t\\nLeg,24,450,38,38").parts[0].mark
    'A'
    """
    return parts_from_rows(read_rows(source, name, mapping), lengths, mapping, units, taken)


def parts_from_rows(
    table: Table,
    lengths: str = "mm",
    mapping: Mapping[str, str] | None = None,
    units: int = 1,
    taken: Sequence[str] = (),
) -> PartList:
    """The parts of a table of raw cells; as `read_part_list`."""
    fields = fields_of(table.columns, table.rows, mapping or {})
    _refuse_columns(table, fields, mapping or {})
    list_of = _Lines(table, fields, lengths, units, tuple(taken))
    return list_of.read()


def rows_as_written(
    table: Table, lengths: str = "mm", mapping: Mapping[str, str] | None = None
) -> list[dict[str, str]]:
    """Every row of a table that is not a total or a header, field -> cell, faulty or not: to be fixed by hand.

    A bare number stands with its unit where the list reads it in another than `lengths`.

    >>> rows_as_written(read_rows("name,qty,l (in),w,t\\nLeg,some,17 3/4,38,38"), "mm")[0]["length"]
    '17 3/4 in'
    """
    fields = fields_of(table.columns, table.rows, mapping or {})
    lines = _Lines(table, fields, lengths, 1, ())
    left_out = {fault.row for fault in lines.left_out if fault.column == "row"}
    rows = []
    for row in table.rows:
        cells = {
            field: unguarded(row.cells[place])
            for place, field in lines.places
            if place < len(row.cells) and row.cells[place]
        }
        if cells and row.number not in left_out:
            rows.append({field: with_unit(field, cell, lines.habit, lengths) for field, cell in cells.items()})
    return rows


def _refuse_columns(table: Table, fields: Mapping[str, str], mapping: Mapping[str, str]) -> None:
    if not table.header_row and not fields:
        raise BadInput([Fault(table.file, 1, "header", "no row names the columns", NEXT_STEP)])
    row = max(table.header_row, 1)
    faults = []
    for column, field in fields.items():
        if field not in FIELDS:
            step = f"choose from {', '.join(FIELDS)}"
            faults.append(Fault(table.file, row, column, f"'{shortened(field)}' is not a field of a part", step))
    found = list(fields.values())
    again = [named_as(column) for column in table.columns if column not in fields and column not in mapping]
    faults += [
        Fault(table.file, row, field, "two columns stand for it", "take one out, or say which one to leave out")
        for field in FIELDS
        if found.count(field) + (again.count(field) if field in found else 0) > 1
    ]
    for field in REQUIRED:
        if field not in found and not (field == "quantity" and "per_unit" in found):
            free = [column for column in table.columns if column not in fields]
            say = f"or say which it is: {', '.join(map(shortened, free[:12]))}" if free else "with a value in every row"
            faults.append(Fault(table.file, row, field, "there is no such column", f"add a column {field}, {say}"))
    if not table.rows and not faults:
        faults.append(Fault(table.file, row, "row", "no row stands below the header", "write one row for each part"))
    if faults:
        raise BadInput(faults)


class _Lines:
    """The rows of one table being read."""

    def __init__(
        self, table: Table, fields: Mapping[str, str], lengths: str, units: int, taken: tuple[str, ...]
    ) -> None:
        self.table = table
        self.fields = fields
        self.units = units
        self.taken = taken
        self.column_of = {field: column for column, field in fields.items()}
        self.places = [(place, fields[column]) for place, column in enumerate(table.columns) if column in fields]
        self.faults: list[Fault] = []
        self.left_out = [self._unknown(column) for column in self._unknown_columns()]
        self.notes = [
            f"{table.file}:{row.number}: not read, it stands above the header: "
            f"{shortened(' '.join(filter(None, row.cells)))}"
            for row in table.above
        ]
        self.lines = self._told_apart(lengths)

    def read(self) -> PartList:
        parts = []
        marks = free_marks([cells.get("mark", "") for _, cells in self.lines], self.taken)
        seen: dict[str, int] = {}
        for mark, (row, cells) in zip(marks, self.lines, strict=True):
            if mark in seen or mark in self.taken:
                where = f"in row {seen[mark]}" if mark in seen else "in another list of this job"
                self._fault(row, "mark", f"'{shortened(mark)}' stands {where} already", "give every part its own mark")
            seen.setdefault(mark, row.number)
            part = self._part(row, cells | {"mark": mark})
            if part:
                parts.append(part)
        if not self.lines and not self.faults:
            row = self.table.rows[0]
            self._fault(row, "row", "there is no part, only totals and headers", "write one row for each part")
        if self.faults:
            raise BadInput(sorted(self.faults, key=lambda fault: fault.row))
        return PartList(tuple(parts), dict(self.fields), tuple(self.left_out), tuple(self.notes))

    def _fault(self, row: Row, field: str, what: str, next_step: str) -> None:
        self.faults.append(Fault(self.table.file, row.number, self.column_of.get(field, field), what, next_step))

    def _unknown_columns(self) -> list[str]:
        filled = {place for row in self.table.rows for place, cell in enumerate(row.cells) if cell}
        return [
            column
            for place, column in enumerate(self.table.columns)
            if column not in self.fields and (place in filled or column != f"column {place + 1}")
        ]

    def _unknown(self, column: str) -> Fault:
        near = nearest_field(column)
        step = f"name it {near} if that is meant" if near else "name it as one of the fields if it is needed"
        if near in self.column_of:
            step = f"nearest is {near}, which column '{shortened(self.column_of[near])}' is used for already"
        where = max(self.table.header_row, 1)
        return Fault(self.table.file, where, shortened(column), "this column was left out", step)

    def _told_apart(self, lengths: str) -> list[tuple[Row, dict[str, str]]]:
        """Rows that are parts, with their cells by field; totals, headers and units are noted on the way."""
        units = {field: unit_of(column) for column, field in self.fields.items() if is_length(field)}
        lines: list[tuple[Row, dict[str, str]]] = []
        sums = 0
        for number, row in enumerate(self.table.rows):
            cells = {field: _filled(row.cells[place]) for place, field in self.places if place < len(row.cells)}
            cells = {field: unguarded(cell) for field, cell in cells.items() if cell}
            if number == 0 and _are_units(cells):
                units |= {field: unit_named(cell) for field, cell in cells.items() if is_length(field)}
                self._left(row, "this row holds only units, they were read as such", "nothing is needed")
            elif _same_words(row.cells, self.table.columns):
                self._left(row, "this row repeats the header", "nothing is needed")
            elif _is_total(row, cells, sums):
                self._left(row, f"'{shortened(' '.join(filter(None, row.cells)))}' is a total", "nothing is needed")
            elif self._is_whole(row, cells):
                lines.append((row, cells))
                sums += _count(cells.get("quantity", ""))
        for field, unit in units.items():
            if unit and unit != lengths:
                words = "inches" if unit == "in" else unit
                self.notes.append(f"{self.table.file}: {self.column_of[field]} is read in {words}, as the list says")
        self.habit = Habit(
            {field: unit or lengths for field, unit in units.items()},
            any(writes_decimal_comma(cells[field]) for _, cells in lines for field in units if field in cells),
        )
        return lines

    def _left(self, row: Row, what: str, next_step: str) -> None:
        self.left_out.append(Fault(self.table.file, row.number, "row", what, next_step))

    def _is_whole(self, row: Row, cells: Mapping[str, str]) -> bool:
        beyond = [cell for cell in row.cells[len(self.table.columns) :] if cell]
        if beyond:
            self._fault(
                row,
                "row",
                f"has {len(row.cells)} cells, the header has {len(self.table.columns)}",
                "put cells that hold a comma in quotes, or save the list with semicolons",
            )
        elif len(cells) < 2:
            held = shortened(" ".join(filter(None, row.cells)))
            self._fault(row, "row", f"'{held}' is not a complete part", "fill in the row, or take it out")
        return not beyond and len(cells) >= 2

    def _part(self, row: Row, cells: Mapping[str, str]) -> Part | None:
        before = len(self.faults)
        values: dict[str, object] = {}
        for field in FIELDS:
            cell = cells.get(field, "")
            try:
                if cell:
                    values[field] = read_cell(field, cell, self.habit)
                elif field in REQUIRED and not (field == "quantity" and "per_unit" in cells):
                    raise StopwrightError("is empty", next_step=f"write the {field}")
            except StopwrightError as error:
                self._fault(row, field, error.what, error.next_step)
        if "per_unit" in values:
            if "quantity" in cells:
                self._fault(row, "per_unit", "is given beside a quantity", "leave one of the two empty")
            values["quantity"] = int(str(values.pop("per_unit"))) * self.units
        if values.get("kind") is Kind.SHEET:
            values.setdefault("grain", Grain.ANY)
        at_fault = {fault.column for fault in self.faults[before:]}
        try:
            part = Part(**(_HARMLESS | values))  # type: ignore[arg-type]
        except Inconsistent as error:
            for problem in error.problems:
                if self.column_of.get(problem.field, problem.field) not in at_fault:
                    read = f"'{shortened(cells[problem.field])}' " if is_length(problem.field) else ""
                    self._fault(row, problem.field, f"{read}{problem.what}", problem.next_step)
            return None
        return None if at_fault else part


def _filled(cell: str) -> str:
    return "" if _NOTHING.fullmatch(cell) else cell


def _are_units(cells: Mapping[str, str]) -> bool:
    lengths = [field for field in cells if is_length(field)]
    return bool(lengths) and all(unit_named(cells[field]) for field in lengths) and "name" not in cells


def _same_words(cells: Sequence[str], columns: Sequence[str]) -> bool:
    return [cell.lower() for cell in cells if cell] == [
        column.lower() for column, cell in zip(columns, cells, strict=False) if cell
    ] and sum(map(bool, cells)) > 1


def _is_total(row: Row, cells: Mapping[str, str], sums: int) -> bool:
    if all(field in cells for field in ("length", "width", "thickness")):
        return False
    only = [cell for cell in row.cells if cell]
    if _TOTAL.fullmatch(only[0]) or _TOTAL.fullmatch(cells.get("name", "")):
        return True
    return len(only) == 1 and 0 < sums == _count(cells.get("quantity", ""))


def _count(cell: str) -> int:
    try:
        return int(read_cell("quantity", cell, Habit({})))
    except StopwrightError:
        return 0
