"""How the runs of several jobs that are worked together stand, out of the log of each: every tap is in its own job's.

A tap that concerns several jobs (a stop set, a run done) is in the log of each as its share of that tap. What one of
them has done by itself counts too; but a run is set or done only when it is so for all whose pieces it works.
"""

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from stopwright.store.events import Event, in_order
from stopwright.store.run_fold import ByRun, PieceKey, RunState, run_state

IDS_TOLD = 200
"""How many of the last taps are told of by id."""

RunTaps: TypeAlias = Mapping[str, Mapping[str, list[Event]]]
"""By job and by its own run: the taps that hold, in order."""


@dataclass(frozen=True, slots=True)
class Share:
    """One job's part in a run of several: the run's id there, and what its marks and lots are called on their sheet."""

    job: str
    run: str
    names: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class RunTogether:
    """One run of several jobs: how it stands, the taps with the names of their sheet, each once.

    `before` counts what was cut before its stops were set for all: it does not say that they stand now.
    """

    state: RunState = field(default_factory=RunState)
    taps: tuple[Event, ...] = ()
    before: Mapping[PieceKey, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Taps:
    """The taps of several jobs after event `seq`; `recent` are the last events as (seq, id of the tap)."""

    seq: int
    runs: RunTaps
    recent: tuple[tuple[int, str], ...]


class TapsSoFar:
    """The taps of several jobs, to be kept and fed with news."""

    def __init__(self) -> None:
        self._jobs: dict[str, ByRun[list[Event]]] = {}
        self._recent: deque[tuple[int, str]] = deque(maxlen=IDS_TOLD)

    def add(self, events: Sequence[Event]) -> None:
        """Takes in what came to the logs, in their order."""
        by_job: dict[str, list[Event]] = {}
        for event in events:
            by_job.setdefault(event.job, []).append(event)
        for job, news in by_job.items():
            self._jobs.setdefault(job, ByRun(list)).add(news)
        self._recent.extend((event.seq, tap_of(event)) for event in events[-IDS_TOLD:])

    def now(self) -> Taps:
        """What holds now."""
        seq = self._recent[-1][0] if self._recent else 0
        return Taps(seq, {job: runs.now() for job, runs in self._jobs.items()}, tuple(self._recent))


def tap_of(event: Event) -> str:
    """The id of the tap that an event is, or is one job's share of."""
    return str(event.body.get("tap", event.id))


def shared_once(events: Iterable[Event]) -> Iterator[Event]:
    """The events, of the shares of one tap only the first: it has the id of the tap."""
    return (event for event in events if tap_of(event) == event.id)


def run_together(shares: Sequence[Share], taps: RunTaps) -> RunTogether:
    """How a run of several jobs stands.

    It is done when it is done for all, set when it is set for all for whom it is not done; a trial piece proves it when
    it was measured since. So a job that joins when another has worked the run finds it open, its stops to be set, and
    the pieces of the other cut.
    """
    each = [(share, taps.get(share.job, {}).get(share.run, [])) for share in shares]
    states = [run_state(own) if own else RunState() for _, own in each]
    is_open = [not state.done for state in states]
    done = not any(is_open)
    asked = [state for state, open_ in zip(states, is_open, strict=True) if open_ or done]
    once: dict[str, Event] = {}
    before: dict[PieceKey, int] = {}
    since: set[str] = set()
    for (share, own), open_ in zip(each, is_open, strict=True):
        named = [_on_their_sheet(event, share) for event in own]
        last = max((place for place, event in enumerate(own) if event.kind == "stop set"), default=len(own))
        old = named[:last] if open_ else named
        before |= run_state(old).cut if old and not done else {}
        since |= {event.id for event in named[last:]}
        for event in named:
            once.setdefault(event.id, event)
    if not once:
        return RunTogether()
    ordered = sorted(once.values(), key=in_order)
    whole = run_state(ordered)
    state = replace(
        whole,
        is_set=all(one.is_set for one in asked),
        made=tuple(axis for axis in whole.made if all(axis in one.made for one in asked)),
        measured=tuple(one for one in whole.measured if done or one.event in since),
        done=done,
    )
    return RunTogether(state, tuple(ordered), {key: count for key, count in before.items() if count})


def runs_left_over(shares: Iterable[Share], taps: RunTaps) -> dict[str, RunState]:
    """Runs that some job has worked and that are none of these shares, by job and run."""
    known = {(share.job, share.run) for share in shares}
    return {
        f"{job} {run}": run_state([_on_their_sheet(event, Share(job, run, {})) for event in own])
        for job, runs in taps.items()
        for run, own in runs.items()
        if (job, run) not in known
    }


def _on_their_sheet(event: Event, share: Share) -> Event:
    """The event as the tap that it is a share of, with the names of the sheet of all."""
    body = dict(event.body)
    if "mark" in body:
        body["mark"] = share.names.get(body["mark"], body["mark"])
    return replace(event, id=tap_of(event), body=body)
