"""Inches against published tables: 64ths and the length of the inch itself.

ICS Building Trades Pocketbook, "Decimal equivalents of 64ths" (S). 1 in = 25.4 mm exactly: NIST SP 811,
appendix B.8 (S in effect, seen in a copy: C). Identities are calculated (K).
"""

import pytest

from stopwright.lengths import INCH, MM, Show, format_exact, format_length, nearest, parse_length


def test_an_inch_is_25_4_millimetres() -> None:  # NIST SP 811, appendix B.8 (C)
    assert parse_length("1 in") == parse_length("25.4 mm") == INCH


@pytest.mark.parametrize(("decimal", "sixty_fourths"), [(".1330", 9), (".3670", 23), (".8979", 57)])
def test_a_decimal_falls_to_the_64th_of_the_pocketbook(decimal: str, sixty_fourths: int) -> None:  # ICS (S)
    assert nearest(parse_length(decimal, "in"), INCH // 64) == sixty_fourths * (INCH // 64)
    assert format_length(parse_length(decimal, "in"), Show.SIXTY_FOURTHS).startswith(f"{sixty_fourths}/64 in (")


@pytest.mark.parametrize("sixty_fourths", range(64))
def test_the_step_to_the_next_64th_lies_at_odd_128ths(sixty_fourths: int) -> None:  # K
    below = (2 * sixty_fourths + 1) * INCH // 128  # (2k + 1)/128 in is no whole number of nm: the last one below it
    assert nearest(below, INCH // 64) == sixty_fourths * INCH // 64
    assert nearest(below + 1, INCH // 64) == (sixty_fourths + 1) * INCH // 64


def test_thirty_five_64ths() -> None:  # K: 35/64 = .546875 in = 13.890625 mm; at least one printed chart is wrong
    assert parse_length("35/64 in") == parse_length(".546875 in") == parse_length("13.890625 mm") == 13_890_625
    assert format_exact(13_890_625, "mm") == "13.890625"


def test_64ths_thousandths_and_micrometres_are_whole_nanometres() -> None:  # K
    assert parse_length("1/64 in") == 396_875
    assert parse_length("0.001 in") == 25_400
    assert parse_length("0.001 mm") == MM // 1000 == 1000
