"""How machines stand beside the sheet: the cases that the phone's script is held to, in any order of arrival."""

import json
import sys
from functools import partial
from itertools import permutations
from pathlib import Path

import pytest
from tests.conftest import ROOT
from tests.store.taps import tap
from tests.store.test_kill import killed_after

from stopwright.intake.shop_file import default_shop
from stopwright.store.events import Event
from stopwright.store.floor import FLOOR_KINDS, FloorSoFar
from stopwright.store.log import Store
from stopwright.store.machine_fold import MachinesSoFar, fold_machines
from stopwright.store.pace import PaceSoFar
from stopwright.web.phone.run_state import machines_json

CASES = json.loads((ROOT / "tests" / "scripts" / "machines.json").read_text())


def events_of(case) -> list[Event]:
    taps = []
    for place, (kind, body) in enumerate(case["taps"]):
        if kind == "undo":
            body = {"event": f"tap-0000{body['event'].removeprefix('tap-')}"}
        taps.append(tap(kind, id_=f"tap-0000{place}", seq=place + 1, **body))
    return taps


@pytest.mark.parametrize("case", CASES, ids=[case["says"] for case in CASES])
def test_the_machines_stand_as_the_phone_has_it_whatever_comes_first(case) -> None:
    taps = events_of(case)
    for order in permutations(taps) if len(taps) < 5 else [taps, taps[::-1]]:
        assert machines_json(fold_machines(order)) == case["machines"]
    so_far = MachinesSoFar()
    for one in taps:
        so_far.add([one])
    assert machines_json(so_far.now()) == case["machines"]


TAPS = [
    tap("stop set", at=0, seq=1),
    tap("run done", at=60, seq=2),
    tap("machine made ready", at=400, seq=3),
    tap("stop set", at=500, seq=4, station="spindle", stops=[["cutter", "cove"], ["spindle height", 4]]),
    tap("machine used", at=600, seq=5, machine="saw side", ready="saw", moved=[["spindle", "cutter"]], stands=[]),
    tap("stop set", at=700, seq=6, stops=[["rip fence", 60]]),
]


@pytest.mark.parametrize("half", range(len(TAPS)))
@pytest.mark.parametrize("make", [FloorSoFar, partial(PaceSoFar, default_shop())], ids=["floor", "pace"])
def test_what_is_kept_in_the_middle_goes_on_to_the_same(make, half) -> None:
    whole, first = make(), make()
    taps = [one for one in TAPS if one.kind in FLOOR_KINDS or make is not FloorSoFar]
    whole.add(taps)
    first.add(taps[:half])
    on = make(kept=json.loads(json.dumps(first.kept())))
    on.add(taps[half:])
    assert on.now() == whole.now()


def test_the_floor_is_what_was_told_last() -> None:
    floor = FloorSoFar()
    floor.add(one for one in TAPS if one.kind in FLOOR_KINDS)
    told = floor.now()
    assert told.stops == {("saw", "rip fence"): 60, ("spindle", "spindle height"): 4}
    assert told.of_run == {"saw": (("rip fence", 60),), "spindle": (("cutter", "cove"), ("spindle height", 4))}
    assert (told.set_at, told.ready) == ({"saw": 5, "spindle": 3}, {"saw side": ("saw", 4)})


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL there")
def test_what_was_moved_and_answered_before_a_kill_is_known_after_it(tmp_path: Path) -> None:
    taps = [
        tap("stop set", id_="tap-00001"),
        tap("machine used", id_="tap-00002", at=1, machine="saw side", ready="spindle"),
        *(tap("piece cut", at=2 + n) for n in range(20)),
    ]
    path = tmp_path / "shop.db"
    answered = killed_after(path, taps, 12)
    killed_after(path, [one for one in taps if one.id not in answered], None)  # sent again after the restart
    with Store.open(path) as store:
        machines = fold_machines(store.events("1"))
    assert machines.ready == {"saw side": "spindle"}
    assert set(machines.moved) == {("saw", "rip fence")} and machines.noted is not None
