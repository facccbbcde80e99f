"""What is out of a piece already when it comes to a run, and what the run takes out: for the picture of this piece.

Which run makes which cut is found by where the stops stand, as one would at the machine: a slot whose place and side
agree with the run is made there. A slot that takes several passes counts as being made in each of them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product

from stopwright.lengths import Nm, SignedNm
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.solid import Solid
from stopwright.plan.joinery.hands import side_down
from stopwright.plan.joinery.slots import Slot, body_of, box_of, slots_of
from stopwright.plan.operations.roles import (
    BIT,
    BLADE_HEIGHT,
    DRILL,
    END_STOP_LEFT,
    END_STOP_RIGHT,
    LENGTH,
    PEG,
    SPINDLE_HEIGHT,
    TABLE_HEIGHT,
    TRAVEL_FROM,
    TRAVEL_TO,
    WIDTH,
)
from stopwright.plan.run_sheet import Pieces, Run
from stopwright.plan.stations.cut_setups import CALLED
from stopwright.plan.stations.part_sides import PAIRS, axis_of, opposite
from stopwright.plan.stations.true_sides import TrueSides, Whole

_NAMED = {CALLED.get(side, str(side)): side for side in Side}
_MOST_HOLES = 200
"""How many holes one row on the peg may have at most."""

_Body = tuple[Nm, Nm, Nm]


@dataclass(frozen=True, slots=True)
class InPiece:
    """The body of a piece (length with its horn, width, thickness; nm), what is out of it, and what is cut now."""

    body: tuple[Nm, Nm, Nm]
    before: tuple[Solid, ...]
    now: tuple[Solid, ...]


class CutBefore:
    """What every run of a sheet finds in its pieces."""

    def __init__(self, runs: Sequence[Run], job: Job) -> None:
        self._runs = runs
        self._job = job
        self._made: dict[tuple[str, bool], list[tuple[Solid, set[tuple[int, int]]]]] = {}

    def at(self, run: Run, pieces: Pieces, lying: int = 0) -> InPiece | None:
        """How these pieces of a run look when they are laid down for the cut `lying`; None where nothing is known."""
        part = next((part for part in self._job.parts if part.mark == pieces.mark), None)
        if part is None or pieces.down is None:
            return None
        body = body_of(self._job, part)
        made = self._made.setdefault((pieces.mark, pieces.mirrored), [])
        if not made:
            made += self._makings(pieces.mark, pieces.mirrored, body)
        here = (run.number, lying)
        before = tuple(solid for solid, when in made if here not in when and any(one < here for one in when))
        return InPiece(body, before, tuple(solid for solid, when in made if here in when))

    def while_long(self, run: Run, whole: Whole) -> tuple[Solid, ...]:
        """What was cut out of pieces while they were strips, as they come off the stop; nothing of other wood."""
        row = next((row for row in run.pieces if row.mark in whole.marks and not run.lines), None)
        piece = self.at(run, replace(row, down=whole.lying.down)) if row and whole.lying.down else None
        return piece.before if piece else ()

    @cached_property
    def true_sides(self) -> TrueSides:
        """What is true of wood into which nothing is cut."""
        return TrueSides(self._runs)

    def _makings(self, mark: str, mirrored: bool, body: _Body) -> Iterator[tuple[Solid, set[tuple[int, int]]]]:
        """Every cut of a piece with the runs and ways of lying in which it is made."""
        rows = [
            (run, lying, one)
            for run in self._runs
            for row in run.pieces
            if (row.mark, row.mirrored) == (mark, mirrored)
            for lying, one in enumerate(row.each)
            if one.down
        ]
        for slot in slots_of(self._job, mark):
            xs, ys, zs = box_of(slot, body)
            solid = Solid("", tuple(product(xs, ys, zs)))
            yield solid, {(run.number, lying) for run, lying, one in rows if _mortises(run, one, slot)}
        as_long = replace(self._job.part(mark), length=body[0])
        for cut in self._job.cuts:
            for solid in cut.removes(self._job, as_long):
                yield solid, {(run.number, lying) for run, lying, one in rows if _cuts(run, one, solid, body)}


def _mortises(run: Run, pieces: Pieces, slot: Slot) -> bool:
    """Whether a run of the mortiser makes the slot: its side at the bit, its place along the travel, its height."""
    at = _lengths(run)
    stop = END_STOP_RIGHT if pieces.at == "right" else END_STOP_LEFT
    wanted = (TRAVEL_FROM.name, TRAVEL_TO.name, TABLE_HEIGHT.name, stop.name)
    if pieces.slotted is not slot.side or pieces.down is not side_down(slot.side, slot.stands_on):
        return False
    if any(name not in at for name in wanted):
        return False
    block = run.spacer.thickness * run.spacer.count if run.spacer else 0
    under = block if run.spacer and "under" in run.spacer.place else 0
    touches = at[stop.name] + block - under
    half = at.get(BIT.name, slot.bit) // 2
    start, end = at[TRAVEL_FROM.name] - half - touches, at[TRAVEL_TO.name] + half - touches
    return (start, end, at[TABLE_HEIGHT.name] - under) == (slot.start, slot.end, slot.centre)


def _cuts(run: Run, pieces: Pieces, solid: Solid, body: _Body) -> bool:
    """Whether a run makes this cut in pieces that lie so."""
    reference = _NAMED.get(pieces.reference)
    if solid.cut not in run.cuts or pieces.down is None or reference is None:
        return False
    at = _lengths(run)
    block = run.spacer.thickness * run.spacer.count if run.spacer else 0
    if BLADE_HEIGHT.name in at:
        place = at.get(LENGTH.name, at.get(WIDTH.name))
        return _touches(solid, pieces.down, body) and (
            place is None or _meets(solid, reference, place - block, run.tool, body)
        )
    if SPINDLE_HEIGHT.name in at:
        low = at[SPINDLE_HEIGHT.name] - block
        cheeks = (low, low + run.ring) if run.ring else (low,)  # at two discs, one below the ring and one above it
        return _touches(solid, reference, body) and any(_holds(solid, pieces.down, one, body) for one in cheeks)
    if DRILL.name in at or BIT.name in at:
        stop = at.get((END_STOP_RIGHT if pieces.at == "right" else END_STOP_LEFT).name, 0)
        first = at[TRAVEL_FROM.name] - stop if TRAVEL_FROM.name in at else stop
        holes = range(_MOST_HOLES if PEG.name in at else 1)
        return any(_holds(solid, reference, first + number * at.get(PEG.name, 0), body) for number in holes)
    away = opposite(reference)  # a sled, or a stop with the end to be cut at the blade
    return _touches(solid, away, body) and far_from(away, solid, body)[1] < body[axis_of(away)]


def _lengths(run: Run) -> dict[str, Nm]:
    return {stop.sets: stop.target for stop in run.stops if isinstance(stop.target, int)}


def far_from(side: Side, solid: Solid, body: _Body) -> tuple[SignedNm, SignedNm]:
    """How far from a side of the body a solid begins and ends, nm."""
    axis = axis_of(side)
    low, high = solid.spans[axis]
    return (low, high) if PAIRS[axis][0] is side else (body[axis] - high, body[axis] - low)


def _touches(solid: Solid, side: Side, body: _Body) -> bool:
    return far_from(side, solid, body)[0] <= 0


def _holds(solid: Solid, side: Side, place: SignedNm, body: _Body) -> bool:
    low, high = far_from(side, solid, body)
    return low <= place <= high


def _meets(solid: Solid, side: Side, place: SignedNm, tool: Nm, body: _Body) -> bool:
    """Whether a tool that cuts so wide from there on cuts some of it: wood that was measured lies a little off."""
    low, high = far_from(side, solid, body)
    return low < place + tool and place < high if tool else low <= place <= high
