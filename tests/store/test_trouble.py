"""When the disk or the file fails: a plain sentence, and nothing that was answered is lost."""

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from tests.store.taps import tap

from stopwright.errors import StoreTrouble
from stopwright.store.log import Store


def a_log(path: Path, count: int = 5) -> list[str]:
    with Store.open(path) as store:
        return [one.id for one in store.append(tap("piece cut") for _ in range(count))]


def ids(path: Path) -> list[str]:
    with Store.open(path) as store:
        return [one.id for one in store.events()]


def test_a_log_that_another_program_writes_to_says_so_and_takes_the_event_later(tmp_path: Path) -> None:
    kept = a_log(tmp_path / "shop.db")
    one = tap("piece cut")
    with Store.open(tmp_path / "shop.db", patience=0.05) as store:
        other = sqlite3.connect(store.path, isolation_level=None)
        other.execute("begin immediate")
        with pytest.raises(StoreTrouble, match="another program is writing to it; wait until"):
            store.append([one])
        other.close()
        store.append([one])
        assert [one.id for one in store.events()] == [*kept, one.id]


def test_a_full_disk_says_so_and_keeps_all_that_was_answered(tmp_path: Path) -> None:
    with Store.open(tmp_path / "shop.db") as store:
        kept = [one.id for one in store.append([tap("piece cut")])]
        assert store._writer is not None
        pages = store._writer.execute("pragma page_count").fetchone()[0]
        store._writer.execute(f"pragma max_page_count = {pages + 2}")  # SQLite's own way to run out of room
        big = {"note": "x" * 15_000}
        with pytest.raises(StoreTrouble, match="the disk is full; nothing was saved; make room"):
            store.append([tap("plan chosen", choices=big)])
        assert [one.id for one in store.events()] == kept
        after = tap("plan chosen", choices=big)  # a fresh connection has no such limit: room was made
        store.append([after])
    assert ids(tmp_path / "shop.db") == [*kept, after.id]


PROJECT = Path(__file__).parents[2]

FILL = """
import resource, sys
from tests.store.taps import tap
from stopwright.errors import StoreTrouble
from stopwright.store.log import Store
with Store.open(sys.argv[1]) as store:
    resource.setrlimit(resource.RLIMIT_FSIZE, (600_000, resource.RLIM_INFINITY))
    try:
        while True:
            print(store.append([tap("plan chosen", choices={"note": "x" * 5000})])[0].id)
    except StoreTrouble as trouble:
        print(trouble.what, trouble.next_step, sep="|", file=sys.stderr)
    resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
    print(store.append([tap("run done", id_="tap-after")])[0].id)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no limit on the size of files there")
def test_a_disk_that_takes_no_more_says_so_and_every_event_answered_is_there(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    child = subprocess.run(
        [sys.executable, "-c", FILL, str(path)],
        capture_output=True,
        text=True,
        check=True,
        cwd=PROJECT,
    )
    answered = child.stdout.split()
    assert len(answered) > 10 and answered[-1] == "tap-after"
    assert child.stderr.strip() == "the disk cannot be read or written|check the disk, then try again"
    assert ids(path) == answered


LOOK = """
import os, sys
from stopwright.errors import StoreTrouble
from stopwright.store.log import Store
if os.geteuid() == 0:
    os.setuid(65534)
try:
    Store.open(sys.argv[1])
except StoreTrouble as trouble:
    print(trouble)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="rights work otherwise there")
def test_a_log_that_may_not_be_written_says_so_and_stays_as_it_is(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    folder.mkdir()
    kept = a_log(folder / "shop.db")
    for one in (folder / "shop.db", folder):
        one.chmod(0o555 if one.is_dir() else 0o444)
    for parent in folder.parents:
        if parent.is_relative_to("/tmp") and parent != Path("/tmp") and parent.owner() == folder.owner():
            parent.chmod(0o755)
    child = subprocess.run(
        [sys.executable, "-c", LOOK, str(folder / "shop.db")], capture_output=True, text=True, check=True
    )
    folder.chmod(0o755)
    (folder / "shop.db").chmod(0o644)
    assert "cannot be opened" in child.stdout or "not written" in child.stdout
    assert "may be written to" in child.stdout or "let this program write" in child.stdout
    assert ids(folder / "shop.db") == kept


@pytest.mark.parametrize("left", [0.3, 0.6, 0.95])
def test_a_file_cut_short_is_refused_and_left_as_it_is(tmp_path: Path, left: float) -> None:
    path = tmp_path / "shop.db"
    a_log(path, 500)
    os.truncate(path, int(path.stat().st_size * left))
    before = path.read_bytes()
    with pytest.raises(StoreTrouble, match=r"damaged.*restore the last good copy"):
        Store.open(path)
    assert path.read_bytes() == before


def test_a_file_cut_to_nothing_does_not_take_its_journal_with_it(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with Store.open(path) as store:
        store.append([tap("piece cut")])
        journal = path.with_name("shop.db-wal").read_bytes()
    path.write_bytes(b"")
    path.with_name("shop.db-wal").write_bytes(journal)
    with pytest.raises(StoreTrouble, match="damaged"):
        Store.open(path)
    assert path.with_name("shop.db-wal").read_bytes() == journal


def test_a_page_gone_bad_is_found_when_the_log_is_opened(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    a_log(path, 500)
    with path.open("r+b") as file:
        file.seek(5 * 4096)
        file.write(b"\xff" * 4096)
    with pytest.raises(StoreTrouble, match="damaged"):
        Store.open(path)


@pytest.mark.parametrize("content", [b"a letter to the joiner" * 100, b"\x00" * 5000])
def test_a_file_that_is_no_database_is_refused_and_left_as_it_is(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "letter.db"
    path.write_bytes(content)
    with pytest.raises(StoreTrouble):
        Store.open(path)
    assert path.read_bytes() == content


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(StoreTrouble, match="cannot be opened; see that its folder is there"):
        Store.open(tmp_path / "nowhere" / "shop.db")


def test_a_log_moved_away_while_in_use_takes_no_more(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with Store.open(path) as store:
        store.append([tap("piece cut")])
        path.rename(tmp_path / "elsewhere.db")
        with pytest.raises(StoreTrouble, match="moved or replaced while in use"):
            store.append([tap("piece cut")])
        (tmp_path / "elsewhere.db").rename(path)
        store.append([tap("piece cut")])
        assert store.last_seq == 2


def test_a_log_that_another_program_holds_is_not_opened_and_can_be_later(tmp_path: Path) -> None:
    kept = a_log(tmp_path / "shop.db")
    other = sqlite3.connect(tmp_path / "shop.db", isolation_level=None)
    other.execute("pragma locking_mode = exclusive")
    other.execute("begin exclusive")
    with pytest.raises(StoreTrouble, match="another program is writing to it; wait until"):
        Store.open(tmp_path / "shop.db", patience=0.05)
    other.close()
    assert ids(tmp_path / "shop.db") == kept
