"""Reading the log from any thread, and remembering what was worked out from it."""

import sqlite3
import threading
from collections import OrderedDict
from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Protocol, TypeAlias, TypeVar, cast

from sqlite_utils import Database

from stopwright.store.events import Event
from stopwright.store.trouble import connect

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)

Jobs: TypeAlias = str | tuple[str, ...]
"""The number of a job, or of several whose events are looked at together."""

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
    def __call__(self, job: Jobs | None = None, after: int = 0) -> list[Event]: ...


class Growing(Protocol[T_co]):
    """Something worked out from a job's events that takes in news without starting anew."""

    def add(self, events: Sequence[Event]) -> None:
        """Takes in what came to the log since."""

    def now(self) -> T_co:
        """What it comes to now; not changed by what is added later."""


@dataclass(slots=True)
class _Job:
    """The events of one job as far as they are known, and what was worked out from them."""

    lock: threading.Lock = field(default_factory=threading.Lock)
    events: list[Event] = field(default_factory=list)
    answers: dict[Callable[..., Any], tuple[Collection[str] | None, Any]] = field(default_factory=dict)
    growing: dict[Callable[[], Growing[Any]], Growing[Any]] = field(default_factory=dict)

    def take(self, news: list[Event]) -> None:
        self.events.extend(news)
        fresh = {event.kind for event in news}
        for fold, (kinds, _) in tuple(self.answers.items()):
            if kinds is None or not fresh.isdisjoint(kinds):
                del self.answers[fold]
        for one in self.growing.values():
            one.add(news)


class Recall:
    """What folds over a job's events came to, kept until there is news of that job. Jobs do not wait for each other."""

    def __init__(self, read: _Read) -> None:
        self._read = read
        self._lock = threading.Lock()
        self._jobs: OrderedDict[Jobs, _Job] = OrderedDict()

    def folded(self, job: Jobs, fold: Callable[[Sequence[Event]], T], kinds: Collection[str] | None = None) -> T:
        """`fold` of all events of the job so far, or of those of `kinds`: other news leaves the answer as it is."""
        with self._up_to_date(job) as known:
            if fold not in known.answers:
                events = known.events if kinds is None else [one for one in known.events if one.kind in kinds]
                known.answers[fold] = kinds, fold(events)
            return cast(T, known.answers[fold][1])

    def grown(self, job: Jobs, make: Callable[[], Growing[T]]) -> T:
        """What the thing that `make` makes has come to with all events of the job so far."""
        with self._up_to_date(job) as known:
            if make not in known.growing:
                one = make()
                one.add(known.events)
                known.growing[make] = one
            return cast(T, known.growing[make].now())

    @contextmanager
    def _up_to_date(self, job: Jobs) -> Iterator[_Job]:
        with self._lock:
            known = self._jobs.setdefault(job, _Job())
            self._jobs.move_to_end(job)
            while len(self._jobs) > JOBS_REMEMBERED:
                self._jobs.popitem(last=False)
        with known.lock:
            news = self._read(job, after=known.events[-1].seq if known.events else 0)
            if news:
                known.take(news)
            yield known
