"""Machines that are several stations: one of them is made ready at a time, and a changeover takes minutes and stops.

In a shop file:

    [[machine]]
    name = "combination, saw side"
    stations = ["saw", "spindle"]
    minutes = 5                    # between any two of them, unless a change says otherwise
      [[machine.change]]
      from = "spindle"
      to = "saw"
      minutes = 6
      loses = ["cutter"]           # what any of its axes sets that does not stand afterwards
      take_off = ["cutter", "spindle fence"]   # in the shop's own words; left out: as it usually is
      cover = []
      put_on = ["table ring", "riving knife and guard"]
      [[machine.share]]            # one physical stop that several of its stations read
      axis = "flip stops"
      stations = ["saw", "spindle"]
"""

from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from typing import Annotated, TypeAlias

from stopwright.errors import Inconsistent, Problem, StopwrightError
from stopwright.model.names import OneOf

Minutes: TypeAlias = Mapping[tuple[str, str], float]
"""Minutes from one station to another."""


def cost_of_changes(machine: AbstractSet[str], minutes: Minutes) -> dict[tuple[str, str], float]:
    """What each change between two stations of a machine takes. Raises StopwrightError as `order_visits` does."""
    costs = {(a, b): float(minutes.get((a, b), minutes.get((b, a), 0))) for a in machine for b in machine if a != b}
    for (a, b), cost in costs.items():
        if not 0 <= cost < float("inf"):
            raise StopwrightError(f"a change takes {cost:g} minutes", f"{a} to {b}", "write 0 or more")
        for over in machine - {a, b}:
            if costs[a, over] + costs[over, b] < cost:
                raise StopwrightError(
                    f"over {over} it would take {costs[a, over] + costs[over, b]:g} minutes instead of {cost:g}",
                    f"{a} to {b}",
                    "a machine is not made ready on the way for what is not worked there: put the stations that share "
                    "hardware into machines of their own, or correct the minutes",
                )
    return costs


@dataclass(frozen=True, slots=True)
class Change:
    """What making ready for one station after another takes, and what no longer stands then, by what axes set.

    `take_off`, `cover` and `put_on` are what to do, in the shop's own words; where all are empty, as it usually is.
    """

    from_: str
    to: str
    minutes: float
    loses: tuple[Annotated[str, OneOf("sets")], ...] = ()
    take_off: tuple[str, ...] = ()
    cover: tuple[str, ...] = ()
    put_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Share:
    """One physical stop that several stations read, each on an axis of this name."""

    axis: str
    stations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Machine:
    """Stations that share a body. `minutes` between any two of them that no change names."""

    name: str
    stations: tuple[str, ...]
    minutes: float = 0
    changes: tuple[Change, ...] = ()
    shares: tuple[Share, ...] = ()

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent(f"machine {self.name}".rstrip(), problems)

    def _problems(self) -> Iterator[Problem]:
        if not self.name:
            yield Problem("name", "is empty", "name the machine")
        if len(self.stations) < 2:
            yield Problem("stations", "are fewer than two", "name the stations that share its body")
        if len(set(self.stations)) < len(self.stations):
            yield Problem("stations", "names a station twice", "name each once")
        if self.minutes < 0:
            yield Problem("minutes", "must not be negative", "write how long a change takes")
            return
        for change in self.changes:
            for station in (change.from_, change.to):
                if station not in self.stations:
                    yield Problem("change", f"names {station}, which is not one of its stations", "name two of them")
                    return
        pairs = [(change.from_, change.to) for change in self.changes]
        for change in self.changes:
            if change.from_ == change.to:
                yield Problem("change", f"goes from {change.from_} to itself", "name two stations")
            elif pairs.count((change.from_, change.to)) > 1:
                yield Problem("change", f"from {change.from_} to {change.to} is given twice", "keep one")
        for share in self.shares:
            if not set(share.stations) <= set(self.stations):
                yield Problem("share", f"{share.axis}: names a station that is not one of its own", "name two of them")
        try:
            cost_of_changes(frozenset(self.stations), self.between)
        except StopwrightError as error:
            yield Problem("change", f"{error.where}: {error.what}", error.next_step)

    @property
    def between(self) -> dict[tuple[str, str], float]:
        """Minutes from each station to each other one; where only one way is named, the other takes as long."""
        said = {(change.from_, change.to): change.minutes for change in self.changes}
        backwards = {} if self.minutes else {(b, a): minutes for (a, b), minutes in said.items()}
        return {
            (a, b): said.get((a, b), backwards.get((a, b), self.minutes))
            for a in self.stations
            for b in self.stations
            if a != b
        }

    def change(self, from_: str, to: str) -> Change | None:
        """What is told of this change by itself, None where nothing is."""
        return next((change for change in self.changes if (change.from_, change.to) == (from_, to)), None)

    def taking(self, from_: str, to: str, minutes: float) -> "Machine":
        """The same machine, this change taking so many minutes. Raises Inconsistent where a detour would be shorter."""
        told = replace(self.change(from_, to) or Change(from_, to, minutes), minutes=minutes)
        others = tuple(change for change in self.changes if (change.from_, change.to) != (from_, to))
        return replace(self, changes=(*others, told))

    def lost(self, from_: str, to: str) -> AbstractSet[str]:
        """What axes set that no longer stands after this change."""
        change = self.change(from_, to)
        return set(change.loses) if change else set()
