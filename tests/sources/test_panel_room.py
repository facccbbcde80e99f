"""Frame and panel after Eq. 13-2 of the Wood Handbook FPL-GTR-190: the worked panel of the trade handbook (K)."""

from fractions import Fraction

import pytest

from stopwright.lengths import MM
from stopwright.model.moisture import Moisture
from stopwright.plan.timber.movement import movement
from stopwright.plan.timber.panel_room import PanelRoom

RED_OAK = Fraction(".00369")  # Table 13-5, tangential (S)
LIFE = Moisture(Fraction(8), Fraction(6), Fraction(13))


def a_panel(width: float, opening: int, groove: int, coefficient: Fraction = RED_OAK) -> PanelRoom:
    return PanelRoom(round(width * MM), opening * MM, 2 * groove * MM, coefficient, LIFE)


def test_a_red_oak_panel_over_300_in_grooves_of_10() -> None:
    # K: at most 313.2 by the rule with 1 left: (300 + 20 - 1) / 1.01845 = 313.22; at least 306 / .99262 = 308.28
    panel = a_panel(313, 300, 10)
    assert round(panel.most / MM, 2) == 313.22
    assert round(panel.least / MM, 2) == 308.28
    # K: 313 is 310.7 when driest, 5.3 held on each side; 318.8 when wettest, 1.2 left
    assert [round(one / MM, 1) for one in (panel.driest, panel.held, panel.wettest, panel.left)] == [
        310.7, 5.3, 318.8, 1.2
    ]  # fmt: skip
    assert panel.fits and not a_panel(313.5, 300, 10).fits and not a_panel(308, 300, 10).fits


@pytest.mark.parametrize(("groove", "widest"), [(10, 494), (8, 340)])
def test_the_widest_opening_that_a_groove_allows(groove: int, widest: int) -> None:
    # K: red oak flat, made at 8 %, 6 to 13 %: 494 for grooves of 10, 340 for 8; published is "deeper from 18 in" (S)
    found = a_panel(300, 300, groove).widest_opening
    assert found is not None and round(found / MM) == widest


@pytest.mark.parametrize("opening", [200, 300, 493, 494, 900])
def test_a_width_is_there_up_to_the_widest_opening_and_none_beyond(opening: int) -> None:
    panel = a_panel(300, opening, 10)
    assert panel.widest_opening is not None
    assert (panel.least <= panel.most) is (opening * MM <= panel.widest_opening)
    deeper = PanelRoom(panel.width, panel.opening, panel.grooves_needed, RED_OAK, LIFE)
    assert abs(deeper.most - deeper.least) <= 2
    at_most = PanelRoom(panel.most, panel.opening, panel.grooves, RED_OAK, LIFE)
    assert MM <= at_most.left <= MM + 2


def test_what_a_panel_grows_by_is_what_the_equation_says() -> None:
    panel = a_panel(313, 300, 10)
    assert panel.wettest - panel.width == movement(313 * MM, RED_OAK, Fraction(8), Fraction(13))
    assert panel.driest - panel.width == movement(313 * MM, RED_OAK, Fraction(8), Fraction(6))


def test_a_sheet_does_not_move_and_has_no_widest_opening() -> None:
    sheet = a_panel(318, 300, 10, Fraction(0))
    assert (sheet.least, sheet.most, sheet.widest_opening) == (306 * MM, 319 * MM, None)
