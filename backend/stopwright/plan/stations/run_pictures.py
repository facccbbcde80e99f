"""The pictures of a sheet's cuts: for each run how its tool stands, and the first of its pieces as it lies."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from stopwright.model.job import Job
from stopwright.model.stations import Shop
from stopwright.plan.canvas import Canvas
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.run_sheet import Run
from stopwright.plan.stations.cut_before import CutBefore
from stopwright.plan.stations.lying_drawing import draw_lying


def pictures_of(runs: Sequence[Run], job: Job, shop: Shop) -> Mapping[int, tuple[Canvas, ...]]:
    """By the number of the run its drawing boards; runs that cut nothing into pieces have none."""
    cut_before = CutBefore(runs, job)
    inches = shop.lengths == "in"
    found = {}
    for run in runs:
        lying = next((one for one in run.pieces if one.down), None)
        if lying is None:
            continue
        section = Canvas(inches=inches)
        OPERATIONS[run.work].picture(section, replace(run, pieces=(lying,)), job, None)
        boards = [section] if section.drawn else []
        piece = cut_before.at(run, lying)
        if piece:
            laid = Canvas(inches=inches)
            draw_lying(laid, run, lying, piece)
            boards.append(laid)
        found[run.number] = tuple(boards)
    return found
