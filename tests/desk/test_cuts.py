"""Cuts entered at the bench: a groove for four drawer sides in a few entries, chosen on the picture, copied on."""

import pytest
from playwright.sync_api import Page, expect
from tests.conftest import ROOT, Running

from stopwright.actions.jobs.keeping import create_job
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop
from stopwright.plan.operations.taper import Taper

MOST_ENTRIES = 6


@pytest.fixture
def tables(running_server: Running) -> str:
    """The number of a job with four drawer sides F, a bottom I, and no groove yet."""
    document = job_to_document(read_job(ROOT / "fixtures" / "ferry-tables"))
    del document["groove"]
    return create_job(running_server.store, document, "bench")


def test_a_groove_for_four_drawer_sides_takes_six_entries_at_most_and_its_numbers_show_while_typing(
    running_server: Running, tables: str, laptop: Page
) -> None:
    laptop.goto(f"{running_server.address}/jobs/{tables}/joints")
    entries = (
        lambda: laptop.get_by_text("Grooves, tenons, holes and other cuts").click(),
        lambda: laptop.get_by_role("button", name="Add a groove").click(),
        lambda: laptop.get_by_role("checkbox", name="F Drawer side").check(),
        lambda: laptop.locator("[name=at]").press_sequentially("10"),
        lambda: laptop.locator("[name=fits]").select_option("I"),
        lambda: laptop.locator("[name=depth]").press_sequentially("6"),
    )
    assert len(entries) <= MOST_ENTRIES
    for entry in entries:
        entry()
    answer = laptop.locator("[data-part=joint_answer]")
    expect(answer).to_contain_text("13 mm")  # 10 and 6.2 less the kerf of 3.2
    expect(answer).to_contain_text("face side down, face edge at the fence")
    laptop.locator("[name=depth]").press("Tab")
    expect(laptop.locator("[data-state]")).to_have_text("Saved")
    planned = plan_for(running_server.store, tables, default_shop())
    (groove,) = [cut for cut in planned.job.cuts if cut.kind == "groove"]
    assert (groove.parts, planned.job.part("F").quantity) == (("F",), 4)
    grooved = [run for run in planned.sheet.runs if groove.mark in run.cuts]
    assert grooved and all(sum(one.count for one in run.pieces) == 4 for run in grooved)


def test_a_cut_is_copied_for_other_parts(running_server: Running, tables: str, laptop: Page) -> None:
    laptop.goto(f"{running_server.address}/jobs/{tables}/joints?at=taper.0")
    laptop.get_by_role("button", name="Copy").click()
    expect(laptop.locator("[name=mark]")).to_have_value("K2")
    expect(laptop.locator("[name=begins]")).to_have_value("130")
    laptop.get_by_role("checkbox", name="A Front leg").uncheck()
    laptop.get_by_role("checkbox", name="B Back leg").uncheck()
    laptop.get_by_role("checkbox", name="C Side apron").check()
    laptop.locator("[name=leaves]").fill("15")
    laptop.locator("[name=leaves]").press("Tab")
    expect(laptop.locator("[data-state]")).to_have_text("Saved")
    tapers = [cut for cut in plan_for(running_server.store, tables, default_shop()).job.cuts if isinstance(cut, Taper)]
    assert [cut.parts for cut in tapers] == [("A", "B"), ("C",)]
    assert tapers[0].begins == tapers[1].begins


def test_the_side_of_a_cut_is_chosen_by_touching_the_picture_of_the_piece(
    running_server: Running, tables: str, laptop: Page
) -> None:
    laptop.goto(f"{running_server.address}/jobs/{tables}/joints?at=housing.0")
    expect(laptop.locator("[name=side]")).to_have_value("face")
    laptop.locator("[data-side='back']").click()
    expect(laptop.locator("[name=side]")).to_have_value("back")
    expect(laptop.locator("[data-state]")).to_have_text("Saved")
    expect(laptop.get_by_role("link", name="Master pieces and story stick")).to_be_visible()
