"""Whole jobs of our own against run sheets worked by hand (the arithmetic stands in the expected files)."""

import tomllib
from pathlib import Path

import pytest

from stopwright.actions.jobs.file_planning import plan_file
from tests.expected_sheet import plain_runs

FIXTURES = Path(__file__).parent.parent / "fixtures"


@pytest.mark.parametrize("expected", sorted(FIXTURES.glob("*/expected.toml")), ids=lambda path: path.parent.name)
def test_the_run_sheet_is_the_one_worked_by_hand(expected: Path) -> None:
    wanted = tomllib.loads(expected.read_text())
    planned = plan_file(expected.parent)
    assert plain_runs(planned) == wanted["run"]
    assert planned.sheet.settings.made == wanted["settings"]
    assert planned.sheet.settings.proven
    wood = planned.sheet.wood
    assert (wood.boards_used, wood.proven) == (wanted["boards"], True)
    assert planned.sheet.faults == ()
