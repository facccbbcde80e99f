"""n pieces of one length from one board: n lengths, n − 1 kerfs (trade arithmetic, K)."""

from stopwright.plan.cutting import lay_out_boards


def boards_for(pieces, trim=0):
    # tenths of a millimetre: 300 mm pieces, kerf 3.2 mm, board 2440 mm
    return lay_out_boards([(3000, pieces)], [(24_400, None)], kerf=32, trim=trim).boards_used


def test_eight_of_300_with_kerf_3_2_come_from_2440():
    # K: 8 × 300 + 7 × 3.2 = 2422.4 <= 2440
    assert boards_for(8) == 1


def test_nine_of_300_with_kerf_3_2_do_not_come_from_2440():
    # K: 9 × 300 + 8 × 3.2 = 2725.6 > 2440
    assert boards_for(9) == 2


def test_a_trim_of_8_8_at_each_end_is_the_most_that_eight_bear():
    # K: 2440 − 2422.4 = 17.6 = 2 × 8.8
    assert boards_for(8, trim=88) == 1
    assert boards_for(8, trim=89) == 2


def test_in_nanometres_the_same():
    # K: the same numbers × 100 000
    plan = lay_out_boards([(300_000_000, 8)], [(2_440_000_000, None)], kerf=3_200_000, trim=0)
    assert plan.boards_used == 1
    # 2440 − 8 × (300 + 3.2) = 14.4 mm: the eighth kerf parts it from the rest
    assert [layout.offcut for layout in plan.layouts] == [14_400_000]
