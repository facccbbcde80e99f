"""The working day of a shop: from when to when, its breaks, and the clamps there are to hold what is glued.

In a shop file:

    bench_places = 2                          # so many glue-ups can lie there at once; left out: not counted

    [day]
    begin = "07:30"
    end = "16:30"
    breaks = ["10:00-10:15", "12:30-13:00"]

    [[clamps]]
    opening = 600                             # how far they open, from caul to caul
    count = 8
"""

import itertools
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from stopwright.errors import Inconsistent, Problem
from stopwright.lengths import Nm

Minute: TypeAlias = int
"""A time of day in minutes from midnight."""
MOST_CLAMPS = 500
"""More of one kind are not counted in any shop."""
_TIME = re.compile(r"\s*([0-9]{1,2})[:.]([0-9]{2})\s*")
_BETWEEN = re.compile(r"[-–—]| to ")


def minute_of(text: str) -> Minute | None:
    """The time of day that a text names, None if it names none.

    >>> minute_of("07:30"), minute_of("24:00"), minute_of("7.05"), minute_of("noon"), minute_of("12:60")
    (450, 1440, 425, None, None)
    """
    found = _TIME.fullmatch(text)
    minute = int(found[1]) * 60 + int(found[2]) if found and int(found[2]) < 60 else -1
    return minute if 0 <= minute <= 24 * 60 else None


@dataclass(frozen=True, slots=True)
class Day:
    """When the shop works, the same every day; where neither begin nor end is said, nothing is timed.

    Times are written as on a clock, a break as two of them: "12:30-13:00".
    """

    begin: str = ""
    end: str = ""
    breaks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent("day", problems)

    def _problems(self) -> Iterator[Problem]:
        for field, text, other in (("begin", self.begin, self.end), ("end", self.end, self.begin)):
            if text and minute_of(text) is None:
                yield Problem(field, f"'{text[:20]}' is not a time of day", "write it as 07:30")
            elif not text and (other or self.breaks):
                yield Problem(field, "is missing", f"write when the day {field}s, as 07:30, or leave the whole day out")
        begin, end = minute_of(self.begin), minute_of(self.end)
        if begin is None or end is None:
            return
        if end <= begin:
            yield Problem("end", f"{self.end} is not after its beginning, {self.begin}", "write a later time")
            return
        found = []
        for text in self.breaks:
            both = _break_in(text)
            if both is None:
                yield Problem("breaks", f"'{text[:20]}' is not a break", "write it as 12:30-13:00")
            elif not begin < both[0] < both[1] < end:
                yield Problem("breaks", f"{text} does not lie inside the day", "write it from earlier to later in it")
            else:
                found.append((both, text))
        found.sort()
        for (earlier, first), (later, second) in itertools.pairwise(found):
            if later[0] < earlier[1]:
                yield Problem("breaks", f"{first} and {second} overlap", "write them as one break")

    @property
    def is_said(self) -> bool:
        """Whether the shop says when it works."""
        return bool(self.begin and self.end)

    @property
    def stretches(self) -> tuple[tuple[Minute, Minute], ...]:
        """From when to when is worked, between the breaks.

        >>> Day("07:30", "16:30", ("12:30-13:00", "10:00-10:15")).stretches
        ((450, 600), (615, 750), (780, 990))
        """
        begin, end = minute_of(self.begin), minute_of(self.end)
        if begin is None or end is None:
            return ()
        breaks = sorted(filter(None, map(_break_in, self.breaks)))
        edges = [begin, *(minute for both in breaks for minute in both), end]
        return tuple((one, two) for one, two in zip(edges[::2], edges[1::2], strict=True) if one < two)


@dataclass(frozen=True, slots=True)
class Clamps:
    """Clamps of one kind: how far they open in nm, from caul to caul, and how many there are."""

    opening: Nm
    count: int

    def __post_init__(self) -> None:
        problems: list[Problem] = []
        if self.opening <= 0:
            problems.append(Problem("opening", "is 0", "write how far they open"))
        if not 1 <= self.count <= MOST_CLAMPS:
            text = f"{self.count} is not from 1 to {MOST_CLAMPS}"
            problems.append(Problem("count", text, "write how many there are"))
        if problems:
            raise Inconsistent("clamps", problems)


def _break_in(text: str) -> tuple[Minute, Minute] | None:
    ends = [minute_of(one) for one in _BETWEEN.split(text)]
    return (ends[0], ends[1]) if len(ends) == 2 and ends[0] is not None and ends[1] is not None else None
