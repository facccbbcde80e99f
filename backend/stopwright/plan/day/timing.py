"""One activity after the other put into the day, each as soon as it may be, in a given order or one tried."""

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from stopwright.plan.day.activities import Activity, StopAt, Work
from stopwright.plan.day.hours import Seconds


@dataclass(frozen=True, slots=True)
class Timed:
    """When an activity falls. Its clamps, so many of each kind of the shop, come free at `free`, else its end.

    `changing` seconds of it make a machine ready and set again what that lost.
    """

    id: str
    begin: Seconds
    end: Seconds
    free: Seconds
    clamps: tuple[int, ...] = ()
    changing: Seconds = 0


@dataclass(frozen=True, slots=True)
class Standing:
    """How far a batch is: how many of each line are done, when the person is free, when each thing comes free.

    `ends` tells of what is done and still waited for; `clamps` has for each kind the moments at which its clamps are
    free, sorted, `places` the same for the bench. `done`: when all so far has ended and is free.
    """

    at: Seconds
    counts: tuple[int, ...]
    ends: Mapping[int, Seconds]
    clamps: tuple[tuple[Seconds, ...], ...]
    places: tuple[Seconds, ...]
    modes: tuple[str, ...]
    lost: frozenset[StopAt] = frozenset()
    done: Seconds = 0
    changing: Seconds = 0


def at_first(work: Work, at: Seconds = 0) -> Standing:
    """How a batch stands before anything is done, nothing of it before `at`."""
    kinds = work.clamps or ()
    return Standing(
        at,
        (0,) * len(work.lines),
        {},
        tuple((0,) * count for _, count in kinds),
        (0,) * work.places,
        work.ready or ("",) * len(work.bodies),
        done=at,
    )


def ready_at(work: Work, standing: Standing, place: int) -> Seconds:
    """From when on an activity may be done whose turn it is, by what must come before it and by the person."""
    return max((standing.ends[other] + lag for other, lag in work.before[place]), default=0)


def is_next(work: Work, standing: Standing, place: int) -> bool:
    """Whether all that must come before is done."""
    return all(other in standing.ends for other, _ in work.before[place])


def steps(work: Work, standing: Standing, line: int) -> Iterator[tuple[Timed, Standing]]:
    """The next activity of a line put after all others, and how the batch stands then.

    As soon as may be with the smallest clamps that are free then; and later, each time smaller ones come free.
    """
    place = work.lines[line][standing.counts[line]]
    one = work.activities[place]
    extra, modes, lost = _made_ready(work, standing, one)
    seconds = one.seconds + extra
    from_ = max(standing.at, ready_at(work, standing, place))
    if one.lies_there and standing.places:
        from_ = max(from_, standing.places[0])
    for moment, kinds in _clamps_taken(work, standing, one, from_, seconds):
        begin, end = _falls(work, one, moment, seconds)
        timed = Timed(one.id, begin, end, end + one.held, kinds, extra)
        clamps = tuple(
            tuple(sorted((*free[count:], *[timed.free] * count))) if count else free
            for free, count in zip(standing.clamps, kinds, strict=False)
        )
        counts = (*standing.counts[:line], standing.counts[line] + 1, *standing.counts[line + 1 :])
        places = standing.places
        if one.lies_there and places:
            places = tuple(sorted((*places[1:], timed.free)))
        yield (
            timed,
            Standing(
                end,
                counts,
                _still_waited_for(work, {**standing.ends, place: end}, counts),
                clamps or standing.clamps,
                places,
                modes,
                lost,
                max(standing.done, timed.free),
                standing.changing + extra,
            ),
        )


def in_order(
    work: Work,
    order: Sequence[str],
    standing: Standing | None = None,
    clamps: Mapping[str, tuple[int, ...]] = MappingProxyType({}),
) -> tuple[list[Timed], Standing]:
    """When everything falls that is done in this order, each as soon as may be. Lines keep theirs.

    `clamps` are those to be taken, by the id of the glue-up, where that is not the first there may be.
    """
    standing = at_first(work) if standing is None else standing
    line_of = {work.activities[place].id: line for line, places in enumerate(work.lines) for place in places}
    timed = []
    for id_ in order:
        ways = list(steps(work, standing, line_of[id_]))
        one, standing = next((way for way in ways if way[0].clamps == clamps.get(id_)), ways[0])
        assert one.id == id_, "lines keep their order"
        timed.append(one)
    return timed, standing


def _falls(work: Work, one: Activity, moment: Seconds, seconds: Seconds) -> tuple[Seconds, Seconds]:
    return (work.hours.in_one_stretch if one.whole else work.hours.worked_through)(moment, seconds)


def _made_ready(work: Work, standing: Standing, one: Activity) -> tuple[Seconds, tuple[str, ...], frozenset[StopAt]]:
    """Seconds to make its machine ready, how the machines stand then, and which stops are still lost."""
    body = work.body_of.get(one.station)
    if body is None:
        return 0, standing.modes, standing.lost
    mode = standing.modes[body]
    extra, lost = 0, standing.lost
    if mode not in ("", one.station):
        machine = work.bodies[body]
        extra = machine.seconds[mode, one.station]
        for sets in machine.loses.get((mode, one.station), ()):
            lost |= work.may_be_lost[body].get(sets, frozenset())
    extra += sum(seconds for stop, seconds in one.stands if stop in lost)
    modes = (*standing.modes[:body], one.station, *standing.modes[body + 1 :])
    return extra, modes, lost - one.sets


def _clamps_taken(
    work: Work, standing: Standing, one: Activity, from_: Seconds, seconds: Seconds
) -> Iterator[tuple[Seconds, tuple[int, ...]]]:
    """From when on enough clamps are free, and how many of each kind are taken, the smallest that open so far."""
    if work.clamps is None or not one.clamps:
        yield from_, ()
        return
    fitting = [kind for kind, (opening, _) in enumerate(work.clamps) if opening >= one.opening]
    moments = sorted(moment for kind in fitting for moment in standing.clamps[kind])
    at = max(from_, moments[one.clamps - 1])
    before: tuple[int, ...] | None = None
    while True:
        begin = _falls(work, one, at, seconds)[0]
        taken, needed = [0] * len(work.clamps), one.clamps
        for kind in fitting:
            taken[kind] = min(needed, bisect_right(standing.clamps[kind], begin))
            needed -= taken[kind]
        fewer_large = tuple(reversed(taken))
        if before is None or fewer_large < before:
            yield at, tuple(taken)
            before = fewer_large
        later = bisect_right(moments, begin)
        if later == len(moments) or not any(taken[kind] for kind in fitting[1:]):
            return
        at = moments[later]


def _still_waited_for(work: Work, ends: Mapping[int, Seconds], counts: Sequence[int]) -> Mapping[int, Seconds]:
    """When things ended that something not yet done comes after."""

    def is_to_do(place: int) -> bool:
        line, nth = work.turn[place]
        return nth >= counts[line]

    return {one: ended for one, ended in ends.items() if any(map(is_to_do, work.waiting[one]))}
