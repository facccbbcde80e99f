"""Where taps that come late belong among what was written meanwhile; no clock of day decides it while we run."""

import time
from array import array
from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from stopwright.store.events import Event

NOW = 2**62
"""Beyond every seq: a tap that nothing was written after."""


def steady_seconds() -> float:
    """Seconds that go on evenly, through sleep too where the system can say so, whatever is done to the clock."""
    boot = getattr(time, "CLOCK_BOOTTIME", None)
    return time.monotonic() if boot is None else time.clock_gettime(boot)


class Arrivals:
    """When the rows of the log were written, by a clock that never goes back.

    `log` gives (seq, at) of what came on time before this program began. `last_of` gives the place and time of a
    device's last event, None if it has none.
    """

    def __init__(
        self,
        last_seq: int,
        log: Callable[[], Iterable[tuple[int, str]]],
        last_of: Callable[[str], tuple[int, str] | None],
        clock: Callable[[], float] = steady_seconds,
    ) -> None:
        self._clock = clock
        self._seconds, self._seqs = array("d", [clock()]), array("q", [last_seq])
        self._log = log
        self._last_of = last_of
        self._last: dict[str, tuple[int, str] | None] = {}
        self._before: tuple[list[str], list[int]] | None = None

    def written(self, events: Sequence[Event]) -> None:
        """Takes note of what stands in the log now."""
        newest = max((event.seq for event in events), default=0)
        if newest > self._seqs[-1]:
            self._seconds.append(self._clock())
            self._seqs.append(newest)
        for event in events:
            if event.device in self._last:
                known = self._last[event.device]
                self._last[event.device] = max(known, event.counts) if known else event.counts

    def placed(self, events: Sequence[Event], ages: Sequence[float]) -> list[Event]:
        """A device's events, in the order of its doing, each with the place of what stood last when it was done.

        `ages`: how many seconds ago each was done, by the device's own clock. That clock may jump as well: no event
        comes before an earlier one of its device, nor bears an earlier time where both have one place.
        """
        placed: list[Event] = []
        before: tuple[int, str] | None = None
        for event, age in zip(events, ages, strict=True):
            place, at = self._stood_last(age, event.at), event.at
            before = before or (self._last_event(event.device) if place != NOW else None)
            if before and place <= before[0]:
                place, at = before[0], max(at, before[1])
            before = place, at
            placed.append(replace(event, at=at, place=0 if place == NOW else place))
        return placed

    def _stood_last(self, age: float, at: str) -> int:
        """The seq written last before it was done, `NOW` if nothing came since."""
        upto = bisect_right(self._seconds, self._clock() - age) - 1
        if upto == len(self._seqs) - 1:
            return NOW
        return self._seqs[upto] if upto >= 0 else self._by_the_time_of_day(at)

    def _by_the_time_of_day(self, at: str) -> int:
        """The seq written last before this time of day, of what was there when we began; at least 1.

        What was written before something else is no later than it, though a clock that was ahead says so.
        """
        if self._before is None:
            times: list[str] = []
            seqs: list[int] = []
            for seq, time_of_day in self._log():
                while times and times[-1] >= time_of_day:
                    times.pop()
                    seqs.pop()
                times.append(time_of_day)
                seqs.append(seq)
            self._before = times, seqs
        times, seqs = self._before
        upto = bisect_right(times, at) - 1
        return seqs[upto] if upto >= 0 else 1

    def _last_event(self, device: str) -> tuple[int, str] | None:
        if device not in self._last:
            self._last[device] = self._last_of(device)
        return self._last[device]
