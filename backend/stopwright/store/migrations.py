"""The steps from an empty file to the log as it stands, in order; each runs once, together with its record."""

import json
from bisect import bisect_right
from dataclasses import replace

from sqlite_utils import Database, Migrations

from stopwright.errors import StoreTrouble
from stopwright.store.events import body_text
from stopwright.store.job_fold import WHOLE, Saved, fold_saved, save_of
from stopwright.store.kinds import FROM_THE_FLOOR, KINDS
from stopwright.store.old_runs import renewed
from stopwright.store.rows import SELECT, event_of

OURS = 0x53544F50
"""Marks the file as a log of this program (SQLite's application id)."""

migrations = Migrations("log")


@migrations()
def the_log(db: Database) -> None:
    """Events, one row each, that can be added to and nothing else.

    The third trigger holds against `insert or replace` on connections without recursive triggers, where
    SQLite replaces a row without asking the second.
    """
    db.execute(f"pragma application_id = {OURS}")
    db.execute("""
        create table events (
            seq integer primary key autoincrement,
            id text not null unique,
            job text not null,
            kind text not null,
            at text not null,
            device text not null,
            body text not null check (json_valid(body))
        ) strict
    """)
    db.execute("create index events_of_a_job on events (job, seq)")
    db.execute("create index events_of_a_kind on events (kind, job, seq)")
    db.execute("""
        create trigger no_event_is_changed before update on events
        begin select raise(abort, 'the log is only added to'); end
    """)
    db.execute("""
        create trigger no_event_is_removed before delete on events
        begin select raise(abort, 'the log is only added to'); end
    """)
    db.execute("""
        create trigger no_event_is_replaced before insert on events
        when exists (select 1 from events where seq = new.seq)
        begin select raise(abort, 'the log is only added to'); end
    """)
    db.execute("""
        create trigger a_repeat_changes_nothing before insert on events
        when exists (select 1 from events where id = new.id)
        begin select raise(ignore); end
    """)


@migrations()
def runs_by_id(db: Database) -> None:
    """Taps of version 0.1.0 named their run by a sentence; they get its id, and its station and stops as fields."""
    db.execute("drop trigger no_event_is_changed")
    for seq, kind, body in db.execute("select seq, kind, body from events where body like '%|%'").fetchall():
        old = json.loads(body)
        new = renewed(kind, old) if isinstance(old, dict) and kind in KINDS and KINDS[kind].tapped else old
        if new != old:
            db.execute("update events set body = ? where seq = ?", [json.dumps(new, ensure_ascii=False), seq])
    db.execute("""
        create trigger no_event_is_changed before update on events
        begin select raise(abort, 'the log is only added to'); end
    """)


@migrations()
def places(db: Database) -> None:
    """What came late from a phone gets its place among the rows; until then the times of day alone said it."""
    db.execute("alter table events add column place integer not null default 0")
    db.execute("drop trigger no_event_is_changed")
    times: list[str] = []
    seqs: list[int] = []
    for seq, kind, at, device in db.execute("select seq, kind, at, device from events order by seq").fetchall():
        upto = bisect_right(times, at)
        if kind in FROM_THE_FLOOR and device != "bench" and upto < len(times):
            db.execute("update events set place = ? where seq = ?", [seqs[upto - 1] if upto else 1, seq])
        else:
            del times[upto:], seqs[upto:]
            times.append(at)
            seqs.append(seq)
    db.execute("""
        create trigger no_event_is_changed before update on events
        begin select raise(abort, 'the log is only added to'); end
    """)


@migrations()
def edits_as_what_changed(db: Database) -> None:
    """Until then each edit held the whole document of its job."""
    db.execute("drop trigger no_event_is_changed")
    for (job,) in db.execute("select distinct job from events where kind = 'job saved'").fetchall():
        stands: Saved | None = None
        saves = db.execute("select seq from events where job = ? and kind = 'job saved' order by seq", [job])
        for (seq,) in saves.fetchall():
            event = event_of(db.execute(f"{SELECT} where seq = ?", [seq]).fetchone())
            if event is None:
                stands = None  # a damaged row; what comes after it stays whole
                continue
            kind, body = save_of(stands, event.body["document"])
            if kind == WHOLE:
                stands = fold_saved([event])
            else:
                change = replace(event, kind=kind, body=body)
                db.execute("update events set kind = ?, body = ? where seq = ?", [kind, body_text(change), seq])
                stands = stands and stands.followed_by(change)
    db.execute("""
        create trigger no_event_is_changed before update on events
        begin select raise(abort, 'the log is only added to'); end
    """)


def bring_up_to_date(db: Database, place: str) -> None:
    """Applies the steps that the file has not had yet, all or none. Raises StoreTrouble if it is not ours.

    Afterwards its tables, indexes and triggers are those of a new log: a trigger of somebody else could empty it.
    """
    mark = db.execute("pragma application_id").fetchone()[0]
    if mark != OURS and (mark or db.table_names()):
        raise StoreTrouble("the file is not a log of this program", place, "name another file")
    db.execute("begin immediate")
    try:
        names, schema = _as_new()
        if {step.name for step in migrations.applied(db)} - names:
            raise StoreTrouble("the log was written by a newer version", place, "install the newest version")
        migrations.apply(db)
        if _schema(db) != schema:
            what = "the file holds tables or triggers that this program did not make"
            raise StoreTrouble(what, place, "restore a copy that this program made")
        db.execute("commit")
    except BaseException:
        db.rollback()
        raise


def _as_new() -> tuple[set[str], set[tuple[str, ...]]]:
    """The names of all steps that this version knows, and the schema that they make."""
    with Database(memory=True) as empty:
        names = {step.name for step in migrations.pending(empty)}
        migrations.apply(empty)
        return names, _schema(empty)


def _schema(db: Database) -> set[tuple[str, ...]]:
    rows = db.execute("select type, name, tbl_name, coalesce(sql, '') from sqlite_master").fetchall()
    return {(kind, name, table, " ".join(sql.split())) for kind, name, table, sql in rows}
