"""The pictures of a sheet's runs: for each group of pieces how the tool stands, and the piece as it lies."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from stopwright.model.job import Job
from stopwright.model.stations import Shop
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.pictures.lying import draw_lying, draw_whole
from stopwright.plan.run_sheet import Run
from stopwright.plan.stations.cut_before import CutBefore
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.true_sides import Whole


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
    return tuple(found) or _boards_of_wholes(run, job, inches, cut_before, flips)


def _boards_of_wholes(
    run: Run, job: Job, inches: bool, cut_before: CutBefore, flips: FlipStops | None
) -> tuple[Canvas, ...]:
    """The tool once for each width that is cut off there, and wood of each section with its true sides, where known."""
    found: list[Canvas] = []
    wholes = cut_before.true_sides.wholes(run)
    for whole in wholes or (None,):
        at_the_tool, laid = Canvas(inches=inches), Canvas(inches=inches)
        own = tuple(row for row in run.pieces if whole and row.mark in whole.marks)
        OPERATIONS[run.work].picture(at_the_tool, replace(run, pieces=own or run.pieces), job, flips)
        if whole:
            draw_whole(laid, run, whole, cut_before.while_long(run, whole))
            if not laid.drawn:
                _say(at_the_tool, whole)
        known = [board.drawn for board in found]
        found += [board for board in (at_the_tool, laid) if board.drawn and board.drawn not in known]
    return tuple(found) or (Canvas(inches=inches),)


def _say(canvas: Canvas, whole: Whole) -> None:
    """How wood lies in words below a picture, where too little is known to draw it."""
    said = ", ".join(whole.said)
    canvas.words(f"{whole.called}: {said}" if whole.called else said, 6, canvas.tall + 12, "start")
    canvas.tall += 20
    canvas.label += f"; {said}"
