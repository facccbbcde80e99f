"""Panels glued from strips: how many and how wide, in what order, and what is said of a part too wide for any board."""

from dataclasses import replace

import pytest
from tests.builders import a_board, a_job, a_part, fitted, mm
from tests.shop.facts import facts_of
from tests.shop.ledger import check_ledger

from stopwright.errors import StopwrightError
from stopwright.intake.part_list import read_part_list
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM, Show
from stopwright.model.day import Clamps, Day
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Kind, Made, PanelStrip
from stopwright.model.shaping import Moulding, Pass
from stopwright.model.stations import Shop
from stopwright.plan.begun import begin
from stopwright.plan.choices import Choices
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.pictures.canvas import Path, Words
from stopwright.plan.pictures.of_runs import pictures_of
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Form, RunSheet
from stopwright.plan.run_sheet_json import run_sheet_json
from stopwright.plan.timber.panels import Panel, panels_of
from stopwright.plan.timber.way import follow_wood

SHOP = default_shop()


def a_table(strip: int | None = None, quantity: int = 2) -> Job:
    top = a_part("A", quantity, (600, 400, 20), made=Made.PANEL, strip=strip)
    return a_job(top, a_part("B", 4, (300, 80, 20)), stock=(a_board(6, (2400, 150, 27)),))


def works(sheet: RunSheet, mark: str) -> list[str]:
    return [run.work for run in sheet.runs if any(mark == one.mark for one in run.pieces)]


def test_as_few_strips_as_may_be_so_wide_and_all_equal() -> None:
    """Common practice: 10 mm off each edge after gluing, 0.8 mm of every edge at the jointer before."""
    for width, strip, count, wide in ((600, None, 6, 104.9333), (600, 125, 5, 125.6), (400, 210, 2, 211.6)):
        job = a_job(a_part("A", 1, (1000, width, 18), made=Made.PANEL, strip=strip and strip * MM))
        (panel,) = panels_of(job, SHOP)
        assert panel.strips == count
        assert panel.strip.width / MM == pytest.approx(wide, abs=0.001)
        assert panel.glued[1] >= (width + 20) * MM


def test_strips_are_no_wider_than_the_boards_on_hand_give() -> None:
    # boards of 100 lose 6 when made true and 1.6 at the edges of the strip: 92.4; 620 / 92.4 = 6.7, so seven of 88.6
    narrow = a_board(20, (2400, 100, 27), material="Ash")
    job = a_job(a_part("A", 1, (1000, 600, 18), made=Made.PANEL, material="ash"), stock=(narrow,))
    (panel,) = panels_of(job, SHOP)
    assert panel.strips == 7 and panel.strip.width == mm(620 / 7 + 1.6)
    assert make_plan(job, SHOP).wood.to_buy == ()
    for other in (replace(narrow, material="oak"), replace(narrow, thickness=mm(20)), replace(narrow, length=mm(900))):
        (panel,) = panels_of(replace(job, stock=(other,)), SHOP)
        assert panel.strips == 6


def boards(*widths: float) -> Job:
    stock = tuple(a_board(1, (1300, width, 27)) for width in widths)
    return a_job(a_part("A", 1, (1200, 600, 18), made=Made.PANEL), stock=stock)


def test_boards_as_wide_as_they_are_may_need_fewer_strips_and_that_is_said() -> None:
    # each loses 6 + 1.6: 97 118 126 131 140 152 160 are left, for 600 and 20 of trim; four give at most 583
    job = boards(*(width + 7.6 for width in (97, 118, 126, 131, 140, 152, 160)))
    (note,) = [one for one in make_plan(job, SHOP).notes if one.startswith("A:")]
    assert "planned are 6 equal strips" in note and "5 would do" in note and "fewer is not possible" in note
    said = note.split("jointing: ")[1].split(" mm")[0].replace(" and ", ", ").split(", ")
    assert sorted(map(float, said)) == [97, 118, 126, 131, 152]  # 624, the least over
    assert not any(one.startswith("A:") for one in make_plan(boards(*[112.6] * 7), SHOP).notes)


def a_shop_that_passes(widest: float) -> Shop:
    planer = next(one for one in SHOP.stations if "plane" in one.work)
    stations = (fitted(one, widest=mm(widest)) if one is planer else one for one in SHOP.stations)
    return replace(SHOP, stations=tuple(stations))


