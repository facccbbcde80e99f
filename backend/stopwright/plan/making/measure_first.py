"""What must be measured before anything is cut to it: openings that stand already, and are only drawn so far."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.things import Thing
from stopwright.plan.making.expand import Lot, made_by
from stopwright.plan.said_lengths import said

TO_SIZE = ("break down", "rip", "crosscut", "mitre")
"""Works that give a part its size; before the first of each it is asked for."""


@dataclass(frozen=True, slots=True)
class AskedFirst:
    """What has to be measured before any of the parts that wait for it are cut, in words."""

    words: str
    waits: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ToMeasure:
    """An opening that equal things are made for; `thing` is as the job has it, `missing` what was not measured.

    `mark` is what the marks of their parts begin with, `numbers` which of the batch they are, `waits` the parts whose
    size comes from the opening, `drawn` each measure that the sheet goes by, nm.
    """

    thing: Thing
    mark: str
    numbers: tuple[int, ...]
    missing: tuple[str, ...]
    waits: tuple[str, ...]
    drawn: tuple[tuple[str, Nm], ...]

    @property
    def words(self) -> str:
        """What is to be measured, and what the sheet goes by until then."""
        sizes = said(*(size for _, size in self.drawn))
        what = f"{self.thing.called} {self.mark}"
        return f"measure for {what} first and type it at Fetch the wood: this is for {sizes} as drawn"


def openings_of(job: Job) -> tuple[ToMeasure, ...]:
    """Every opening that something is made for, in the order of the job, measured or not."""
    lots = made_by(job).lots
    return tuple(_to_measure(job.things[lot.place], lot) for lot in lots if job.things[lot.place].is_fitted)


def _to_measure(thing: Thing, lot: Lot) -> ToMeasure:
    taken = [one for one in thing.openings if one.number is None or one.number in lot.numbers]
    missing = tuple(name for name in thing.measured if not any(getattr(one, name) for one in taken))
    marks = {formula.of for formula in lot.formulas for _, one in formula.sum.given() if one.field in missing}
    waits = tuple(part.mark for part in lot.parts if part.mark in marks)
    drawn = tuple((name, getattr(lot.thing, name)) for name in thing.measured)
    return ToMeasure(thing, lot.mark, lot.numbers, missing, waits, drawn)


def asked_first(job: Job) -> Iterator[AskedFirst]:
    """What of a job is drawn only and must be measured before parts are cut to it."""
    for one in openings_of(job):
        if one.missing and one.waits:
            yield AskedFirst(one.words, one.waits)


def before_runs(asked: Sequence[AskedFirst], runs: Sequence[tuple[str, Collection[str]]]) -> dict[int, list[str]]:
    """What to measure before a run, by its place: all that is asked before the first run of each work that needs it.

    `runs` are the works in their order, each with the marks of the pieces inside.
    """
    found: dict[int, list[str]] = {}
    told: set[tuple[str, str]] = set()
    for place, (work, marks) in enumerate(runs):
        for one in asked if work in TO_SIZE else ():
            if (one.words, work) not in told and not set(marks).isdisjoint(one.waits):
                told.add((one.words, work))
                found.setdefault(place, []).append(one.words)
    return found
