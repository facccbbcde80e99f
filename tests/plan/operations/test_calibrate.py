"""Calibrating: the planer leaves what the sander takes off, and the sander brings wood to its finished thickness."""

from dataclasses import replace

import pytest
from tests.builders import a_board, a_job, a_part, fitted, mm
from tests.shop.facts import facts_of
from tests.shop.ledger import check_ledger

from stopwright.errors import BadInput
from stopwright.intake.shop_file import default_shop, shop_in, shop_to_toml
from stopwright.lengths import MM, Show
from stopwright.model.cuts import Cut
from stopwright.model.job import Job
from stopwright.model.parts import Made
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan.operations.tenon import Tenon
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Form, Run, RunSheet
from stopwright.plan.run_sheet_json import run_sheet_json
from stopwright.plan.said_lengths import read_out


def a_shop_that_calibrates(**figures: int) -> Shop:
    shop = default_shop()
    height = Axis("drum", "thickness", low=mm(3), high=mm(120))
    sander = fitted(Station("drum sander", ("calibrate",), (height,)), **figures)
    return replace(shop, stations=(*shop.stations, sander))


def a_rail(cuts: tuple[Cut, ...] = ()) -> Job:
    return a_job(a_part("A", 4, (600, 80, 20)), stock=(a_board(6, (2400, 150, 27)),), cuts=cuts)


def heights(sheet: RunSheet, work: str, form: Form = Form.BOARD) -> list[float]:
    runs = [run for run in sheet.runs if run.work == work and run.takes[0].form is form]
    return [stop.target / MM for run in runs for stop in run.stops if isinstance(stop.target, int)]


def thickness_after(run: Run) -> set[float]:
    return {lot.thickness / MM for lot in run.gives}


def test_the_planer_leaves_what_the_sander_takes_off_in_passes_no_deeper_than_it_may() -> None:
    """0.3 left, 0.2 a pass at most: two passes of 0.15."""
    sheet = make_plan(a_rail(), a_shop_that_calibrates())
    assert heights(sheet, "plane")[-1] == 20.3
    assert heights(sheet, "calibrate") == [20.15, 20.0]
    works = [run.work for run in sheet.runs]
    assert works.index("calibrate") == len([work for work in works if work in ("joint", "plane")])
    planed = [run for run in sheet.runs if run.work == "plane"][-1]
    assert read_out(planed.note, Show.MM) == "A: 0.3 mm left for calibrating"
    assert thickness_after(sheet.runs[-1]) == {20.0}


def test_a_shop_that_does_not_calibrate_planes_to_the_finished_thickness() -> None:
    sheet = make_plan(a_rail(), default_shop())
    assert heights(sheet, "plane")[-1] == 20.0 and heights(sheet, "calibrate") == []


def test_a_shop_that_planes_nothing_has_nothing_left_to_calibrate() -> None:
    shop = a_shop_that_calibrates()
    shop = replace(shop, stations=tuple(one for one in shop.stations if "plane" not in one.work))
    assert "calibrate" not in {run.work for run in make_plan(a_rail(), shop).runs}


def test_a_panel_is_calibrated_when_it_is_planed_and_its_strips_are_not() -> None:
    job = a_job(a_part("A", 2, (600, 400, 20), made=Made.PANEL), stock=(a_board(8, (2400, 150, 27)),))
    sheet = make_plan(job, a_shop_that_calibrates())
    glue = next(run for run in sheet.runs if run.work == "glue")
    assert glue.gives[0].thickness == mm(21.8)  # 20, 0.3 for the sander, 1.5 for the second planing
    assert heights(sheet, "plane", Form.PANEL)[-1] == 20.3
    assert heights(sheet, "calibrate", Form.PANEL) == [20.15, 20.0]
    assert heights(sheet, "calibrate") == []


def test_a_panel_wider_than_the_sander_is_glued_in_sub_panels_that_pass_it() -> None:
    job = a_job(a_part("A", 1, (600, 700, 20), made=Made.PANEL), stock=(a_board(12, (2400, 150, 27)),))
    shop = a_shop_that_calibrates(widest=mm(400))
    sheet = make_plan(job, shop)
    sanded = [run for run in sheet.runs if run.work == "calibrate"]
    assert sanded and all(lot.width <= mm(400) for run in sanded for lot in run.takes)
    assert check_ledger(run_sheet_json(sheet, Show.MM), facts_of(job, shop)) == []


