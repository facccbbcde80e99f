"""Files from disk, refused at once when they are not there, no plain files, or far too large."""

from pathlib import Path

from stopwright.errors import BadInput, Fault

GREATEST_FILE = 20_000_000
GREATEST_TEXT = 4_000_000
GREATEST_ROWS = 20_000
GREATEST_SCAN = 100_000
GREATEST_COLUMNS = 200
GREATEST_CELLS = 1_000_000
GREATEST_CELL = 32_767  # characters, the most that a spreadsheet keeps in one


def fault_of_file(file: str, what: str, next_step: str) -> BadInput:
    """A single fault that concerns the file as a whole.

    >>> print(fault_of_file("parts.csv", "is not there", "check the name").faults[0])
    parts.csv:1: file: is not there; check the name
    """
    return BadInput([Fault(file, 1, "file", what, next_step)])


def read_file(path: Path) -> bytes:
    """All bytes of a plain file. Raises BadInput; a file over 20 MB is refused before it is opened."""
    file = str(path)
    try:
        if not path.exists():
            raise fault_of_file(file, "is not there", "check the name and the folder")
        if path.is_dir():
            raise fault_of_file(file, "is a folder", "name the file in it")
        if not path.is_file():
            raise fault_of_file(file, "is not a plain file", "copy its content into a plain file")
        refuse_too_large(file, path.stat().st_size)
        return path.read_bytes()
    except (OSError, ValueError) as error:  # ValueError: a null character in the name
        reason = error.strerror if isinstance(error, OSError) and error.strerror else "the name is not possible"
        raise fault_of_file(file, f"cannot be read: {reason}", "check the name and who may read it") from error


def is_folder(path: Path) -> bool:
    """Whether a folder is there; under a name that is not possible there is none."""
    try:
        return path.is_dir()
    except OSError:
        return False


def refuse_too_large(file: str, size: int, most: int = GREATEST_FILE) -> None:
    """Raises BadInput when `size` bytes or characters are more than any list or job needs."""
    if size > most:
        what = f"is {-(-size // 1_000_000)} MB large, the most is {most // 1_000_000} MB"
        raise fault_of_file(file, what, "export only the list, or split it")
