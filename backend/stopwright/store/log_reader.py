"""What the log holds, asked for from any thread."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from stopwright.store.events import Event
from stopwright.store.reading import Jobs, Readers
from stopwright.store.rows import AS_THEY_COUNT, SELECT, Newest, events_of, newest_of_each_job
from stopwright.store.trouble import in_words

AT_A_TIME = 200
"""Events that are read together where many are told one after the other."""


class LogReader:
    """Events of a log by what they are, or only what identifies them; all as it stands at the moment.

    Rows that are damaged are left out. Every question raises StoreTrouble when the disk fails.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._readers = Readers(path)

    def events(self, job: Jobs | None = None, after: int = 0, kinds: Sequence[str] = ()) -> list[Event]:
        """Events in the order of the log: of one job ("" the shop) or several, of all with None; after seq `after`."""
        where, values = _where(job, after, kinds)
        with in_words(self.path), self._readers.one() as db:
            rows = db.execute(f"{SELECT} where {where} order by seq", values).fetchall()
        return list(events_of(rows))

    def as_they_count(self, job: str | None = None, kinds: Sequence[str] = ()) -> Iterator[Event]:
        """Events in the order in which they count, read a few at a time: of one job, of all with None."""
        where, values = _where(job, 0, kinds)
        with in_words(self.path), self._readers.one() as db:
            found = db.execute(f"select seq from events where {where} order by {AS_THEY_COUNT}", values)
            seqs = [row[0] for row in found]
        for first in range(0, len(seqs), AT_A_TIME):
            part = seqs[first : first + AT_A_TIME]
            with in_words(self.path), self._readers.one() as db:
                rows = db.execute(f"{SELECT} where seq in ({', '.join('?' * len(part))})", part).fetchall()
            known = {event.seq: event for event in events_of(rows)}
            yield from (known[seq] for seq in part if seq in known)

    def event(self, id_: str) -> Event | None:
        """The event of this id, None if there is none."""
        with in_words(self.path), self._readers.one() as db:
            row = db.execute(f"{SELECT} where id = ?", [id_]).fetchone()
        return next(events_of([row]), None) if row else None

    def newest_before(self, seq: int) -> tuple[int, str]:
        """The seq and the id of the newest event up to this seq, (0, "") if there is none."""
        with in_words(self.path), self._readers.one() as db:
            row = db.execute("select seq, id from events where seq <= ? order by seq desc limit 1", [seq]).fetchone()
        return (row[0], row[1]) if row else (0, "")

    @property
    def first_id(self) -> str:
        """The id of the first event, which tells one log from another; "" when there is none."""
        with in_words(self.path), self._readers.one() as db:
            row = db.execute("select id from events order by seq limit 1").fetchone()
        return str(row[0]) if row else ""

    def newest(self, kinds: Sequence[str] = ()) -> dict[str, Newest]:
        """By job, the newest of its events, or of those of `kinds`; jobs without any and the shop are left out."""
        with in_words(self.path), self._readers.one() as db:
            return newest_of_each_job(db, kinds)

    def damaged(self) -> list[int]:
        """The rows of the log that cannot be read any more, by their seq; they are left out everywhere."""
        with in_words(self.path), self._readers.one() as db:
            return [row[0] for row in db.execute("select seq from events where not json_valid(body) order by seq")]

    @property
    def last_seq(self) -> int:
        """The seq of the newest event, 0 when there is none."""
        with in_words(self.path), self._readers.one() as db:
            return int(db.execute("select coalesce(max(seq), 0) from events").fetchone()[0])


def _where(job: Jobs | None, after: int, kinds: Sequence[str]) -> tuple[str, list[Any]]:
    """What an SQL query asks for, and its values."""
    where = "seq > ?"
    values: list[Any] = [after]
    if job is not None:
        jobs = (job,) if isinstance(job, str) else job
        where += f" and job in ({', '.join('?' * len(jobs))})"
        values.extend(jobs)
    if kinds:
        where += f" and kind in ({', '.join('?' * len(kinds))})"
        values.extend(kinds)
    return where, values
