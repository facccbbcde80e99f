"""What is done to a unit when its glue has set, in the words of pages and paper alike."""

from collections.abc import Callable, Iterable, Iterator, Sequence

from stopwright.lengths import Show, format_length
from stopwright.model.job import Job
from stopwright.model.parts import Kind, first_in_unit
from stopwright.paper.wording import runs_text
from stopwright.plan.assembling.assembly import AssemblyPlan
from stopwright.plan.assembling.glue_up_told import Horn
from stopwright.plan.assembling.joint_poses import Nth
from stopwright.plan.assembling.loose_parts import Loose
from stopwright.plan.assembling.mitred_rings import Ring
from stopwright.plan.operations.fasten import fastened_text, fastenings_in
from stopwright.plan.operations.operation import said_together
from stopwright.plan.operations.rebate import Rebate

SQUARES = "make both diagonals alike before it is fastened, for it keeps them so"
MOVES = "fasten it by its middle, without glue, for solid wood has to move"
"""Common practice, both of them."""


def afterwards_told(
    job: Job, plan: AssemblyPlan, named: Callable[[Nth], str], show: Show, unit: int | None = None
) -> Iterator[str]:
    """Line by line what slides in, what is laid into rebates, horns cut off and tops fastened.

    `named` says what a piece of the unit is called. Of a `unit`, from 1, only what it has is told; of all of them, what
    only some have with their numbers.
    """
    for loose in sorted(plan.afterwards, key=lambda one: one.is_laid_on):
        if unit is None or not loose.units or unit in loose.units:
            yield f"{'' if unit else units_told(loose.units)}{_put_in(job, loose, named)}"
    for marks in _picture_frames(job, plan.rings):
        if all(_has(job, mark, unit) for mark in marks):
            yield f"glass, picture and what is behind it go into the rebates of {said_together(marks)}, without glue"
    for horn in plan.horns:
        if _has(job, horn.mark, unit):
            yield _cut_off(horn, show)
    yield from map(fastened_text, fastenings_in(job))


def units_told(units: Sequence[int]) -> str:
    """Which units have it, before what they have; "" where all do.

    >>> units_told((2,)), units_told((1, 2, 4)), units_told(())
    ('unit 2: ', 'units 1–2, 4: ', '')
    """
    return f"{runs_text(units, 'unit')}: " if units else ""


def _has(job: Job, mark: str, unit: int | None) -> bool:
    if unit is None:
        return True
    first, after = (first_in_unit(job.part(mark), job.units, one) for one in (unit - 1, unit))
    return after > first


def _picture_frames(job: Job, rings: Iterable[Ring]) -> Iterator[tuple[str, ...]]:
    """The marks of the pieces of mitred frames that have a rebate all round which holds no part of the job."""
    told = set()
    for ring in rings:
        marks = tuple(dict.fromkeys(mark for mark, _ in ring.pieces))
        empty = {
            mark
            for cut in job.cuts
            if isinstance(cut, Rebate) and cut.edge is ring.inner and not cut.holds
            for mark in cut.parts
        }
        if empty.issuperset(marks) and marks not in told:
            told.add(marks)
            yield marks


def _cut_off(horn: Horn, show: Show) -> str:
    what = f"cut the horns off {horn.mark}, {format_length(horn.long, show)} at the marked end"
    if not horn.lies_flat:
        return f"{what}: with a hand saw, then planed flush"
    return (
        f"{what}: at the saw, the frame held flat, its other end at the stop, stop at {format_length(horn.keeps, show)}"
    )


def _put_in(job: Job, loose: Loose, named: Callable[[Nth], str]) -> str:
    piece, holders = named(loose.piece), said_together(map(named, loose.holders))
    if not loose.is_laid_on:
        return f"{piece} slides into the grooves of {holders}, without glue"
    how = MOVES if job.part(loose.piece[0]).kind is Kind.SOLID else SQUARES
    return f"lay {piece} into the rebates of {holders}; {how}"
