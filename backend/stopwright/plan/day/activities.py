"""What is to be done in a day, and what it needs: hands, what comes before, clamps, a place on the bench."""

import itertools
from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.plan.day.hours import Hours, Seconds

StopAt: TypeAlias = tuple[str, str, object]
"""A stop where it must stand: its station, what it sets, its place."""


@dataclass(frozen=True, slots=True)
class Activity:
    """One thing that one person does, from its begin to its end without anything else in between.

    `seconds` of hands, of which another order may save `may_save`. Activities of one `line` are done in the order
    given. `after` names what must have ended before, and how long before, by the clock. `whole` is not parted by a
    break or a night. `clamps` that open to `opening` nm or more, and a place on the bench where it `lies_there`, are
    taken at its begin and come free `held` after its end, by the clock. `stands` are stops that stand from before,
    with the seconds to set them again if a changeover lost them; `sets` stand after it.
    """

    id: str
    seconds: Seconds
    line: str
    may_save: Seconds = 0
    after: tuple[tuple[str, Seconds], ...] = ()
    whole: bool = False
    clamps: int = 0
    opening: Nm = 0
    lies_there: bool = False
    held: Seconds = 0
    station: str = ""
    stands: tuple[tuple[StopAt, Seconds], ...] = ()
    sets: frozenset[StopAt] = frozenset()

    @property
    def least(self) -> Seconds:
        """The seconds of hands that it takes in whatever order."""
        return self.seconds - self.may_save


@dataclass(frozen=True, slots=True)
class Body:
    """A machine that is several stations: what each change between two of them takes, and which stops it loses."""

    stations: frozenset[str]
    seconds: Mapping[tuple[str, str], Seconds]
    loses: Mapping[tuple[str, str], AbstractSet[str]] = field(default_factory=dict)


@dataclass(frozen=True)
class Work:
    """All activities of a batch in a shop's hours; of clamps their opening in nm and number, smallest first.

    `ready` is for which station each body stands ready at first, "" for none.
    `clamps` None and `places` 0: not counted. No activity asks for more clamps than there are, and none that is whole
    for longer than the longest stretch.
    """

    activities: tuple[Activity, ...]
    hours: Hours
    clamps: tuple[tuple[Nm, int], ...] | None = None
    places: int = 0
    bodies: tuple[Body, ...] = ()
    ready: tuple[str, ...] = ()

    @cached_property
    def lines(self) -> tuple[tuple[int, ...], ...]:
        """The places of the activities line by line."""
        lines: dict[str, list[int]] = {}
        for place, one in enumerate(self.activities):
            lines.setdefault(one.line, []).append(place)
        return tuple(map(tuple, lines.values()))

    @cached_property
    def number(self) -> Mapping[str, int]:
        """The place of every activity by its id."""
        return {one.id: place for place, one in enumerate(self.activities)}

    @cached_property
    def before(self) -> tuple[tuple[tuple[int, Seconds], ...], ...]:
        """What must have ended before each activity, by place, and how long before."""
        return tuple(tuple((self.number[id_], lag) for id_, lag in one.after) for one in self.activities)

    @cached_property
    def turn(self) -> tuple[tuple[int, int], ...]:
        """The line of every activity by place, and which of its line it is."""
        turns = {place: (line, nth) for line, places in enumerate(self.lines) for nth, place in enumerate(places)}
        return tuple(turns[place] for place in range(len(self.activities)))

    @cached_property
    def waiting(self) -> tuple[tuple[int, ...], ...]:
        """What must not begin before each activity has ended, by place."""
        waiting: list[list[int]] = [[] for _ in self.activities]
        for place, before in enumerate(self.before):
            for other, _ in before:
                waiting[other].append(place)
        return tuple(map(tuple, waiting))

    @cached_property
    def later(self) -> tuple[tuple[tuple[int, Seconds], ...], ...]:
        """What comes after each activity, by place, and how long after its end at the soonest; lines too."""
        later: list[list[tuple[int, Seconds]]] = [[] for _ in self.activities]
        for place, before in enumerate(self.before):
            for other, lag in before:
                later[other].append((place, lag))
        for line in self.lines:
            for one, other in itertools.pairwise(line):
                later[one].append((other, 0))
        return tuple(map(tuple, later))

    @cached_property
    def may_be_lost(self) -> tuple[Mapping[str, frozenset[StopAt]], ...]:
        """The stops of every body by what they set."""
        found = []
        for body in self.bodies:
            stops = {stop for one in self.activities for stop in one.sets if stop[0] in body.stations}
            found.append({sets: frozenset(stop for stop in stops if stop[1] == sets) for sets in {s[1] for s in stops}})
        return tuple(found)

    @cached_property
    def body_of(self) -> Mapping[str, int]:
        """Which body a station is part of."""
        return {station: place for place, body in enumerate(self.bodies) for station in body.stations}

    def at_once(self, most_clamps: int, least_opening: Nm) -> Iterator[tuple[str, int]]:
        """How many glue-ups can be held at once that each need so many clamps open so far: by clamps, by places."""
        if self.clamps is not None and most_clamps:
            yield "clamps", sum(count for opening, count in self.clamps if opening >= least_opening) // most_clamps
        if self.places:
            yield "places", self.places
