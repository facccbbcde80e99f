"""Two targets at one mark of the scale: the stop need not be moved, unless a tolerance forbids it."""

import pytest

from stopwright.lengths import MM
from stopwright.model.stations import Axis, Station
from stopwright.plan.run_sheet import Move, Run, Stop
from stopwright.plan.stations.stop_settings import set_stop
from stopwright.web.phone.same_mark import same_mark

FENCE = Axis("rip fence", "width", step=MM // 2)
SAW = Station("saw", ("rip",), (FENCE,))


def run_at(number: int, target: float, tolerance: float | None = 0.3) -> Run:
    allowed = None if tolerance is None else round(tolerance * MM)
    return Run(number, "saw", "rip", (set_stop(FENCE, round(target * MM), Move.SET, allowed),), ())


def stop_of(run: Run) -> Stop:
    return run.stops[0]


@pytest.mark.parametrize(
    ("first", "second", "tolerance", "found"),
    [
        (44.9, 45.1, 0.3, 1),  # both at 45: 0.1 off each
        (44.9, 45.1, 0.1, 1),  # just what is allowed
        (44.9, 45.1, 0.05, None),  # 0.1 off is more than is allowed: it is set by a trial piece
        (44.9, 45.4, 0.3, None),  # 45 and 45.5
        (45.0, 45.0, 0.3, None),  # the same target is no second setting that this is about
    ],
)
def test_the_same_mark_is_said_unless_a_tolerance_forbids_it(first, second, tolerance, found) -> None:
    before, now = run_at(1, first, tolerance), run_at(2, second, tolerance)
    assert same_mark(stop_of(now), SAW, [before]) == found


def test_a_stop_moved_in_between_is_set_again() -> None:
    assert same_mark(stop_of(run_at(3, 45.1)), SAW, [run_at(1, 44.9), run_at(2, 60)]) is None
