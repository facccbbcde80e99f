"""TOML bytes to a document with the row of everything in it."""

import re
import tomllib

from stopwright.errors import BadInput, Fault
from stopwright.intake.files import GREATEST_TEXT, fault_of_file, refuse_too_large
from stopwright.intake.keys import Document
from stopwright.intake.places import Path, rows_of

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
