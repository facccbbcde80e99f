"""Every physical piece of a job: its number, the unit it belongs to, its hand, and when it comes off the saw."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.counts import counted
from stopwright.model.job import Job
from stopwright.model.parts import first_in_unit, units_of
from stopwright.plan.assembling.places import places_in_unit
from stopwright.plan.joinery.hands import count_hands
from stopwright.plan.run_sheet import Remark, RunSheet

SAWN = ("rip", "crosscut", "mitre")

Board = tuple[int, int]
"""One physical board or sheet: which layout of the sheet, which of its copies."""

_LastRuns: TypeAlias = dict[str, dict[bool, tuple[int, int]]]

TO_BUY: Board = (1_000_000, 0)
"""Where pieces come from that no layout holds: after all boards that are on hand."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One physical piece. `index` counts in part-list order and stays the same whatever the plan; sizes in nm.

    `unit` counts from 1 and is None for a spare. `hand` is "left" or "right" in handed pairs, else "": with the face
    side towards you and the face edge down, it is where the marked end lies; "left" is the mirror image.
    `place` is where in the unit it stands, where the joints tell it. `nth` of `per_unit` counts within the unit.
    """

    index: int
    mark: str
    number: int
    name: str
    unit: int | None
    hand: str
    size: tuple[Nm, Nm, Nm]
    place: str = ""
    nth: int = 1
    per_unit: int = 1

    @property
    def label(self) -> str:
        """Mark and number: A-07."""
        return f"{self.mark}-{self.number:02}"


def list_pieces(job: Job, sheet: RunSheet) -> tuple[Piece, ...]:
    """Every piece of the job in the order in which it comes off the saw; see `pieces_of_jobs`."""
    return tuple(piece for _, piece in pieces_of_jobs([job], sheet))


def pieces_of_jobs(jobs: Sequence[Job], sheet: RunSheet) -> tuple[tuple[int, Piece], ...]:
    """Every piece of jobs that are worked by one sheet, in the order off the saw, with the place of its job.

    The order is that of the last saw run of each part, within it as the run lists its parts, within a part board
    after board. Numbers 1 … quantity fill unit after unit; what does not divide among the units is spare and has the
    last numbers. A unit's pieces of a part come from one board where a board holds enough, and from the board that
    already gave to the unit where there is a choice. Hands take turns, so every unit has half of each where its
    count allows. Pieces that no saw run has come last, in part-list order.
    """
    runs = _last_saw_runs(sheet)
    each = ((place, key, piece) for place, job in enumerate(jobs) for key, piece in _pieces_off(job, sheet, runs))
    in_order = sorted(each, key=lambda one: (one[1], one[0], one[2].index))
    return tuple((place, piece) for place, _, piece in in_order)


def _pieces_off(job: Job, sheet: RunSheet, runs: _LastRuns) -> Iterator[tuple[tuple[tuple[int, int], Board], Piece]]:
    """The pieces of a job in part-list order, each with when it comes off the saw."""
    boards = _share_boards(job, sheet)
    places = places_in_unit(job)
    index = 0
    for part in job.parts:
        in_units = units_of(part, job.units)
        belongs = [(unit, nth) for unit, count in enumerate(in_units) for nth in range(count)]
        belongs += [(job.units, nth) for nth in range(part.quantity - len(belongs))]
        handed = count_hands(job, part)[1] > 0
        for number in range(1, part.quantity + 1):
            unit, nth = belongs[number - 1]
            spare = unit >= job.units
            hand = ("left", "right")[number % 2] if handed else ""
            piece = Piece(
                index=index,
                mark=part.mark,
                number=number,
                name=part.name,
                unit=None if spare else unit + 1,
                hand=hand,
                size=part.size,
                place="" if spare else places.get((part.mark, nth), ""),
                nth=nth + 1,
                per_unit=0 if spare else in_units[unit],
            )
            yield (_off_the_saw(runs, piece), boards[part.mark][number - 1]), piece
            index += 1


def number_of_piece(job: Job, mark: str, nth: int, unit: int) -> int:
    """The number, from 1, of the nth piece (from 0) of a mark in a unit (from 1): units are filled one by one."""
    return first_in_unit(job.part(mark), job.units, unit - 1) + nth + 1


def remarks_on_units(job: Job) -> tuple[Remark, ...]:
    """One remark for every part whose quantity does not divide among the units.

    >>> from stopwright.model.parts import Part
    >>> job = Job("Benches", (Part("A", "Leg", 18, 1, 1, 1),), units=4)
    >>> remarks_on_units(job)[0].text
    '18 pieces for 4 units: 4 in each, the last 2 spare; correct the quantity if that is not meant'
    """
    return tuple(
        Remark(
            part.mark,
            f"{counted(part.quantity, 'piece')} for {job.units} units: {part.quantity // job.units} in each, "
            f"the last {part.quantity % job.units} spare; correct the quantity if that is not meant",
        )
        for part in job.parts
        if sum(units_of(part, job.units)) < part.quantity
    )


def _last_saw_runs(sheet: RunSheet) -> _LastRuns:
    """Where each part comes off the saw, mirrored pieces apart: number of the run, place in its list."""
    last: dict[str, dict[bool, tuple[int, int]]] = {}
    for run in sheet.runs:
        if run.work in SAWN:
            for place, pieces in enumerate(run.pieces):
                last.setdefault(pieces.mark, {})[pieces.mirrored] = (run.number, place)
    return last


def _off_the_saw(runs: _LastRuns, piece: Piece) -> tuple[int, int]:
    found = runs.get(piece.mark, {})
    return found.get(piece.hand == "left") or found.get(False) or found.get(True) or (1_000_000, 0)


def _share_boards(job: Job, sheet: RunSheet) -> dict[str, list[Board]]:
    """For every part the boards its pieces come from, piece 1 first."""
    left = _pieces_on_boards(job, sheet)
    shared: dict[str, list[Board]] = {part.mark: [] for part in job.parts}
    in_units = {part.mark: units_of(part, job.units) for part in job.parts}
    for unit in range(job.units):
        gave: Counter[Board] = Counter()
        for part in job.parts:
            taken = _take(left[part.mark], in_units[part.mark][unit], gave)
            gave.update(board for board in taken if board != TO_BUY)
            shared[part.mark] += taken
    for part in job.parts:
        shared[part.mark] += sorted(left[part.mark].elements())
    return shared


def _pieces_on_boards(job: Job, sheet: RunSheet) -> dict[str, Counter[Board]]:
    missing = {part.mark: part.quantity for part in job.parts}
    held: dict[str, Counter[Board]] = {mark: Counter() for mark in missing}
    for number, layout in enumerate(sheet.wood.layouts):
        counts = Counter(placement.mark for placement in layout.placements if placement.mark in held)
        for copy in range(layout.times):
            for mark, count in counts.items():
                here = min(count, missing[mark])
                held[mark][number, copy] = here
                missing[mark] -= here
    for mark, boards in held.items():
        boards[TO_BUY] = missing[mark]
    return held


def _take(left: Counter[Board], count: int, gave: Counter[Board]) -> list[Board]:
    """Takes `count` pieces, from one board if one holds enough: one that gave before, else the first."""
    if not count:
        return []
    enough = [board for board in left if left[board] >= count]
    if enough:
        best = min(enough, key=lambda board: (-gave[board], board))
        left[best] -= count
        return [best] * count
    taken: list[Board] = []
    for fullest in sorted(left, key=lambda board: (-left[board], board)):
        part = min(left[fullest], count - len(taken))
        left[fullest] -= part
        taken += [fullest] * part
    return sorted(taken)
