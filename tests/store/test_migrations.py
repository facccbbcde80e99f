"""From every earlier schema to the one of today, without losing an event."""

from pathlib import Path

import pytest
from sqlite_utils import Database
from tests.store.taps import tap

from stopwright.errors import StoreTrouble
from stopwright.store.events import body_text, in_order
from stopwright.store.log import Store
from stopwright.store.migrations import OURS, bring_up_to_date, migrations

with Database(memory=True) as empty:
    STEPS = [step.name for step in migrations.pending(empty)]


def schema(db: Database) -> list[str]:
    return sorted(row[0] for row in db.execute("select sql from sqlite_master where sql is not null"))


@pytest.mark.parametrize("missing", STEPS)
def test_a_log_from_before_each_step_is_brought_up_to_date_with_all_its_events(tmp_path: Path, missing: str) -> None:
    path = tmp_path / "shop.db"
    old = Database(path)
    migrations.apply(old, stop_before=missing)
    kept = []
    if "events" in old.table_names():
        one = tap("piece cut")
        kept.append(one.id)
        old.execute(
            "insert into events (id, job, kind, at, device, body) values (?, ?, ?, ?, ?, ?)",
            [one.id, one.job, one.kind, one.at, one.device, body_text(one)],
        )
    old.execute(f"pragma application_id = {OURS}")
    old.close()
    with Store.open(path) as store, Store.open(tmp_path / "new.db") as new:
        assert [one.id for one in store.events()] == kept
        with store._readers.one() as here, new._readers.one() as there:
            assert schema(here) == schema(there)
        store.append([tap("piece cut")])


def test_taps_that_came_late_to_an_older_log_go_on_counting_by_their_time(tmp_path: Path) -> None:
    old = Database(tmp_path / "shop.db")
    migrations.apply(old, stop_before="places")
    rows = [("set", "07:00", "bench"), ("x", "07:20", "bench"), ("late", "07:10", "phone"), ("early", "06:00", "phone")]
    rows += [("back", "06:30", "bench"), ("after", "06:40", "phone")]  # the clock of the bench was put back
    for id_, at, device in rows:
        row = [f"{id_}-0000001", "1", "run done", f"2026-03-01T{at}:00.000Z", device, '{"run": "saw"}']
        old.execute("insert into events (id, job, kind, at, device, body) values (?, ?, ?, ?, ?, ?)", row)
    old.execute(f"pragma application_id = {OURS}")
    old.close()
    with Store.open(tmp_path / "shop.db") as store:
        assert {one.id.split("-")[0]: one.place for one in store.events()} == {
            "set": 0, "x": 0, "late": 1, "early": 1, "back": 0, "after": 0,
        }  # fmt: skip
        counted = [one.id.split("-")[0] for one in sorted(store.events(), key=in_order)]
        assert counted == ["set", "early", "late", "x", "back", "after"]


def test_each_step_runs_once_and_leaves_its_record(tmp_path: Path) -> None:
    for _ in range(2):
        Store.open(tmp_path / "shop.db").close()
    db = Database(tmp_path / "shop.db")
    assert [step.name for step in migrations.applied(db)] == STEPS
    db.close()


def test_a_log_of_a_newer_version_is_refused_and_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    Store.open(path).close()
    db = Database(path)
    db.table("_sqlite_migrations").insert({"migration_set": "log", "name": "from_tomorrow", "applied_at": ""})
    before = schema(db)
    with pytest.raises(StoreTrouble, match="newer version; install the newest"):
        bring_up_to_date(db, str(path))
    assert schema(db) == before and not db.conn.in_transaction
    db.close()


def test_the_database_of_another_program_is_refused_and_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "recipes.db"
    db = Database(path)
    db.table("bread").insert({"flour": 500})
    before = schema(db)
    with pytest.raises(StoreTrouble, match="not a log of this program"):
        Store.open(path)
    assert schema(db) == before
    db.close()
