"""The order in which a batch is done soonest, or least is changed over: branch and bound, layer by layer."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

from stopwright.plan.day.activities import Work
from stopwright.plan.day.bound import Group, groups, least_changing, soonest, tails
from stopwright.plan.day.hours import Seconds
from stopwright.plan.day.timing import Standing, Timed, at_first, is_next, ready_at, steps
from stopwright.plan.effort import Effort, Steps

WIDTHS = (4, 32, 256, 2048)
"""So many standings are gone on with from each layer, try after try."""
USUAL = 3_000
"""Steps of search fit for a person waiting; a step is one activity put after others."""

Path: TypeAlias = "tuple[Timed, Path] | None"
"""What was done, the last first."""


@dataclass(frozen=True, slots=True)
class DayOrder:
    """A batch put into the day: what falls when, in order. Done when all has ended and all clamps are free.

    No order is done before `least`. `changing` seconds go into changeovers and what they lost. `whole`: every order
    was looked at that could be better by what was asked for.
    """

    timed: tuple[Timed, ...]
    done: Seconds
    least: Seconds
    changing: Seconds
    whole: bool

    @property
    def proven(self) -> bool:
        """Whether no order is done sooner."""
        return self.done == self.least


def put_into_the_day(
    work: Work, at: Seconds = 0, effort: Effort | None = None, changes_first: bool = False
) -> DayOrder:
    """The batch done as soon as is found, nothing before `at`; with `changes_first` the least changed over first.

    Ties: what is changed over less, then what keeps the order of `activities`. One person does one thing at a time,
    so an order says all: each thing falls as soon as what comes before it, clamps, bench and hours let it. Of orders
    that have done the same things, one that is nowhere behind another makes that one needless. Where no standing had
    to be left out for want of room, that proves the answer.
    """
    search = _Search(work, at, effort or Steps(USUAL), changes_first)
    whole = False
    for width in WIDTHS:
        whole = search.try_(width)
        if whole or search.is_best_possible() or search.stopped:
            break
    best = search.best
    assert best is not None
    path, standing = best
    least = standing.done if whole and not changes_first and search.is_exact else search.least
    return DayOrder(path, standing.done, min(least, standing.done), standing.changing, whole)


class _Search:
    def __init__(self, work: Work, at: Seconds, effort: Effort, changes_first: bool) -> None:
        self.work, self.at, self.effort, self.changes_first = work, at, effort, changes_first
        self.least = soonest(work, at)
        self.tails = tails(work)
        self.longest_wait = [max((lag for _, lag in later), default=0) for later in work.later]
        self.best: tuple[tuple[Timed, ...], Standing] | None = None
        self.stopped = False
        self.is_exact = all(not one.may_save for one in work.activities)

    @cached_property
    def least_changed(self) -> Seconds:
        return least_changing(self.work, None, self.work.ready)

    def is_best_possible(self) -> bool:
        assert self.best is not None
        found = self.best[1]
        return found.done == self.least and found.changing == self.least_changed

    def try_(self, width: int) -> bool:
        """Goes on with at most `width` standings from each layer; answers whether none was left out."""
        layer: list[tuple[Standing, Path]] = [(at_first(self.work, self.at), None)]
        whole = True
        for _ in self.work.activities:
            found = self._onward(layer)
            if self.stopped and self.best is not None:
                return False
            whole &= len(found) <= width
            layer = found[:width] if not self.stopped else found[:1]
        for standing, path in layer:
            self._take(standing, path)
        return whole and not self.stopped

    def _onward(self, layer: Sequence[tuple[Standing, Path]]) -> list[tuple[Standing, Path]]:
        """One thing more done after each standing; the most hopeful first, without those that others make needless."""
        found: list[tuple[tuple[float, ...], Standing, Path]] = []
        for standing, path in layer:
            for timed, after in self._steps(standing):
                self.stopped |= self.effort()
                worth = self._worth(after)
                if self.best is None or worth < self._of(self.best[1]):
                    found.append((self._hope(after, worth), after, (timed, path)))
        found.sort(key=lambda one: one[0])
        return list(self._without_needless((after, path) for _, after, path in found))

    def _steps(self, standing: Standing) -> Iterator[tuple[Timed, Standing]]:
        heads = [
            (places[count], line)
            for line, (places, count) in enumerate(zip(self.work.lines, standing.counts, strict=True))
            if count < len(places)
        ]
        for place, line in sorted(heads):
            if is_next(self.work, standing, place):
                yield from steps(self.work, standing, line)

    def _of(self, standing: Standing) -> tuple[Seconds, Seconds]:
        both = (standing.done, standing.changing)
        return both[::-1] if self.changes_first else both

    def _worth(self, standing: Standing) -> tuple[Seconds, Seconds]:
        """What all that may follow costs at the least, as it is weighed."""
        work = self.work
        left = [place for line, places in enumerate(work.lines) for place in places[standing.counts[line] :]]
        changing = least_changing(work, left, standing.modes)
        seconds = changing + sum(work.activities[place].least for place in left)
        done = standing.done
        if left:
            done = max(done, work.hours.worked_through(standing.at, seconds)[1] + min(self.tails[one] for one in left))
        for line, places in enumerate(work.lines):
            if standing.counts[line] < len(places):
                head = places[standing.counts[line]]
                from_ = max(standing.at, ready_at(work, standing, head) if is_next(work, standing, head) else 0)
                done = max(done, from_ + work.activities[head].least + self.tails[head])
        whole = (done, standing.changing + changing)
        return whole[::-1] if self.changes_first else whole

    def _hope(self, standing: Standing, worth: tuple[Seconds, Seconds]) -> tuple[float, ...]:
        """What it will probably cost: as the bound, and all that is still to be clamped one after the other by day.

        Where that is alike, what sets by itself is begun first.
        """
        hours = self.work.hours
        clamping = max((left * (one.seconds + one.held) / one.at_once for one, left in self._left(standing)), default=0)
        done = hours.worked_through(standing.at, int(clamping))[1]
        weighed = (worth[0], max(worth[1], done)) if self.changes_first else (max(worth[0], done), worth[1])
        return (*weighed, clamping)

    def _left(self, standing: Standing) -> Iterator[tuple[Group, int]]:
        """How many of each group of glue-ups are still to do."""
        for group, lines in self.groups:
            yield group, sum(left[standing.counts[line]] for line, left in lines)

    @cached_property
    def groups(self) -> list[tuple[Group, list[tuple[int, list[int]]]]]:
        """Each group with the lines it is in, and how many of it are left there after so many of the line are done."""
        found = []
        for group in groups(self.work):
            there = set(group.places)
            lines = []
            for line, places in enumerate(self.work.lines):
                if there.intersection(places):
                    lines.append((line, [sum(one in there for one in places[n:]) for n in range(len(places) + 1)]))
            found.append((group, lines))
        return found

    def _take(self, standing: Standing, path: Path) -> None:
        if self.best is None or self._of(standing) < self._of(self.best[1]):
            timed = []
            while path is not None:
                one, path = path
                timed.append(one)
            self.best = (tuple(reversed(timed)), standing)

    def _without_needless(self, found: Iterable[tuple[Standing, Path]]) -> Iterator[tuple[Standing, Path]]:
        """Those that no other makes needless: the same things done, the machines standing alike, and nowhere behind."""
        seen: dict[tuple[object, ...], list[tuple[Seconds, ...]]] = {}
        for standing, path in found:
            alike = (standing.counts, standing.modes, standing.lost)
            behind = self._behind(standing)
            others = seen.setdefault(alike, [])
            if not any(all(a <= b for a, b in zip(other, behind, strict=True)) for other in others):
                others.append(behind)
                yield standing, path

    def _behind(self, standing: Standing) -> tuple[Seconds, ...]:
        """All that makes a standing worse where it is greater; what was free before the person is, is free now."""
        at = standing.at
        ends = [max(standing.ends[place], at - self.longest_wait[place]) for place in sorted(standing.ends)]
        clamps = [max(moment, at) for free in standing.clamps for moment in free]
        places = [max(moment, at) for moment in standing.places]
        return (at, standing.done, standing.changing, *ends, *clamps, *places)
