"""Bytes of a text file to rows of cells: any encoding a spreadsheet writes, any delimiter, inch marks as they come."""

import bisect
import codecs
import csv
import io
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from stopwright.intake.files import GREATEST_CELLS, fault_of_file

DELIMITERS = (",", ";", "\t", "|")
_MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its number as counted in the file, from 1, and its cells as text without space around them."""

    number: int
    cells: tuple[str, ...]

    @property
    def is_blank(self) -> bool:
        """True when no cell holds anything."""
        return not any(self.cells)


def text_of(data: bytes, file: str) -> str:
    """The text of a file: UTF-8 or UTF-16 with or without its mark, else Windows-1252. Raises BadInput.

    >>> text_of("Länge".encode("cp1252"), "x"), text_of("Länge".encode("utf-16"), "x")
    ('Länge', 'Länge')
    """
    encoding = next((name for mark, name in _MARKS if data.startswith(mark)), "") or _without_mark(data)
    for name in (encoding, "cp1252") if encoding == "utf-8" else (encoding,):
        try:
            text = data.decode(name)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise fault_of_file(file, "cannot be read as text", "save the list as CSV in UTF-8, or as XLSX")


class TooManyCells(Exception):
    """A text comes to more cells than any list has."""


def delimited_rows(text: str, delimiter: str) -> list[Row]:
    """Rows of a text; quotes are honoured where they balance, and taken line by line as inch marks where not.

    Raises TooManyCells; so many are not kept, however they are read.

    >>> delimited_rows('a,17 3/4",b', ",")[0].cells, delimited_rows('"17 3/4"",b', ",")[0].cells
    (('a', '17 3/4"', 'b'), ('17 3/4"', 'b'))
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    try:
        rows = list(_counted(_quoted(text, delimiter)))
    except csv.Error:
        return _by_line(lines, delimiter)
    usual = Counter(len(row.cells) for row, _ in rows).most_common(1)[0][0] if rows else 0
    read = []
    for row, last in rows:
        if len(row.cells) == usual:
            read.append(row)
        elif last > row.number:
            return _by_line(lines, delimiter)
        else:
            again = Row(row.number, tuple(_cells(lines[row.number - 1], delimiter)))
            read.append(again if len(again.cells) == usual else row)
    return read


def _by_line(lines: Sequence[str], delimiter: str) -> list[Row]:
    rows = ((Row(number, tuple(_cells(line, delimiter))), 0) for number, line in enumerate(lines, start=1))
    return [row for row, _ in _counted(rows)]


def _counted(rows: Iterable[tuple[Row, int]]) -> Iterator[tuple[Row, int]]:
    cells = 0
    for row, last in rows:
        cells += len(row.cells)
        if cells > GREATEST_CELLS:
            raise TooManyCells
        yield row, last


def _without_mark(data: bytes) -> str:
    start = data[:2000]
    if start.count(0) * 3 > len(start):
        return "utf-16-be" if start[::2].count(0) > start[1::2].count(0) else "utf-16-le"
    return "utf-8"


def _quoted(text: str, delimiter: str) -> Iterator[tuple[Row, int]]:
    """Rows with the number of their last line."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True, skipinitialspace=True)
    before = 0
    for cells in reader:
        yield Row(before + 1, tuple(" ".join(cell.split()) for cell in cells)), reader.line_num
        before = reader.line_num


def _cells(line: str, delimiter: str) -> Iterator[str]:
    """Cells of one line; a quote closes a cell only where the delimiter or the end of the line follows."""
    closing = [found.start() for found in re.finditer(rf'"(?= *(?:{re.escape(delimiter)}|$))', line)]
    start = 0
    while start >= 0:
        while line.startswith(" ", start):
            start += 1
        next_closing = bisect.bisect_right(closing, start)
        if line.startswith('"', start) and next_closing < len(closing):
            cell = line[start + 1 : closing[next_closing]].replace('""', '"')
            end = line.find(delimiter, closing[next_closing])
        else:
            end = line.find(delimiter, start)
            cell = line[start:] if end < 0 else line[start:end]
        yield " ".join(cell.split())
        start = end + 1 if end >= 0 else -1
