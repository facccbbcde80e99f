"""Reading the log from any thread, and remembering what was worked out from it."""

import sqlite3
import threading
from collections import OrderedDict
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Protocol, TypeVar, cast

from sqlite_utils import Database

from stopwright.store.events import Event
from stopwright.store.trouble import connect

T = TypeVar("T")

SPARE = 8
JOBS_REMEMBERED = 32


class Readers:
    """Connections for reading, lent to one thread at a time."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._spare: list[Database] = []
        self._closed = False

    @contextmanager
    def one(self) -> Iterator[Database]:
        """A connection for this thread, given back at the end. Raises sqlite3.Error."""
        try:
            db = self._spare.pop()
        except IndexError:
            db = connect(self._path)
        try:
            yield db
        except BaseException:
            db.close()
            raise
        if self._closed or len(self._spare) >= SPARE:
            db.close()
        else:
            self._spare.append(db)

    def close(self) -> None:
        """Closes what is not lent; what is lent closes when it comes back."""
        self._closed = True
        while self._spare:
            with suppress(sqlite3.Error):
                self._spare.pop().close()


class _Read(Protocol):
    def __call__(self, job: str | None = None, after: int = 0) -> list[Event]: ...


class Recall:
    """What folds over a job's events came to, kept until there is news of that job."""

    def __init__(self, read: _Read) -> None:
        self._read = read
        self._lock = threading.Lock()
        self._jobs: OrderedDict[str, tuple[list[Event], dict[Callable[..., Any], Any]]] = OrderedDict()

    def folded(self, job: str, fold: Callable[[Sequence[Event]], T]) -> T:
        """`fold` of all events of the job so far."""
        with self._lock:
            events, answers = self._jobs.setdefault(job, ([], {}))
            self._jobs.move_to_end(job)
            while len(self._jobs) > JOBS_REMEMBERED:
                self._jobs.popitem(last=False)
            news = self._read(job, after=events[-1].seq if events else 0)
            if news:
                events.extend(news)
                answers.clear()
            if fold not in answers:
                answers[fold] = fold(events)
            return cast(T, answers[fold])
