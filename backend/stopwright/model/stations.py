"""The shop: stations, the stops and scales on them, allowances and tenon rules."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Annotated, TypeAlias, TypeVar

from stopwright.errors import Inconsistent, Problem
from stopwright.lengths import MM, Nm, Show, SignedNm
from stopwright.model.day import Clamps, Day
from stopwright.model.gear import Gear
from stopwright.model.machines import Machine
from stopwright.model.names import OneOf

Work: TypeAlias = Annotated[str, OneOf("work")]
"""What a station does to wood, called as its operation calls it."""
Sets: TypeAlias = Annotated[str, OneOf("sets")]
"""What an axis governs, called as the role of an operation."""
MOST_PLACES = 100
"""More glue-ups than this lie on the benches of no shop at once."""
AnyGear = TypeVar("AnyGear", bound=Gear)


@dataclass(frozen=True, slots=True)
class Axis:
    """One stop, fence or height of a station.

    Lengths in nm. `holds` positions can stand at once, no two closer than `clearance`. `step` is the finest
    graduation of its scale, None where there is no scale and the stop is set to a mark on the master piece.
    `low` may lie below 0: an end stop that can stand beyond the zero of the travel. `zero` is what the scale shows
    too much.
    """

    name: str
    sets: Sets
    holds: int = 1
    step: Nm | None = None
    zero: SignedNm = 0
    low: SignedNm = 0
    high: Nm = 10_000 * MM
    clearance: Nm = 0
    minutes: float = 0.5

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent(f"axis {self.name}", problems)

    def _problems(self) -> Iterator[Problem]:
        if not self.name:
            yield Problem("name", "is empty", "name the stop as the shop calls it")
        if not self.name.isprintable():
            yield Problem("name", "contains a character that cannot be printed", "write it without")
        if not 1 <= self.holds <= 12:
            yield Problem("holds", f"{self.holds} is not from 1 to 12", "write how many positions can stand at once")
        if self.step is not None and self.step <= 0:
            yield Problem("step", "is 0", "write the finest graduation, or leave it out where there is no scale")
        if self.low >= self.high:
            yield Problem("low", "does not lie below high", "write the least and the greatest position it reaches")
        elif self.clearance < 0 or (self.holds - 1) * self.clearance > self.high - self.low:
            yield Problem(
                "clearance", f"{self.holds} stops so far apart do not fit", "write the least distance between two stops"
            )
        if self.minutes < 0:
            yield Problem("minutes", f"{self.minutes} is negative", "write how long one setting takes")


@dataclass(frozen=True, slots=True)
class Station:
    """A machine set up for certain kinds of work: its stops, and the gear that these works need. Times in minutes."""

    name: str
    work: tuple[Work, ...]
    axes: tuple[Axis, ...] = ()
    gear: tuple[Gear, ...] = ()
    minutes_between: float = 0.5
    minutes_per_piece: float = 0.25

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent(f"station {self.name}", problems)

    def _problems(self) -> Iterator[Problem]:
        if not self.name:
            yield Problem("name", "is empty", "name the station")
        if not self.name.isprintable():
            yield Problem("name", "contains a character that cannot be printed", "write it without")
        if not self.work:
            yield Problem("work", "is empty", "write what it does, such as rip")
        yield from _called_alike("axis", "axes", self.axes)
        for sets, times in Counter(axis.sets for axis in self.axes).items():
            if times > 1:
                yield Problem("axis", f"{times} axes set the {sets}", "keep one, and let it hold more positions")
        if min(self.minutes_between, self.minutes_per_piece) < 0:
            yield Problem("minutes_between", "must not be negative", "write 0 or more")

    def of(self, kind: type[AnyGear]) -> AnyGear:
        """Its gear of one kind, as such gear usually is where it has none."""
        return next((one for one in self.gear if isinstance(one, kind)), None) or kind()

    def fitted(self, gear: Gear) -> "Station":
        """The station with this gear, in place of its own of that kind."""
        kept = [one for one in self.gear if type(one) is not type(gear)]
        return replace(self, gear=(*kept, gear))

    def axis(self, sets: Sets) -> Axis | None:
        """The axis that governs `sets`, None if the station has none."""
        return next((axis for axis in self.axes if axis.sets == sets), None)


@dataclass(frozen=True, slots=True)
class Allowance:
    """Rough over finished, in nm.

    `length` is for a blank that is crosscut by mark, `width` what the face edge loses when it is made true (and what
    a blank to buy is wider), `thickness` what each of the two faces loses.
    """

    length: Nm = 25 * MM
    width: Nm = 6 * MM
    thickness: Nm = 15 * MM // 10

    def __post_init__(self) -> None:
        _refuse_less_than("allowance", self, ("length", "width", "thickness"))


@dataclass(frozen=True, slots=True)
class TenonRules:
    """How loose-tenon stock is sized against its slot, in nm; spares: one in so many, at least so many."""

    fit: Nm = MM // 10
    play: Nm = 8 * MM // 10
    clearance: Nm = 16 * MM // 10
    spare_one_in: int = 20
    spares_at_least: int = 2

    def __post_init__(self) -> None:
        _refuse_less_than("tenon", self, ("fit", "play", "clearance", "spares_at_least"))
        _refuse_less_than("tenon", self, ("spare_one_in",), least=1)


@dataclass(frozen=True, slots=True)
class Glue:
    """A glue of the shop: how long a joint may stay open and how long the clamps stay on, in minutes."""

    name: str
    open_minutes: float
    clamp_minutes: float

    def __post_init__(self) -> None:
        if not self.name:
            raise Inconsistent("glue", [Problem("name", "is empty", "name the glue as the shop calls it")])
        if self.open_minutes <= 0:
            problem = Problem("open_minutes", f"{self.open_minutes:g} is not above 0", "write how long it stays open")
            raise Inconsistent(f"glue {self.name}", [problem])
        _refuse_less_than(f"glue {self.name}", self, ("clamp_minutes",))


@dataclass(frozen=True, slots=True)
class Limits:
    """What the shop wants to be warned about, in nm unless it is a ratio; the defaults are rules of the trade."""

    slot_wall: Nm = 5 * MM
    slot_from_end: Nm = 10 * MM
    between_slots: Nm = MM
    slot_length_warn: float = 5.0
    slot_length_stop: float = 6.0
    offcut_length: Nm = 300 * MM
    offcut_width: Nm = 40 * MM
    nearly_equal: Nm = MM // 2

    def __post_init__(self) -> None:
        lengths = ("slot_wall", "slot_from_end", "between_slots", "offcut_length", "offcut_width", "nearly_equal")
        _refuse_less_than("limits", self, (*lengths, "slot_length_warn"))
        if self.slot_length_stop < self.slot_length_warn:
            problem = Problem("slot_length_stop", "lies below slot_length_warn", "warn first, then stop")
            raise Inconsistent("limits", [problem])


@dataclass(frozen=True, slots=True)
class Shop:
    """Everything the plan must know about the shop. `lengths` is what a bare number means: "mm" or "in".

    `block_minutes` is what an exact block or strip takes to make, once; `shims` are the thicknesses that the shop owns,
    to be put between a piece and its fence or stop, nm. `day` says when is worked; `clamps` none, or `bench_places` 0:
    not counted.
    """

    name: str
    stations: tuple[Station, ...]
    lengths: str = "mm"
    show: Show = Show.MM
    allowance: Allowance = field(default_factory=Allowance)
    tenon: TenonRules = field(default_factory=TenonRules)
    limits: Limits = field(default_factory=Limits)
    glues: tuple[Glue, ...] = ()
    spacers: bool = True
    block_minutes: float = 2.0
    machines: tuple[Machine, ...] = ()
    shims: tuple[Nm, ...] = ()
    day: Day = field(default_factory=Day)
    clamps: tuple[Clamps, ...] = ()
    bench_places: int = 0

    def __post_init__(self) -> None:
        problems = []
        if not self.stations:
            problems.append(Problem("station", "there is none", "describe at least one station"))
        problems += _called_alike("station", "stations", self.stations)
        problems += _called_alike("glues", "glues", self.glues)
        if self.lengths not in ("mm", "in"):
            problems.append(Problem("lengths", f"'{self.lengths}' is not a unit", "write mm or in"))
        problems += self._of_machines()
        if self.block_minutes < 0:
            problems.append(Problem("block_minutes", "must not be negative", "write how long an exact block takes"))
        if not 0 <= self.bench_places <= MOST_PLACES:
            what = f"{self.bench_places} is not from 0 to {MOST_PLACES}"
            problems.append(Problem("bench_places", what, "write how many glue-ups can lie there at once"))
        if problems:
            raise Inconsistent(f"shop {self.name}", problems)

    def _of_machines(self) -> Iterator[Problem]:
        names = {station.name for station in self.stations}
        yield from _called_alike("machine", "machines", self.machines)
        seen: set[str] = set()
        for machine in self.machines:
            for station in machine.stations:
                if station not in names:
                    yield Problem(
                        "machine", f"{machine.name} names {station}, which is not a station", "name a station"
                    )
                elif station in seen:
                    yield Problem("machine", f"{station} stands in two machines", "put each station into one")
                seen.add(station)

    def machine_of(self, station: str) -> Machine | None:
        """The machine that a station is part of, None if it is one of its own."""
        return next((machine for machine in self.machines if station in machine.stations), None)

    def station_for(self, work: Work) -> Station | None:
        """The first station that does `work`, None if there is none."""
        return next((station for station in self.stations if work in station.work), None)


def _called_alike(field: str, things: str, named: Iterable[Axis | Station | Glue | Machine]) -> Iterator[Problem]:
    for name, times in Counter(one.name for one in named).items():
        if times > 1:
            yield Problem(field, f"{times} {things} are called {name}", "give each its own name")


def _refuse_less_than(about: str, thing: object, fields: tuple[str, ...], least: int = 0) -> None:
    too_little = "must not be negative" if least == 0 else f"is less than {least}"
    problems = [Problem(one, too_little, f"write {least} or more") for one in fields if getattr(thing, one) < least]
    if problems:
        raise Inconsistent(about, problems)
