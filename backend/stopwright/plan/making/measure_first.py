"""What must be measured before anything is cut to it: openings that stand already, and frames put together dry."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.parts import drawn_size
from stopwright.model.things import Thing
from stopwright.plan.making.expand import Lot, made_by
from stopwright.plan.run_sheet import Run
from stopwright.plan.said_lengths import said

TO_SIZE = ("break down", "rip", "crosscut", "mitre")
"""Works that give a part its size; before the first of each it is asked for."""


@dataclass(frozen=True, slots=True)
class AskedFirst:
    """What has to be measured before any of the parts that wait for it are cut, in words.

    `is_dry`: only the runs after the dry fit wait.
    """

    words: str
    waits: tuple[str, ...]
    is_dry: bool = False


@dataclass(frozen=True, slots=True)
class ToMeasure:
    """What equal things are measured for; `thing` is as the job has it, `missing` what was not measured.

    `mark` is what the marks of their parts begin with, `numbers` which of the batch they are, `waits` the parts whose
    size comes from it, `drawn` each measure that the sheet goes by, nm. It is the opening that they are made for, or,
    where `is_dry`, a light of theirs when they are put together dry.
    """

    thing: Thing
    mark: str
    numbers: tuple[int, ...]
    missing: tuple[str, ...]
    waits: tuple[str, ...]
    drawn: tuple[tuple[str, Nm], ...]
    is_dry: bool = False

    @property
    def words(self) -> str:
        """What is to be measured, and what the sheet goes by until then."""
        sizes = said(*(size for _, size in self.drawn))
        what = f"{self.thing.called} {self.mark}"
        if self.is_dry:
            first = f"put {what} together dry, measure its lights and type them at Fetch the wood"
            return f"{first}: this is for {sizes} as worked out"
        return f"measure for {what} first and type it at Fetch the wood: this is for {sizes} as drawn"


def openings_of(job: Job) -> tuple[ToMeasure, ...]:
    """Every opening that something is made for, in the order of the job, measured or not."""
    lots = made_by(job).lots
    return tuple(_to_measure(job.things[lot.place], lot) for lot in lots if job.things[lot.place].is_fitted)


def dry_frames_of(job: Job) -> tuple[ToMeasure, ...]:
    """Every frame that is measured when it is put together dry, in the order of the job, measured or not."""
    return tuple(_lights(job.things[lot.place], lot) for lot in made_by(job).lots if lot.dry)


def _to_measure(thing: Thing, lot: Lot) -> ToMeasure:
    taken = [one for one in thing.openings if one.number is None or one.number in lot.numbers]
    missing = tuple(name for name in thing.measured if not any(getattr(one, name) for one in taken))
    marks = {formula.of for formula in lot.formulas for _, one in formula.sum.given() if one.field in missing}
    waits = tuple(part.mark for part in lot.parts if part.mark in marks)
    drawn = tuple((name, getattr(lot.thing, name)) for name in thing.measured)
    return ToMeasure(thing, lot.mark, lot.numbers, missing, waits, drawn)


def _lights(thing: Thing, lot: Lot) -> ToMeasure:
    measured = {name: size for opening in lot.thing.openings for name, size in opening.of_light.items()}
    missing = tuple(name for name, _ in lot.dry if name not in measured)
    waits = tuple(part.mark for part in lot.parts if drawn_size(part))
    drawn = tuple((name, measured.get(name, size)) for name, size in lot.dry)
    return ToMeasure(thing, lot.mark, lot.numbers, missing, waits, drawn, is_dry=True)


def asked_first(job: Job) -> Iterator[AskedFirst]:
    """What of a job is drawn only and must be measured before parts are cut to it."""
    for one in (*openings_of(job), *dry_frames_of(job)):
        if one.missing and one.waits:
            yield AskedFirst(one.words, one.waits, one.is_dry)


def before_runs(asked: Sequence[AskedFirst], runs: Sequence[Run]) -> dict[int, list[str]]:
    """What to measure before a run, by its place: all that is asked before the first run of each work that needs it."""
    found: dict[int, list[str]] = {}
    told: set[tuple[str, str]] = set()
    for place, run in enumerate(runs):
        marks = {pieces.mark for pieces in run.pieces}
        for one in asked if run.work in TO_SIZE else ():
            waits = not marks.isdisjoint(one.waits) and (run.after_dry_fit or not one.is_dry)
            if waits and (one.words, run.work) not in told:
                told.add((one.words, run.work))
                found.setdefault(place, []).append(one.words)
    return found
