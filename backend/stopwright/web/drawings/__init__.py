"""The drawn scale of a run: fence, blade, stop and piece to proportion, one picture a kind of station."""

from markupsafe import Markup

from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.stations import Shop, Work
from stopwright.plan.run_sheet import Run
from stopwright.web.drawings.canvas import Canvas
from stopwright.web.drawings.mortiser import draw_mortise
from stopwright.web.drawings.planer import draw_jointing, draw_moulding, draw_planing
from stopwright.web.drawings.saw import draw_crosscut, draw_rip, draw_squaring
from stopwright.web.flip_stops_up import FlipStops


def draw_run(run: Run, job: Job, shop: Shop, show: Show, flips: FlipStops | None = None) -> Markup:
    """The picture of one run as SVG; numbers come from the run alone, nothing in it is a caution or a promise.

    `flips` are the flip stops that stand on the fence besides the one in use.
    """
    canvas = Canvas(show, inches=shop.lengths == "in")
    match run.work:
        case Work.RIP:
            draw_rip(canvas, run)
        case Work.CROSSCUT | Work.MITRE:
            draw_crosscut(canvas, run, job, flips)
        case Work.SQUARE:
            draw_squaring(canvas)
        case Work.PLANE:
            draw_planing(canvas, run)
        case Work.MORTISE:
            draw_mortise(canvas, run, job)
        case Work.JOINT:
            draw_jointing(canvas)
        case Work.MOULD:
            draw_moulding(canvas)
    return canvas.svg()
