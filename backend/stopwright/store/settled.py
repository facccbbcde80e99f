"""Folds over the whole log that go on from where they stood, instead of reading every event of all years again."""

import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any, Generic, Protocol, TypeAlias, TypeVar

from stopwright.store.events import Event
from stopwright.store.kept import Kept
from stopwright.store.kinds import KINDS
from stopwright.store.run_fold import standing

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)

_Tap: TypeAlias = tuple[str, str]
"""A job and the id of a tap of it."""

OPEN = 2000
"""Events at the end of the log that are folded anew each time: what is undone or comes late is mostly among them."""


class LogFold(Protocol[T_co]):
    """Something worked out from taps that hold, in the order in which they count."""

    def add(self, taps: Iterable[Event]) -> None:
        """Takes in what counts after all that came before."""

    def now(self) -> T_co:
        """What it comes to."""

    def kept(self) -> Any:
        """All of it as JSON holds it, to be made again from."""


class _Log(Protocol):
    def events(self, job: str | None = None, after: int = 0, kinds: Sequence[str] = ()) -> list[Event]: ...
    def event(self, id_: str) -> Event | None: ...
    def newest_before(self, seq: int) -> tuple[int, str]: ...
    def as_they_count(self, job: str | None = None, kinds: Sequence[str] = ()) -> Iterator[Event]: ...
    @property
    def last_seq(self) -> int: ...


class Settled(Generic[T]):
    """A fold of which all is settled that the log held up to one event; what came since is folded on top each time.

    Where an undo or a late tap reaches back into what is settled, that is in doubt and folded anew.
    """

    def __init__(
        self, log: _Log, kept: Kept, name: str, kinds: Sequence[str], make: Callable[[Any], LogFold[T]], key: str = ""
    ) -> None:
        """`make(None)` makes an empty fold, else one that goes on from what it kept; other `key`, another fold."""
        self._log, self._kept, self._name, self._key, self._make = log, kept, name, key, make
        self._kinds = (*kinds, "undo")
        self._lock = threading.Lock()
        self._fold: LogFold[T] | None = None
        self._upto = 0
        self._undone: frozenset[_Tap] = frozenset()
        """Taps that have not come yet: a phone's undo may be there before them."""
        self._harmless: set[str] = set()
        """Undos that were looked at and take back nothing of these kinds."""
        self._last_told: tuple[int, T] | None = None

    def now(self) -> T:
        """What the fold comes to with all events of the log; shared between callers."""
        with self._lock:
            last = self._log.last_seq
            if self._last_told is None or self._last_told[0] != last:
                self._last_told = last, self._worked_out()
            return self._last_told[1]

    def _worked_out(self) -> T:
        fold = self._fold or self._gone_on() or self._anew()
        news = self._log.events(after=self._upto, kinds=self._kinds)
        if self._reaches_back(news, self._upto):
            fold = self._anew()
            news = self._log.events(after=self._upto, kinds=self._kinds)
        if len(news) > 2 * OPEN:
            old, latest = news[:-OPEN], news[-OPEN:]
            if not self._reaches_back(latest, old[-1].seq):
                fold.add(self._holding(old))
                self._settle(fold, old[-1].seq, self._undone | set(_undone_by(old)))
                news = latest
        whole = self._make(fold.kept())
        whole.add(self._holding(news))
        return whole.now()

    def _holding(self, events: Sequence[Event]) -> list[Event]:
        return [event for event in standing(events, self._kinds) if (event.job, event.id) not in self._undone]

    def _reaches_back(self, news: Sequence[Event], upto: int) -> bool:
        """True when one of these, which all came after event `upto`, counts before it or undoes what did."""
        if any(0 < event.place <= upto for event in news):
            return True
        known = {event.id for event in news}
        for event in news:
            if event.kind == "undo" and event.body["event"] not in known and event.id not in self._harmless:
                undone = self._log.event(event.body["event"])
                if undone is None:
                    continue
                if undone.kind not in self._kinds or undone.job != event.job:
                    self._harmless.add(event.id)
                elif undone.seq <= upto:
                    return True
        return False

    def _anew(self) -> LogFold[T]:
        """The log folded from its beginning, up to its last events; those too where they reach back beyond."""
        last = self._log.last_seq
        upto = max(0, last - OPEN)
        if self._reaches_back(self._log.events(after=upto, kinds=self._kinds), upto):
            upto = last
        undone = set(_undone_by(event for event in self._log.events(kinds=("undo",)) if event.seq <= upto))

        def holds(event: Event) -> bool:
            return (event.job, event.id) not in undone or not KINDS[event.kind].tapped

        in_order = (event for event in self._log.as_they_count(kinds=self._kinds) if event.seq <= upto)
        fold = self._make(None)
        fold.add(event for event in in_order if event.kind != "undo" and holds(event))
        self._settle(fold, upto, undone)
        return fold

    def _settle(self, fold: LogFold[T], upto: int, undone: set[_Tap] | frozenset[_Tap]) -> None:
        self._fold, self._upto = fold, upto
        self._undone = frozenset(one for one in undone if self._log.event(one[1]) is None)
        held = {"at": self._log.newest_before(upto), "undone": sorted(self._undone), "fold": fold.kept()}
        self._kept.write(self._name, self._key, held)

    def _gone_on(self) -> LogFold[T] | None:
        """The fold that was kept, if it was of this log."""
        held = self._kept.read(self._name, self._key)
        if held is None or self._log.newest_before(held["at"][0]) != tuple(held["at"]):
            return None
        self._fold, self._upto = self._make(held["fold"]), held["at"][0]
        self._undone = frozenset((job, id_) for job, id_ in held["undone"])
        return self._fold


def _undone_by(events: Iterable[Event]) -> Iterator[_Tap]:
    return ((event.job, event.body["event"]) for event in events if event.kind == "undo")
