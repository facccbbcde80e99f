"""The hours of a shop as a clock that only runs while somebody works; the same every day."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import TypeAlias

Seconds: TypeAlias = int
"""A time as seconds from midnight before the first day, or a stretch of time in seconds."""
DAY: Seconds = 24 * 3600


@dataclass(frozen=True, slots=True)
class Hours:
    """Stretches of a day in which somebody works, from and to, in order and apart; at least one.

    >>> hours = hours_of([(450, 600), (615, 750), (780, 990)])
    >>> [one // 60 for one in hours.worked_through(595 * 60, 20 * 60)]
    [595, 630]
    >>> [one // 60 for one in hours.in_one_stretch(595 * 60, 20 * 60)]
    [615, 635]
    """

    stretches: tuple[tuple[Seconds, Seconds], ...]
    _begins: tuple[Seconds, ...]
    _before: tuple[Seconds, ...]
    """Seconds worked before each stretch, and at last in the whole day."""

    @property
    def a_day(self) -> Seconds:
        """How long is worked in a day."""
        return self._before[-1]

    @property
    def longest(self) -> Seconds:
        """The longest stretch without a break."""
        return max(end - begin for begin, end in self.stretches)

    def worked(self, at: Seconds) -> Seconds:
        """How long was worked up to a moment, from the first day on."""
        days, rest = divmod(at, DAY)
        place = bisect_right(self._begins, rest) - 1
        if place < 0:
            return days * self.a_day
        begin, end = self.stretches[place]
        return days * self.a_day + self._before[place] + min(rest, end) - begin

    def when(self, worked: Seconds) -> Seconds:
        """The first moment at which so long was worked; the begin of the first day for nothing."""
        if worked <= 0:
            return self._begins[0]
        days, rest = divmod(worked - 1, self.a_day)
        place = bisect_left(self._before, rest + 1) - 1
        return days * DAY + self._begins[place] + rest + 1 - self._before[place]

    def open_from(self, at: Seconds) -> Seconds:
        """The first moment from then on at which somebody works and goes on working."""
        days, rest = divmod(at, DAY)
        for begin, end in self.stretches:
            if rest < end:
                return days * DAY + max(rest, begin)
        return (days + 1) * DAY + self._begins[0]

    def worked_through(self, at: Seconds, work: Seconds) -> tuple[Seconds, Seconds]:
        """From when to when work falls that is begun as soon as may be and goes on after breaks and nights."""
        begin = self.open_from(at)
        return begin, self.when(self.worked(begin) + work) if work else begin

    def in_one_stretch(self, at: Seconds, work: Seconds) -> tuple[Seconds, Seconds]:
        """From when to when work falls that no break may part; it must be no longer than `longest`."""
        begin = self.open_from(at)
        while True:
            days, rest = divmod(begin, DAY)
            end = next(end for begins, end in self.stretches if begins <= rest < end)
            if rest + work <= end:
                return begin, begin + work
            begin = self.open_from(days * DAY + end)


def hours_of(stretches: Sequence[tuple[int, int]]) -> Hours:
    """The hours of stretches in minutes from midnight, in order and apart."""
    found = tuple((begin * 60, end * 60) for begin, end in stretches)
    lengths = accumulate((end - begin for begin, end in found), initial=0)
    return Hours(found, tuple(begin for begin, _ in found), tuple(lengths))
