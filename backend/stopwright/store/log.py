"""The store: one append-only log of events in SQLite, safe from any thread, durable on return."""

import logging
import sqlite3
import threading
from collections import deque
from collections.abc import Callable, Collection, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from time import monotonic
from types import TracebackType
from typing import Any, Self, TypeVar

from sqlite_utils import Database

from stopwright.errors import StopwrightError, StoreTrouble
from stopwright.store.arrivals import Arrivals, steady_seconds
from stopwright.store.backup import copy_log
from stopwright.store.events import Event, checked
from stopwright.store.kept import Kept
from stopwright.store.log_reader import LogReader
from stopwright.store.migrations import bring_up_to_date
from stopwright.store.reading import Growing, Jobs, Recall
from stopwright.store.rows import (
    SELECT,
    events_of,
    insert,
    refuse_if_changed,
    stored,
)
from stopwright.store.settled import LogFold, Settled
from stopwright.store.trouble import (
    SECONDS_FOR_A_LOCK,
    connect,
    in_words,
    owner_only,
    refuse_emptied,
    refuse_lost,
    trouble,
)

T = TypeVar("T")

log = logging.getLogger(__name__)

ONE_ROW = "CHECK constraint failed in events"
"""What an integrity check says of rows whose body is no JSON any more: they are left out, the rest is whole."""

LOOK_AGAIN = 1.0
"""Seconds after which `wait` looks for events of another program, which cannot wake it."""


@dataclass(slots=True)
class _Wish:
    """What one caller wants taken down, and what became of it."""

    events: list[Event]
    base: int | None
    kinds: Sequence[str]
    stored: list[Event] = field(default_factory=list)
    refusal: StopwrightError | None = None
    done: bool = False


