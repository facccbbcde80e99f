"""Job sequencing with tool switching: instances of Catanzaro, Gouveia & Labbé, EJOR 244(3), 2015, by name.

Certainty: instances C (a public copy of their files); values K (proven by an exact dynamic program). Settings are
the literature's switches plus the places of the axis.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from stopwright.plan.effort import Steps
from stopwright.plan.ordering import Axis, order_runs

FILE = Path(__file__).parents[3] / "shared" / "data" / "ssp.json"
QUICK = ["catanzaro-A1-4", "catanzaro-A2-10", "catanzaro-A3-9", "catanzaro-A4-3", "catanzaro-B2-9", "catanzaro-B3-5"]


def instance(name: str) -> dict[str, Any]:
    if not FILE.exists():
        pytest.skip("the instances are not here: shared/data/ssp.json beside the project")
    found: dict[str, Any] = next(row for row in json.loads(FILE.read_text()) if row["name"] == name)
    return found


@pytest.mark.parametrize("name", QUICK)
def test_a_small_instance_is_proven_at_its_known_value(name: str) -> None:
    row = instance(name)
    found = order_runs([{"bit": set(job)} for job in row["jobs"]], [Axis("bit", row["capacity"])], Steps(50_000))
    assert (found.settings, found.least_possible, found.proven) == (row["best_known_settings"],) * 2 + (True,)


@pytest.mark.parametrize("name", ["catanzaro-C1-10", "catanzaro-D4-4"])
def test_a_large_instance_lies_between_its_bound_and_a_twentieth_above_the_best_known(name: str) -> None:
    row = instance(name)
    found = order_runs([{"bit": set(job)} for job in row["jobs"]], [Axis("bit", row["capacity"])], Steps(1500))
    assert found.least_possible <= row["best_known_settings"]
    assert found.settings <= row["best_known_settings"] * 1.05
    assert not found.proven
