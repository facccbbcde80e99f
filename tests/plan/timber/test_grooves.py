"""Grooves: as wide as the thickest sheet measured, and a little play."""

import pytest
from tests.builders import mm

from stopwright.errors import StopwrightError
from stopwright.plan.timber.grooves import OVER_18, UNDER_18, groove_for


def test_the_groove_takes_the_thickest_sheet_and_the_play() -> None:
    # thickest 17.9 + 0.2 of play = 18.1; the thinnest, 17.6, is 0.5 loose in it
    advice = groove_for([mm(17.6), mm(17.9), mm(17.7)], nominal=mm(18))
    assert (advice.width, advice.loose, advice.spread) == (mm(18.1), mm(0.5), mm(0.3))
    assert advice.off == (mm(-0.4), mm(-0.1))


def test_sheets_that_differ_by_more_than_the_play_want_a_groove_each() -> None:
    assert groove_for([mm(17.6), mm(17.9)]).sheets_differ
    assert not groove_for([mm(17.7), mm(17.9)]).sheets_differ


def test_plywood_beyond_what_is_usual_is_told() -> None:
    # 18 mm sanded plywood: +0.7 / −0.9 mm (C)
    assert (mm(0.7), mm(0.9)) == (OVER_18, UNDER_18)
    assert not groove_for([mm(17.1), mm(18.7)], nominal=mm(18)).beyond_usual
    assert groove_for([mm(17.0)], nominal=mm(18)).beyond_usual and groove_for([mm(18.8)], nominal=mm(18)).beyond_usual


def test_wider_than_three_quarters_of_an_inch_is_beyond_a_common_arbor() -> None:
    # 3/4 in = 19.05 mm (P)
    assert not groove_for([mm(18.8)]).beyond_arbor and groove_for([mm(18.9)]).beyond_arbor


@pytest.mark.parametrize(("readings", "play"), [([], 0.2), ([0], 0.2), ([101], 0.2), ([18], 6), ([18] * 41, 0.2)])
def test_what_is_no_sheet_or_no_play_is_refused_in_words(readings: list[float], play: float) -> None:
    with pytest.raises(StopwrightError) as refused:
        groove_for([mm(one) for one in readings], mm(play))
    assert refused.value.next_step
