"""Whole jobs of our own against run sheets worked by hand (the arithmetic stands in the expected files)."""

import tomllib
from pathlib import Path

import pytest

from stopwright.actions.jobs.file_planning import plan_file
from stopwright.lengths import MM
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


def test_a_block_that_rebates_and_housings_take_in_turn_is_made_once() -> None:
    sheet = plan_file(FIXTURES / "seed-chests").sheet
    with_it = [run for run in sheet.runs if run.spacer and run.spacer.thickness == 20 * MM]
    assert [run.work for run in with_it] == ["rebate", "groove", "groove"]
    assert [(block.thickness // MM, block.count) for block in sheet.spacers] == [(20, 1), (10, 1)]
