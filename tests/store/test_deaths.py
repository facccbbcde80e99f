"""Copying, restoring, importing and migrating that die at any step, SQL, rename or sync: nothing is half there."""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

import pytest
from sqlite_utils import Database
from tests.store.taps import tap
from tests.store.test_document_changes import logged, rows

from stopwright.actions.jobs.keeping import create_job
from stopwright.store.backup import copy_log, restore
from stopwright.store.log import Store
from stopwright.store.whole_job import export_job, read_whole_job, take_in

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)


class Died(BaseException):
    """The program is gone at this step, without a word."""


@contextmanager
def dying_at(step: int) -> Iterator[list[str]]:
    """Every SQL statement, rename, unlink, link and sync is a step; the one of this number is not done any more."""
    done: list[str] = []

    def counted(name: str, real: Callable) -> Callable:
        def do(*given: object, **more: object) -> object:
            done.append(name)
            if len(done) == step:
                raise Died(name)
            return real(*given, **more)

        return do

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Database, "execute", counted("sql", Database.execute))
        for name in ("replace", "unlink"):
            patch.setattr(Path, name, counted(name, getattr(Path, name)))
        for name in ("fsync", "link"):
            patch.setattr(os, name, counted(name, getattr(os, name)))
        yield done


def dies_at_every_step(work: Callable[[], object], after: Callable[[], None]) -> set[str]:
    """Has `work` die at its first step, its second, and so on until it is through; `after` looks at what is left."""
    met: set[str] = set()
    for step in count(1):
        with dying_at(step) as done:
            try:
                work()
            except Died:
                met.add(done[-1])
            else:
                return met
        after()
    return met


def held(path: Path) -> list[str]:
    with Store.open(path) as store:
        return [event.id for event in store.events()]


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    with Store.open(tmp_path / "shop.db") as store:
        store.append([tap("job saved"), tap("piece cut"), tap("run done")])
    return tmp_path / "shop.db"


def test_a_copy_is_whole_or_not_there(shop: Path, tmp_path: Path) -> None:
    copy, whole = tmp_path / "copy.db", held(shop)

    def after() -> None:
        assert held(shop) == whole
        if copy.exists():  # died after it stood there
            assert held(copy) == whole
            copy.unlink()

    assert dies_at_every_step(lambda: copy_log(shop, copy), after) == {"sql", "replace", "unlink", "fsync"}
    assert held(copy) == whole


def test_restoring_leaves_one_of_the_two_whole_and_loses_neither(shop: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    copy_log(shop, copy)
    with Store.open(shop) as store:
        store.append([tap("run reopened")])
    old, new = held(copy), held(shop)
    safe = tmp_path / "safe.db"
    shutil.copy(shop, safe)

    def after() -> None:
        stands = held(shop)
        assert stands in (old, new) and held(copy) == old
        if stands == old:
            kept = tmp_path.glob("shop.db.replaced-*")
            aside = [one for one in kept if not one.name.endswith(("-wal", "-shm", "-kept"))]
            assert any(held(one) == new for one in aside)
        for one in tmp_path.glob("shop.db*"):
            if one.is_file():
                one.unlink()
        shutil.copy(safe, shop)

    assert dies_at_every_step(lambda: restore(copy, shop, NOON), after) >= {"sql", "replace", "fsync", "link"}
    assert held(shop) == old


def test_a_whole_job_comes_in_whole_or_not_at_all(shop: Path, tmp_path: Path) -> None:
    with Store.open(shop) as ours, Store.open(tmp_path / "theirs.db") as theirs:
        whole = read_whole_job("".join(export_job(ours, "1")), "job.json", NOON)

        def after() -> None:
            assert theirs.events() == []

        assert dies_at_every_step(lambda: take_in(theirs, whole), after) == {"sql"}
        assert len(theirs.events()) == 3
        create_job(theirs, {"name": "Another"}, "bench")


def test_a_log_is_brought_up_to_date_whole_or_left_as_it_was(tmp_path: Path) -> None:
    path, part = tmp_path / "shop.db", rows(20)
    logged(path, [("1", {"name": f"Drawers {n}", "part": part}) for n in range(4)])

    def steps() -> list[str]:
        db = Database(path)
        names = [row[0] for row in db.execute("select name from _sqlite_migrations order by id")]
        db.close()
        return names

    old = steps()

    def whole() -> None:
        names = steps()
        db = Database(path)
        kinds = [row[0] for row in db.execute("select kind from events")]
        db.close()
        assert (names == old) == (kinds == 4 * ["job saved"])

    assert dies_at_every_step(lambda: Store.open(path).close(), whole) == {"sql"}
    assert steps() != old
    with Store.open(path) as store:
        assert [event.kind for event in store.events()] == ["job saved"] + 3 * ["job changed"]
