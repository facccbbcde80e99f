"""What an operation is: a kind of cut with everything the plan and the pages need to know of it."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any, TypeAlias

from stopwright.model.gear import Gear
from stopwright.model.job import Flow, Job
from stopwright.model.parts import Part
from stopwright.model.stations import Shop, Station
from stopwright.plan.effort import Effort
from stopwright.plan.operations.caution import Caution
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.run_sheet import Lot, Measured, Pieces, Remark, Run, SpacerBlock, Standing
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.timber.panels import Panel
from stopwright.plan.timber.way import Way
from stopwright.plan.timber.wood import WoodPlan

Worked: TypeAlias = tuple[list[Lot], list[Lot]]
"""What a run takes, and what it gives; both empty where nothing is left for it."""


class Stage(IntEnum):
    """Where on its way from the rack a workpiece meets an operation; a later stage takes what an earlier one gives.

    Reference sides are destroyed last, and what runs across comes before what runs along (handbook of the trade; both
    common practice).
    """

    BREAK_DOWN = 0
    TRUE = 1
    THICKNESS = 2
    CALIBRATE = 3
    WIDTH = 4
    LONG = 5
    SQUARE = 6
    LENGTH = 7
    GLUE_EDGES = 8
    GLUE = 9
    PANEL_THICKNESS = 10
    PANEL_CALIBRATE = 11
    LAST_EDGES = 12
    LAST_JOINT = 13
    PANEL_WIDTH = 14
    PANEL_SQUARE = 15
    PANEL_LENGTH = 16
    BLANKS = 17
    MITRE = 18
    ACROSS = 19
    ALONG = 20
    SLOTS = 21
    ENDS = 22
    EDGES = 23
    LAST = 24
    DRY_WIDTH = 25
    DRY_SQUARE = 26
    DRY_LENGTH = 27
    DRY_MITRE = 28
    DRY_ACROSS = 29
    DRY_ALONG = 30
    DRY_SLOTS = 31
    DRY_ENDS = 32
    DRY_EDGES = 33
    DRY_LAST = 34
    HAND = 35
    FINISH = 36


AFTER_DRY_FIT: Mapping[Stage, Stage] = {
    Stage.PANEL_WIDTH: Stage.DRY_WIDTH,
    Stage.PANEL_SQUARE: Stage.DRY_SQUARE,
    Stage.PANEL_LENGTH: Stage.DRY_LENGTH,
    Stage.MITRE: Stage.DRY_MITRE,
    Stage.ACROSS: Stage.DRY_ACROSS,
    Stage.ALONG: Stage.DRY_ALONG,
    Stage.SLOTS: Stage.DRY_SLOTS,
    Stage.ENDS: Stage.DRY_ENDS,
    Stage.EDGES: Stage.DRY_EDGES,
    Stage.LAST: Stage.DRY_LAST,
}
"""When that is done to a part which gets its size only when its thing was put together dry."""


@dataclass(frozen=True, slots=True)
class Role:
    """What a stop, fence or height of a station decides about the piece; a shop file says it in `sets`.

    `is_put_in`: a tool that is put in, not moved. `is_turned`: in degrees. `is_proved`: a first piece is measured
    before anything is counted. `has_rail`: long enough to be drawn as a rule. `stands_with`: the role whose change
    makes this one be set again (the height of a spindle, after the cutter was changed). `is_gauge`: it turns the gauge
    that pieces are led by, unless a stop that `guides` leads them.
    """

    name: str
    is_put_in: bool = False
    is_turned: bool = False
    is_proved: bool = False
    has_rail: bool = False
    stands_with: str = ""
    is_gauge: bool = False
    guides: bool = False

    @property
    def is_length(self) -> bool:
        """Whether its positions are lengths."""
        return not (self.is_put_in or self.is_turned)


@dataclass(frozen=True, slots=True)
class Task:
    """What is to be planned: the job with its loose tenons and strips, what comes out of the wood, and how.

    `panels` are glued from strips; they are parts of the job, but not among `parts`, which are as long as they come
    off the crosscut stop. `standing` is what stands on the machines already.
    """

    job: Job
    parts: tuple[Part, ...]
    wood: WoodPlan
    shop: Shop
    flow: Flow
    panels: tuple[Panel, ...] = ()
    effort: Effort | None = None
    standing: Standing | None = None


@dataclass(frozen=True, slots=True)
class Setup:
    """Workpieces worked at one combination of stops: one run, or several that follow each other directly.

    The runs are not numbered, and whether a stop of theirs is set or stands is not known yet.
    """

    stage: Stage
    runs: tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Setups:
    """All that an operation has to do for a job, in the order that people like where the cost is the same.

    Pairs of places in it: for each (a, b) of `before` setup a must come before b, for those of `rather` it is better
    where it costs nothing. `wide_first`: what shares no stop is worked from its first setup on, group after group.
    `faults` break a rule of the shop, `warnings` want a look, `spacers` are blocks to make.
    """

    setups: tuple[Setup, ...] = ()
    before: frozenset[tuple[int, int]] = frozenset()
    rather: frozenset[tuple[int, int]] = frozenset()
    wide_first: bool = False
    faults: tuple[Remark, ...] = ()
    warnings: tuple[Remark, ...] = ()
    spacers: tuple[SpacerBlock, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """A kind of cut. Nothing has a default: what is forgotten is an error at import.

    `work` is its name, as in the shop file; `stage` where it usually stands on the way of the wood; `title` how a run
    is headed beside its station, "" where the name of a station that does nothing else says enough. `comes_to` is what
    happens at a mark of the scale: it "cuts" or "planes to" so much. `roles` are what it sets at a station, `gear` is
    what it must know of it besides. `asked` is
    the things in a job file that ask for it, none where every job does. `setups` plans it, `follow` tells what a run
    takes and gives, `measured` what is measured at a trial piece for a stop, by its role, where that is not simply
    where the stop stands, `reason` why a run stands where it stands (each sentence without capital and full stop),
    `picture` draws a run.
    """

    work: str
    stage: Stage
    title: str
    comes_to: str
    roles: tuple[Role, ...]
    gear: tuple[type[Gear], ...]
    asked: tuple[type[Any], ...]
    setups: Callable[[Task], Setups]
    follow: Callable[[Way, Run, Station], Worked]
    measured: Callable[[Run], Mapping[str, Measured]]
    cautions: tuple[Caution, ...]
    reason: Callable[[Run, Sequence[Run], Sequence[Run], Shop], Iterator[str]]
    picture: Callable[[Canvas, Run, Job, FlipStops | None], None]


def at_station(shop: Shop, work: str, plan: Callable[[Station], Setups]) -> Setups:
    """The setups at the station that does this work; a warning where none does."""
    station = shop.station_for(work)
    if station:
        return plan(station)
    text = f"no station does the work called {work}, so it is not in the plan; give it to a station"
    return Setups(warnings=(Remark("the shop", text),))


def by_hand(task: Task, work: str, stage: Stage, parts: Iterable[Part], note: str) -> Setups:
    """One run without stops for these parts, where a station does this work; a shop that names none wants none."""
    station = task.shop.station_for(work)
    pieces = tuple(Pieces(one.mark, one.name, one.quantity) for one in parts)
    if station is None or not pieces:
        return Setups()
    return Setups((Setup(stage, (Run(0, station.name, work, (), pieces, note=note),)),))


def together(*several: Setups) -> Setups:
    """The setups of several as one, those of the first ones first."""
    before: set[tuple[int, int]] = set()
    rather: set[tuple[int, int]] = set()
    first = 0
    for one in several:
        before |= {(first + a, first + b) for a, b in one.before}
        rather |= {(first + a, first + b) for a, b in one.rather}
        first += len(one.setups)
    return Setups(
        tuple(setup for one in several for setup in one.setups),
        frozenset(before),
        frozenset(rather),
        any(one.wide_first for one in several),
        tuple(fault for one in several for fault in one.faults),
        tuple(warning for one in several for warning in one.warnings),
        tuple(block for one in several for block in one.spacers),
    )


def as_the_stop_stands(_: Run) -> Mapping[str, Measured]:
    """A trial piece is measured as its stop stands: the width at the fence, the length at the stop."""
    return {}


def marks_of(run: Run) -> list[str]:
    """The marks of the finished pieces inside what a run works, each once."""
    return list(dict.fromkeys(pieces.mark for pieces in run.pieces))


def said_together(names: Iterable[str]) -> str:
    """Names joined as one says them; many of them as a number.

    >>> said_together(["A"]), said_together(["A", "B", "C"])
    ('A', 'A, B and C')
    """
    known = list(dict.fromkeys(names))
    if len(known) > 6:
        return f"{len(known)} parts"
    return f"{', '.join(known[:-1])} and {known[-1]}" if len(known) > 1 else "".join(known)
