"""Bytes of an XLSX file to rows of cells: the first sheet, values only, refused at once when it is a trap."""

import datetime
import io
import warnings
import zipfile
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from stopwright.errors import BadInput, Fault
from stopwright.intake.delimited import Row
from stopwright.intake.files import (
    GREATEST_CELL,
    GREATEST_CELLS,
    GREATEST_COLUMNS,
    GREATEST_ROWS,
    GREATEST_SCAN,
    GREATEST_TEXT,
    fault_of_file,
)

GREATEST_UNPACKED = 100_000_000
GREATEST_MEMBERS = 2_000
GREATEST_STRINGS = 300_000

_WHOLE_IN_INCHES = Decimal("0.000005")
_ZIP = b"PK\x03\x04"
_OTHER_MAKES = (
    (b"\xd0\xcf\x11\xe0", "is an old or locked Excel file", "save it as XLSX or CSV without a password"),
    (b"%PDF", "is a PDF", "export the list as CSV or XLSX"),
    (b"\x1f\x8b", "is packed", "unpack it first"),
)


def is_workbook(data: bytes) -> bool:
    """True when the bytes are a ZIP archive, which is what an XLSX file is."""
    return data.startswith(_ZIP)


def refuse_other_makes(file: str, data: bytes) -> None:
    """Raises BadInput for makes of file that people bring and that hold no readable rows."""
    for start, what, next_step in _OTHER_MAKES:
        if data.startswith(start):
            raise fault_of_file(file, what, next_step)


def workbook_rows(data: bytes, file: str) -> list[Row]:
    """Rows of the first sheet that hold something, cells as text; a date as YYYY-MM-DD. Raises BadInput."""
    import openpyxl  # a tenth of a second that no other make of file needs

    _refuse_traps(data, file)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # openpyxl warns of styles and rules of cells; values do not depend on them
            book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
            try:
                return list(_rows(book.worksheets[0], file))
            finally:
                book.close()
    except BadInput:
        raise
    except Exception as error:  # a damaged file fails anywhere within the library, with any error
        raise fault_of_file(file, "cannot be read as XLSX", "save it again as XLSX or as CSV") from error


def _rows(sheet: Any, file: str) -> Iterator[Row]:
    sheet.reset_dimensions()
    filled = looked_at = held = kept = 0
    for number, cells in enumerate(sheet.iter_rows(values_only=True), start=1):
        looked_at += len(cells)
        if any(isinstance(cell, str) and len(cell) > GREATEST_CELL for cell in cells):
            fault = Fault(file, number, "row", f"has a cell of more than {GREATEST_CELL} characters", "shorten it")
            raise BadInput([fault])
        texts = [cell_text(cell) for cell in cells]
        while texts and not texts[-1]:
            texts.pop()
        if len(texts) > GREATEST_COLUMNS:
            fault = Fault(file, number, "row", f"has more than {GREATEST_COLUMNS} columns", "export only the list")
            raise BadInput([fault])
        if texts:
            filled += 1
            held += sum(map(len, texts))
            kept += len(texts)
            if held > GREATEST_TEXT or kept > GREATEST_CELLS:
                raise BadInput([Fault(file, number, "row", "is more than a list holds", "export only the list")])
            yield Row(number, tuple(texts))
        if filled > 2 * GREATEST_ROWS:
            return  # more than enough to be refused as too many
        if number > GREATEST_SCAN or looked_at > GREATEST_SCAN * GREATEST_COLUMNS:
            raise BadInput([Fault(file, number, "row", "lies beyond what a list needs", "export only the list")])


def cell_text(cell: object) -> str:
    """A cell as text; a number in 15 figures, which is what a spreadsheet keeps, and no finer than nanometres.

    >>> cell_text(24.0), cell_text(0.1 + 0.2), cell_text(datetime.datetime(2026, 4, 3)), cell_text(None)
    ('24', '0.3', '2026-04-03', '')
    >>> cell_text(450.00000001), cell_text(17 + 49 / 64 + 1e-9), cell_text(1000 / 3)
    ('450', '17.765625', '333.33333')
    """
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return str(cell).lower()
    if isinstance(cell, int | float):
        number = format(_no_finer_than_nanometres(Decimal(f"{cell:.15g}")), "f")
        return number.rstrip("0").rstrip(".") if "." in number else number
    if isinstance(cell, datetime.datetime | datetime.date):
        return f"{cell:%Y-%m-%d}"
    return " ".join(str(cell).split())


def _no_finer_than_nanometres(number: Decimal) -> Decimal:
    """A number with more than 6 decimals, which only a formula makes, as one that a length can have.

    The nearest 0.000001; where that is no whole number of nanometres in inches (0.000005 in are 127), 0.00001.
    """
    places = number.as_tuple().exponent
    if not isinstance(places, int) or places >= -6:
        return number
    near = round(number, 6)
    return near + 0 if near % _WHOLE_IN_INCHES == 0 else round(number, 5)


def _refuse_traps(data: bytes, file: str) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = archive.infolist()
            names = {member.filename for member in members}
            if "mimetype" in names and "content.xml" in names:
                raise fault_of_file(file, "is an OpenDocument file", "save it as XLSX or CSV")
            if len(members) > GREATEST_MEMBERS or sum(member.file_size for member in members) > GREATEST_UNPACKED:
                raise _too_large_unpacked(file)
            _unpack_all(archive, members, file)
    except BadInput:
        raise
    except Exception as error:  # zipfile fails with many errors on damaged or locked archives
        raise fault_of_file(file, "cannot be read as XLSX", "save it again as XLSX or as CSV") from error


def _unpack_all(archive: zipfile.ZipFile, members: list[zipfile.ZipInfo], file: str) -> None:
    """Counts what really comes out: the sizes written in an archive can lie, and an entity can grow."""
    total = strings = 0
    for member in members:
        with archive.open(member) as stream:
            while chunk := stream.read(1 << 20):
                total += len(chunk)
                if total > GREATEST_UNPACKED:
                    raise _too_large_unpacked(file)
                strings += chunk.count(b"</si>")
                if strings > GREATEST_STRINGS:
                    what = f"holds more than {GREATEST_STRINGS} different texts"
                    raise fault_of_file(file, what, "export only the list, or split it")
                if b"<!DOCTYPE" in chunk or b"<!ENTITY" in chunk:
                    raise fault_of_file(file, "holds definitions that no list needs", "save it again as XLSX or as CSV")


def _too_large_unpacked(file: str) -> BadInput:
    return fault_of_file(file, f"would unpack to more than {GREATEST_UNPACKED // 1_000_000} MB", "export only the list")
