"""Work at the machine: taps taken down, how a job stands, trial pieces judged."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from stopwright.actions.floor.tap_shares import ever_together, shares_of_tap
from stopwright.actions.jobs.keeping import chosen, job_document
from stopwright.actions.jobs.numbering import give_codes_at_first_tap
from stopwright.actions.shop.pairing import BENCH
from stopwright.errors import StopwrightError
from stopwright.lengths import Nm, nearest
from stopwright.store.events import EARLIEST, Clock, Event, checked, moment, new_id, utc_now, written
from stopwright.store.job_fold import Saved
from stopwright.store.kinds import FROM_THE_FLOOR
from stopwright.store.log import Store
from stopwright.store.old_runs import renewed
from stopwright.store.piece_fold import OF_PIECES, Assembly, PieceState, fold_assembly, fold_pieces
from stopwright.store.run_fold import Measured, RunState, measured_of, runs_so_far
from stopwright.store.together_fold import tap_of

GREATEST_BATCH = 5000
ADVICE = (
    "Twice outside. Look for: a stop that gives or is not locked, chips between stop and piece, the piece not "
    "pressed home, play taken up from the other side, the blade not at rest in its place, a wrong unit."
)


@dataclass(frozen=True, slots=True)
class Refused:
    """An event that was not taken down, by the id its sender gave it, and why."""

    id: str
    what: str
    next_step: str


@dataclass(frozen=True, slots=True)
class TakenDown:
    """What became of the events that a device sent: each is on disk now, or refused for good."""

    stored: tuple[Event, ...]
    refused: tuple[Refused, ...]


@dataclass(frozen=True, slots=True)
class JobState:
    """How a job stands. `runs` by the run's key; a run without an event is not there: nothing has been done to it."""

    saved: Saved
    choices: Mapping[str, Any]
    runs: Mapping[str, RunState]
    pieces: Mapping[int, PieceState]
    assembly: Assembly

    def run(self, key: str) -> RunState:
        """How the run of that key stands."""
        return self.runs.get(key, UNTOUCHED)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a trial piece says. `corrected` is the reading to go on with, `mark` the nearest graduation to it, nm.

    `advice` is there when the last two pieces or more were outside.
    """

    off: Nm
    within: bool
    corrected: Nm
    mark: Nm
    times_outside: int
    advice: str


def record(
    store: Store, job: str, events: Sequence[Any], device: str, now: Clock = utc_now, sent: str = ""
) -> TakenDown:
    """Takes down what a device sent, {id, kind, at, body} each; on disk when this returns.

    A repeat is harmless. One event that cannot be kept does not hold up the others. `sent` is the device's clock
    when it sent: by it a clock that goes wrong is corrected. What the bench itself did counts after all that stands in
    the log; what a phone kept while it was off the network, where it would have stood. Where several jobs are worked
    together each gets its share. Raises NotFound for a job that is not there, StoreTrouble when the disk fails.
    """
    job_document(store, job)
    several = ever_together(store, job)
    if len(events) > GREATEST_BATCH:
        raise StopwrightError(f"{len(events)} events at once are too many", next_step=f"send {GREATEST_BATCH} at most")
    good, refused = [], []
    for one in events:
        try:
            shares = shares_of_tap(store, one, job, several)
            good += [_from_device(share.sent, share.job, device) for share in shares]
        except StopwrightError as error:
            refused.append(_refusal(one, error))
    if any("piece" in event.body for event in good):
        give_codes_at_first_tap(store, job, device, now)
    stored, clashing = _append(store, _put_right(store, good, now(), sent))
    return TakenDown(tuple(stored), tuple(refused + clashing))


def job_state(store: Store, job: str) -> JobState:
    """How the job stands by all that is on disk now. Raises NotFound."""
    saved = job_document(store, job)
    runs = store.grown(job, runs_so_far)
    pieces, assembly = store.folded(job, _pieces, OF_PIECES)
    return JobState(saved, chosen(store, job), runs, pieces, assembly)


def measure(
    store: Store,
    job: str,
    run: str,
    axis: str,
    *,
    station: str,
    target: Nm,
    reading: Nm,
    measured: Nm,
    device: str,
    tolerance: Nm | None = None,
    step: Nm | None = None,
    outboard: bool = False,
    blade: str = "",
    now: Clock = utc_now,
    id_: str = "",
) -> Verdict:
    """Takes down a trial piece and judges it. Lengths in nm; `step` is the finest graduation of the scale.

    Raises NotFound, StoreTrouble, and StopwrightError when what was typed cannot be a length.
    """
    said = {
        "run": run,
        "station": station,
        "axis": axis,
        "target_nm": target,
        "reading_nm": reading,
        "measured_nm": measured,
    }
    maybe = {"tolerance_nm": tolerance, "outboard": outboard or None}
    body = said | {field: value for field, value in maybe.items() if value is not None} | {"blade": blade}
    job_document(store, job)
    event = store.append([Event(id_ or new_id(), job, "piece measured", written(now()), device, body)])[0]
    return judge(measured_of(event), job_state(store, job).run(run).times_outside(axis), step)


def judge(trial: Measured, times_outside: int, step: Nm | None = None) -> Verdict:
    """What a trial piece says, when so many in a row have been outside, this one included."""
    mark = nearest(trial.corrected, step) if step else trial.corrected
    advice = ADVICE if times_outside >= 2 else ""
    return Verdict(trial.off, trial.within, trial.corrected, mark, times_outside, advice)


UNTOUCHED = RunState()


def _pieces(events: Sequence[Event]) -> tuple[dict[int, PieceState], Assembly]:
    return fold_pieces(events), fold_assembly(events)


def _from_device(sent: Any, job: str, device: str) -> Event:
    if not isinstance(sent, dict):
        raise StopwrightError("this is not an event", next_step="reload the page")
    id_, kind, at, body = (sent.get(field, "") for field in ("id", "kind", "at", "body"))
    event = checked(Event(id_, job, kind, at, device, renewed(kind, body) if isinstance(body, dict) else body))
    if event.kind not in FROM_THE_FLOOR:
        raise StopwrightError(f"a {event.kind!r} is not accepted from here", next_step="do it at the bench")
    return event


def _put_right(store: Store, events: list[Event], arrived: datetime, sent: str) -> list[Event]:
    """The events with their times moved together, so that none lies in the future, and with their places in the log."""
    if not events:
        return []
    newest = max(moment(event.at) for event in events)
    left = max(moment(sent), newest) if sent else max(arrived, newest)
    ages = [left - moment(event.at) for event in events]
    right = [replace(event, at=written(max(EARLIEST, arrived - age))) for event, age in zip(events, ages, strict=True)]
    return right if events[0].device == BENCH else store.placed(right, [age.total_seconds() for age in ages])


def _append(store: Store, events: list[Event]) -> tuple[list[Event], list[Refused]]:
    """All in one go; one by one only when an id among them stands for something else already."""
    try:
        return store.append(events), []
    except StopwrightError as error:
        if len(events) == 1 and type(error) is StopwrightError:
            return [], [Refused(tap_of(events[0]), error.what, error.next_step)]
        if type(error) is not StopwrightError:
            raise
    pairs = [_append(store, [event]) for event in events]
    return [one for stored, _ in pairs for one in stored], [one for _, refused in pairs for one in refused]


def _refusal(sent: Any, error: StopwrightError) -> Refused:
    id_ = sent.get("id", "") if isinstance(sent, dict) else ""
    return Refused(id_ if isinstance(id_, str) else "", error.what, error.next_step)
