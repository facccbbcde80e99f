"""Files made to harm, brought to a real server: each is answered in words, within bounds, and others are served beside.

They are made here, none is kept. Time is bounded by the reading process itself (`intake/apart.py`); what is looked at
here is that it is, that memory stays within 300 MB above rest and is given back.
"""

import io
import re
import struct
import subprocess
import sys
import threading
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import httpx
import pytest
from tests.intake.test_apart import HEADER, dots, workbook

from stopwright.intake import apart

pytestmark = pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="memory is read from /proc")

MB = 1_000_000
ABOVE_REST = 300 * MB
GIVEN_BACK = 80 * MB
HANGS = 60.0
"""Seconds after which a server is taken for hanging; reading ends by itself after apart.SECONDS."""


def png(side: int) -> bytes:
    """A grey picture of so many pixels a side, all alike, in a few kilobytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    packer = zlib.compressobj(9)
    rows = b"".join(packer.compress(bytes(side + 1)) for _ in range(side)) + packer.flush()
    head = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def whole_job(events: str) -> bytes:
    return f'{{"what": "whole job", "version": 2, "job": "1", "events": [{events}]}}'.encode()


SAVED = (
    '{"id": "save-00001", "kind": "job saved", "at": "2026-03-01T07:30:00Z", "device": "bench",'
    ' "body": {"document": {"part": [%s]}, "base": 0}}'
)
CHANGED = (
    ', {"id": "change-%05d", "kind": "job changed", "at": "2026-03-01T07:30:00Z", "device": "bench",'
    ' "body": {"after": "%s", "change": {"rows": {"part": [[0, 1, [{}]]]}}}}'
)


def many_changes() -> bytes:
    """A long list, and thousands of changes of it, each of which copies the list."""
    named = ["save-00001", *(f"change-{n:05}" for n in range(1, 5_000))]
    return whole_job(SAVED % ",".join(["{}"] * 20_000) + "".join(CHANGED % (n, named[n - 1]) for n in range(1, 5_000)))


SHARED = '<row r="%d">' + '<c t="s"><v>0</v></c>' * 10 + "</row>"

FILES: dict[str, tuple[str, Callable[[], bytes]]] = {
    "a key of 160 000 dots": ("job.toml", lambda: dots(160_000) + b" = 1"),
    "a key of 1.9 million dots": ("job.toml", lambda: dots(1_900_000) + b" = 1"),
    "a key that nests where no count sees it": ("job.toml", lambda: b"a = {" + dots(160_000) + b" = 1}"),
    "100 000 tables": ("job.toml", lambda: b"".join(b"[t%d]\n" % n for n in range(100_000))),
    "a shared text of 9 MB in 500 cells": (
        "parts.xlsx",
        lambda: workbook("<si><t>" + "a b " * 2_250_000 + "</t></si>", "".join(SHARED % n for n in range(1, 51))),
    ),
    "a CSV of quotes": ("parts.csv", lambda: (HEADER + ('"' * 199 + "\n") * 15_000).encode()),
    "a CSV of commas": ("parts.csv", lambda: (HEADER + ("," * 150 + "\n") * 15_000).encode()),
    "JSON that nests": ("job.json", lambda: b"[" * 1_000_000),
    "a number of a million figures": ("job.json", lambda: whole_job("1" * 1_000_000)),
    "a document changed again and again": ("job.json", many_changes),
    "a workbook that is none": ("parts.xlsx", lambda: b"PK\x03\x04" + bytes(100_000)),
}


TAKEN = ("a CSV of quotes", "a document changed again and again")
"""What may be read after all: it holds no more than a list does."""


@contextmanager
def served(folder: Path) -> Iterator[tuple[str, int]]:
    """The address of a server in a process of its own, and its process."""
    command = [sys.executable, "-m", "stopwright", "serve", "--data", str(folder), "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True) as process:
        try:
            assert process.stdout is not None
            found = next(found for line in process.stdout if (found := re.search(r"http://127\.0\.0\.1:\d+", line)))
            yield found[0], process.pid
        finally:
            process.kill()


def held(pid: int) -> int:
    """Bytes that a process and those that it started have in memory."""
    total = 0
    with suppress(OSError, TypeError):
        status = Path(f"/proc/{pid}/status").read_text()
        total = int(re.search(r"VmRSS:\s*(\d+)", status)[1]) * 1024
        for task in Path(f"/proc/{pid}/task").iterdir():
            total += sum(map(held, map(int, (task / "children").read_text().split())))
    return total


class Watched:
    """The most that a server held while this was entered."""

    def __init__(self, pid: int) -> None:
        self.most, self._pid, self._end = 0, pid, threading.Event()
        self._thread = threading.Thread(target=self._look)

    def _look(self) -> None:
        while not self._end.wait(0.02):
            self.most = max(self.most, held(self._pid))

    def __enter__(self) -> "Watched":
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._end.set()
        self._thread.join()


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, int]]:
    with served(tmp_path_factory.mktemp("shop")) as one:
        httpx.get(f"{one[0]}/import", headers={"accept": "text/html"}, timeout=HANGS)  # all that a page needs is loaded
        httpx.post(f"{one[0]}/import", data={"rows": HEADER + "Leg,4,450,38,38\n"}, timeout=HANGS)
        yield one


def answered(server: tuple[str, int], path: str, field: str, name: str, file: bytes) -> httpx.Response:
    """What the server says to a file; others are answered meanwhile, and memory stays within bounds."""
    address, pid = server
    rest = held(pid)
    beside: list[int] = []
    over = threading.Event()

    def ask() -> None:
        while not over.wait(0.1):
            beside.append(httpx.get(f"{address}/reach", timeout=HANGS).status_code)

    other = threading.Thread(target=ask)
    other.start()
    try:
        with Watched(pid) as watched:
            answer = httpx.post(
                f"{address}{path}",
                files={field: (name, io.BytesIO(file))},
                headers={"accept": "text/html"},
                timeout=HANGS,
                follow_redirects=True,
            )
    finally:
        over.set()
        other.join()
    assert answer.status_code < 500
    assert set(beside) <= {200, 204}
    assert watched.most - rest < ABOVE_REST
    assert held(pid) - rest < GIVEN_BACK
    return answer


@pytest.mark.parametrize("which", FILES)
def test_a_list_made_to_harm_is_answered_within_bounds(server: tuple[str, int], which: str) -> None:
    name, made = FILES[which]
    answer = answered(server, "/import", "file", name, made())
    taken = which in TAKEN and answer.status_code == 200
    assert taken or (answer.status_code == 422 and 'class="notice care' in answer.text)


@pytest.mark.parametrize("side", [7_700, 12_000])
def test_a_picture_that_unfolds_to_much_is_answered_within_bounds(server: tuple[str, int], side: int) -> None:
    page = answered(server, "/scan", "photo", "label.png", png(side)).text
    assert "can be read in this photo" in page or "too large" in page or "too much time" in page


def test_the_time_for_a_file_is_bounded_by_the_reader() -> None:
    assert apart.SECONDS <= 4
