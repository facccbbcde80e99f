"""The drawn scale of a run: fence, blade, stop and piece to proportion, as its operation draws it."""

from dataclasses import replace

from markupsafe import Markup

from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.stations import Shop
from stopwright.plan.canvas import Canvas
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.run_sheet import Run
from stopwright.plan.stations.cut_before import CutBefore
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.lying_drawing import draw_lying
from stopwright.web.drawings.svg import svg_of


def draw_run(run: Run, job: Job, shop: Shop, show: Show, flips: FlipStops | None = None) -> Markup:
    """The picture of one run as SVG; numbers come from the run alone, nothing in it is a caution or a promise.

    `flips` are the flip stops that stand on the fence besides the one in use.
    """
    canvas = Canvas(inches=shop.lengths == "in")
    OPERATIONS[run.work].picture(canvas, run, job, flips)
    return svg_of(canvas, show)


def draw_groups(
    run: Run, job: Job, shop: Shop, show: Show, flips: FlipStops | None, cut: CutBefore
) -> tuple[Markup, ...]:
    """The pictures of a run: how its stops stand, and each group of its pieces as it lies, with what is cut already.

    One picture where the sheet does not say how pieces lie.
    """
    lying = [(number, one) for row in run.pieces for number, one in enumerate(row.each) if one.down]
    if not lying:
        return (draw_run(run, job, shop, show, flips),)
    found = []
    for number, one in lying:
        found.append(draw_run(replace(run, pieces=(one,)), job, shop, show, flips))
        piece = cut.at(run, one, number)
        if piece:
            canvas = Canvas(inches=shop.lengths == "in")
            draw_lying(canvas, run, one, piece, number)
            found.append(svg_of(canvas, show))
    return tuple(dict.fromkeys(found))
