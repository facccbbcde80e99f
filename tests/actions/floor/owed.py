"""How many pieces each run still owes, by the plan and by what was cut and spoiled: a second reckoning for tests."""

from collections import Counter
from collections.abc import Mapping

from stopwright.plan.run_sheet import Run, RunSheet
from stopwright.store.run_fold import PieceKey, RunState


def still_to_work(sheet: RunSheet, runs: Mapping[str, RunState]) -> dict[str, dict[PieceKey, int]]:
    """For each run by its id: how many of each line are still to be worked there, 0 left out.

    A run that counts boards or strips owes what the plan says: a piece that goes wrong later is none of them.

    A run owes what the plan says, less its good pieces, and one more for every piece of that mark that went wrong
    in a later run: the remake passes all stations again. A piece that went wrong in this very run is not among its
    good ones and needs nothing added. A piece that a run names twice, for a slot at each end, is worked twice.
    More than was owed is not counted against anything. A mirrored piece that went wrong is owed by earlier runs
    under its plain mark where their work does not tell hands apart.
    """
    apart = {(run.work, line.mark) for run in sheet.runs for line in run.pieces if line.mirrored}
    spoiled_later: Counter[PieceKey] = Counter()
    owed: dict[str, dict[PieceKey, int]] = {}
    for run in sorted(sheet.runs, key=lambda run: run.number, reverse=True):
        state = runs.get(run.id, RunState())
        times = Counter((pieces.mark, pieces.mirrored) for pieces in run.pieces)
        left = {}
        for piece, count in _planned(run).items():
            mark, mirrored = piece
            again = spoiled_later[piece]
            if (run.work, mark) not in apart:
                again += spoiled_later[mark, not mirrored]
            again = 0 if run.lines else again
            left[piece] = count + times[piece] * again - state.cut.get(piece, 0)
        owed[run.id] = {piece: count for piece, count in left.items() if count > 0}
        spoiled_later.update(state.spoiled)
    return {run.id: owed[run.id] for run in sheet.runs}


def _planned(run: Run) -> Counter[PieceKey]:
    if run.lines:
        return Counter({(line.lot, False): line.count for line in run.lines})
    planned: Counter[PieceKey] = Counter()
    for pieces in run.pieces:
        planned[pieces.mark, pieces.mirrored] += pieces.count
    return planned
