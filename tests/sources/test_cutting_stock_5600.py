"""A published worked example: rolls of 5600 into 13 widths.

Encyclopaedia article "Cutting stock problem" (C): 73 rolls, 0.401 % waste, at least 10 patterns.
"""

from tests.plan.cutting.board_checker import faults

from stopwright.plan.cutting import lay_out_boards

WIDTHS = [
    (1380, 22),
    (1520, 25),
    (1560, 12),
    (1710, 14),
    (1820, 18),
    (1880, 18),
    (1930, 20),
    (2000, 10),
    (2050, 12),
    (2100, 14),
    (2140, 16),
    (2150, 18),
    (2200, 20),
]


def test_73_rolls_proven_least_cut_in_10_ways():
    plan = lay_out_boards(WIDTHS, [(5600, None)], kerf=0, trim=0)
    assert (plan.boards_used, plan.least_possible, plan.proven) == (73, 73, True)
    assert plan.patterns == 10
    assert faults(plan, WIDTHS, [(5600, None)], 0, 0) == []


def test_the_waste_is_the_published_one():
    plan = lay_out_boards(WIDTHS, [(5600, None)], kerf=0, trim=0)
    waste = sum(layout.offcut * layout.times for layout in plan.layouts)
    # 73 × 5600 − 407 160 = 1640; 1640 / 408 800 = 0.401 %
    assert waste == 1640
    assert round(100 * waste / (73 * 5600), 3) == 0.401
