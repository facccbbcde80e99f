"""Fewest sheets whatever the layout."""

from stopwright.plan.cutting.sheet_bounds import least_sheets
from stopwright.plan.cutting.sheet_fill import Cutting, Kind


def cutting(types, demand, kinds=((10, 10, None),)):
    return Cutting(
        types=tuple(types),
        demand=tuple(demand),
        kinds=tuple(Kind(long, wide, n, False, ()) for long, wide, n in kinds),
        kerf=0,
        stages=3,
        exact=False,
        flips=(False, True),
    )


def test_pieces_over_half_the_sheet_both_ways_need_a_sheet_each():
    # 6 × 6 of 10 × 10: area says 3 × 36 / 100, two sheets; no two of them fit one sheet.
    assert least_sheets(cutting([(6, 6, False)], [3])) == 3


def test_the_rest_beside_a_large_piece_counts_only_as_far_as_it_is_of_use():
    # 10 × 6 leaves a strip of 4; strips of 5 do not fit it, though the area would: 2 × 60 + 2 × 50 = 220.
    assert least_sheets(cutting([(10, 6, False), (10, 5, False)], [2, 2])) == 3


def test_a_piece_that_turns_counts_as_it_lies_best():
    assert least_sheets(cutting([(10, 5, False)], [2])) == 1
    assert least_sheets(cutting([(10, 5, True)], [2])) == 1


def test_a_scarce_large_sheet_counts_only_as_often_as_it_is_there():
    # Area 400: one sheet of 200 and two of 100.
    kinds = [(20, 10, 1), (10, 10, None)]
    assert least_sheets(cutting([(10, 10, False)], [4], kinds)) == 3


def test_nothing_needs_no_sheet():
    assert least_sheets(cutting([(10, 5, False)], [0])) == 0
