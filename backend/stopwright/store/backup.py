"""Copies of the log: one on demand, one a day, and bringing one back."""

import os
import re
import shutil
import sqlite3
from datetime import date, datetime
from pathlib import Path

from stopwright.errors import StoreTrouble
from stopwright.store.migrations import OURS, bring_up_to_date
from stopwright.store.trouble import connect, copies_of, in_words, owner_only

COPIES_KEPT = 30
LEAP = 1_000_000
"""How far numbering jumps ahead when the replaced log cannot say how far it had come."""


def copy_log(source: Path, target: Path) -> None:
    """Writes a whole, checked copy of the log as it stands now to a new file; the log may be in use meanwhile.

    The copy stands under its name only when it is complete. Raises StoreTrouble.
    """
    with in_words(target):
        if target.exists():
            raise StoreTrouble("there is a file of this name already", str(target), "name another file")
        part = target.with_name(target.name + ".part")
        part.unlink(missing_ok=True)
        _copy(source, part)
        owner_only(part)
        part.replace(target)
        _sync(target.parent)


def daily_copy(path: Path, today: date, kept: int = COPIES_KEPT) -> Path | None:
    """Today's copy in the folder "copies" beside the log, None if it is there already; the oldest beyond `kept` go.

    The oldest are those that hold least of the log: a clock that was wrong dates a copy wrongly.
    """
    folder = path.parent / "copies"
    with in_words(folder):
        folder.mkdir(exist_ok=True)
        owner_only(folder)
    copy = folder / f"{path.stem}-{today.isoformat()}{path.suffix}"
    made = None if copy.exists() else copy
    if made:
        copy_log(path, made)
    named = re.compile(rf"{re.escape(path.stem)}-\d{{4}}-\d\d-\d\d{re.escape(path.suffix)}")
    with in_words(folder):
        copies = [one for one in copies_of(path) if named.fullmatch(one.name)]
        for old in copies[:-kept]:
            old.unlink()
    return made


def restore(copy: Path, path: Path, now: datetime) -> Path | None:
    """Puts a copy in the place of the log; returns where the replaced file is kept, None if there was none.

    The copy is checked and brought up to date first, and nobody may have the log open. Numbering goes on beyond the
    replaced log, so that no page takes a new event for one it has seen. The log is replaced in one step: whenever this
    is broken off, one of the two stands whole under its name. Raises StoreTrouble; the log is then as it was.
    """
    with in_words(copy):
        if not copy.is_file():
            raise StoreTrouble("there is no such file", str(copy), "name a copy of the log")
        last = _checked_last_seq(copy)
    part = path.with_name(path.name + ".part")
    with in_words(path):
        if path.exists():
            replaced = _let_go(path)
            last = last + LEAP if replaced is None else max(last, replaced)
        part.unlink(missing_ok=True)
        _copy(copy, part, number_from=last)
        _bring_up_to_date(part, copy)
        aside = _kept_beside(path, now)
        for companion in ("-wal", "-shm"):  # a left-over journal would be read into the restored log
            path.with_name(path.name + companion).unlink(missing_ok=True)
        part.replace(path)
        _sync(path.parent)
    return aside


def _copy(source: Path, target: Path, number_from: int | None = None) -> None:
    with in_words(source):
        origin = connect(source)
    try:
        with in_words(source):
            origin.execute("pragma schema_version")  # reads its head: what is wrong with it is not said of the copy
        copy = connect(target)
        try:
            origin.conn.backup(copy.conn)
            copy.execute("pragma journal_mode = delete")  # one file, without companions
            if number_from is not None:
                copy.execute("delete from sqlite_sequence where name = 'events'")
                copy.execute("insert into sqlite_sequence (name, seq) values ('events', ?)", [number_from])
            _check(copy.conn, target)
        finally:
            copy.close()
    finally:
        origin.close()
    _sync(target)


def _checked_last_seq(copy: Path) -> int:
    db = connect(copy)
    try:
        if db.execute("pragma application_id").fetchone()[0] != OURS:
            raise StoreTrouble("the file is not a log of this program", str(copy), "name a copy of the log")
        _check(db.conn, copy)
        return int(db.execute("select coalesce(max(seq), 0) from events").fetchone()[0])
    finally:
        db.close()


def _check(connection: sqlite3.Connection, path: Path) -> None:
    found = connection.execute("pragma integrity_check").fetchone()[0]
    if found != "ok":
        raise StoreTrouble("the file is damaged", str(path), "take another copy")


def _let_go(path: Path) -> int | None:
    """The last seq of the log to be replaced, once it is sure that nobody has it open; None if it cannot be read."""
    try:
        db = connect(path, wait=0.5)
        try:
            db.execute("pragma locking_mode = exclusive")
            db.execute("begin exclusive")
            last = db.execute("select coalesce(max(seq), 0) from events").fetchone()[0]
            db.execute("commit")
            db.execute("pragma wal_checkpoint(truncate)")
            return int(last)
        finally:
            db.close()
    except sqlite3.Error as error:
        if (getattr(error, "sqlite_errorcode", 0) or 0) & 0xFF in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            raise StoreTrouble("the log is in use", str(path), "stop the program that serves it first") from error
        return None


def _bring_up_to_date(part: Path, copy: Path) -> None:
    """Checks that the copy is a log as this version makes one, or makes it so; the copy itself is left alone."""
    db = connect(part)
    try:
        bring_up_to_date(db, str(copy))
        db.execute("pragma journal_mode = delete")
    finally:
        db.close()
    _sync(part)


def _kept_beside(path: Path, now: datetime) -> Path | None:
    """Gives the log a second name, under which it stays when its own is given away; its journal is copied with it."""
    if not path.exists():
        return None
    aside = path.with_name(f"{path.name}.replaced-{now:%Y%m%d-%H%M%S-%f}")
    if aside.exists():
        return aside
    journal = path.with_name(path.name + "-wal")
    if journal.exists() and journal.stat().st_size:
        shutil.copy2(journal, aside.with_name(aside.name + "-wal"))
    try:
        os.link(path, aside)
    except OSError:  # a file system without second names
        shutil.copy2(path, aside)
    return aside


def _sync(path: Path) -> None:
    """Has the disk keep what was written; a folder cannot be opened for that on every system."""
    if path.is_dir() and os.name == "nt":
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
