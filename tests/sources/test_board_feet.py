"""Published board-foot figures: T · W · L in inches / 144 (S)."""

import pytest

from stopwright.lengths import INCH
from stopwright.plan.timber.buying import board_feet


@pytest.mark.parametrize(
    ("thickness", "width", "length", "published"),
    [(INCH, 9, 96, 6), (3 * INCH // 2, 9, 96, 9), (2 * INCH, 6, 60, 5)],
)
def test_board_feet_as_published(thickness, width, length, published):
    assert board_feet(length * INCH, width * INCH, thickness) == published
