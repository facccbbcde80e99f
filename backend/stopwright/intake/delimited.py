"""Bytes of a text file to rows of cells: any encoding a spreadsheet writes, any delimiter, inch marks as they come."""

import codecs
import csv
import io
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from stopwright.intake.files import fault_of_file

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
    raise fault_of_file(file, "is no text that can be read", "save the list as CSV in UTF-8, or as XLSX")


def delimited_rows(text: str, delimiter: str) -> list[Row]:
    """Rows of a text; quotes are honoured where they balance, and taken line by line as inch marks where not.

    >>> delimited_rows('a,17 3/4",b', ",")[0].cells, delimited_rows('"17 3/4"",b', ",")[0].cells
    (('a', '17 3/4"', 'b'), ('17 3/4"', 'b'))
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    try:
        rows = list(_quoted(text, delimiter))
    except csv.Error:
        return [Row(number, tuple(_cells(line, delimiter))) for number, line in enumerate(lines, start=1)]
    usual = Counter(len(row.cells) for row in rows).most_common(1)[0][0] if rows else 0
    return [row if len(row.cells) == usual else _as_inches(row, lines, delimiter, usual) for row in rows]


def _as_inches(row: Row, lines: list[str], delimiter: str, usual: int) -> Row:
    """The row read again with quotes taken as inch marks, if it then has as many cells as the others."""
    again = tuple(_cells(lines[row.number - 1], delimiter))
    return Row(row.number, again) if len(again) == usual else row


def _without_mark(data: bytes) -> str:
    start = data[:2000]
    if start.count(0) * 3 > len(start):
        return "utf-16-be" if start[::2].count(0) > start[1::2].count(0) else "utf-16-le"
    return "utf-8"


def _quoted(text: str, delimiter: str) -> Iterator[Row]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True, skipinitialspace=True)
    before = 0
    for cells in reader:
        yield Row(before + 1, tuple(" ".join(cell.split()) for cell in cells))
        before = reader.line_num


def _cells(line: str, delimiter: str) -> Iterator[str]:
    rest = line
    while True:
        rest = rest.lstrip(" ")
        if rest.startswith('"') and (end := _closing(rest, delimiter)):
            cell, rest = rest[1:end].replace('""', '"'), rest[end + 1 :].lstrip(" ")
        else:
            end = rest.find(delimiter)
            cell, rest = (rest, "") if end < 0 else (rest[:end], rest[end:])
        yield " ".join(cell.split())
        if not rest.startswith(delimiter):
            return
        rest = rest[1:]


def _closing(rest: str, delimiter: str) -> int:
    """Place of the quote after which the cell ends, 0 when there is none."""
    place = rest.find('"', 1)
    while place > 0:
        after = rest[place + 1 :].lstrip(" ")
        if not after or after.startswith(delimiter):
            return place
        place = rest.find('"', place + 1)
    return 0