class Store(LogReader):
    """The log of one shop. Open it with `Store.open`; close it, or use it as a context.

    Callers queue; whoever gets the pen writes down for all who wait, in one transaction and one sync of the
    disk, so that fifty phones cost little more than one.
    """

    def __init__(self, path: Path, writer: Database, patience: float, clock: Callable[[], float]) -> None:
        super().__init__(path)
        self._patience = patience
        self._writer: Database | None = writer
        self._file = path.stat().st_ino
        self._recall = Recall(self.events)
        begun = self.last_seq
        self._arrivals = Arrivals(begun, lambda: self._on_time(begun), self._last_of, clock)
        self.kept = Kept(path)
        self._settled: dict[tuple[str, str], Settled[Any]] = {}
        self._settling = threading.Lock()
        self._queue: deque[_Wish] = deque()
        self._pen = threading.Lock()
        self._news = threading.Condition()
        self._watchers: list[Callable[[int], None]] = []
        self._closed = False

    @classmethod
    def open(
        cls, path: Path | str, patience: float = SECONDS_FOR_A_LOCK, clock: Callable[[], float] = steady_seconds
    ) -> Self:
        """The log in the file, made if there is none, checked and brought up to date. Raises StoreTrouble.

        `patience`: seconds to wait for another program that is writing. `clock` counts seconds and never goes back.
        """
        path = Path(path)
        with in_words(path):
            refuse_emptied(path)
            refuse_lost(path)
            writer = connect(path, patience)
            owner_only(path)
            try:
                found = [row[0] for row in writer.execute("pragma integrity_check")]
                if any(one != "ok" and not one.startswith(ONE_ROW) for one in found):
                    log.error("%s: %s", path, "; ".join(found))
                    next_step = "leave it as it is and restore the last good copy"
                    raise StoreTrouble("the file is damaged", str(path), next_step)
                writer.execute("pragma journal_mode = wal")
                bring_up_to_date(writer, str(path))
                store = cls(path, writer, patience, clock)
                owner_only(path)
                if damaged := store.damaged():
                    rows = ", ".join(map(str, damaged))
                    log.error("%s: rows %s are damaged and left out; the copies beside it may have them", path, rows)
                return store
            except BaseException:
                writer.close()
                raise

    def append(self, events: Iterable[Event], *, base: int | None = None, kinds: Sequence[str] = ()) -> list[Event]:
        """The events as they stand in the log, in the order given; on disk when this returns. All or none.

        An event whose id is there already changes nothing and is answered with the one that was stored first.
        With `base`, nothing is taken down unless no event of `kinds` came to that job after seq `base`:
        ChangedMeanwhile. StopwrightError for an event that cannot be kept; StoreTrouble when the disk fails.
        """
        wish = _Wish([checked(event) for event in events], base, kinds)
        if not wish.events:
            return []
        self._queue.append(wish)
        with self._pen:
            if not wish.done:
                self._write_down()
        if wish.refusal:
            raise wish.refusal
        return wish.stored

    def placed(self, events: Sequence[Event], ages: Sequence[float]) -> list[Event]:
        """A device's taps, in the order of the tapping, with their places: `ages` is how many seconds old each is.

        A tap of a phone that was off the network counts where it would have stood; a tap made now after all others.
        """
        return self._arrivals.placed(events, ages)

    def folded(self, job: Jobs, fold: Callable[[Sequence[Event]], T], kinds: Collection[str] | None = None) -> T:
        """`fold` of the job's events (of `kinds`, if given) as they stand now, worked out anew only on news of them.

        The answer is shared between callers: look at it, do not change it. `fold` must be a lasting function and
        always come with the same kinds.
        """
        return self._recall.folded(job, fold, kinds)

    def grown(self, job: Jobs, make: Callable[[], Growing[T]]) -> T:
        """What `make()` comes to with the job's events as they stand now; it is kept, and fed with news only.

        For what is asked after every tap: its cost follows the news, not the length of the job. Shared as above.
        """
        return self._recall.grown(job, make)

    def settled(self, name: str, kinds: Sequence[str], make: Callable[[Any], LogFold[T]], key: str = "") -> T:
        """What a fold over the events of these kinds of all jobs comes to; see `Settled`. Shared: do not change it."""
        with self._settling:
            if (name, key) not in self._settled:
                self._settled = {known: fold for known, fold in self._settled.items() if known[0] != name}
                self._settled[name, key] = Settled(self, self.kept, name, kinds, make, key)
            fold = self._settled[name, key]
        told: T = fold.now()
        return told

    def wait(self, after: int, timeout: float) -> int:
        """The newest seq, as soon as it is beyond `after`, at the latest after `timeout` seconds."""
        until = monotonic() + timeout
        with self._news:
            while (last := self.last_seq) <= after and not self._closed:
                left = until - monotonic()
                if left <= 0:
                    break
                self._news.wait(min(left, LOOK_AGAIN))
        return last

    def watch(self, tell: Callable[[int], None]) -> Callable[[], None]:
        """Has `tell(newest seq)` called after each write of this program; calling what is returned ends it.

        It is called in the thread that wrote, must be quick and must not write: for a web page,
        `loop.call_soon_threadsafe`.
        """
        self._watchers.append(tell)

        def end() -> None:
            with suppress(ValueError):
                self._watchers.remove(tell)

        return end

    def backup(self, path: Path | str) -> None:
        """Writes a whole copy of the log, as it stands now, to a new file. Raises StoreTrouble."""
        copy_log(self.path, Path(path))

    def close(self) -> None:
        """Ends all use; those who wait are let go."""
        with self._pen:
            self._closed = True
            if self._writer:
                self._writer.close()
                self._writer = None
            self._readers.close()
        with self._news:
            self._news.notify_all()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def _write_down(self) -> None:
        batch = []
        while self._queue:
            batch.append(self._queue.popleft())
        try:
            self._commit(batch)
        except sqlite3.Error as error:
            _refuse(batch, trouble(error, self.path))
            self._drop_writer()
        except StoreTrouble as refusal:
            _refuse(batch, refusal)
        except BaseException:
            _refuse(batch, StoreTrouble("writing was interrupted", str(self.path), "try again"))
            raise
        stored = [event for wish in batch if not wish.refusal for event in wish.stored]
        self._arrivals.written(stored)
        for wish in batch:
            wish.done = True
        self._tell(max((event.seq for event in stored), default=0))

    def _on_time(self, upto: int) -> list[tuple[int, str]]:
        with in_words(self.path), self._readers.one() as db:
            rows = "select seq, at from events where seq <= ? and place = 0 order by seq"
            return db.execute(rows, [upto]).fetchall()

    def _last_of(self, device: str) -> tuple[int, str] | None:
        with in_words(self.path), self._readers.one() as db:
            row = db.execute(f"{SELECT} where device = ? order by seq desc limit 1", [device]).fetchone()
        return next((event.counts for event in events_of([row])), None) if row else None

    def _commit(self, batch: list[_Wish]) -> None:
        db = self._pen_in_hand()
        db.execute("begin immediate")
        try:
            for wish in batch:
                try:
                    with db.atomic():
                        _take_down(db, wish)
                except StopwrightError as refusal:
                    wish.refusal = refusal
            db.execute("commit")
        except BaseException:
            db.rollback()
            raise

    def _pen_in_hand(self) -> Database:
        """The writing connection; a file moved away under it would swallow what is written."""
        if self._closed:
            raise StoreTrouble("the log has been closed", str(self.path), "start the program again")
        try:
            there = self.path.stat().st_ino == self._file
        except OSError:
            there = False
        if not there:
            raise StoreTrouble("the file was moved or replaced while in use", str(self.path), "start the program again")
        if self._writer is None:
            self._writer = connect(self.path, self._patience)
        return self._writer

    def _drop_writer(self) -> None:
        """After trouble the next write starts from a fresh connection: a failed sync leaves the old one in doubt."""
        if self._writer:
            with suppress(sqlite3.Error):
                self._writer.close()
            self._writer = None

    def _tell(self, newest: int) -> None:
        if not newest:
            return
        with self._news:
            self._news.notify_all()
        for tell in tuple(self._watchers):
            try:
                tell(newest)
            except RuntimeError:  # the page's event loop has ended without taking its watcher away
                with suppress(ValueError):
                    self._watchers.remove(tell)


def _refuse(batch: list[_Wish], reason: StoreTrouble) -> None:
    for wish in batch:
        wish.refusal = StoreTrouble(reason.what, reason.where, reason.next_step)
        wish.done = True


def _take_down(db: Database, wish: _Wish) -> None:
    known = [stored(db, event) for event in wish.events]
    if wish.base is not None and not all(known):
        refuse_if_changed(db, wish.events[0].job, wish.base, wish.kinds)
    wish.stored = [one or insert(db, event) for one, event in zip(known, wish.events, strict=True)]
