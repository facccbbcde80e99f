"""Making a spoiled piece again: every run it passes, where stops still stand, which wood, which sister piece."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.gear import Blade
from stopwright.model.job import Job
from stopwright.model.parts import Grain, Kind, Part
from stopwright.model.stations import Shop, Work
from stopwright.plan.assembling.pieces import Piece
from stopwright.plan.joinery.worked_length import worked_length
from stopwright.plan.run_sheet import Position, Run, RunSheet, Stop
from stopwright.plan.timber.wood import SHEET_MAY_BE_OFF

Stands: TypeAlias = Mapping[str, Collection[tuple[str, Nm | str]]]
"""By station, the stops that stand there now: axis and target."""

Readings: TypeAlias = Mapping[tuple[str, str], Nm]
"""By run (its key) and axis, the reading that worked before, nm."""

SHARED_OUT = ("rip", "crosscut")
"""Works whose runs share out the pieces of a part: some lie turned on their sheet."""


@dataclass(frozen=True, slots=True)
class WoodOnHand:
    """A piece of wood that a remake could come from, sizes in nm. `place` is where to look for it.

    `rank` orders places: what lies on the shelf comes before what this job leaves over, that before whole boards.
    `loses` is what planing both faces takes off its thickness.
    """

    place: str
    rank: int
    length: Nm
    width: Nm
    thickness: Nm
    material: str
    is_sheet: bool
    offcut: int | None = None
    loses: Nm = 0


@dataclass(frozen=True, slots=True)
class Step:
    """One run that the remake passes. `readings` gives by axis what worked before, nm.

    `stands` says that all its stops still stand; else they are set anew, to those readings where there are any.
    """

    run: Run
    stands: bool
    readings: Mapping[str, Nm]

    def reading(self, stop: Stop) -> Position:
        """What to set a stop to: the reading that worked before, else the sheet's."""
        return self.readings.get(stop.axis, stop.reading)


@dataclass(frozen=True, slots=True)
class Remake:
    """How a piece is made again. `blank` is length, width and thickness of the wood it takes, nm.

    `wood` None: no wood on hand holds it. `sister` is a good piece to compare with, None where there is none.
    """

    piece: Piece
    blank: tuple[Nm, Nm, Nm]
    wood: WoodOnHand | None
    sister: Piece | None
    steps: tuple[Step, ...]


def plan_remake(
    job: Job,
    shop: Shop,
    sheet: RunSheet,
    piece: Piece,
    *,
    stands: Stands,
    readings: Readings,
    woods: Iterable[WoodOnHand] = (),
    good: Sequence[Piece] = (),
) -> Remake:
    """How a piece is made again: all that was ever done to it, in the order of the sheet.

    A run goes where its stops still stand. `good` are the pieces that are whole: the sister is one of the same mark
    and hand, of the same unit before others, then the nearest number.
    """
    part = job.part(piece.mark)
    blank = blank_of(job, shop, part)
    steps = tuple(
        Step(
            run,
            {(stop.axis, stop.told) for stop in run.stops} <= set(stands.get(run.station, ())),
            {stop.axis: readings[run.id, stop.axis] for stop in run.stops if (run.id, stop.axis) in readings},
        )
        for run in Ways(job, sheet).of(piece)
    )
    alike = [one for one in good if one.index != piece.index and (one.mark, one.hand) == (piece.mark, piece.hand)]
    sister = min(
        alike, key=lambda one: (one.unit != piece.unit, abs(one.number - piece.number), one.number), default=None
    )
    return Remake(piece, blank, choose_wood(part, blank, woods, _kerf(shop)), sister, steps)


class Ways:
    """Which runs the pieces of a job pass, worked out once for all pieces of a part and hand."""

    def __init__(self, job: Job, sheet: RunSheet) -> None:
        self._parts = {part.mark: part for part in job.parts}
        self._runs: dict[str, list[Run]] = {mark: [] for mark in self._parts}
        self._apart: set[tuple[Work, str]] = set()
        for run in sheet.runs:
            for mark in dict.fromkeys(line.mark for line in run.pieces):
                self._runs.setdefault(mark, []).append(run)
            self._apart |= {(run.work, line.mark) for line in run.pieces if line.mirrored}
        self._straight: dict[str, int | None] = {}
        self._known: dict[tuple[str, str, bool | None], tuple[Run, ...]] = {}

    def of(self, piece: Piece) -> tuple[Run, ...]:
        """The runs that a piece passes, in the order of the sheet.

        Where runs share out the pieces of a part, because some lie turned on their sheet, the first numbers lie
        straight.
        """
        part, runs = self._parts[piece.mark], self._runs[piece.mark]
        if piece.mark not in self._straight:
            self._straight[piece.mark] = _straight(part, runs)
        straight = self._straight[piece.mark]
        turned = None if straight is None else piece.number > straight
        key = (piece.mark, piece.hand, turned)
        if key not in self._known:
            mine = [run for run in runs if self.times(piece, run)]
            self._known[key] = tuple(
                run
                for run in mine
                if run.work not in SHARED_OUT or turned is None or _cuts_turned(part, run) in (None, turned)
            )
        return self._known[key]

    def times(self, piece: Piece, run: Run) -> int:
        """How often a piece is worked in a run: twice where it has a slot at either end, 0 where it does not come.

        Where a work tells hands apart anywhere on the sheet, a line that is not mirrored is for the other hand only.
        """
        lines = [line for line in run.pieces if line.mark == piece.mark]
        if (run.work, piece.mark) not in self._apart:
            return len(lines)
        return sum(line.mirrored == (piece.hand == "left") for line in lines)


