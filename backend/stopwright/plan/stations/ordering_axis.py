"""A stop of the shop as the order of runs sees it."""

from stopwright.model.stations import Axis
from stopwright.plan import ordering

LEAST_COST = 1e-6
"""What a setting costs at least, in minutes: even where the shop says 0, fewer settings are better."""


def ordering_axis(axis: Axis) -> ordering.Axis:
    """A stop of the shop as the sequence sees it: what it holds, what a setting costs, how near two may stand."""
    clearance = axis.clearance if axis.holds > 1 else 0
    return ordering.Axis(axis.name, axis.holds, max(axis.minutes, LEAST_COST), clearance)