def test_boards_as_wide_as_they_are_are_not_offered_where_such_a_panel_would_not_pass() -> None:
    job = boards(*(width + 7.6 for width in (97, 118, 126, 131, 140, 152, 160)))
    for widest, offered in ((624, True), (623, False)):
        notes = make_plan(job, a_shop_that_passes(widest)).notes
        assert any(one.startswith("A:") for one in notes) is offered


def a_wide_top(width: float = 600, quantity: int = 1, strip: int | None = None) -> Job:
    top = a_part("A", quantity, (1000, width, 18), made=Made.PANEL, strip=strip)
    return a_job(top, stock=(a_board(40, (2400, 150, 27)),))


@pytest.mark.parametrize(
    ("widest", "each", "jointed"),
    [
        (400, (3, 3), 103.6),  # 620 and 2 x 0.8 where the halves meet, over six
        (300, (2, 2, 2), 103.867),  # three of 103.6 are 310.8; 620 + 4 x 0.8 over six
        (150, (2, 2, 2, 2, 2), 62.64),  # two of 103.6 do not pass: ten of (620 + 8 x 0.8) / 10
        (621, (6,), 103.333),
    ],
)
def test_a_panel_wider_than_the_planer_is_glued_in_sub_panels_that_pass(
    widest: float, each: tuple[int, ...], jointed: float
) -> None:
    (panel,) = panels_of(a_wide_top(), a_shop_that_passes(widest))
    assert panel.split.each == each
    assert panel.split.jointed / MM == pytest.approx(jointed, abs=0.001)
    assert panel.glued[1] <= mm(widest)


def test_sub_panels_are_glued_planed_and_only_then_glued_to_each_other() -> None:
    sheet = make_plan(a_wide_top(quantity=2), a_shop_that_passes(400))
    of_the_panel = [run for run in sheet.runs if run.takes[0].form is Form.PANEL or run.work == "glue"]
    planed = [run.work for run in of_the_panel if run.work == "plane"]
    assert [run.work for run in of_the_panel] == ["glue", *planed, "joint", "glue", "rip", "square", "crosscut"]
    first, last = [run for run in of_the_panel if run.work == "glue"]
    halves = [(lot.name, lot.chalk, lot.count, lot.width / MM) for lot in first.gives]
    assert halves == [("A, sub-panel 1", "A 1/2", 2, 310.8), ("A, sub-panel 2", "A 2/2", 2, 310.8)]
    assert [line.count for line in first.lines] == [2, 2]
    assert "2 sub-panels of 3 strips" in first.note and "triangle" in first.note
    assert [(lot.name, lot.width / MM, lot.thickness / MM) for lot in last.gives] == [("A", 620, 18)]
    assert "last joint is cleaned by hand" in last.note
    assert not sheet.faults and not any("wide" in one.text for one in sheet.warnings)


@pytest.mark.parametrize(("widest", "width", "quantity"), [(400, 600, 2), (300, 600, 1), (150, 600, 3), (260, 500, 1)])
def test_the_books_of_a_panel_in_sub_panels_add_up(widest: float, width: float, quantity: int) -> None:
    job, shop = a_wide_top(width, quantity), a_shop_that_passes(widest)
    sheet = run_sheet_json(make_plan(job, shop), Show.MM)
    assert check_ledger(sheet, facts_of(job, shop)) == []


def test_runs_that_are_followed_once_more_take_and_give_the_same() -> None:
    """The day and the changeovers try orders of runs whose pieces are told already: those of sub-panels are strips."""
    job, shop = a_wide_top(quantity=2), a_shop_that_passes(400)
    sheet, begun = make_plan(job, shop), begin(job, shop, Choices(), None)
    again = follow_wood(sheet.runs, lambda work: OPERATIONS[work].follow, begun.wood, begun.whole, begun.parts, shop)
    assert [(run.takes, run.gives) for run in again] == [(run.takes, run.gives) for run in sheet.runs]


def test_the_books_see_a_sub_panel_of_another_width_or_one_too_wide_to_pass() -> None:
    job, shop = a_wide_top(), a_shop_that_passes(400)
    sheet = run_sheet_json(make_plan(job, shop), Show.MM)
    assert check_ledger(sheet, facts_of(job, a_shop_that_passes(310)))
    last = [run for run in sheet["runs"] if run["work"] == "glue"][1]
    last["gives"][0]["size"]["width"]["nm"] += 1
    assert check_ledger(sheet, facts_of(job, shop))


