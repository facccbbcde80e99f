"""Things of which the units have not as many each: what is put together by itself is glued up by itself.

A drawer whose opening was measured by itself is in one unit and not in the next. Equal ones of a batch are looked at as
a job of their own, of which each thing is a unit; what its stages say is then said of the units that have the thing.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TypeVar

from stopwright.model.cuts import Cut
from stopwright.model.job import Job
from stopwright.model.meetings import met_by
from stopwright.model.parts import MadePart, Part, units_of
from stopwright.plan.assembling.joint_poses import Nth
from stopwright.plan.assembling.loose_parts import Loose
from stopwright.plan.assembling.mitred_rings import Ring
from stopwright.plan.assembling.stage import Stage
from stopwright.plan.assembling.unit_layout import Joining

AnyJoining = TypeVar("AnyJoining", bound=Joining)


@dataclass(frozen=True, slots=True)
class OwnThings:
    """Equal things of some units: a `job` of which each is a unit, and how many of them every unit of the batch has."""

    job: Job
    in_units: tuple[int, ...]

    @property
    def each(self) -> Iterator["OneThing"]:
        """The first thing of a unit, the second one and so on, with the units that have so many."""
        for nth in range(max(self.in_units)):
            units = tuple(unit for unit, count in enumerate(self.in_units, start=1) if count > nth)
            yield OneThing(nth, units, {part.mark: part.quantity // self.job.units for part in self.job.parts})


@dataclass(frozen=True, slots=True)
class OneThing:
    """Which of a unit's equal things one is, from 0; the `units` that have it; how many pieces of a mark it has."""

    nth: int
    units: tuple[int, ...]
    pieces: dict[str, int]

    def piece(self, piece: Nth) -> Nth:
        """A piece of the thing as one of the unit's."""
        mark, nth = piece
        return mark, self.nth * self.pieces[mark] + nth

    def stage(self, stage: Stage, before: int) -> Stage:
        """A stage of the thing as one of its units, `before` stages standing before those of the thing."""
        return replace(
            stage,
            number=before + stage.number,
            pieces=tuple(map(self.piece, stage.pieces)),
            brings=tuple(before + number for number in stage.brings),
            closings=tuple(map(self._joining, stage.closings)),
            lines=tuple(tuple(map(self.piece, line)) for line in stage.lines),
            loose=tuple(map(self.loose, stage.loose)),
            units=self.units,
        )

    def loose(self, loose: Loose) -> Loose:
        """A loose part of the thing as one of its units."""
        return replace(
            loose,
            piece=self.piece(loose.piece),
            mouths=tuple(replace(mouth, piece=self.piece(mouth.piece)) for mouth in loose.mouths),
            blocked=tuple((self.piece(piece), way) for piece, way in loose.blocked),
            units=self.units,
        )

    def ring(self, ring: Ring) -> Ring:
        """A mitred frame of the thing as one of its units."""
        return replace(ring, pieces=tuple(map(self.piece, ring.pieces)))

    def _joining(self, one: AnyJoining) -> AnyJoining:
        return replace(one, post=self.piece(one.post), rail=self.piece(one.rail))


@dataclass(frozen=True, slots=True)
class ByThemselves:
    """The things of some units that are glued up by themselves, and the job without them, None where nothing is left.

    `joined` are the marks of those that are not: something holds them to other parts.
    """

    things: tuple[OwnThings, ...]
    rest: Job | None
    joined: tuple[str, ...]


def by_themselves(job: Job) -> ByThemselves:
    """What of a job is glued up by itself, because the units have not as many of it each."""
    lots: dict[str, list[MadePart]] = {}
    for part in job.parts:
        if isinstance(part, MadePart) and len(set(units_of(part, job.units))) > 1:
            lots.setdefault(part.lot, []).append(part)
    things: list[OwnThings] = []
    joined: list[str] = []
    taken: set[str] = set()
    for parts in lots.values():
        marks = {part.mark for part in parts}
        if _is_whole(parts) and not _reaches_out(job, marks):
            counts = units_of(parts[0], job.units)
            in_units = tuple(count // parts[0].each for count in counts)
            alike = (replace(part, units=()) for part in parts)
            things.append(OwnThings(_only(job, alike, sum(in_units)), in_units))
            taken |= marks
        else:
            joined += [part.mark for part in parts]
    if not taken:
        return ByThemselves((), job, tuple(joined))
    left = [part for part in job.parts if part.mark not in taken]
    return ByThemselves(tuple(things), _only(job, left, job.units) if left else None, tuple(joined))


def _is_whole(parts: Iterable[MadePart]) -> bool:
    """Whether there are as many pieces as the things want: none added or left out by hand."""
    return all(part.quantity == len(part.units) for part in parts)


def _reaches_out(job: Job, marks: set[str]) -> bool:
    """Whether a joint, or what lies in a cut, holds one of these parts to another."""
    meetings = (*map(met_by, job.joints), *job.meetings)
    held = [{one.post, one.rail} for one in meetings]
    held += [{*cut.parts, *(mark for _, mark in cut.others())} for cut in job.cuts if list(cut.others())]
    return any(together & marks and together - marks for together in held)


def _only(job: Job, parts: Iterable[Part], units: int) -> Job:
    """The job with these parts alone, all that is said of them, and so many units."""
    parts = tuple(parts)
    marks = {part.mark for part in parts}
    return replace(
        job,
        parts=parts,
        units=units,
        joints=tuple(one for one in job.joints if {one.post, one.rail} <= marks),
        mitres=tuple(one for one in job.mitres if one.part in marks),
        mouldings=(),
        cuts=tuple(_cuts_of(job.cuts, marks)),
        things=(),
        changes=(),
        meetings=tuple(one for one in job.meetings if {one.post, one.rail} <= marks),
    )


def _cuts_of(cuts: Iterable[Cut], marks: set[str]) -> Iterator[Cut]:
    for cut in cuts:
        here = tuple(mark for mark in cut.parts if mark in marks)
        if here and all(mark in marks for _, mark in cut.others()):
            yield replace(cut, parts=here)
