"""Planning that goes on beside the pages: how far it is, and the switch that ends it with the best so far."""

from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from threading import Event, Lock, Thread
from time import monotonic
from typing import Any, Generic, TypeVar

from stopwright.errors import StopwrightError

T = TypeVar("T")
KEPT = 48

GRACE = 20.0
"""Seconds for which a search goes on though nobody asks for it: a page that waits asks every second or two."""


class Abandoned(StopwrightError):
    """Nobody waited for a plan any more, so it was not made."""


class Search(Generic[T]):
    """One piece of planning in a thread of its own. `at` of `of` plans are made; the planner asks it when to stop.

    `looked` counts how often it was asked: a plan made with `Steps(looked)` comes out the same. With `seconds` it was
    wished for and goes on whoever waits, but ends with what it has once it is `outdated`.
    """

    def __init__(
        self,
        work: "Callable[[Search[T]], T]",
        of: int = 1,
        seconds: float | None = None,
        outdated: Callable[[], bool] = lambda: False,
    ) -> None:
        self.of = of
        self.at = 0
        self.looked = 0
        self.stopped = False
        self.seconds = seconds
        self._outdated = outdated
        self._begun, self._ended = monotonic(), 0.0
        self._asked, self._waiting = self._begun, 0
        self._lock = Lock()
        self._tell: list[Callable[[], None]] = []
        self.result: T | None = None
        self.error: BaseException | None = None
        self._done = Event()
        self._thread = Thread(target=self._run, args=(work,), daemon=True, name="planning")
        self._thread.start()

    def __call__(self) -> bool:
        """The effort of this search: True when it was stopped or its seconds are over."""
        enough = self.stopped or (self.seconds is not None and self.passed >= self.seconds)
        if not enough:
            self.looked += 1
        return enough

    @property
    def passed(self) -> float:
        """Seconds it has taken so far, or took."""
        return (self._ended or monotonic()) - self._begun

    @property
    def finished(self) -> bool:
        """True when there is an answer, or an error."""
        return self._done.is_set()

    @property
    def abandoned(self) -> bool:
        """True when nobody waits for it and nobody has asked for it lately; never for one that was wished for."""
        return self.seconds is None and not self._waiting and monotonic() - self._asked > GRACE

    def look(self) -> None:
        """Stops it when what it is made for has changed; to be called now and then by who makes it."""
        if not self.stopped and self._outdated():
            self.stop()

    def asked_for(self) -> None:
        """Somebody wants to know of it."""
        self._asked = monotonic()

    def reached(self, at: int) -> None:
        """Who makes it has come so far."""
        self.at = at

    def stop(self) -> None:
        """Ends it as soon as the planner asks."""
        self.stopped = True

    @contextmanager
    def waited_for(self) -> Iterator[None]:
        """While this is entered, somebody waits."""
        with self._lock:
            self._waiting += 1
        try:
            yield
        finally:
            with self._lock:
                self._waiting -= 1
            self.asked_for()

    def when_done(self, tell: Callable[[], None]) -> None:
        """Has `tell` called once, in whatever thread, as soon as there is an answer or an error."""
        with self._lock:
            if not self.finished:
                self._tell.append(tell)
                return
        tell()

    def answer(self, patience: float | None = None) -> T | None:
        """What came out, waited for up to `patience` seconds (None: as long as it takes); None if not ready then.

        Raises what the planner raised.
        """
        with self.waited_for():
            if not self._done.wait(patience):
                return None
        if self.error:
            raise self.error
        return self.result

    def _run(self, work: "Callable[[Search[T]], T]") -> None:
        try:
            self.result = work(self)
        except BaseException as error:  # it is raised again where the answer is asked for
            self.error = error
        finally:
            self._ended = monotonic()
            with self._lock:
                self._done.set()
                tell, self._tell = self._tell, []
            for one in tell:
                one()


class Searches:
    """Searches by what they are for, each begun once; the last ones are kept with their answers."""

    def __init__(self, kept: int = KEPT) -> None:
        self._kept = kept
        self._known: OrderedDict[Hashable, Search[Any]] = OrderedDict()
        self._lock = Lock()

    def begin(
        self,
        key: Hashable,
        work: Callable[[Search[T]], T],
        of: int = 1,
        seconds: float | None = None,
        outdated: Callable[[], bool] = lambda: False,
    ) -> Search[T]:
        """The search of this key: the one that is known, unless it failed, else a new one."""
        with self._lock:
            known = self._known.get(key)
            if known is None or known.error:
                known = self._known[key] = Search(work, of, seconds, outdated)
            known.asked_for()
            self._known.move_to_end(key)
            finished = [other for other, search in self._known.items() if search.finished]
            for other in finished[: max(0, len(self._known) - self._kept)]:
                del self._known[other]
            return known

    def known(self, key: Hashable) -> Search[Any] | None:
        """The search of this key, running or finished, None if there is none."""
        with self._lock:
            return self._known.get(key)

    def forget(self, key: Hashable) -> None:
        """Lets a search go; it is not stopped by that."""
        with self._lock:
            self._known.pop(key, None)
