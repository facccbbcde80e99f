"""Lengths inside notes of runs are said in the unit that is shown: on the phone, on paper, in JSON."""

import pytest
from playwright.sync_api import expect
from tests.conftest import ROOT
from tests.paper.pixels import page_count, page_words
from tests.phone.taps import ON_SCREEN

from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.job_file import read_job
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.paper.run_sheet_pdf import run_sheet_pdf
from stopwright.paper.run_sheet_text import run_sheet_text
from stopwright.paper.short_sheet import short_sheet_pdf
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet_json import run_sheet_json

A_MM, A_IN = "A 645 mm", "A 25 13/32 in (−0.0125)"  # 645 / 25.4 = 25.3937; 25 13/32 = 25.40625


def test_the_note_of_a_run_switches_with_the_page_as_its_readings_do(start_server, phone):
    running = start_server("canvas-stretchers")
    runs = plan_for(running.store, running.job, default_shop()).sheet.runs
    run = next(run for run in runs if run.note.startswith("roughly, by mark"))
    phone.goto(f"{running.address}/jobs/{running.job}/runs/{run.number}")
    note = phone.locator(f"{ON_SCREEN} .no-stop")
    expect(note).to_contain_text(f"Roughly, by mark: {A_MM}, B 445 mm")
    phone.evaluate("document.querySelector('shown-ways').choose('show', '1/32 in')")
    expect(note).to_contain_text(f"Roughly, by mark: {A_IN}, B 17 17/32 in")
    phone.reload()
    expect(note).to_contain_text(A_IN)
    assert "mm" not in note.inner_text()
    phone.evaluate("document.querySelector('shown-ways').choose('show', 'mm')")
    expect(note).to_contain_text(A_MM)


def test_wood_on_the_rack_switches_too_and_is_told_as_wood_is_measured(running_server, phone):
    """2400 × 180 × 45 mm is 94.49 × 7.087 × 1.772 in: nearest sixteenths, nothing beside them."""
    phone.goto(f"{running_server.address}/jobs/{running_server.job}/runs/1")
    wood = phone.locator(f"{ON_SCREEN} .pieces > li >> nth=0")
    expect(wood).to_contain_text("from the rack: ash 2400 × 180 × 45 mm")
    phone.evaluate("document.querySelector('shown-ways').choose('show', '1/32 in')")
    expect(wood).to_contain_text("from the rack: ash 94 1/2 × 7 1/16 × 1 3/4 in")


@pytest.mark.parametrize(("show", "said"), [(Show.MM, A_MM), (Show.THIRTY_SECONDS, A_IN)])
def test_paper_text_and_json_say_the_note_in_their_own_unit(show, said):
    sheet = make_plan(read_job(ROOT / "fixtures" / "canvas-stretchers"), default_shop())
    assert said in run_sheet_text(sheet, show)
    notes = [run["note"] for run in run_sheet_json(sheet, show)["runs"]]
    assert any(said in note for note in notes)
    for pdf in (run_sheet_pdf(sheet, show), short_sheet_pdf(sheet, show)):
        words = " ".join(page_words(pdf, page) for page in range(page_count(pdf)))
        assert said in " ".join(words.replace("\xa0", " ").split())


@pytest.mark.parametrize("fixture", ["ferry-tables", "hall-bench", "seed-chests", "canvas-stretchers"])
def test_no_length_of_a_note_is_left_in_its_brackets(start_server, phone, fixture):
    running = start_server(fixture)
    runs = plan_for(running.store, running.job, default_shop()).sheet.runs
    assert any("⟦" in run.note for run in runs)
    page = phone.context.request.get(f"{running.address}/jobs/{running.job}/runs/1?whole").text()
    sheet = phone.context.request.get(f"{running.address}/jobs/{running.job}").text()
    for said in (page, sheet, run_sheet_text(make_plan(read_job(ROOT / "fixtures" / fixture), default_shop()))):
        assert "⟦" not in said and "⟧" not in said
