"""The drawn scale of a run: fence, blade, stop and piece to proportion, as its operation draws it."""

from markupsafe import Markup

from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.stations import Shop
from stopwright.plan.pictures.of_runs import boards_of
from stopwright.plan.run_sheet import Run
from stopwright.plan.stations.cut_before import CutBefore
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.web.drawings.svg import svg_of


def draw_groups(
    run: Run, job: Job, shop: Shop, show: Show, flips: FlipStops | None, cut: CutBefore
) -> tuple[Markup, ...]:
    """The pictures of a run as SVG; numbers come from the run alone, nothing in them is a caution or a promise."""
    return tuple(svg_of(board, show) for board in boards_of(run, job, shop, cut, flips))
