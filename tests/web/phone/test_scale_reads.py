"""What scales read where stops stand: the bench folds as the phone does, by the same cases."""

import json
from pathlib import Path
from typing import Any

import pytest

from stopwright.plan.run_sheet import Move, Run, Stop
from stopwright.store.run_fold import RunState
from stopwright.web.phone.scale_reads import scale_reads

VECTORS = json.loads((Path(__file__).parents[2] / "scripts" / "scale-reads.json").read_text("utf8"))


def run_of(row: dict[str, Any]) -> Run:
    stops = (Stop(axis, "length", at, reads, Move(move)) for axis, at, reads, move in row["stops"])
    return Run(row["number"], row["station"], "mortise", tuple(stops), (), lot=str(row["number"]))


@pytest.mark.parametrize("case", VECTORS["cases"], ids=lambda case: case["why"])
def test_a_correction_is_read_until_the_stop_is_set_again(case: dict[str, Any]) -> None:
    runs = [run_of(row) for row in VECTORS["runs"]]
    states = {run.id: RunState(readings=case["readings"].get(str(run.number), {})) for run in runs}
    for place, run in enumerate(runs):
        found = scale_reads(run, runs[:place], states)
        wanted = case["wanted"].get(str(run.number), {})
        assert {axis: [one.reading, one.since] for axis, one in found.items()} == wanted, run.number
