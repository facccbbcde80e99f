"""The log: durable, append-only, each event once, from any thread."""

import sqlite3
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from threading import Event as Signal
from threading import Thread

import pytest
from sqlite_utils import Database
from tests.store.taps import RUN, tap

from stopwright.errors import ChangedMeanwhile, StopwrightError, StoreTrouble
from stopwright.store.events import Event
from stopwright.store.log import Store
from stopwright.store.run_fold import fold_runs


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "shop.db") as one:
        yield one


def test_events_come_back_as_they_were_in_the_order_of_the_log(store: Store) -> None:
    sent = [tap("piece cut"), tap("run done", job="2"), tap("zero accepted", job="")]
    stored = store.append(sent)
    assert [one.seq for one in stored] == [1, 2, 3]
    assert [replace(one, seq=0) for one in stored] == sent
    assert store.events() == stored
    assert store.events("2") == store.events(after=1, kinds=["run done"]) == [stored[1]]
    assert store.event(sent[2].id) == stored[2]
    assert store.last_seq == 3


def test_events_are_there_after_the_log_was_closed_and_opened(tmp_path: Path) -> None:
    with Store.open(tmp_path / "shop.db") as first:
        stored = first.append([tap("piece cut"), tap("run done")])
    with Store.open(tmp_path / "shop.db") as again:
        assert again.events() == stored


def test_a_repeat_is_answered_with_the_one_stored_first(store: Store) -> None:
    one = tap("piece cut")
    (stored,) = store.append([one])
    later = replace(one, at="2026-03-02T00:00:00.000Z", device="another")
    new, repeat, twice = store.append([tap("run done"), later, later])
    assert (new.seq, repeat, twice) == (2, stored, stored)
    assert store.last_seq == 2


def test_an_id_that_stands_for_something_else_is_refused_and_nothing_of_that_call_is_kept(store: Store) -> None:
    one = tap("piece cut")
    store.append([one])
    with pytest.raises(StopwrightError, match="another event already"):
        store.append([tap("run done"), tap("piece cut", id_=one.id, count=7)])
    assert store.last_seq == 1


def test_a_refused_event_does_not_harm_those_of_other_callers(store: Store) -> None:
    one = tap("piece cut")
    store.append([one])
    calls = [[tap("piece cut", id_=one.id, count=7)] if n % 3 == 0 else [tap("piece cut")] for n in range(60)]

    def send(events: list[Event]) -> bool:
        try:
            return bool(store.append(events))
        except StopwrightError:
            return False

    with ThreadPoolExecutor(20) as phones:
        kept = list(phones.map(send, calls))
    assert kept == [n % 3 != 0 for n in range(60)]
    assert len(store.events()) == 1 + 40


@pytest.mark.parametrize(
    "order",
    [
        "update events set at = ''",
        "delete from events",
        "insert or replace into events values (1, 'tap-other', '1', 'run done', '', '', '{}', 0)",
        "update or replace events set id = id",
    ],
)
def test_nothing_in_the_log_can_be_changed_removed_or_replaced(store: Store, order: str) -> None:
    before = store.append([tap("piece cut")])
    connection = sqlite3.connect(store.path, isolation_level=None)  # without recursive triggers, unlike sqlite-utils
    with pytest.raises(sqlite3.IntegrityError, match="only added to"):
        connection.execute(order)
    connection.close()
    assert store.events() == before


def test_an_event_put_in_again_with_another_time_leaves_the_first_as_it_was(store: Store) -> None:
    before = store.append([tap("piece cut")])
    connection = sqlite3.connect(store.path, isolation_level=None)
    with suppress(sqlite3.IntegrityError):  # refused or passed over, whichever trigger comes first
        connection.execute("replace into events select seq, id, job, kind, '', device, body, 0 from events")
    connection.execute("replace into events select null, id, job, kind, '', device, body, 0 from events")
    connection.close()
    assert store.events() == before


@pytest.mark.parametrize("how", [{"replace": True}, {"ignore": True}, {}])
def test_rows_put_in_past_the_store_cannot_take_the_place_of_an_event(store: Store, how: dict[str, bool]) -> None:
    (kept,) = store.append([tap("piece cut")])
    row = {"id": kept.id, "job": "1", "kind": "run done", "at": "", "device": "", "body": "{}"}
    db = Database(store.path)
    db["events"].insert(row, **how)  # type: ignore[arg-type, union-attr]
    db.close()
    assert store.events() == [kept]


@pytest.mark.parametrize("wrong", [{"body": "no json"}, {"at": None}, {"seq": "first"}])
def test_a_row_that_wants_a_field_or_its_type_fails_loudly(store: Store, wrong: dict[str, str | None]) -> None:
    row = {"seq": None, "id": "tap-00001", "job": "1", "kind": "x", "at": "", "device": "", "body": "{}"} | wrong
    connection = sqlite3.connect(store.path, isolation_level=None)
    with pytest.raises((sqlite3.IntegrityError, sqlite3.OperationalError)):
        connection.execute(
            "insert into events values (:seq, :id, :job, :kind, :at, :device, :body, 0) on conflict (id) do nothing",
            row,
        )
    connection.close()


def test_fifty_phones_at_once_lose_and_double_nothing(store: Store) -> None:
    taps = [tap("piece cut") for _ in range(1000)]
    with ThreadPoolExecutor(50) as phones:
        stored = list(phones.map(lambda one: store.append([one])[0], taps + taps[::3]))
    assert [replace(one, seq=0) for one in stored] == taps + taps[::3]
    assert sorted(one.seq for one in stored[:1000]) == list(range(1, 1001))
    assert fold_runs(store.events("1"))[RUN].cut == {("A", False): 1000}


