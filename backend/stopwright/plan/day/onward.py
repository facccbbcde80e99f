"""A day that has begun: what was done when moves all that is left, in the order of the sheet."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from stopwright.plan.day.activities import Work
from stopwright.plan.day.hours import Seconds
from stopwright.plan.day.timetable import DayPlan, Entry
from stopwright.plan.day.timing import Standing, at_first, in_order


@dataclass(frozen=True, slots=True)
class Onward:
    """What is left of a day, line by line as it falls from now on, and what still lies in clamps: until when, which."""

    left: tuple[Entry, ...]
    held: tuple[Entry, ...]
    done: Seconds


def onward(plan: DayPlan, at: Seconds, ended: Mapping[str, Seconds], left: Mapping[str, Seconds]) -> Onward | None:
    """What is left from `at` on, moments counted from any midnight of the shop. None where the sheet is a job's share.

    `ended` says when lines of the day ended, by their ids, `left` how many seconds of hands those still take that
    were begun. What is done late or early moves the rest; clamps and rests run from when they really began.

    >>> from stopwright.plan.day.activities import Activity
    >>> from stopwright.plan.day.hours import hours_of
    >>> work = Work((Activity("a", 600, "a"), Activity("b", 600, "b", after=(("a", 3600),))), hours_of([(450, 990)]))
    >>> lines = (Entry(27000, 27600, 27600, 600, "a"), Entry(31200, 31800, 31800, 600, "b"))
    >>> from stopwright.plan.day.timetable import DayOrderName
    >>> plan = DayPlan(lines, (), DayOrderName.FEWEST_CHANGES, 0, (), work)
    >>> late = onward(plan, 8 * 3600, {"a": 8 * 3600 - 60}, {})
    >>> [(one.run, one.begin) for one in late.left] == [("b", 9 * 3600 - 60)]
    True
    """
    work = plan.work
    if work is None:
        return None
    shorter = tuple(
        replace(one, seconds=left.get(one.id, one.seconds)) if one.id not in ended else one for one in work.activities
    )
    work = replace(work, activities=shorter)
    order = [one.id for one in plan.entries if one.id not in ended]
    taken = {one.id: tuple(_of_kind(one, kind) for kind, _ in work.clamps or ()) for one in plan.entries if one.clamps}
    timed, standing = in_order(work, order, _standing(work, at, ended, taken), taken)
    of = {one.id: one for one in plan.entries}
    rests = {one.id: one.rested - one.free for one in plan.entries}
    lines = tuple(
        replace(of[one.id], begin=one.begin, end=one.end, free=one.free, rested=one.free + rests[one.id])
        for one in timed
    )
    held = [
        replace(one, end=ended[one.id], free=ended[one.id] + one.free - one.end)
        for one in plan.entries
        if one.id in ended and one.clamps
    ]
    return Onward(lines, tuple(one for one in held if one.free > at), standing.done)


def _of_kind(one: Entry, opening: int) -> int:
    return dict(one.clamps).get(opening, 0)


def _standing(work: Work, at: Seconds, ended: Mapping[str, Seconds], taken: Mapping[str, tuple[int, ...]]) -> Standing:
    """How the batch stands after what has ended."""
    first = at_first(work, at)
    ends = {work.number[id_]: moment for id_, moment in ended.items() if id_ in work.number}
    counts = tuple(sum(place in ends for place in line) for line in work.lines)
    frees = {
        id_: moment + work.activities[work.number[id_]].held for id_, moment in ended.items() if id_ in work.number
    }
    clamps = tuple(
        _freed([frees[id_] for id_, kinds in taken.items() if id_ in frees for _ in range(kinds[kind])], len(free))
        for kind, free in enumerate(first.clamps)
    )
    lying = [frees[one.id] for one in work.activities if one.id in frees and one.lies_there]
    done = max([at, *(moment for moment in frees.values())])
    return replace(first, ends=ends, counts=counts, clamps=clamps, places=_freed(lying, len(first.places)), done=done)


def _freed(moments: list[Seconds], there: int) -> tuple[Seconds, ...]:
    """When so many things are free that are there, where some come free at these moments; the latest count."""
    latest = sorted(moments)[-there:] if there else []
    return tuple(sorted([*latest, *[min(latest, default=0)] * (there - len(latest))]))
