"""Copies: whole while the log is in use, one a day, and back again."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from threading import Event as Signal
from threading import Thread

import pytest
from tests.store.taps import tap

from stopwright.errors import StoreTrouble
from stopwright.store.backup import daily_copy, restore
from stopwright.store.events import Event
from stopwright.store.log import Store

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)


def events(path: Path) -> list[Event]:
    with Store.open(path) as store:
        return store.events()


def test_a_copy_made_while_phones_write_is_a_whole_beginning_of_the_log(tmp_path: Path) -> None:
    ended = Signal()
    with Store.open(tmp_path / "shop.db") as store:
        before = store.append(tap("piece cut") for _ in range(300))

        def write() -> None:
            while not ended.is_set():
                store.append([tap("piece cut")])

        writing = Thread(target=write)
        writing.start()
        store.backup(tmp_path / "copy.db")
        ended.set()
        writing.join()
        copied = events(tmp_path / "copy.db")
        assert copied == store.events()[: len(copied)] and copied[:300] == before
    with Store.open(tmp_path / "shop.db") as store, pytest.raises(StoreTrouble) as refused:
        store.backup(tmp_path / "copy.db")
    assert refused.value.what == "there is a file of this name already"
    assert refused.value.where == str(tmp_path / "copy.db")


def test_a_copy_is_one_file_that_needs_no_other(tmp_path: Path) -> None:
    with Store.open(tmp_path / "shop.db") as store:
        store.append([tap("piece cut")])
        store.backup(tmp_path / "copy.db")
    assert [one.name for one in tmp_path.glob("copy*")] == ["copy.db"]


def test_a_copy_to_where_nothing_can_be_written_says_so(tmp_path: Path) -> None:
    with Store.open(tmp_path / "shop.db") as store, pytest.raises(StoreTrouble):
        store.backup(tmp_path / "nowhere" / "copy.db")


def test_one_copy_a_day_is_made_and_the_oldest_go(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    Store.open(path).close()
    mine = tmp_path / "copies" / "shop-by-hand.db"
    made = []
    for day in range(5):
        made.append(daily_copy(path, date(2026, 2, 27) + timedelta(days=day), kept=3))
        assert daily_copy(path, date(2026, 2, 27) + timedelta(days=day), kept=3) is None
        mine.touch()
    left = sorted(one.name for one in (tmp_path / "copies").iterdir())
    assert left == ["shop-2026-03-01.db", "shop-2026-03-02.db", "shop-2026-03-03.db", "shop-by-hand.db"]
    assert made[-1] == tmp_path / "copies" / "shop-2026-03-03.db"


def test_a_copy_made_while_the_clock_was_years_ahead_neither_stays_for_ever_nor_passes_for_the_newest(
    tmp_path: Path,
) -> None:
    path = tmp_path / "shop.db"
    days = [date(2099, 1, 1), date(2099, 1, 2), date(2026, 3, 1), date(1970, 1, 1), date(2026, 3, 2)]
    for day in days:
        with Store.open(path) as store:
            store.append([tap("piece cut")])
        made = daily_copy(path, day, kept=3)
        assert made and made.exists()  # not thrown away at once
    left = {one.name for one in (tmp_path / "copies").iterdir()}
    assert left == {"shop-2026-03-01.db", "shop-1970-01-01.db", "shop-2026-03-02.db"}
    path.unlink()
    with pytest.raises(StoreTrouble, match="shop-2026-03-02"):
        Store.open(path)


def test_restoring_brings_the_copy_back_and_keeps_what_it_replaced(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with Store.open(path) as store:
        early = store.append([tap("piece cut")])
        store.backup(tmp_path / "copy.db")
        late = store.append([tap("run done")])
    aside = restore(tmp_path / "copy.db", path, NOON)
    assert aside == tmp_path / "shop.db.replaced-20260301-120000-000000"
    assert events(path) == early
    assert events(aside) == early + late


def test_numbers_go_on_beyond_the_replaced_log_so_that_no_page_misses_an_event(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with Store.open(path) as store:
        store.backup(tmp_path / "copy.db")
        store.append(tap("piece cut") for _ in range(10))
    restore(tmp_path / "copy.db", path, NOON)
    with Store.open(path) as store:
        assert store.append([tap("piece cut")])[0].seq == 11


def test_a_log_that_is_open_is_not_replaced(tmp_path: Path) -> None:
    with Store.open(tmp_path / "shop.db") as store:
        kept = store.append([tap("piece cut")])
        store.backup(tmp_path / "copy.db")
        with pytest.raises(StoreTrouble, match="in use; stop the program"):
            restore(tmp_path / "copy.db", store.path, NOON)
        store.append([tap("piece cut")])
        assert store.events()[:1] == kept and len(store.events()) == 2


@pytest.mark.parametrize("content", [b"", b"not a database" * 1000])
def test_a_copy_that_is_no_log_is_refused_and_the_log_stays(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "shop.db"
    with Store.open(path) as store:
        kept = store.append([tap("piece cut")])
    (tmp_path / "copy.db").write_bytes(content)
    with pytest.raises(StoreTrouble):
        restore(tmp_path / "copy.db", path, NOON)
    with pytest.raises(StoreTrouble, match="no such file"):
        restore(tmp_path / "none.db", path, NOON)
    assert events(path) == kept
    assert not list(tmp_path.glob("*.replaced-*"))


def test_a_damaged_copy_is_refused_and_the_log_stays(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with Store.open(path) as store:
        kept = store.append(tap("piece cut") for _ in range(500))
        store.backup(tmp_path / "copy.db")
    with (tmp_path / "copy.db").open("r+b") as copy:
        copy.seek(5 * 4096)
        copy.write(b"\xff" * 4096)
    with pytest.raises(StoreTrouble, match="damaged"):
        restore(tmp_path / "copy.db", path, NOON)
    assert events(path) == kept


def test_a_damaged_log_is_replaced_together_with_the_journal_it_left(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with Store.open(path) as store:
        kept = store.append([tap("piece cut")])
        store.backup(tmp_path / "copy.db")
    path.write_bytes(b"\xff" * 8192)
    path.with_name("shop.db-wal").write_bytes(b"\xff" * 8192)
    aside = restore(tmp_path / "copy.db", path, NOON)
    assert aside is not None and aside.read_bytes() == b"\xff" * 8192
    with Store.open(path) as store:
        assert store.events() == kept
        assert store.append([tap("piece cut")])[0].seq > 1_000_000  # how far it had come nobody can say


def test_a_copy_is_restored_where_there_is_no_log(tmp_path: Path) -> None:
    with Store.open(tmp_path / "shop.db") as store:
        kept = store.append([tap("piece cut")])
        store.backup(tmp_path / "copy.db")
    assert restore(tmp_path / "copy.db", tmp_path / "new.db", NOON) is None
    assert events(tmp_path / "new.db") == kept