def test_a_glue_run_says_what_lies_side_by_side_its_clamps_and_its_rest() -> None:
    job, shop = a_wide_top(), a_shop_that_passes(400)
    first, last = [run for run in run_sheet_json(make_plan(job, shop), Show.MM)["runs"] if run["work"] == "glue"]
    of_strips = first["gluing"]
    assert [one["nm"] for one in of_strips["widths"]] == [mm(103.6)] * 6
    assert (of_strips["of"], of_strips["groups"], of_strips["clamps"], of_strips["rest_hours"]) == (
        "strips",
        [3, 3],
        5,
        24,
    )
    of_halves = last["gluing"]
    assert (of_halves["of"], of_halves["groups"], of_halves["clamps"]) == ("sub-panels", [2], 2)
    assert [one["nm"] for one in of_halves["widths"]] == [lot["size"]["width"]["nm"] for lot in last["takes"]]


def test_the_picture_of_a_glue_run_numbers_its_strips_under_a_triangle() -> None:
    for widest, said in ((400, (list("123456"), ["1/2", "2/2"])), (700, (list("123456"),))):
        job, shop = a_wide_top(), a_shop_that_passes(widest)
        sheet = make_plan(job, shop)
        pictures = pictures_of(sheet.runs, job, shop)
        glued = [pictures[run.number][0] for run in sheet.runs if run.work == "glue"]
        assert tuple([one.text for one in board.drawn if isinstance(one, Words)] for board in glued) == said
        legs = [[one for one in board.drawn if isinstance(one, Path) and one.kind == "arrow"] for board in glued]
        # a base for each, and a side; six strips or two meet at the apex, so none has both sides
        assert [len(here) for here in legs] == [2 * len(words) for words in said]


def test_strips_wider_than_the_planer_are_a_fault_with_the_width_that_would_do() -> None:
    job = a_wide_top(strip=mm(120))
    (fault,) = make_plan(job, a_shop_that_passes(90)).faults
    assert "103.33 mm wide" in fault.text and "takes 90 mm" in fault.text and "45 mm wide at most" in fault.text
    narrow = make_plan(a_wide_top(strip=mm(45)), a_shop_that_passes(90))
    assert not narrow.faults and len([run for run in narrow.runs if run.work == "glue"]) == 2


def test_sub_panels_have_their_own_clamps_and_rests_in_the_day() -> None:
    """Each half by the edge strip of 105.2 (5 clamps on 1025), the last joint by the edge half of 310 (2 clamps)."""
    shop = replace(a_shop_that_passes(400), day=Day("08:00", "17:00"), clamps=(Clamps(mm(800), 8),))
    sheet = make_plan(a_wide_top(), shop)
    assert sheet.day is not None
    first, last = [run for run in sheet.runs if run.work == "glue"]
    entries = [one for one in sheet.day.entries if one.nth]
    assert [(one.run, one.nth, sum(count for _, count in one.clamps)) for one in entries] == [
        (first.id, 1, 5),
        (first.id, 2, 5),
        (last.id, 1, 2),
    ]
    planed = next(run.id for run in sheet.runs if run.work == "plane" and run.takes[0].form is Form.PANEL)
    begins = next(one.begin for one in sheet.day.entries if one.run == planed)
    assert begins >= entries[1].end + 24 * 3600
    assert not any("panel" in one.text for one in sheet.warnings)


def test_clamps_stand_where_pressure_that_spreads_at_45_degrees_meets() -> None:
    """A tool maker's page on clamping up: 2 in strips over 48 in and pads of 1/2 in take 8 clamps with one to spare."""
    strip = PanelStrip("As", "Strip", 5, 1200 * MM, 125 * MM, 20 * MM)
    assert Panel(a_part("A", 1, (1175, 600, 18)), strip, 5).clamps == 5
    short = PanelStrip("As", "Strip", 5, 200 * MM, 125 * MM, 20 * MM)
    assert Panel(a_part("A", 1, (175, 600, 18)), short, 5).clamps == 2


