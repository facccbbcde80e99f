"""Lengths as pages carry them: taken apart alike by server and browser, every text there for switching."""

import json

import pytest
from markupsafe import escape
from tests.conftest import ROOT

from stopwright.lengths import MM, Show
from stopwright.web.kit.shown import SHOWN, figure_html, length_html, take_apart

FIGURES = json.loads((ROOT / "tests" / "scripts" / "figures.json").read_text("utf-8"))


@pytest.mark.parametrize("expected", FIGURES, ids=[one["text"] for one in FIGURES])
def test_the_server_takes_a_shown_length_apart_as_the_browser_does(expected):
    figure = take_apart(expected["text"])
    assert {part: getattr(figure, part) for part in expected if part not in ("text", "breadth")} == {
        part: text for part, text in expected.items() if part not in ("text", "breadth")
    }
    assert figure.breadth == expected["breadth"]


def test_a_length_carries_its_text_in_every_way_there_is():
    html = length_html(450 * MM, Show.SIXTEENTHS)
    assert html.count("\n") == len(SHOWN) - 1 == len(Show) - 1
    assert html.endswith(">17 11/16 in (+0.029)</span>")  # 450 / 25.4 = 17.7165; 17 11/16 = 17.6875; 0.0290 over


def test_a_cutter_named_with_markup_stays_text():
    name = "<b>ogee</b> & 'bead'|\""
    for html in (figure_html(name), length_html(name)):
        assert "<b>" not in html and str(escape("<b>ogee")) in html
