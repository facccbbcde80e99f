"""Parts of one width and one length on a fence and some stops: generated instances with values from elsewhere.

Certainty: K (settings with one stop by a circuit model of a constraint solver, the others by a layered dynamic
program; the stops needed by a dynamic program over sets of widths).
"""

import json
from pathlib import Path
from typing import Any

import pytest

from stopwright.plan.effort import Steps
from stopwright.plan.ordering import Axis, order_runs
from stopwright.plan.ordering.flip_stops import StopsNeeded, bound_stops

FILE = Path(__file__).parents[3] / "shared" / "data" / "two_axis.json"
QUICK = [
    *("two-axis-furn-10-0-c2", "two-axis-furn-15-1-c1", "two-axis-furn-20-1-c2", "two-axis-furn-25-2-c3"),
    *("two-axis-uni-10-2-c3", "two-axis-uni-15-2-c2", "two-axis-uni-20-2-c1", "two-axis-dense-20-1-c2"),
    "two-axis-dense-60-2-c1",
]


def rows() -> list[dict[str, Any]]:
    if not FILE.exists():
        pytest.skip("the instances are not here: shared/data/two_axis.json beside the project")
    found: list[dict[str, Any]] = json.loads(FILE.read_text())
    return found


@pytest.mark.parametrize("name", QUICK)
def test_a_list_of_parts_is_proven_at_its_known_value(name: str) -> None:
    row = next(row for row in rows() if row["name"] == name)
    axes = [Axis("rip", row["rip_capacity"]), Axis("stop", row["crosscut_stops"])]
    found = order_runs([{"rip": {w}, "stop": {n}} for w, n in row["pairs"]], axes, Steps(50_000))
    assert (found.settings, found.least_possible, found.proven) == (row["best_known_settings"],) * 2 + (True,)


def test_the_stops_needed_so_that_nothing_is_set_twice_are_exact_on_every_list() -> None:
    for row in rows():
        needed = row["min_stops_all_once"]
        assert bound_stops([(w, n) for w, n in row["pairs"]]) == StopsNeeded(needed, needed), row["name"]
