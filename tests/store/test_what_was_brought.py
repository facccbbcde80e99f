"""What is lost, damaged or brought back: said in words, nothing served that could be wrong, all or nothing."""

import os
import sqlite3
import stat
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from tests.store.taps import tap

from stopwright.errors import StoreTrouble
from stopwright.store import backup
from stopwright.store.backup import daily_copy, restore
from stopwright.store.events import next_job_number
from stopwright.store.log import Store

NOW = datetime(2026, 3, 1, 7, 0, tzinfo=UTC)


def a_log(path: Path, count: int = 3) -> list[str]:
    with Store.open(path) as store:
        return [one.id for one in store.append(tap("piece cut") for _ in range(count))]


def ids(path: Path) -> list[str]:
    with Store.open(path) as store:
        return [one.id for one in store.events()]


@pytest.mark.parametrize("lost", ["missing", "empty"])
def test_a_log_that_is_gone_while_copies_lie_beside_it_is_no_new_shop(tmp_path, lost):
    path = tmp_path / "shop.sqlite"
    kept = a_log(path)
    copy = daily_copy(path, date(2026, 3, 1))
    path.unlink()
    if lost == "empty":
        path.touch()
    with pytest.raises(StoreTrouble, match="copies of it lie in") as error:
        Store.open(path)
    assert f"stopwright restore {copy}" in error.value.next_step
    assert not path.exists() or path.stat().st_size == 0
    restore(copy, path, NOW)
    assert ids(path) == kept


def test_a_row_that_the_disk_has_damaged_is_named_and_left_out_and_the_rest_is_served(tmp_path):
    path = tmp_path / "shop.sqlite"
    kept = a_log(path)
    db = sqlite3.connect(path)
    for trigger in ("no_event_is_changed",):
        (sql,) = db.execute("select sql from sqlite_master where name = ?", [trigger]).fetchone()
        db.execute(f"drop trigger {trigger}")
    db.execute("pragma ignore_check_constraints = on")
    db.execute("update events set body = cast(x'7b22ff' as text) where seq = 2")
    db.execute(sql)
    db.commit()
    db.close()
    with Store.open(path) as store:
        assert [one.id for one in store.events()] == [kept[0], kept[2]]
        assert store.damaged() == [2]
        assert store.event(kept[1]) is None


@pytest.mark.parametrize(
    "added",
    [
        "create trigger theirs after insert on events begin select 1; end",
        "create view theirs as select * from events",
        "create table theirs (one)",
        "drop trigger no_event_is_removed",
    ],
)
def test_a_copy_with_tables_or_triggers_of_its_own_is_refused_and_nothing_is_changed(tmp_path, added):
    path, copy = tmp_path / "shop.sqlite", tmp_path / "theirs.sqlite"
    kept = a_log(path)
    a_log(copy)
    db = sqlite3.connect(copy)
    db.execute(added)
    db.commit()
    db.close()
    with pytest.raises(StoreTrouble, match="did not make"):
        restore(copy, path, NOW)
    with pytest.raises(StoreTrouble, match="did not make"):
        Store.open(copy)
    assert ids(path) == kept


@pytest.mark.parametrize("step", ["link", "unlink", "replace"])
def test_restoring_that_dies_at_any_step_leaves_one_of_the_two_whole(tmp_path, monkeypatch, step):
    path, copy = tmp_path / "shop.sqlite", tmp_path / "copy.sqlite"
    old, new = a_log(path), a_log(copy, 2)

    class Died(BaseException):
        pass

    def dies(*_, **__):
        raise Died

    if step == "link":
        monkeypatch.setattr(os, "link", dies)
    else:
        real = getattr(Path, step)
        monkeypatch.setattr(
            Path, step, lambda self, *more, **named: dies() if self.name.startswith("shop.sqlite") and not (
                step == "unlink" and self.name.endswith(".part")
            ) else real(self, *more, **named)
        )  # fmt: skip
    with pytest.raises(Died):
        backup.restore(copy, path, NOW)
    monkeypatch.undo()
    assert ids(path) in (old, new)
    restore(copy, path, NOW)
    assert ids(path) == new


@pytest.mark.skipif(os.name == "nt", reason="rights of the owner are not kept so there")
def test_log_and_copies_are_read_by_their_owner_only(tmp_path):
    path = tmp_path / "shop.sqlite"
    a_log(path)
    copy = daily_copy(path, date(2026, 3, 1))
    for one in (path, copy):
        assert stat.S_IMODE(one.stat().st_mode) == 0o600
    assert stat.S_IMODE(copy.parent.stat().st_mode) == 0o700


def test_a_job_brought_with_a_high_number_does_not_end_the_making_of_jobs():
    assert next_job_number(["9999"]) == "1"
    assert next_job_number(["1", "2", "4", "9999"]) == "3"
