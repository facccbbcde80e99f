"""One thing that happened, and the door at which every event is checked before it is kept."""

import json
import re
import uuid
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from typing import Any, TypeAlias

from stopwright.errors import StopwrightError
from stopwright.store.kinds import GREATEST_JOB, KINDS, text

_ID = re.compile(r"[A-Za-z0-9_-]{8,64}")
_JOB = re.compile(r"[1-9][0-9]{0,3}")
_DEVICE = text(64, least=0)
EARLIEST = datetime(1970, 1, 1, tzinfo=UTC)
"""What a device with an empty clock battery takes for now."""
_LATEST = datetime(3000, 1, 1, tzinfo=UTC)
_NEXT_STEP = "reload the page; if it happens again, the page and the program are of different versions"


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened. `id` is made by the sender, so that a repeat is harmless.

    `job` is the job's number as text, "" for the whole shop; `at` the sender's time, UTC, to the millisecond;
    `seq` the row in the log, 0 until it is stored. `place` is 0 for what counts where it stands in the log; of a tap
    that came late it is the seq of what stood last when it was done.
    """

    id: str
    job: str
    kind: str
    at: str
    device: str
    body: Mapping[str, Any] = field(default_factory=dict)
    seq: int = 0
    place: int = 0

    @property
    def counts(self) -> tuple[int, str]:
        """Where it counts among other events: after this seq, and among those that came late to there at this time."""
        return (self.place, self.at) if self.place else (self.seq, "")


def in_order(event: Event) -> tuple[int, bool, str, int, str]:
    """What sorts events as they were done: in the order of the log, taps that came late at their places.

    Times of day only sort what came late to one place, and what is not stored.

    >>> noted = Event("noted", "1", "reading noted", "2099-01-01T07:00:00.000Z", "bench", seq=7)
    >>> done = Event("done", "1", "run done", "2026-03-01T07:30:00.000Z", "bench", seq=8)
    >>> late = Event("late", "1", "piece cut", "2026-03-01T07:15:00.000Z", "phone", seq=9, place=7)
    >>> [event.id for event in sorted([done, late, noted], key=in_order)]
    ['noted', 'late', 'done']
    """
    by_time = event.place > 0 or not event.seq
    return event.place or event.seq, event.place > 0, event.at if by_time else "", event.seq, event.id


def new_id() -> str:
    """An id that no other event has."""
    return uuid.uuid4().hex


Clock: TypeAlias = Callable[[], datetime]


def utc_now() -> datetime:
    """The time of this machine, in UTC."""
    return datetime.now(UTC)


def written(moment: datetime) -> str:
    """A time as the log writes it; such texts sort as the times do.

    >>> written(datetime(2026, 3, 1, 7, 30, 0, 250_000, tzinfo=UTC))
    '2026-03-01T07:30:00.250Z'
    """
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def moment(text: str) -> datetime:
    """The time that a text names, in UTC; a text without a zone means UTC. Raises StopwrightError if it is none.

    >>> moment("2026-03-01T08:30:00.25+01:00") == moment("2026-03-01T07:30:00.250Z")
    True
    """
    try:
        read = datetime.fromisoformat(text)
        read = read.replace(tzinfo=UTC) if read.tzinfo is None else read.astimezone(UTC)
        if not EARLIEST <= read < _LATEST:
            raise ValueError(text)
        return read
    except (TypeError, ValueError, OverflowError) as error:
        raise StopwrightError(f"{text!r} is not a time", next_step=_NEXT_STEP) from error


def checked(event: Event) -> Event:
    """The event, its time written as the log writes it. Raises StopwrightError with everything wrong in it."""
    kind = KINDS.get(event.kind) if isinstance(event.kind, str) else None
    if kind is None:
        raise _refused(event, f"there is no event of the kind {event.kind!r}")
    if not (isinstance(event.id, str) and _ID.fullmatch(event.id)):
        raise _refused(event, "its id must be 8 to 64 letters, digits, - or _")
    if kind.shop_wide and event.job != "":
        raise _refused(event, "it belongs to the shop, not to a job")
    if not kind.shop_wide and not is_job_number(event.job):
        raise _refused(event, f"job {event.job!r} is not a number from 1 to {GREATEST_JOB}")
    if _DEVICE(event.device):
        raise _refused(event, "the device has no valid name")
    if not isinstance(event.body, dict):
        raise _refused(event, "it is empty")
    faults = kind.faults(event.body)
    if faults:
        raise _refused(event, "; ".join(faults))
    if len(body_text(event).encode()) > kind.size:
        raise _refused(event, f"it is larger than {kind.size // 1000} kB")
    return replace(event, at=written(moment(event.at)))


def is_job_number(job: object) -> bool:
    """True for the text of a number that a job can have.

    >>> [is_job_number(job) for job in ("1", "8191", "8192", "01", "", 3)]
    [True, True, False, False, False, False]
    """
    return isinstance(job, str) and bool(_JOB.fullmatch(job)) and int(job) <= GREATEST_JOB


def next_job_number(taken: Iterable[str]) -> str:
    """The number of a new job, the lowest that is free. Raises StopwrightError when there is none.

    >>> next_job_number(["1", "12"]), next_job_number([])
    ('2', '1')
    """
    used = set(map(int, taken))
    number = next(one for one in range(1, len(used) + 2) if one not in used)
    if number > GREATEST_JOB:
        step = "keep new jobs in another folder (--data)"
        raise StopwrightError(f"all {GREATEST_JOB} numbers for jobs are taken", next_step=step)
    return str(number)


def body_text(event: Event) -> str:
    """The body as it is kept. Raises StopwrightError if it holds what cannot be written down."""
    try:
        written_down = json.dumps(event.body, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
        written_down.encode()
    except (TypeError, ValueError, RecursionError) as error:
        raise _refused(event, "it contains something that cannot be stored") from error
    return written_down


def _refused(event: Event, what: str) -> StopwrightError:
    return StopwrightError(f"this {event.kind!r} cannot be kept: {what}", next_step=_NEXT_STEP)
