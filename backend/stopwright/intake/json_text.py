"""JSON texts that people bring, looked at before anything is made of them."""

import json

from stopwright.intake.files import fault_of_file

GREATEST_TABLES = 1_000_000
GREATEST_VALUES = 3_000_000


def refuse_no_document(text: str, file: str) -> None:
    """Raises BadInput for a text that is no JSON, nests too deeply, or holds more than the largest job ever does.

    A number too long to be read is no JSON either.

    >>> refuse_no_document('{"events": []}', "job.json")
    """
    if text.count("[") + text.count("{") > GREATEST_TABLES or text.count(",") > GREATEST_VALUES:
        raise fault_of_file(file, "holds more than any job does", "use a file that export-job wrote")
    try:
        json.loads(text)
    except RecursionError as error:
        raise fault_of_file(file, "nests too deeply", "use a file that export-job wrote") from error
    except ValueError as error:
        raise fault_of_file(file, "cannot be read as JSON", "use a file that export-job wrote") from error
