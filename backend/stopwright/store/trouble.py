"""Connections to the log, and what SQLite complains of in words that a person can act on."""

import logging
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from sqlite_utils import Database

from stopwright.errors import StoreTrouble

log = logging.getLogger(__name__)

SECONDS_FOR_A_LOCK = 5.0

_SENTENCES = {
    sqlite3.SQLITE_BUSY: ("another program is writing to it", "wait until that has ended, then try again"),
    sqlite3.SQLITE_LOCKED: ("another program is writing to it", "wait until that has ended, then try again"),
    sqlite3.SQLITE_READONLY: (
        "it can be read but not written; nothing was saved",
        "let this program write to the file and its folder, then try again",
    ),
    sqlite3.SQLITE_PERM: (
        "this program may not use it",
        "let this program write to the file and its folder, then try again",
    ),
    sqlite3.SQLITE_FULL: ("the disk is full; nothing was saved", "make room on the disk, then try again"),
    sqlite3.SQLITE_CORRUPT: ("the file is damaged", "leave it as it is and restore the last good copy"),
    sqlite3.SQLITE_NOTADB: ("the file is not a log of this program", "name another file, or restore a copy"),
    sqlite3.SQLITE_CANTOPEN: ("it cannot be opened", "see that its folder is there and may be written to"),
    sqlite3.SQLITE_IOERR: ("the disk cannot be read or written", "check the disk, then try again"),
}


def trouble(error: sqlite3.Error, path: Path) -> StoreTrouble:
    """What SQLite complained of, as a sentence with the next step; decided by its code, not its text."""
    code = getattr(error, "sqlite_errorcode", None) or 0
    if code & 0xFF not in _SENTENCES:
        log.error("%s: %s", path, error)
    what, next_step = _SENTENCES.get(code & 0xFF, ("the log refused it", "start the program again"))
    return StoreTrouble(what, str(path), next_step)


@contextmanager
def in_words(path: Path) -> Iterator[None]:
    """Turns what SQLite or the system complains of within into StoreTrouble."""
    try:
        yield
    except sqlite3.Error as error:
        raise trouble(error, path) from error
    except OSError as error:
        raise StoreTrouble(error.strerror or str(error), str(path), "check the file and its folder") from error


def refuse_emptied(path: Path) -> None:
    """Raises StoreTrouble for a file cut down to nothing beside its journal, which SQLite would then throw away."""
    journal = path.with_name(path.name + "-wal")
    if path.exists() and path.stat().st_size == 0 and journal.exists() and journal.stat().st_size > 0:
        what, next_step = _SENTENCES[sqlite3.SQLITE_CORRUPT]
        raise StoreTrouble(what, str(path), next_step)


def refuse_lost(path: Path) -> None:
    """Raises StoreTrouble where the log is not there or empty, though copies of it are: it was there before."""
    copies = copies_of(path)
    if copies and not (path.exists() and path.stat().st_size):
        what = f"the log is {'empty' if path.exists() else 'not there'}, and copies of it lie in {copies[-1].parent}"
        raise StoreTrouble(what, str(path), f"bring the newest back with: stopwright restore {copies[-1]}")


def copies_of(path: Path) -> list[Path]:
    """The copies in the folder "copies" beside a log, the one that had come farthest last, however they are dated.

    What cannot be read comes first.
    """
    copies = (path.parent / "copies").glob(f"{path.stem}-*{path.suffix}")
    return sorted(copies, key=lambda copy: (_last_seq(copy), copy.name))


def _last_seq(copy: Path) -> int:
    with suppress(sqlite3.Error):
        db = connect(copy)
        try:
            return int(db.execute("select coalesce(max(seq), 0) from events").fetchone()[0])
        finally:
            db.close()
    return -1


def owner_only(path: Path) -> None:
    """Lets nobody but the owner read a file and its companions, or a folder, where the system knows such rights."""
    for one in (path, path.with_name(path.name + "-wal"), path.with_name(path.name + "-shm")):
        with suppress(OSError):
            one.chmod(0o700 if one.is_dir() else 0o600)


def _text_of(kept: bytes) -> str:
    """Text as it is kept; bytes that are none become signs that no text holds, so that a row tells it is damaged."""
    return kept.decode("utf-8", "surrogateescape")


def connect(path: Path, wait: float = SECONDS_FOR_A_LOCK) -> Database:
    """A connection that any thread may use, one at a time. Raises sqlite3.Error.

    sqlite-utils opens connections for one thread only, which breaks behind a web server, so it is handed one.
    `synchronous` full: what has been answered survives a power cut.
    """
    connection = sqlite3.connect(path, timeout=wait, check_same_thread=False, isolation_level=None)
    try:
        connection.execute("pragma foreign_keys = on")
        connection.execute("pragma synchronous = full")
        connection.text_factory = _text_of
        return Database(connection)
    except BaseException:
        connection.close()
        raise
