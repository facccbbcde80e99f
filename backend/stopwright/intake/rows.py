"""A part list of any make to a table of raw cells with its header found and its columns guessed."""

from collections import Counter
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

from stopwright.errors import BadInput, Fault
from stopwright.intake.columns import guess_fields, may_be_mark
from stopwright.intake.delimited import DELIMITERS, Row, TooManyCells, delimited_rows, text_of
from stopwright.intake.files import (
    GREATEST_CELLS,
    GREATEST_COLUMNS,
    GREATEST_ROWS,
    GREATEST_SCAN,
    GREATEST_TEXT,
    fault_of_file,
    read_file,
    refuse_too_large,
)
from stopwright.intake.scalars import shortened
from stopwright.intake.workbook import is_workbook, refuse_other_makes, workbook_rows

HEADER_WITHIN = 40
LEAST_KNOWN = 2
LONGEST_HEADER = 100

NEXT_STEP = "write a first row with name, quantity, length, width, thickness"


@dataclass(frozen=True, slots=True)
class Table:
    """A part list as raw cells. `header_row` is 0 where no row reads like a header.

    `columns` are the headers made different from each other, `guess` says which field each stands for,
    `above` are rows above the header that hold something, `rows` the rows below it that are not blank.
    """

    file: str
    columns: tuple[str, ...]
    header_row: int
    rows: tuple[Row, ...]
    guess: Mapping[str, str] = field(default_factory=dict)
    above: tuple[Row, ...] = ()


def read_rows(source: Path | bytes | str, name: str = "", mapping: Mapping[str, str] | None = None) -> Table:
    """The raw cells of a part list: a file, its bytes under `name`, or rows pasted as text.

    `mapping` (column -> field) helps to find a header whose words are not known. Raises BadInput.

    >>> table = read_rows("Cut list\\nQty\\tPart\\tL\\tW\\tT\\n24\\tLeg\\t450\\t38\\t38")
    >>> table.header_row, table.guess["Part"], table.rows[0].cells
    (2, 'name', ('24', 'Leg', '450', '38', '38'))
    """
    file = name or (str(source) if isinstance(source, Path) else "pasted rows")
    if isinstance(source, str):
        return _checked(_best_of_delimiters(file, source, mapping or {}))
    data = read_file(source) if isinstance(source, Path) else source
    refuse_too_large(file, len(data))
    refuse_other_makes(file, data)
    if is_workbook(data):
        return _checked(_table(file, _squared(workbook_rows(data, file)), mapping or {}))
    return _checked(_best_of_delimiters(file, text_of(data, file), mapping or {}))


def _best_of_delimiters(file: str, text: str, mapping: Mapping[str, str]) -> Table:
    text = text.removeprefix("\ufeff")
    refuse_too_large(file, len(text), GREATEST_TEXT)
    if text.count("\n") + text.count("\r") > 2 * GREATEST_SCAN:
        raise fault_of_file(file, f"has more than {GREATEST_SCAN} lines", "export only the list, or split it")
    told = text[4:5] if text[:4].lower() == "sep=" and text[4:5] in DELIMITERS else ""
    parting = told or [one for one in DELIMITERS if one in text] or DELIMITERS[:1]
    read = []
    for one in parting:
        with suppress(TooManyCells):
            read.append(delimited_rows(text, one)[bool(told) :])
    if not read:
        raise fault_of_file(file, f"has more than {GREATEST_CELLS} cells", "export only the list, or split it")
    narrow = [rows for rows in read if all(len(row.cells) <= GREATEST_COLUMNS for row in rows)]
    if not narrow:
        raise fault_of_file(file, f"has more than {GREATEST_COLUMNS} columns", "export only the list")
    return max((_table(file, rows, mapping) for rows in narrow), key=lambda one: (len(one.guess), len(one.columns)))


def _table(file: str, rows: Sequence[Row], mapping: Mapping[str, str]) -> Table:
    filled = [row for row in rows if not row.is_blank]
    if not filled:
        raise fault_of_file(file, "holds no rows", NEXT_STEP)
    header = _header(filled, mapping)
    if header is None:
        width = max(len(row.cells) for row in filled)
        columns = _named([""] * width)
        return Table(file, columns, 0, tuple(filled), fields_of(columns, (), mapping))
    columns = _named(header.cells)
    below = [row for row in filled if row.number > header.number]
    above = tuple(row for row in filled if row.number < header.number)
    return Table(file, columns, header.number, tuple(below), fields_of(columns, below, mapping), above)


def fields_of(columns: Sequence[str], rows: Sequence[Row], mapping: Mapping[str, str]) -> dict[str, str]:
    """Column -> field: as `mapping` says, the rest guessed; a column mapped to nothing is left out.

    A column that only counts the rows is never taken for the quantity.

    >>> fields_of(["Part", "What", "Size"], [], {"What": "name", "Size": ""})
    {'Part': 'mark', 'What': 'name'}
    """
    told = {column: mapping[column] for column in columns if column in mapping}
    known = {column: name for column, name in told.items() if name}
    rest = [column for column in columns if column not in told]
    guess = guess_fields(rest, known.values())
    for place, column in enumerate(columns):
        if guess.get(column) == "quantity" and may_be_mark(column) and _counts(place, rows):
            known[column] = "mark"
            guess = guess_fields([one for one in rest if one != column], known.values())
    found = known | guess
    return {column: found[column] for column in columns if column in found}


def _counts(place: int, rows: Sequence[Row]) -> bool:
    cells = [row.cells[place] for row in rows if place < len(row.cells) and row.cells[place]]
    return len(cells) > 1 and cells == [str(number) for number in range(1, len(cells) + 1)]


def _header(rows: Sequence[Row], mapping: Mapping[str, str]) -> Row | None:
    """The row that names most fields; where none does, the first row of words above a row of figures."""
    known = [(len(fields_of(_named(row.cells), (), mapping)), row) for row in rows[:HEADER_WITHIN]]
    most = max(count for count, _ in known)
    if most >= LEAST_KNOWN:
        return next(row for count, row in known if count == most)
    for row, below in pairwise(rows[:HEADER_WITHIN]):
        if len(list(filter(None, row.cells))) > 2 and _figures(row) == 0 and _figures(below) > 2:
            return row
    return None


def _figures(row: Row) -> int:
    return sum(any(sign.isdigit() for sign in cell) for cell in row.cells)


def _named(cells: Sequence[str]) -> tuple[str, ...]:
    """Headers made different: an empty one is called by its place, a second of the same name too."""
    cells = [shortened(cell, LONGEST_HEADER) for cell in cells]
    times = Counter(cells)
    seen: Counter[str] = Counter()
    names = []
    for place, cell in enumerate(cells, start=1):
        seen[cell] += 1
        plain = cell or f"column {place}"
        names.append(f"{plain} ({place})" if cell and times[cell] > 1 and seen[cell] > 1 else plain)
    return tuple(names)


def _squared(rows: Sequence[Row]) -> list[Row]:
    width = max((len(row.cells) for row in rows), default=0)
    return [Row(row.number, row.cells + ("",) * (width - len(row.cells))) for row in rows]


def _checked(table: Table) -> Table:
    if len(table.rows) > GREATEST_ROWS:
        over = table.rows[GREATEST_ROWS].number
        fault = Fault(table.file, over, "row", f"is more than {GREATEST_ROWS} rows", "split the list into jobs")
        raise BadInput([fault])
    return table
