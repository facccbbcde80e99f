"""Sanding and finish as steps of the plan, for a shop that wants them: after all cuts, panels before their frame."""

from dataclasses import replace

from tests.builders import a_job, a_part, mm
from tests.paper.pixels import page_count, page_words
from tests.shop.facts import facts_of
from tests.shop.ledger import check_ledger

from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.joints import Joint, Side
from stopwright.model.parts import Kind, Made
from stopwright.model.stations import Shop, Station
from stopwright.paper.glue_up import glue_up_pdf
from stopwright.plan.operations.groove import Groove
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Run
from stopwright.plan.run_sheet_json import run_sheet_json


def a_shop_that_wants(*works: str) -> Shop:
    shop = default_shop()
    return replace(shop, stations=(*shop.stations, Station("bench by the window", works)))


def a_door(panel: Kind = Kind.SOLID) -> Job:
    parts = (
        a_part("A", 2, (700, 60, 22)),
        a_part("B", 2, (300, 60, 22)),
        a_part("P", 1, (590, 313, 8), kind=panel, made=Made.PANEL if panel is Kind.SOLID else Made.WHOLE),
    )
    joint = Joint("J1", "A", "B", Side.EDGE, mm(15), mm(45), mm(6), mm(20), mm(20))
    groove = Groove(mark="G1", parts=("A", "B"), side=Side.EDGE, from_=Side.FACE, at=mm(7), fits="P", depth=mm(8))
    return a_job(*parts, joints=(joint,), cuts=(groove,))


def by_hand(job: Job, shop: Shop) -> list[Run]:
    return [run for run in make_plan(job, shop).runs if run.work in ("sand", "finish")]


def test_a_shop_that_names_no_station_for_it_has_none_in_its_plan() -> None:
    sheet = make_plan(a_door(), default_shop())
    assert not {run.work for run in sheet.runs} & {"sand", "finish"}
    assert not any("sand" in remark.text or "finish" in remark.text for remark in sheet.warnings)


def test_all_parts_are_sanded_after_every_cut_and_panels_finished_last() -> None:
    shop = a_shop_that_wants("sand", "finish")
    sheet = make_plan(a_door(), shop)
    assert [run.work for run in sheet.runs][-2:] == ["sand", "finish"]
    sand, finish = by_hand(a_door(), shop)
    assert [(one.mark, one.count) for one in sand.pieces] == [("A", 2), ("B", 2), ("P", 1)]
    assert [(one.mark, one.count) for one in finish.pieces] == [("P", 1)]
    assert sand.stops == finish.stops == () and finish.minutes > 0
    assert sheet.settings.made == make_plan(a_door(), default_shop()).settings.made


def test_a_sheet_that_does_not_shrink_need_not_be_finished_first() -> None:
    assert [run.work for run in by_hand(a_door(Kind.SHEET), a_shop_that_wants("sand", "finish"))] == ["sand"]
    assert [run.work for run in by_hand(a_door(), a_shop_that_wants("finish"))] == ["finish"]


def test_the_books_add_up_with_work_by_hand() -> None:
    shop = a_shop_that_wants("sand", "finish")
    sheet = run_sheet_json(make_plan(a_door(), shop), Show.MM)
    assert check_ledger(sheet, facts_of(a_door(), shop)) == []


def test_a_shop_that_finishes_is_told_so_at_the_end_of_the_glue_up() -> None:
    for finishes in (True, False):
        pdf = glue_up_pdf(a_door(), finishes=finishes)
        said = " ".join(" ".join(page_words(pdf, page) for page in range(page_count(pdf))).split())
        assert ("finish it, but for what was finished before" in said) is finishes
