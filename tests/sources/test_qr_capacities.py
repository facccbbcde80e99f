"""Published figures of QR codes.

Source: ISO/IEC 18004, tables of capacities and of error correction, from a secondary copy (C).
"""

import pytest

from stopwright.errors import StopwrightError
from stopwright.paper.qr import QUIET, qr_code

# version, alphanumeric characters at error correction M, at Q (C)
CAPACITIES = [(1, 20, 16), (2, 38, 29), (3, 61, 47), (4, 90, 67)]


@pytest.mark.parametrize(("version", "at_m", "at_q"), CAPACITIES)
def test_a_version_holds_as_many_characters_as_the_standard_says(version: int, at_m: int, at_q: int) -> None:
    side = 21 + 4 * (version - 1)  # (C)
    assert (qr_code("A" * at_q).side, qr_code("A" * at_q).correction) == (side, "Q")
    assert (qr_code("A" * (at_q + 1)).side, qr_code("A" * (at_q + 1)).correction) == (side, "M")
    assert (qr_code("A" * at_m).side, qr_code("A" * at_m).correction) == (side, "M")
    if at_m < 90:
        assert qr_code("A" * (at_m + 1)).side == side + 4


def test_what_is_longer_than_version_4_holds_is_refused() -> None:
    with pytest.raises(StopwrightError, match="91 characters long"):
        qr_code("A" * 91)


def test_the_quiet_zone_is_four_modules_wide() -> None:
    assert QUIET == 4  # (C)
    # 32 characters at M: version 2, 25 modules, 33 with the quiet zone; at 0.6 mm 19.8, about 20 mm (K)
    code = qr_code("HTTP://SAW-SHOP.LOCAL/P/00C006JX")
    assert len("HTTP://SAW-SHOP.LOCAL/P/00C006JX") == 32
    assert (code.correction, code.whole) == ("M", 33)
    assert round(code.whole * 0.6, 1) == 19.8


@pytest.mark.parametrize("character", "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")
def test_the_45_characters_of_the_alphanumeric_set_are_taken(character: str) -> None:
    assert qr_code(character).side == 21  # (C)


@pytest.mark.parametrize("character", ["a", "_", "?", "#", "ß", ","])
def test_what_is_not_in_the_set_is_refused(character: str) -> None:
    with pytest.raises(StopwrightError, match="cannot hold"):
        qr_code(character)
