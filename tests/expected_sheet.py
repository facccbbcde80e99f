"""A run sheet as plainly as the expected files of fixtures/ write it."""

from typing import Any

from stopwright.actions.jobs.planning import Planned
from stopwright.plan.run_sheet import Run
from stopwright.plan.run_sheet_json import position_text


def plain_runs(planned: Planned) -> list[dict[str, object]]:
    """Every run: where, how many boards or strips, which pieces are inside, at which stops, before which block."""

    def plain(run: Run) -> dict[str, object]:
        pieces: dict[str, int] = {}
        for one in run.pieces:
            pieces[one.mark] = pieces.get(one.mark, 0) + one.count
        stops = {stop.axis: position_text(stop.target, planned.shop.show) for stop in run.stops}
        block = {"spacer": f"{run.spacer.count} x {run.spacer.thickness / 1e6:g} mm"} if run.spacer else {}
        counts = {"counts": {line.lot: line.count for line in run.lines}} if run.lines else {}
        stood = {"stops": stops} if stops else {}
        at: dict[str, Any] = {"at": f"{run.station}, {run.work}", "pieces": pieces}
        return at | stood | block | counts

    return [plain(run) for run in planned.sheet.runs]
