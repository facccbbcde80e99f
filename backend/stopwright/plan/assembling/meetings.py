"""All that places pieces in a unit: joints, housings that say what goes in, and what a thing says of its corners."""

from collections.abc import Iterator

from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.meetings import Meeting, met_by
from stopwright.model.parts import is_in_every_unit
from stopwright.plan.joinery.corner_slots import CornerSlots
from stopwright.plan.operations.groove import Housing, ends_held


def meetings_of(job: Job) -> tuple[Meeting, ...]:
    """Joints first, then what things, housings and corners say of parts of which every unit has as many."""
    return (*map(met_by, job.joints), *(one for one in _said(job) if _in_every_unit(job, one)))


def left_out_of(job: Job) -> tuple[Meeting, ...]:
    """What things, housings and corners say of parts of which the units have not as many each."""
    return tuple(one for one in _said(job) if not _in_every_unit(job, one))


def _said(job: Job) -> tuple[Meeting, ...]:
    return (*job.meetings, *_housed(job), *_cornered(job))


def _housed(job: Job) -> Iterator[Meeting]:
    """A shelf in the housings that fit it: its face edge flush with the edge of the side, or behind its stop.

    Not where a thing says itself how they lie.
    """
    said = {one.mark for one in job.meetings}
    for cut in job.cuts:
        if (
            cut.mark not in said
            and isinstance(cut, Housing)
            and cut.fits not in ("", *cut.parts)
            and ends_held(cut, job)
        ):
            for post in cut.parts:
                for at in cut.at:
                    yield Meeting(cut.mark, post, cut.fits, cut.side, at, sunk=cut.depth, across=True)


def _cornered(job: Job) -> Iterator[Meeting]:
    for cut in job.cuts:
        if isinstance(cut, CornerSlots):
            first, second = cut.parts
            turned = cut.stands_on(job) is Side.MARKED_END
            yield Meeting(cut.mark, first, second, cut.side, cut.at, cut.below, across=True, turned=turned)


def _in_every_unit(job: Job, meeting: Meeting) -> bool:
    parts = [job.part(mark) for mark in (meeting.post, meeting.rail)]
    return all(is_in_every_unit(part, job.units) for part in parts)