def test_of_two_who_change_the_same_version_one_is_told(store: Store) -> None:
    (first,) = store.append([tap("job saved")], base=0, kinds=["job saved"])

    def change(number: int) -> bool:
        try:
            store.append([tap("job saved", document={"name": str(number)})], base=first.seq, kinds=["job saved"])
        except ChangedMeanwhile as told:
            assert told.where == "job 1" and told.next_step
            return False
        return True

    with ThreadPoolExecutor(8) as people:
        assert sum(people.map(change, range(8))) == 1
    assert len(store.events("1")) == 2


def test_a_change_sent_again_after_it_was_kept_is_no_conflict(store: Store) -> None:
    change = tap("job saved")
    kept = store.append([change], base=0, kinds=["job saved"])
    assert store.append([change], base=0, kinds=["job saved"]) == kept


def test_other_kinds_do_not_make_a_version_stale(store: Store) -> None:
    (first,) = store.append([tap("job saved")])
    store.append([tap("piece cut"), tap("job saved", job="2")])
    assert store.append([tap("job saved")], base=first.seq, kinds=["job saved"])


def test_who_waits_is_woken_by_the_next_event(store: Store) -> None:
    seen: list[int] = []
    waiting = Thread(target=lambda: seen.append(store.wait(0, timeout=30)))
    waiting.start()
    store.append([tap("piece cut")])
    waiting.join()
    assert seen == [1]
    assert store.wait(1, timeout=0) == 1


def test_who_waits_hears_of_what_another_program_wrote(store: Store) -> None:
    with Store.open(store.path) as other:
        other.append([tap("piece cut")])
    assert store.wait(0, timeout=30) == 1


def test_closing_lets_go_of_those_who_wait(tmp_path: Path) -> None:
    store = Store.open(tmp_path / "shop.db")
    store.append([tap("piece cut")])
    done = Signal()

    def wait() -> None:
        store.wait(0, timeout=0)
        done.set()

    thread = Thread(target=wait)
    thread.start()
    thread.join()
    store.close()
    assert done.is_set()
    with pytest.raises(StoreTrouble, match="closed"):
        store.append([tap("piece cut")])


def test_a_watcher_is_told_of_each_write_until_it_ends_and_cannot_stop_the_writing(store: Store) -> None:
    told: list[int] = []

    def gone(newest: int) -> None:
        raise RuntimeError(f"the page's loop is closed, {newest} cannot reach it")

    store.watch(gone)
    end = store.watch(told.append)
    store.append([tap("piece cut"), tap("piece cut")])
    store.append([tap("piece cut")])
    end()
    end()
    store.append([tap("piece cut")])
    assert told == [2, 3]


calls: list[int] = []


def counted(events: Sequence[Event]) -> int:
    calls.append(len(events))
    return len(events)


def test_a_fold_is_worked_out_anew_only_after_news_of_its_own_job(store: Store) -> None:
    calls.clear()
    store.append([tap("piece cut")])
    assert [store.folded("1", counted), store.folded("1", counted)] == [1, 1]
    store.append([tap("piece cut", job="2")])
    assert store.folded("1", counted) == 1
    store.append([tap("piece cut")])
    assert store.folded("1", counted) == 2
    assert calls == [1, 2]


def test_a_fold_of_some_kinds_is_left_alone_by_news_of_others(store: Store) -> None:
    calls.clear()
    store.append([tap("piece cut"), tap("job saved")])
    assert store.folded("1", counted, ("job saved",)) == 1
    store.append([tap("piece cut")])
    assert store.folded("1", counted, ("job saved",)) == 1
    store.append([tap("job saved")])
    assert store.folded("1", counted, ("job saved",)) == 2
    assert calls == [1, 2]


def test_what_grows_is_fed_with_news_only(store: Store) -> None:
    fed: list[int] = []

    class Tally:
        def __init__(self) -> None:
            self.total = 0

        def add(self, events: Sequence[Event]) -> None:
            fed.append(len(events))
            self.total += len(events)

        def now(self) -> int:
            return self.total

    store.append([tap("piece cut"), tap("piece cut"), tap("piece cut", job="2")])
    assert [store.grown("1", Tally), store.grown("1", Tally)] == [2, 2]
    store.append([tap("piece cut")])
    assert store.grown("1", Tally) == 3
    assert fed == [2, 1]


def test_a_long_fold_of_one_job_does_not_hold_up_another(store: Store) -> None:
    store.append([tap("piece cut"), tap("piece cut", job="2")])

    def long(events: Sequence[Event]) -> tuple[int, int]:
        with ThreadPoolExecutor(1) as other:
            return len(events), other.submit(store.folded, "2", len).result(timeout=10)

    assert store.folded("1", long) == (1, 1)


def test_the_newest_event_of_every_job_leaves_the_shop_out(store: Store) -> None:
    store.append([tap("job saved"), tap("job saved", job="2"), tap("piece cut"), tap("zero accepted", job="")])
    assert {job: one.seq for job, one in store.newest().items()} == {"1": 3, "2": 2}
    assert {job: one.seq for job, one in store.newest(("job saved", "run done")).items()} == {"1": 1, "2": 2}


def test_the_disk_is_synced_before_an_answer(store: Store) -> None:
    with store._readers.one() as reader:
        assert reader.execute("pragma journal_mode").fetchone()[0] == "wal"
    assert store._writer is not None
    assert store._writer.execute("pragma synchronous").fetchone()[0] == 2  # full
    assert store._writer.execute("pragma foreign_keys").fetchone()[0] == 1