def test_a_board_wider_than_the_sander_is_told() -> None:
    told = [one.text for one in make_plan(a_rail(), a_shop_that_calibrates(widest=mm(100))).warnings]
    assert any("144 mm wide, the drum sander takes 100 mm" in one for one in told)


def test_wood_bought_planed_to_size_need_not_leave_anything() -> None:
    for thick, sanded in ((20, []), (20.1, [20.0])):
        job = a_job(a_part("A", 4, (600, 80, 20)), stock=(a_board(6, (2400, 150, thick), planed=True),))
        sheet = make_plan(job, a_shop_that_calibrates())
        assert heights(sheet, "calibrate") == sanded and not sheet.wood.to_buy


def test_boards_that_leave_too_little_for_both_are_not_taken() -> None:
    allowance = default_shop().allowance.thickness
    thick = (mm(27) - 2 * allowance) / MM
    job = a_job(a_part("A", 4, (600, 80, thick)), stock=(a_board(6, (2400, 150, 27)),))
    assert not make_plan(job, default_shop()).wood.to_buy
    assert make_plan(job, a_shop_that_calibrates()).wood.to_buy


@pytest.mark.parametrize("calibrating", [0.2, 0.3, 0.4, 1])
def test_the_books_of_calibrated_wood_add_up(calibrating: float) -> None:
    parts = (
        a_part("A", 4, (600, 80, 20)),
        a_part("B", 3, (400, 60, 20.3)),
        a_part("C", 2, (500, 390, 20), made=Made.PANEL),
    )
    job = a_job(*parts, stock=(a_board(12, (2400, 150, 27)),))
    shop = a_shop_that_calibrates(calibrating=mm(calibrating))
    sheet = run_sheet_json(make_plan(job, shop), Show.MM)
    assert check_ledger(sheet, facts_of(job, shop)) == []


def test_the_books_see_wood_that_is_sanded_too_thin() -> None:
    job, shop = a_rail(), a_shop_that_calibrates()
    sheet = run_sheet_json(make_plan(job, shop), Show.MM)
    assert check_ledger(sheet, facts_of(job, a_shop_that_calibrates(calibrating=mm(0.2))))
    last = [run for run in sheet["runs"] if run["work"] == "calibrate"][-1]
    last["stops"][0]["target"]["nm"] -= 1
    assert check_ledger(sheet, facts_of(job, shop))


def test_cuts_into_calibrated_wood_stand_where_the_finished_thickness_wants_them() -> None:
    tenon = Tenon(mark="N1", parts=("A",), length=mm(30), thickness=mm(8))
    job = a_rail(cuts=(tenon,))

    def places(shop: Shop) -> list[object]:
        return [[stop.target for stop in run.stops] for run in make_plan(job, shop).runs if "N1" in run.cuts]

    assert places(a_shop_that_calibrates()) == places(default_shop()) != []


@pytest.mark.parametrize(
    ("figure", "says", "would_do"),
    [
        ("calibrating = -0.1", "is negative", "0 or more"),
        ("calibrating = 0", "is not above 0", "0.2 to 0.4 mm"),
        ("calibrating = 1.5", "more than is sanded off", "0.2 to 0.4 mm"),
        ("greatest_pass = 0.001", "finer than can be set", "0.2 mm"),
    ],
)
def test_an_allowance_that_cannot_be_is_refused_with_one_that_would_do(figure: str, says: str, would_do: str) -> None:
    station = f'[[station]]\nname = "drum sander"\nwork = ["calibrate"]\n{figure}\n'
    with pytest.raises(BadInput) as refused:
        shop_in(f'name = "Ours"\nlengths = "mm"\n{station}'.encode(), "shop.toml")
    (fault,) = refused.value.faults
    assert says in str(fault) and would_do in str(fault)


def test_a_shop_file_keeps_what_is_left_for_calibrating() -> None:
    shop = a_shop_that_calibrates(calibrating=mm(0.4), greatest_pass=mm(0.25), widest=mm(600))
    assert shop_in(shop_to_toml(shop).encode(), "shop.toml") == shop
