"""Planing: quarter scale from a guild's Q&A page (S), the passes calculated from it (K)."""

from tests.builders import mm

from stopwright.lengths import INCH, MM
from stopwright.plan.stations.thickness import planing_heights, rough_from_quarter_scale


def test_four_quarter_to_thirteen_sixteenths_is_three_passes() -> None:
    # 25.4 − 20.6375 = 4.7625 = 3 × 1.5875 (K)
    heights = planing_heights([(INCH, 13 * INCH // 16)], mm(1.6))
    assert heights == (mm(25.4 - 1.5875), mm(25.4 - 2 * 1.5875), mm(20.6375))


def test_four_quarter_to_three_quarters_is_four_passes() -> None:
    # 25.4 − 19.05 = 6.35 = 4 × 1.5875 (K)
    assert len(planing_heights([(INCH, 3 * INCH // 4)], mm(1.6))) == 4


def test_the_quarter_scale_planes_to_what_the_guild_says() -> None:
    # 4/4 → 13/16, 5/4 → 1 1/16, 6/4 → 1 5/16, 8/4 → 1 3/4 in (S)
    planes_to = {4: 13, 5: 17, 6: 21, 8: 28}
    for quarters, sixteenths in planes_to.items():
        assert rough_from_quarter_scale(sixteenths * INCH // 16) == quarters * INCH // 4
        assert rough_from_quarter_scale(sixteenths * INCH // 16 + MM // 100) > quarters * INCH // 4
