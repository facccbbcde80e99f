"""What no order of a batch can beat: the longest way through it, one person's work, clamps and places in rounds."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from stopwright.plan.day.activities import Work
from stopwright.plan.day.hours import Seconds


def tails(work: Work) -> tuple[Seconds, ...]:
    """How long the batch takes at the least from the end of each activity, by the clock."""
    found = [0] * len(work.activities)
    for place in reversed(order_of(work)):
        one = work.activities[place]
        after = (lag + work.activities[other].least + found[other] for other, lag in work.later[place])
        found[place] = max(one.held, max(after, default=0))
    return tuple(found)


def soonest(work: Work, at: Seconds = 0) -> Seconds:
    """When the batch is done at the soonest, in whatever order: the greatest of four bounds.

    The longest way through what must come before what, in the shop's hours. The work of one person on what cannot
    begin before a moment, and what follows at the least. What cannot lie in clamps at once, round after round: of n
    glue-ups of which k can be held at a time, some k-th of them come one after the other. The same for the bench.
    """
    heads, ends = _heads(work, at)
    after = tails(work)
    ways = (end + after[place] for place, end in enumerate(ends))
    held = (end + one.held for one, end in zip(work.activities, ends, strict=True))
    return max([at, *ways, *held, *_of_the_person(work, heads, after), *_in_rounds(work, heads, after)])


def least_changing(work: Work, to_do: Iterable[int] | None = None, modes: Sequence[str] = ()) -> Seconds:
    """Seconds of changeovers at the least for what is to do, all by default, from how the machines stand now.

    Every station is made ready once at least; the first of a machine that stands for none is free.
    """
    places = range(len(work.activities)) if to_do is None else to_do
    used = {work.activities[place].station for place in places}
    total = 0
    for number, body in enumerate(work.bodies):
        mode = modes[number] if modes else ""
        into = [
            min(seconds for (_, to), seconds in body.seconds.items() if to == station)
            for station in used & body.stations - {mode}
        ]
        total += sum(into) - (0 if mode else max(into, default=0))
    return total


def order_of(work: Work) -> list[int]:
    """The places in an order in which everything stands after what must come before it."""
    missing = [0] * len(work.activities)
    for place in range(len(work.activities)):
        for other, _ in work.later[place]:
            missing[other] += 1
    free = [place for place, count in enumerate(missing) if not count]
    found = []
    while free:
        place = free.pop()
        found.append(place)
        for other, _ in work.later[place]:
            missing[other] -= 1
            if not missing[other]:
                free.append(other)
    assert len(found) == len(work.activities), "nothing comes before itself"
    return found


def _heads(work: Work, at: Seconds) -> tuple[list[Seconds], list[Seconds]]:
    """When each activity can begin and end at the soonest, were everybody there at once."""
    ready = [at] * len(work.activities)
    begins, ends = [0] * len(work.activities), [0] * len(work.activities)
    for place in order_of(work):
        one = work.activities[place]
        fall = work.hours.in_one_stretch if one.whole else work.hours.worked_through
        begins[place], ends[place] = fall(ready[place], one.least)
        for other, lag in work.later[place]:
            ready[other] = max(ready[other], ends[place] + lag)
    return begins, ends


def _of_the_person(work: Work, heads: Sequence[Seconds], after: Sequence[Seconds]) -> list[Seconds]:
    """For every moment and every tail: the work that begins no sooner and has no less behind it."""
    everything = least_changing(work, None, work.ready) + sum(one.least for one in work.activities)
    found = [work.hours.worked_through(min(heads), everything)[1] + min(after)] if heads else []
    by_head = sorted(range(len(heads)), key=lambda place: -heads[place])
    for tail in set(after):
        load = 0
        for place in by_head:
            if after[place] >= tail:
                load += work.activities[place].least
                found.append(work.hours.worked_through(heads[place], load)[1] + tail)
    return found


@dataclass(frozen=True, slots=True)
class Group:
    """Glue-ups by place that share clamps or the bench, so many of them at once."""

    places: tuple[int, ...]
    at_once: int
    is_whole: bool
    seconds: Seconds
    held: Seconds

    def rounds(self, left: int) -> int:
        """How many of so many come one after the other at the least, whichever lie where."""
        return -(-left // self.at_once)


def groups(work: Work) -> list[Group]:
    """The glue-ups of which only some can be held at once; `seconds` and `held` are those of the shortest."""
    found = []
    glued = [place for place, one in enumerate(work.activities) if one.clamps or one.lies_there]
    for opening in {work.activities[place].opening for place in glued}:
        clamped = [
            place for place in glued if work.activities[place].clamps and work.activities[place].opening >= opening
        ]
        least_clamps = min((work.activities[place].clamps for place in clamped), default=0)
        for what, at_once in work.at_once(least_clamps, opening):
            here = clamped if what == "clamps" else [place for place in glued if work.activities[place].lies_there]
            ones = [work.activities[place] for place in here]
            if ones and at_once > 0:
                shortest, held = min(one.least for one in ones), min(one.held for one in ones)
                found.append(Group(tuple(here), at_once, all(one.whole for one in ones), shortest, held))
    return list(dict.fromkeys(found))


def _in_rounds(work: Work, heads: Sequence[Seconds], after: Sequence[Seconds]) -> Iterator[Seconds]:
    """For every group of glue-ups: rounds of the shortest of them, one after another."""
    for group in groups(work):
        fall = work.hours.in_one_stretch if group.is_whole else work.hours.worked_through
        at = min(heads[place] for place in group.places)
        for _ in range(group.rounds(len(group.places)) - 1):
            at = fall(at, group.seconds)[1] + group.held
        yield fall(at, group.seconds)[1] + min(after[place] for place in group.places)
