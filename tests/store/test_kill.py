"""The log under SIGKILL: every event that was answered is there once, none is doubled.

Small here; large with STOPWRIGHT_KILLS=1000 in the environment.
"""

import json
import os
import subprocess
import sys
from collections import Counter
from dataclasses import asdict
from pathlib import Path
from random import Random

import pytest
from tests.store.taps import RUN, tap

from stopwright.store.events import Event
from stopwright.store.log import Store
from stopwright.store.run_fold import fold_runs

KILLS = int(os.environ.get("STOPWRIGHT_KILLS", "5"))
TAPS_A_ROUND = 40
CHILD = Path(__file__).with_name("kill_child.py")


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL there")
def test_every_event_answered_before_a_kill_is_there_once(tmp_path: Path) -> None:
    chance = Random(20260301)
    path = tmp_path / "shop.db"
    tapped: dict[str, Event] = {}
    answered: set[str] = set()
    for _ in range(KILLS):
        for _ in range(TAPS_A_ROUND):
            one = tap(chance.choice(["piece cut", "piece spoiled"]), count=chance.randint(1, 5))
            tapped[one.id] = one
        again = chance.sample(sorted(answered), min(len(answered), 10))  # the answer was lost on the way: sent again
        sent = [tapped[id_] for id_ in again] + [one for one in tapped.values() if one.id not in answered]
        chance.shuffle(sent)
        answered |= killed_after(path, sent, chance.randint(0, len(sent)))
        check(path, tapped, answered)
    answered |= killed_after(path, [one for one in tapped.values() if one.id not in answered], None)
    check(path, tapped, answered)
    assert answered == set(tapped)


def killed_after(path: Path, sent: list[Event], answers: int | None) -> set[str]:
    """The ids that the child answered before it was killed, after so many answers; None lets it end by itself."""
    with subprocess.Popen(
        [sys.executable, str(CHILD), str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as child:
        assert child.stdin and child.stdout
        child.stdin.write("".join(json.dumps(asdict(one)) + "\n" for one in sent))
        child.stdin.flush()
        got: list[str] = []
        if answers is None:
            child.stdin.close()
        else:
            while len(got) < answers:
                got.append(child.stdout.readline().strip())
            child.kill()
        got += [line.strip() for line in child.stdout if line.endswith("\n")]
        return set(got)


def check(path: Path, tapped: dict[str, Event], answered: set[str]) -> None:
    with Store.open(path) as store:
        events = store.events()
    times = Counter(one.id for one in events)
    assert set(times.values()) <= {1}, "an event stands in the log twice"
    assert answered <= set(times), "an event that was answered is not in the log"
    assert set(times) <= set(tapped)
    assert all(one.body == tapped[one.id].body for one in events)
    cut = sum(one.body["count"] for one in events if one.kind == "piece cut")
    spoiled = sum(one.body["count"] for one in events if one.kind == "piece spoiled")
    good = fold_runs(events)[RUN].cut if events else {("A", False): 0}
    assert good == {("A", False): max(0, cut - spoiled)}
