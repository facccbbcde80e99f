"""Two jobs together under SIGKILL: the program ends anywhere in the middle, starts again, and no log lacks a share."""

import json
import subprocess
import sys
from pathlib import Path
from random import Random
from typing import Any

import pytest
from tests.actions.jobs.several import BOTH, DRAWERS, STOOLS, planned, tapped, worked_together
from tests.conftest import ROOT

from stopwright.actions.floor.worked_together import run_states
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.planning import Planned
from stopwright.store.log import Store

KILLS = 4


def whole_work(plan: Planned) -> list[dict[str, Any]]:
    """Every run set, cut one by one, and done."""
    taps = []
    for run in plan.sheet.runs:
        counted = [(line.lot, line.count) for line in run.lines] or [(one.mark, one.count) for one in run.pieces]
        cuts = [tapped(plan, run, "piece cut", mark=mark, count=1) for mark, count in counted for _ in range(count)]
        taps += [tapped(plan, run, "stop set"), *cuts, tapped(plan, run, "run done")]
    return taps


def answered(path: Path, taps: list[dict[str, Any]], killed_after: int | None) -> set[str]:
    """The ids that the program answered before it was killed after so many of them; None lets it end by itself."""
    command = [sys.executable, "-m", "tests.actions.jobs.kill_together", str(path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT) as child:
        assert child.stdin and child.stdout
        child.stdin.write("".join(json.dumps(one) + "\n" for one in taps))
        child.stdin.close()
        got = [child.stdout.readline().strip() for _ in range(killed_after or 0)]
        if killed_after is not None:
            child.kill()
        got += [line.strip() for line in child.stdout if line.endswith("\n")]
        return set(got)


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL there")
def test_killed_in_the_middle_every_share_is_there_once(tmp_path: Path) -> None:
    chance, path = Random(20260301), tmp_path / "shop.db"
    with Store.open(path) as store:
        plan = worked_together(store)
    taps = whole_work(plan)
    left = list(taps)
    for _ in range(KILLS):
        done = answered(path, left, chance.randint(1, len(left) // 3))
        left = [one for one in left if one["id"] not in done]
        with Store.open(path) as store:
            shares: dict[str, set[str]] = {}
            for event in store.events():
                shares.setdefault(event.body.get("tap", ""), set()).add(event.job)
        wanted = {one["id"]: {share["job"] for share in one["shares"]} for one in taps}
        assert {tap: jobs for tap, jobs in shares.items() if tap} == {tap: wanted[tap] for tap in shares if tap}
        assert done <= set(shares)
    assert answered(path, taps, None) == {one["id"] for one in taps}  # all once more: the answers may have been lost
    with Store.open(path) as store:
        states = run_states(store, BOTH, planned(store))
        for run in plan.sheet.runs:
            counted = [((line.lot, False), line.count) for line in run.lines]
            counted = counted or [((one.mark, one.mirrored), one.count) for one in run.pieces]
            assert states[run.id].done and states[run.id].cut == dict(counted)
        for job in (STOOLS, DRAWERS):
            state = job_state(store, job)
            assert all(state.run(run.id).done for run in planned(store, job).sheet.runs)
