"""A part list of any make to a table of raw cells with its header found and its columns guessed."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from stopwright.errors import BadInput, Fault
from stopwright.intake.columns import guess_fields, may_be_mark
from stopwright.intake.delimited import DELIMITERS, Row, delimited_rows, text_of
from stopwright.intake.files import fault_of_file, read_file, refuse_too_large
from stopwright.intake.workbook import is_workbook, refuse_other_makes, workbook_rows

GREATEST_ROWS = 20_000
HEADER_WITHIN = 40
LEAST_KNOWN = 2

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
        refuse_too_large(file, len(source))
        return _best_of_delimiters(file, source, mapping or {})
    data = read_file(source) if isinstance(source, Path) else source
    refuse_too_large(file, len(data))
    refuse_other_makes(file, data)
    if is_workbook(data):
        return _table(file, _squared(workbook_rows(data, file)), mapping or {})
    return _best_of_delimiters(file, text_of(data, file), mapping or {})


def _best_of_delimiters(file: str, text: str, mapping: Mapping[str, str]) -> Table:
    text = text.removeprefix("\ufeff")
    first = text[:6].lower()
    if first.startswith("sep=") and len(text) > 4 and text[4] in DELIMITERS:
        tables = [_table(file, delimited_rows(text, text[4])[1:], mapping)]
    else:
        tables = [_table(file, delimited_rows(text, one), mapping) for one in DELIMITERS]
    return max(tables, key=lambda table: (len(table.guess), len(table.columns)))


def _table(file: str, rows: Sequence[Row], mapping: Mapping[str, str]) -> Table:
    filled = [row for row in rows if not row.is_blank]
    if not filled:
        raise fault_of_file(file, "holds no rows", NEXT_STEP)
    header = _header(filled, mapping)
    if header is None:
        width = max(len(row.cells) for row in filled)
        return Table(file, _named([""] * width), 0, _not_too_many(file, filled))
    columns = _named(header.cells)
    below = [row for row in filled if row.number > header.number]
    above = tuple(row for row in filled if row.number < header.number)
    return Table(file, columns, header.number, _not_too_many(file, below), fields_of(columns, below, mapping), above)


def fields_of(columns: Sequence[str], rows: Sequence[Row], mapping: Mapping[str, str]) -> dict[str, str]:
    """Column -> field: as `mapping` says, the rest guessed; a column mapped to nothing is left out.

    A column that only counts the rows is never taken for the quantity.

    >>> fields_of(["Part", "What", "Size"], [], {"What": "name", "Size": ""})
    {'What': 'name', 'Part': 'mark'}
    """
    told = {column: mapping[column] for column in columns if column in mapping}
    known = {column: name for column, name in told.items() if name}
    rest = [column for column in columns if column not in told]
    guess = guess_fields(rest, known.values())
    for place, column in enumerate(columns):
        if guess.get(column) == "quantity" and may_be_mark(column) and _counts(place, rows):
            known[column] = "mark"
            return known | guess_fields([one for one in rest if one != column], known.values())
    return known | guess


def _counts(place: int, rows: Sequence[Row]) -> bool:
    cells = [row.cells[place] for row in rows if place < len(row.cells) and row.cells[place]]
    return len(cells) > 1 and cells == [str(number) for number in range(1, len(cells) + 1)]


def _header(rows: Sequence[Row], mapping: Mapping[str, str]) -> Row | None:
    known = [(len(fields_of(_named(row.cells), (), mapping)), row) for row in rows[:HEADER_WITHIN]]
    most = max(count for count, _ in known)
    return next((row for count, row in known if count == most), None) if most >= LEAST_KNOWN else None


def _named(cells: Sequence[str]) -> tuple[str, ...]:
    """Headers made different: an empty one is called by its place, a second of the same name too."""
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


def _not_too_many(file: str, rows: Sequence[Row]) -> tuple[Row, ...]:
    if len(rows) > GREATEST_ROWS:
        over = rows[GREATEST_ROWS].number
        raise BadInput([Fault(file, over, "row", f"is more than {GREATEST_ROWS} rows", "split the list into jobs")])
    return tuple(rows)
