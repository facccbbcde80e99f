"""Eight phones with bad luck at one job while the server is killed again and again: no tap lost, none doubled.

Small here; the soak with 1 000 taps: `STOPWRIGHT_TAPS=1000 python -m pytest tests/web/phone/test_taps_survive.py`, with
`STOPWRIGHT_SEED=7` for other luck.
"""

import os
import socket
import subprocess
import sys
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from random import Random

from tests.web.phone.rough_phone import RoughPhone

from stopwright.actions.jobs.keeping import create_job
from stopwright.store.log import Store
from stopwright.store.run_fold import fold_runs
from stopwright.web.phone.run_state import StandingSoFar

PHONES = 8
TAPS = int(os.environ.get("STOPWRIGHT_TAPS", "240"))
SEED = int(os.environ.get("STOPWRIGHT_SEED", "1"))
KILLS = max(2, TAPS // 100)
PATIENCE = 60 + TAPS / 5


def test_no_tap_is_lost_or_doubled_however_often_the_server_is_killed(tmp_path: Path) -> None:
    chance = Random(SEED)
    with Store.open(tmp_path / "shop.sqlite") as store:
        job = create_job(store, {"name": "Stools", "part": []}, "bench")
    port = free_port()
    phones = [RoughPhone(port, job, TAPS // PHONES, Random(chance.random())) for _ in range(PHONES)]
    with working(phones):
        for enough in sorted(chance.sample(range(1, TAPS - PHONES), KILLS)):
            with server(tmp_path, port) as process:
                wait_for(lambda enough=enough: acknowledged(phones) >= enough)
                time.sleep(chance.uniform(0, 0.02))  # in the midst of a write, or not
                process.kill()
        with server(tmp_path, port):
            wait_for(lambda: acknowledged(phones) == sum(phone.taps for phone in phones))
            with Store.open(tmp_path / "shop.sqlite") as store:
                log = [event for event in store.events(job) if event.kind != "job saved"]
            wait_for(lambda: all(phone.seq == log[-1].seq for phone in phones))
    assert [phone.trouble for phone in phones] == [[]] * PHONES
    stored = {event.id: event for event in log}
    made = [tap for phone in phones for tap in phone.made]
    assert len(log) == len(stored) == len(made) == TAPS // PHONES * PHONES
    for phone in phones:
        mine = [stored[tap["id"]] for tap in phone.made]
        assert [(one.id, one.kind, one.body) for one in mine] == [
            (one["id"], one["kind"], one["body"]) for one in phone.made
        ]
        assert [one.seq for one in mine] == sorted(phone.acknowledged.values()), "sent in the order of tapping"
    assert {key: +Counter(run.cut) for key, run in fold_runs(log).items()} == counted(made)
    standing = StandingSoFar()
    standing.add(log)
    for phone in phones:
        assert phone.runs == standing.now().runs


def counted(made: list[dict]) -> dict[str, Counter]:
    """Good pieces by run, worked out from what was tapped without any of the program's own arithmetic."""
    undone = {tap["body"]["event"] for tap in made if tap["kind"] == "undo"}
    runs: dict[str, Counter] = {}
    for tap in made:
        if tap["kind"] == "undo" or tap["id"] in undone:
            continue
        body = tap["body"]
        good = runs.setdefault(body["run"], Counter())
        if tap["kind"].startswith("piece"):
            good[body["mark"], body["mirrored"]] += body["count"] * (1 if tap["kind"] == "piece cut" else -1)
    return {run: +good for run, good in runs.items()}


def acknowledged(phones: list[RoughPhone]) -> int:
    return sum(len(phone.acknowledged) for phone in phones)


@contextmanager
def working(phones: list[RoughPhone]) -> Iterator[None]:
    """The phones tap and follow while this is entered."""
    threads = [threading.Thread(target=act, daemon=True) for phone in phones for act in (phone.work, phone.follow)]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        for phone in phones:
            phone.ended.set()
        for thread in threads:
            thread.join(30)


@contextmanager
def server(folder: Path, port: int) -> Iterator[subprocess.Popen]:
    """The program as a process of its own, until it is killed."""
    command = [sys.executable, "-m", "stopwright", "serve", "--data", str(folder), "--port", str(port)]
    with ExitStack() as stack:
        process = stack.enter_context(subprocess.Popen(command, stdout=subprocess.DEVNULL))
        stack.callback(process.kill)
        yield process


def wait_for(reached) -> None:
    until = time.monotonic() + PATIENCE
    while not reached():
        assert time.monotonic() < until, "it never came to that"
        time.sleep(0.005)


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as one:
        return one.getsockname()[1]
