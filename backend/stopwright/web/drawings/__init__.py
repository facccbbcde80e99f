"""The drawn scale of a run: fence, blade, stop and piece to proportion, as its operation draws it."""

from markupsafe import Markup

from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.stations import Shop
from stopwright.plan.canvas import Canvas
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.run_sheet import Run
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.web.drawings.svg import svg_of


def draw_run(run: Run, job: Job, shop: Shop, show: Show, flips: FlipStops | None = None) -> Markup:
    """The picture of one run as SVG; numbers come from the run alone, nothing in it is a caution or a promise.

    `flips` are the flip stops that stand on the fence besides the one in use.
    """
    canvas = Canvas(inches=shop.lengths == "in")
    OPERATIONS[run.work].picture(canvas, run, job, flips)
    return svg_of(canvas, show)
