"""Panels in grooves of a job: their room in the plan, on paper and as JSON; refused with the number that would do."""

from dataclasses import replace
from fractions import Fraction
from typing import Unpack

import pytest
from tests.builders import a_job, a_part, mm
from tests.more_of import MoreOfPart

from stopwright.errors import BadInput, StopwrightError
from stopwright.intake.job_file import job_from_document, job_to_document
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.moisture import Moisture
from stopwright.model.parts import Kind, Rings
from stopwright.paper.run_sheet_pdf import run_sheet_pdf
from stopwright.paper.run_sheet_text import run_sheet_text
from stopwright.paper.wording import panel_text
from stopwright.plan.assembling.moving_panels import moving_panels
from stopwright.plan.operations.groove import Groove
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet_json import run_sheet_json

LIFE = Moisture(Fraction(8), Fraction(6), Fraction(13))


def a_door(width: float, opening: float = 300, depth: float = 10, **panel: Unpack[MoreOfPart]) -> Job:
    """A door with one panel of red oak between stiles and rails, all grooved alike."""
    parts = (
        a_part("S", 2, (700, 60, 22)),
        a_part("R", 2, (opening + 2 * depth, 60, 22)),
        replace(a_part("P", 1, (600, width, 8), material="red oak"), **panel),
    )
    groove = Groove(
        mark="G1", parts=("S", "R"), side=Side.EDGE, from_=Side.FACE, at=mm(7), fits="P", depth=mm(depth),
        opening_across=mm(opening),
    )  # fmt: skip
    return a_job(*parts, cuts=(groove,), moisture=LIFE)


def faults(job: Job) -> list[str]:
    return [one.text for one in moving_panels(job, Show.MM).faults]


def test_a_panel_that_stays_held_and_free_is_not_spoken_of() -> None:
    assert faults(a_door(313)) == []


@pytest.mark.parametrize(("width", "says"), [(316, "313 mm would do"), (305, "313 mm would do")])
def test_a_panel_too_wide_or_too_narrow_is_refused_with_a_width_that_would_do(width: int, says: str) -> None:
    (text,) = faults(a_door(width))
    assert says in text and f"is {width} mm wide" in text
    assert faults(a_door(313)) == []


def test_an_opening_beyond_what_the_groove_allows_is_refused_with_the_groove_that_would_do() -> None:
    (text,) = faults(a_door(320, opening=350, depth=8))
    assert "the widest opening for them is 339 mm" in text and "Make the grooves 9 mm deep" in text
    assert "would do" in faults(a_door(320, opening=350, depth=9))[0]
    assert faults(a_door(360, opening=350, depth=9)) == []


def test_rings_that_stand_upright_move_less() -> None:
    assert "no width" in faults(a_door(520, opening=500))[0]
    assert faults(a_door(514, opening=500, rings=Rings.QUARTER)) == []


def test_a_sheet_only_has_to_go_in_and_stay() -> None:
    assert faults(a_door(318, kind=Kind.SHEET)) == []
    assert "319 mm would do" in faults(a_door(320, kind=Kind.SHEET))[0]


def test_wood_that_is_not_known_is_told_and_not_refused_for_its_movement() -> None:
    found = moving_panels(a_door(318, material="pear"), Show.MM)
    assert found.faults == () and "'pear' is a wood whose movement is not known" in found.warnings[0].text


def test_the_plan_holds_the_fault_and_every_sheet_shows_the_room() -> None:
    sheet = make_plan(a_door(316), default_shop())
    assert any(fault.about == "P" and "313 mm would do" in fault.text for fault in sheet.faults)
    (panel,) = run_sheet_json(sheet, Show.MM)["panels"]
    assert (panel["mark"], panel["cut"]) == ("P", "G1")
    assert (panel["most"]["text"], panel["widest_opening"]["text"]) == ("313.22 mm", "493.58 mm")
    assert "P in G1: 316 mm wide, 308.28 mm to 313.22 mm would do" in " ".join(run_sheet_text(sheet).split())
    assert "at 6 % 6.83 mm in each groove, at 13 % 1.83 mm too wide for them" in panel_text(sheet.panels[0], Show.MM)
    assert "at 6 % it falls out" in panel_text(make_plan(a_door(301), default_shop()).panels[0], Show.MM)
    assert run_sheet_pdf(sheet).startswith(b"%PDF")


def test_moisture_and_rings_and_opening_read_back_equal() -> None:
    job = a_door(313, rings=Rings.QUARTER)
    document = job_to_document(job)
    assert document["moisture"] == {"made_at": 8.0, "driest": 6.0, "wettest": 13.0}
    assert document["part"][2]["rings"] == "quarter" and document["groove"][0]["opening_across"] == "300"
    assert job_from_document(document, "x") == job


def test_a_moisture_of_which_nothing_is_known_is_refused() -> None:
    with pytest.raises(BadInput) as bad:
        job_from_document({**job_to_document(a_door(313)), "moisture": {"wettest": 16}}, "x")
    (fault,) = bad.value.faults
    assert "16 % lies outside" in fault.what and "write 6 to 14 %" in fault.next_step
    with pytest.raises(StopwrightError, match="drier than the driest"):
        Moisture(driest=Fraction(11), wettest=Fraction(9))


def test_an_opening_needs_what_goes_in() -> None:
    with pytest.raises(StopwrightError, match="fits names no part"):
        Groove(mark="G", parts=("S",), side=Side.EDGE, from_=Side.FACE, at=0, width=mm(6), depth=mm(6), opening=mm(9))


def test_a_bottom_almost_as_deep_as_the_drawer_is_wide_is_not_taken_to_lie_the_other_way() -> None:
    # 411.6 long in grooves 6 deep, 400.6 apart, 1 less than there is; 393 from front to back: nearer to 400.6, but not
    # to what the grooves leave room for
    drawer = {"mark": "D", "width": 450, "height": 150, "depth": 400}
    job = job_from_document({"name": "Seed drawers", "drawer": [drawer]}, "x")
    assert job.part("Dbo").size == (mm(411.6), mm(393), mm(6))
    found = moving_panels(job, Show.MM)
    assert not found.faults and not found.panels
