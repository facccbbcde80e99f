"""What a unit needs besides wood: in the job file, counted in the plan, on paper, refused where it is nonsense."""

from dataclasses import replace

import pytest
from tests.builders import a_job, a_part

from stopwright.errors import BadInput
from stopwright.intake.document_shape import refuse_odd
from stopwright.intake.job_file import job_from_document, job_to_document
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.model.hardware import Hardware
from stopwright.model.job import Job
from stopwright.paper.glue_up import glue_up_pdf
from stopwright.paper.run_sheet_pdf import run_sheet_pdf
from stopwright.paper.run_sheet_text import run_sheet_text
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet_json import run_sheet_json
from stopwright.plan.together import Member, own_sheet, plan_together


def a_chest() -> Job:
    return a_job(
        a_part("A", 12, (400, 120, 18)), units=3, hardware=(Hardware("Knob", 4, "brass"), Hardware("Screw 4 × 30", 16))
    )


def test_hardware_is_counted_for_one_unit_and_for_all() -> None:
    sheet = make_plan(a_chest(), default_shop())
    assert run_sheet_json(sheet, Show.MM)["hardware"] == [
        {"name": "Knob", "per_unit": 4, "count": 12, "note": "brass"},
        {"name": "Screw 4 × 30", "per_unit": 16, "count": 48, "note": ""},
    ]


def test_hardware_stands_on_the_sheets_of_paper() -> None:
    sheet = make_plan(a_chest(), default_shop())
    text = run_sheet_text(sheet)
    assert "Besides wood\n   - 12 × Knob (4 a unit): brass\n   - 48 × Screw 4 × 30 (16 a unit)" in text
    without = make_plan(a_job(a_part("A", 12, (400, 120, 18)), units=3), default_shop())
    assert "Besides wood" not in run_sheet_text(without)
    assert len(run_sheet_pdf(sheet)) > len(run_sheet_pdf(without))
    assert glue_up_pdf(a_chest()).startswith(b"%PDF")


def test_hardware_reads_back_equal_and_may_be_brought_in_a_whole_job() -> None:
    document = job_to_document(a_chest())
    assert document["hardware"][0] == {"name": "Knob", "count": 4, "note": "brass"}
    assert job_from_document(document, "x") == a_chest()
    refuse_odd(document | {"moisture": {"driest": 7.5}}, "job.json")
    for odd in ({"hardware": ["Knob"]}, {"hardware": "Knob"}, {"moisture": 8}, {"moisture": {"driest": [1]}}):
        with pytest.raises(BadInput):
            refuse_odd(document | odd, "job.json")


@pytest.mark.parametrize(
    ("row", "field", "what", "next_step"),
    [
        ({"name": "Knob", "count": -2}, "count", "-2 is not from 1", "1 or more"),
        ({"name": "Knob", "count": 0}, "count", "0 is not from 1", "1 or more"),
        ({"name": " ", "count": 2}, "name", "is empty", "such as Knob"),
        ({"count": 2}, "name", "is missing", "write name"),
        ({"name": "Knob", "count": 1.5}, "count", "", ""),
    ],
)
def test_nonsense_is_refused_at_its_place(row: dict[str, object], field: str, what: str, next_step: str) -> None:
    with pytest.raises(BadInput) as bad:
        job_from_document({**job_to_document(a_chest()), "hardware": [row]}, "x")
    (fault,) = bad.value.faults
    assert fault.column == f"hardware {field}" and what in fault.what and next_step in fault.next_step


def test_hardware_of_jobs_worked_together_says_whose_it_is() -> None:
    shop = default_shop()
    chests = (Member("3", a_chest()), Member("4", replace(a_chest(), units=1)))
    sheet = plan_together(chests, "both", shop)
    needs = sheet.hardware
    assert [need.name for need in own_sheet(sheet, chests, "4").hardware] == ["Knob", "Screw 4 × 30"]
    assert sum(need.count for need in own_sheet(sheet, chests, "4").hardware) == 20
    assert [(need.count, need.per_unit) for need in needs] == [(12, 4), (48, 16), (4, 4), (16, 16)]
    assert len({need.name for need in needs}) == 4 and all("Knob" in need.name for need in needs[::2])
