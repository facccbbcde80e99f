"""The pictures of a sheet's runs: for each group of pieces how the tool stands, and the piece as it lies."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from stopwright.model.job import Job
from stopwright.model.stations import Shop
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.pictures.lying import draw_lying
from stopwright.plan.run_sheet import Run
from stopwright.plan.stations.cut_before import CutBefore
from stopwright.plan.stations.flip_stops_up import FlipStops


def pictures_of(runs: Sequence[Run], job: Job, shop: Shop) -> Mapping[int, tuple[Canvas, ...]]:
    """By the number of the run its drawing boards: of runs that make a cut a job asks for, or glue a panel."""
    cut_before = CutBefore(runs, job)
    told = (run for run in runs if OPERATIONS[run.work].asked or run.gluing)
    return {run.number: boards_of(run, job, shop, cut_before) for run in told}


def boards_of(
    run: Run, job: Job, shop: Shop, cut_before: CutBefore, flips: FlipStops | None = None
) -> tuple[Canvas, ...]:
    """How the stops of a run stand, and each group of its pieces as it lies, with what is cut already; no board twice.

    One board where the sheet does not say how pieces lie. `flips` are the flip stops that stand on the fence besides
    the one in use.
    """
    inches = shop.lengths == "in"
    found: list[Canvas] = []
    for number, one in [(number, one) for row in run.pieces for number, one in enumerate(row.each) if one.down]:
        at_the_tool, laid = Canvas(inches=inches), Canvas(inches=inches)
        OPERATIONS[run.work].picture(at_the_tool, replace(run, pieces=(one,)), job, flips)
        piece = cut_before.at(run, one, number)
        if piece:
            draw_lying(laid, run, one, piece, number)
        known = [board.drawn for board in found]
        found += [board for board in (at_the_tool, laid) if board.drawn and board.drawn not in known]
    if not found:
        found.append(Canvas(inches=inches))
        OPERATIONS[run.work].picture(found[0], run, job, flips)
    return tuple(found)
