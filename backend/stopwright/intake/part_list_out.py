"""Parts to a list that a spreadsheet opens and that reads back the same: CSV text or XLSX bytes."""

import csv
import io
from collections.abc import Sequence
from enum import StrEnum
from typing import Any

from stopwright.intake.columns import FIELDS
from stopwright.intake.part_cells import guarded, is_length
from stopwright.lengths import format_exact
from stopwright.model.parts import Part

COLUMNS = tuple(field for field in FIELDS if field != "per_unit")


def write_part_list_csv(parts: Sequence[Part], lengths: str = "mm") -> str:
    r"""A part list with every column; lengths in `lengths`, with that unit: inches in each cell, mm in the header.

    A bare 3/4 would be turned into a date by the next spreadsheet that opens the list, a name that begins with = into
    a formula; so it stands behind a ' that is taken off again on reading.

    >>> write_part_list_csv([Part("A", "Leg", 24, 450_850_000, 38_100_000, 38_100_000)], "in").splitlines()[1]
    'A,Leg,24,17 3/4 in,1 1/2 in,1 1/2 in,,solid,along,same,,,whole,,,flat'
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(_header(lengths))
    writer.writerows([guarded(_cell(part, field, lengths)) for field in COLUMNS] for part in parts)
    return text.getvalue()


def write_part_list_xlsx(parts: Sequence[Part], lengths: str = "mm") -> bytes:
    """The same as a workbook of one sheet; millimetres and quantities are numbers, all else is text."""
    from openpyxl import Workbook  # a tenth of a second that only workbooks need

    book = Workbook(write_only=True)
    sheet = book.create_sheet("Parts")
    sheet.append(_header(lengths))
    for part in parts:
        sheet.append([_sheet_cell(sheet, _cell(part, field, lengths), field) for field in COLUMNS])
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def _header(lengths: str) -> list[str]:
    return [f"{field} (mm)" if lengths == "mm" and is_length(field) else field for field in COLUMNS]


def _cell(part: Part, field: str, lengths: str) -> str:
    value = getattr(part, field)
    if value is None:
        return ""
    if is_length(field):
        text = format_exact(value, lengths)
        return f"{text} in" if lengths == "in" and not text.endswith("mm") else text
    return value.value if isinstance(value, StrEnum) else str(value)


def _sheet_cell(sheet: Any, text: str, field: str) -> Any:
    if field == "quantity" or (is_length(field) and text.replace(".", "").isdecimal()):
        return float(text) if "." in text else int(text)
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

    told = guarded(text) if text.startswith("'") else text  # a ' of the name's own, which reading must not take off
    cell = WriteOnlyCell(sheet, ILLEGAL_CHARACTERS_RE.sub("", told))
    cell.data_type = "s"  # a name that begins with = is a name, never a formula
    cell.number_format = "@"
    return cell