def blank_of(job: Job, shop: Shop, part: Part) -> tuple[Nm, Nm, Nm]:
    """What a piece takes of the wood, nm: with the shop's allowance, or as drawn where it is a sheet good."""
    if part.kind is Kind.SHEET:
        return part.size
    allowance = shop.allowance
    cut_by_mark = any(mitre.part == part.mark for mitre in job.mitres)  # the allowance is in its worked length
    over = 0 if cut_by_mark else allowance.length
    return (worked_length(job, part, shop) + over, part.width + allowance.width, part.thickness)


def choose_wood(part: Part, blank: tuple[Nm, Nm, Nm], woods: Iterable[WoodOnHand], kerf: Nm = 0) -> WoodOnHand | None:
    """The wood to take: from the shelf before anywhere else, and there what leaves the longest pieces on it.

    What is left is compared longest first, the rest of the piece that is cut among it; so the shortest that is long
    enough is taken unless a longer one leaves more. None where nothing holds the blank.

    >>> from stopwright.lengths import MM
    >>> rail = Part("B", "Rail", 2, 400 * MM, 60 * MM, 20 * MM, "ash")
    >>> shelf = [WoodOnHand(f"O{n}", 0, n * MM, 100 * MM, 27 * MM, "ash", False) for n in (1500, 600, 900)]
    >>> choose_wood(rail, (425 * MM, 66 * MM, 20 * MM), shelf).place
    'O600'
    """
    all_woods = list(woods)
    fit = [(wood, length) for wood in all_woods if (length := _length_taken(part, blank, wood)) is not None]
    if not fit:
        return None
    first = min(wood.rank for wood, _ in fit)
    lengths = [wood.length for wood in all_woods if wood.rank == first]

    def left(wood: WoodOnHand, length: Nm) -> list[Nm]:
        others = lengths.copy()
        others.remove(wood.length)
        return sorted([*others, max(wood.length - length - kerf, 0)], reverse=True)

    best = max(
        ((wood, length) for wood, length in fit if wood.rank == first),
        key=lambda one: (left(*one), -one[0].width, -one[0].thickness),
    )
    return best[0]


def _length_taken(part: Part, blank: tuple[Nm, Nm, Nm], wood: WoodOnHand) -> Nm | None:
    """How much of the wood's length the blank takes, nm; None where it does not fit."""
    length, width, thickness = blank
    if wood.is_sheet is not (part.kind is Kind.SHEET) or wood.material.casefold() != part.material.casefold():
        return None
    if part.kind is Kind.SHEET:
        if abs(wood.thickness - thickness) > SHEET_MAY_BE_OFF:
            return None
        along, across = (length, width), (width, length)
        ways = {Grain.ALONG: [along], Grain.ACROSS: [across], Grain.ANY: [along, across]}[part.grain]
    elif wood.thickness - wood.loses < thickness:
        return None
    else:
        ways = [(length, width)]
    return min((x for x, y in ways if x <= wood.length and y <= wood.width), default=None)


def _straight(part: Part, runs: Sequence[Run]) -> int | None:
    """How many pieces of the part lie straight on their sheet, None where all of them lie alike."""
    if part.kind is not Kind.SHEET or part.length == part.width:
        return None
    straight = [run for run in runs if run.work == "rip" and _cuts_turned(part, run) is False]
    turned = [run for run in runs if run.work == "rip" and _cuts_turned(part, run)]
    if not straight or not turned:
        return None
    return sum(line.count for run in straight for line in run.pieces if line.mark == part.mark)


def _cuts_turned(part: Part, run: Run) -> bool | None:
    """Whether a run cuts the part as it lies turned: its length at the fence, its width at the stop."""
    sets, straight, turned = (
        ("width", part.width, part.length) if run.work == "rip" else ("length", part.length, part.width)
    )
    targets = [stop.target for stop in run.stops if stop.sets == sets]
    if turned in targets and straight not in targets:
        return True
    return False if straight in targets and turned not in targets else None


def _kerf(shop: Shop) -> Nm:
    saw = shop.station_for("crosscut")
    return saw.of(Blade).kerf if saw else 0
