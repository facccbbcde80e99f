"""Whose a thing is where several jobs are worked together: everything of a job named after the job's number."""

from collections.abc import Iterable
from dataclasses import fields, replace
from typing import Any, TypeVar

from stopwright.errors import StopwrightError
from stopwright.model.cuts import Cut
from stopwright.model.job import Job
from stopwright.model.parts import LONGEST_MARK, DryBlank, MadePart, PanelStrip, Part

AnyPart = TypeVar("AnyPart", bound=Part)


def mark_for(number: str, mark: str) -> str:
    """The mark of a part, joint or cut of a job among others; so a board's number is chalked on it, too.

    With the sign before it nobody takes the job's number for a count.

    >>> mark_for("3", "A")
    '#3·A'
    """
    return f"#{number}·{mark}"


def lot_for(number: str, lot: str) -> str:
    """The name of boards and strips of a job among others.

    >>> lot_for("3", "board 1")
    'job 3, board 1'
    """
    return f"job {number}, {lot}"


def own_name(number: str, name: str) -> str:
    """A mark or a lot as the job itself knows it: what `mark_for` and `lot_for` were given.

    >>> own_name("3", "#3·A"), own_name("3", "job 3, board 1, strip 2"), own_name("3", "")
    ('A', 'board 1, strip 2', '')
    """
    return name.removeprefix(mark_for(number, "")).removeprefix(lot_for(number, ""))


def is_of(number: str, mark: str) -> bool:
    """Whether a mark that `mark_for` made belongs to the job of this number.

    >>> is_of("3", mark_for("3", "A")), is_of("3", mark_for("33", "A"))
    (True, False)
    """
    return mark.startswith(mark_for(number, ""))


def part_for(number: str, part: AnyPart) -> AnyPart:
    """The part of a job among others."""
    mark = mark_for(number, part.mark)
    match part:
        case PanelStrip():
            return replace(part, mark=mark, panel=mark_for(number, part.panel))
        case DryBlank():
            return replace(part, mark=mark, blank_for=mark_for(number, part.blank_for))
        case MadePart():
            return replace(part, mark=mark, thing=mark_for(number, part.thing))
    return replace(part, mark=mark)


def job_for(number: str, job: Job) -> Job:
    """The job with all its marks as they are among others. Raises StopwrightError for a mark that gets too long."""
    longest = max((part.mark for part in job.parts), key=len)
    if len(mark_for(number, longest)) > LONGEST_MARK:
        step = f"shorten it to {LONGEST_MARK - len(mark_for(number, ''))} signs or fewer"
        raise StopwrightError(f"the mark {longest} is too long to be told apart", f"job {number}", step)
    return replace(
        job,
        parts=tuple(part_for(number, part) for part in job.parts),
        joints=tuple(
            replace(
                one, mark=mark_for(number, one.mark), post=mark_for(number, one.post), rail=mark_for(number, one.rail)
            )
            for one in job.joints
        ),
        mitres=tuple(replace(one, part=mark_for(number, one.part)) for one in job.mitres),
        mouldings=tuple(
            replace(one, mark=mark_for(number, one.mark), parts=_marks(number, one.parts)) for one in job.mouldings
        ),
        cuts=tuple(_cut(number, cut) for cut in job.cuts),
        meetings=tuple(
            replace(
                one, mark=mark_for(number, one.mark), post=mark_for(number, one.post), rail=mark_for(number, one.rail)
            )
            for one in job.meetings
        ),
    )


def jobs_joined(jobs: Iterable[Job], name: str) -> Job:
    """Jobs as `job_for` gives them as one, in their order; units and glue are each job's own affair."""
    jobs = list(jobs)
    return replace(
        jobs[0],
        name=name,
        units=1,
        glue="",
        parts=tuple(part for job in jobs for part in job.parts),
        joints=tuple(joint for job in jobs for joint in job.joints),
        stock=tuple(row for job in jobs for row in job.stock),
        mitres=tuple(mitre for job in jobs for mitre in job.mitres),
        mouldings=tuple(moulding for job in jobs for moulding in job.mouldings),
        cuts=tuple(cut for job in jobs for cut in job.cuts),
        meetings=tuple(meeting for job in jobs for meeting in job.meetings),
        things=(),
        changes=(),
    )


def _cut(number: str, cut: Cut) -> Cut:
    naming: dict[str, Any] = {"mark": mark_for(number, cut.mark), "parts": _marks(number, cut.parts)}
    for one in fields(cut):
        if one.metadata["words"].names_parts:
            named = getattr(cut, one.name)
            several = not isinstance(named, str)
            naming[one.name] = _marks(number, named) if several else named and mark_for(number, named)
    return replace(cut, **naming)


def _marks(number: str, marks: Iterable[str]) -> tuple[str, ...]:
    return tuple(mark_for(number, mark) for mark in marks)
