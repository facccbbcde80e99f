"""TOML bytes to a document with the row of everything in it."""

import re
import tomllib

from stopwright.errors import BadInput, Fault
from stopwright.intake.files import GREATEST_TEXT, fault_of_file, refuse_too_large
from stopwright.intake.keys import Document
from stopwright.intake.places import Path, rows_of

GREATEST_DEPTH = 20
GREATEST_TABLES = 25_000
GREATEST_KEYS = 250_000
_BEGINS_KEY = re.compile(r"""\s*\[*\s*["'A-Za-z0-9_-]""")
_WHERE = re.compile(r"(.*?) \(at (?:line (\d+), column (\d+)|end of document)\)", re.S)


def document_in(data: bytes, file: str) -> tuple[Document, dict[Path, int]]:
    """The document of a TOML file and the row of its tables and keys. Raises BadInput with the row of the fault."""
    refuse_too_large(file, len(data), GREATEST_TEXT)
    try:
        text = data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        row = data.count(b"\n", 0, error.start) + 1
        fault = Fault(file, row, "text", "is not written in UTF-8", "save the file in UTF-8")
        raise BadInput([fault]) from error
    _refuse_too_much(text, file)
    try:
        return tomllib.loads(text), rows_of(text)
    except RecursionError as error:
        raise fault_of_file(file, "nests too deeply", "write plain tables and keys") from error
    except ValueError as error:  # a syntax error, or a number too long to be one
        found = _WHERE.fullmatch(str(error))
        row = int(found[2]) if found and found[2] else text.count("\n") + 1
        column = f"character {found[3]}" if found and found[3] else "text"
        what = f"cannot be read as TOML: {found[1] if found else 'a number is too long'}"
        raise BadInput([Fault(file, row, column, what, "compare it with the example in the README")]) from error


def _refuse_too_much(text: str, file: str) -> None:
    """Raises BadInput for more depth, tables or keys than any job has, before anything is built from them."""
    tables = keys = 0
    for row, line in enumerate(text.split("\n"), start=1):
        if not _BEGINS_KEY.match(line):
            continue
        is_header = line.lstrip().startswith("[")
        named, is_key, _ = line.partition("]" if is_header else "=")
        if is_key and named.count(".") >= GREATEST_DEPTH:
            raise BadInput([Fault(file, row, "text", "nests too deeply", "write plain tables and keys")])
        tables += is_header
        keys += bool(is_key)
        if tables > GREATEST_TABLES or keys > GREATEST_KEYS:
            most = f"{GREATEST_TABLES} tables" if tables > GREATEST_TABLES else f"{GREATEST_KEYS} keys"
            raise BadInput([Fault(file, row, "text", f"has more than {most}", "split it into jobs")])