def test_a_panel_is_glued_then_planed_and_only_then_gets_its_size() -> None:
    sheet = make_plan(a_table(), SHOP)
    assert works(sheet, "As") == ["joint", "plane", "plane", "plane", "rip", "square", "crosscut", "joint"]
    assert works(sheet, "A") == ["glue", "plane", "rip", "square", "crosscut"]
    glue = next(run for run in sheet.runs if run.work == "glue")
    assert [(lot.form, lot.count) for lot in glue.takes] == [(Form.PIECE, 8)]
    assert [(lot.form, lot.count) for lot in glue.gives] == [(Form.PANEL, 2)]


@pytest.mark.parametrize(("strip", "quantity"), [(None, 2), (70 * MM, 1), (140 * MM, 3)])
def test_the_books_of_a_panel_add_up(strip: int | None, quantity: int) -> None:
    job = a_table(strip, quantity)
    assert check_ledger(run_sheet_json(make_plan(job, SHOP), Show.MM), facts_of(job, SHOP)) == []


def test_the_books_see_a_panel_of_another_width_than_its_strips() -> None:
    job = a_table()
    sheet = run_sheet_json(make_plan(job, SHOP), Show.MM)
    glue = next(run for run in sheet["runs"] if run["work"] == "glue")
    glue["gives"][0]["size"]["width"]["nm"] += 1
    assert check_ledger(sheet, facts_of(job, SHOP))


def test_a_shop_that_glues_nowhere_says_so() -> None:
    shop = replace(SHOP, stations=tuple(one for one in SHOP.stations if "glue" not in one.work))
    sheet = make_plan(a_table(), shop)
    assert any("work called glue" in remark.text for remark in sheet.warnings)
    assert works(sheet, "A") == []


def test_a_part_wider_than_any_board_is_told_how_it_is_made() -> None:
    job = a_job(a_part("A", 1, (600, 400, 20)), stock=(a_board(6, (2400, 150, 27)),))
    told = [remark.text for remark in make_plan(job, SHOP).warnings if remark.about == "A"]
    assert any('made = "panel"' in text for text in told)
    assert not any("panel" in remark.text for remark in make_plan(a_table(), SHOP).warnings)


def test_wood_written_with_a_capital_is_the_same_wood() -> None:
    board = a_board(6, (2400, 150, 27), material="ash")
    job = a_job(a_part("A", 1, (600, 400, 20), material="Ash"), stock=(board,))
    assert any('made = "panel"' in remark.text for remark in make_plan(job, SHOP).warnings)


def test_a_part_list_says_which_parts_are_panels() -> None:
    rows = "name,qty,l,w,t,made,strip\nTop,1,600,400,20,panel,90\nRail,2,300,80,20,,"
    top, rail = read_part_list(rows).parts
    assert (top.made, top.strip) == (Made.PANEL, 90 * MM)
    assert (rail.made, rail.strip) == (Made.WHOLE, None)


def test_a_sheet_is_not_glued_from_strips() -> None:
    with pytest.raises(StopwrightError, match="not glued from strips"):
        a_part("A", 1, (600, 400, 20), kind=Kind.SHEET, made=Made.PANEL)


def test_a_strip_needs_a_width() -> None:
    with pytest.raises(StopwrightError, match="strip"):
        a_part("A", 1, (600, 400, 20), made=Made.PANEL, strip=0)


def test_an_edge_is_moulded_once_the_panel_has_its_size_and_on_what_is_sawn_from_boards_while_it_is_long() -> None:
    nosing = Moulding("P1", ("A", "B"), (Pass("cove 12", mm(8), mm(12)),), (Side.EDGE,))
    job = replace(a_table(), mouldings=(nosing,))
    sheet = make_plan(job, SHOP)
    (long, sized) = (run for run in sheet.runs if run.work == "mould")
    assert [[one.mark for one in run.pieces] for run in (long, sized)] == [["B"], ["A"]]
    assert (long.note, sized.note) == ("P1: face edge; run long, crosscut after", "P1: face edge")
    assert {lot.form for lot in long.takes} == {Form.STRIP}
    assert [(lot.form, lot.count, lot.length, lot.width) for lot in sized.takes] == [(Form.PIECE, 2, mm(600), mm(400))]
    assert works(sheet, "A")[-2:] == ["crosscut", "mould"]
    assert check_ledger(run_sheet_json(sheet, Show.MM), facts_of(job, SHOP)) == []
