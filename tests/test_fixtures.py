"""Whole jobs of our own against run sheets worked by hand (the arithmetic stands in the expected files)."""

import tomllib
from pathlib import Path

import pytest

from stopwright.actions.planning import plan_file
from stopwright.plan.run_sheet import Run
from stopwright.plan.run_sheet_json import position_text

FIXTURES = Path(__file__).parent.parent / "fixtures"


@pytest.mark.parametrize("expected", sorted(FIXTURES.glob("*/expected.toml")), ids=lambda path: path.parent.name)
def test_the_run_sheet_is_the_one_worked_by_hand(expected: Path) -> None:
    wanted = tomllib.loads(expected.read_text())
    planned = plan_file(expected.parent)

    def plain(run: Run) -> dict[str, object]:
        pieces: dict[str, int] = {}
        for one in run.pieces:
            pieces[one.mark] = pieces.get(one.mark, 0) + one.count
        stops = {stop.axis: position_text(stop.target, planned.shop.show) for stop in run.stops}
        block = {"spacer": f"{run.spacer.count} x {run.spacer.thickness / 1e6:g} mm"} if run.spacer else {}
        return {"at": f"{run.station}, {run.work}", "pieces": pieces} | ({"stops": stops} if stops else {}) | block

    assert [plain(run) for run in planned.sheet.runs] == wanted["run"]
    assert planned.sheet.settings.made == wanted["settings"]
    assert planned.sheet.settings.proven
    assert planned.sheet.wood.boards_used == wanted["boards"]
