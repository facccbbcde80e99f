"""Equal gaps between slats, and wide slots divided."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.builders import mm

from stopwright.errors import StopwrightError
from stopwright.plan.joinery.spacing import divide_slot, space_evenly


@given(st.integers(100, 3000), st.integers(1, 30), st.integers(5, 60), st.sampled_from([1, mm(0.5), mm(1)]))
def test_gaps_are_equal_and_the_last_takes_what_rounding_leaves(
    opening: int, count: int, width: int, step: int
) -> None:
    if count * width > opening:
        with pytest.raises(StopwrightError, match="do not fit"):
            space_evenly(mm(opening), count, mm(width), step)
        return
    found = space_evenly(mm(opening), count, mm(width), step)
    assert count * mm(width) + count * found.gap + found.last_gap == mm(opening)
    assert found.gap >= 0
    assert found.last_gap >= 0
    assert found.gap % step == 0
    assert {b - a for a, b in zip(found.centres, found.centres[1:], strict=False)} <= {found.pitch}
    assert found.centres[0] == found.gap + mm(width) // 2
    assert abs(found.last_gap - found.gap) <= (count + 1) * step


def test_one_slat_stands_in_the_middle() -> None:
    assert space_evenly(mm(500), 1, mm(40)).centres == (mm(250),)


@given(st.integers(20, 500), st.integers(4, 20))
def test_divided_slots_fill_the_width_and_keep_the_limit(usable: int, bit: int) -> None:
    found = divide_slot(0, mm(usable), mm(bit), 6 * mm(bit))
    if found:
        assert mm(bit) <= found.length <= 6 * mm(bit)
        assert 0 <= mm(usable) - (found.count * found.length + (found.count - 1) * found.between) < found.count


def test_a_slot_too_narrow_to_divide_stays_one() -> None:
    assert divide_slot(0, mm(30), mm(10), mm(20)) is None
