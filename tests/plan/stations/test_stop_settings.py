"""Where a limit lies: just reached is in reach, just allowed is allowed, just as far apart is not nearly equal."""

import pytest
from tests.builders import a_part, a_saw, a_shop, mm

from stopwright.lengths import Nm
from stopwright.model.stations import Axis
from stopwright.plan.run_sheet import Move
from stopwright.plan.stations.stop_settings import axis_remarks, set_stop

FENCE = Axis("rip fence", "width", step=mm(0.5), low=mm(20), high=mm(600))


def remarks(axis: Axis, *widths: float, tolerance: float = 1) -> tuple[list[str], list[str]]:
    """What is said of parts of these widths in mm: faults, warnings."""
    targets: dict[Nm, list] = {
        mm(wide): [a_part(chr(65 + place), 1, (700, wide, 20), tolerance=mm(tolerance))]
        for place, wide in enumerate(widths)
    }
    faults, warnings = axis_remarks(axis, a_saw(), targets, a_shop())
    return [one.text for one in faults], [one.text for one in warnings]


@pytest.mark.parametrize(("wide", "is_out"), [(19.5, True), (20, False), (600, False), (600.5, True)])
def test_the_ends_of_an_axis_are_within_its_reach_and_nothing_beyond(wide: float, is_out: bool) -> None:
    assert bool(remarks(FENCE, wide)[0]) == is_out


@pytest.mark.parametrize(("tolerance", "is_coarse"), [(0.19, True), (0.2, False), (0.21, False)])
def test_a_mark_that_is_off_by_just_what_is_allowed_is_not_too_coarse(tolerance: float, is_coarse: bool) -> None:
    warnings = remarks(FENCE, 60.2, tolerance=tolerance)[1]
    assert [text for text in warnings if "nearest mark" in text] == warnings and bool(warnings) == is_coarse


@pytest.mark.parametrize(("tolerance", "off"), [(0.19, 0), (0.2, -0.2), (0.21, -0.2)])
def test_a_stop_stands_at_a_mark_that_is_off_by_just_what_is_allowed(tolerance: float, off: float) -> None:
    assert set_stop(FENCE, mm(60.2), Move.SET, mm(tolerance)).off == mm(off)


@pytest.mark.parametrize(("apart", "is_asked"), [(0.9, True), (1.0, False), (1.1, False)])
def test_sizes_are_asked_about_below_twice_the_step_and_not_from_there_on(apart: float, is_asked: bool) -> None:
    asked = [text for text in remarks(FENCE, 60, 60 + apart)[1] if "Meant to be the same?" in text]
    assert bool(asked) == is_asked
