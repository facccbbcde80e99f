"""The plans to choose between: none beaten by another, each made again by its choices."""

from dataclasses import replace

from tests.builders import a_board, a_job, a_part, a_shop, mm

from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Flow, Job
from stopwright.model.joints import Side
from stopwright.model.parts import Grain, Kind
from stopwright.model.stock import StockKind
from stopwright.plan.choices import Choices
from stopwright.plan.operations.groove import Groove
from stopwright.plan.operations.lap import Bridle
from stopwright.plan.operations.tenon import Tenon
from stopwright.plan.plan import make_plan
from stopwright.plan.weighing.alternatives import alternatives, choices_to_try, figures
from stopwright.plan.weighing.reasons import reasons

PLY = a_board(2, (1000, 500, 18), kind=StockKind.SHEET)


def test_no_alternative_beats_another_and_each_is_a_whole_plan() -> None:
    parts = (a_part("A", 4, (450, 60, 22)), a_part("B", 3, (450, 38, 22)), a_part("C", 2, (300, 38, 22)))
    job, shop = a_job(*parts, stock=(a_board(4),)), a_shop()
    found = alternatives(job, shop)
    assert {one.choices.flow for one in found} == set(Flow)
    for one in found:
        assert figures(make_plan(job, shop, one.choices), one.choices) == one
        for other in found:
            same_flow = one is not other and one.choices.flow is other.choices.flow
            assert not same_flow or any(mine < yours for mine, yours in zip(one.costs, other.costs, strict=True))


def test_turning_a_piece_that_saves_a_sheet_is_offered_against_the_settings_it_costs() -> None:
    # 480 × 200: on 1000 × 500 (trim 5: 990 × 490) two strips of two unturned, 4; turned strips are 480 wide:
    # 990 takes four pieces of 200 with 3.2 between (809.6), 4 as well; 5 pieces need two sheets either way,
    # but 480 × 300: one strip of two unturned; turned 480-wide strip holds three of 300 (906.4)
    part = a_part("A", 3, (480, 300, 18), kind=Kind.SHEET, grain=Grain.ANY)
    job = a_job(part, stock=(PLY,))
    straight = make_plan(job, a_shop(), Choices(may_turn=False))
    turned = make_plan(job, a_shop(), Choices(may_turn=True))
    assert (straight.wood.boards_used, turned.wood.boards_used) == (2, 1)
    assert make_plan(job, a_shop()).wood.boards_used == 1
    rips = {run.stops[0].target for run in turned.runs if run.work == "rip"}
    assert rips == {part.length}


def test_one_width_a_board_takes_more_boards_and_fewer_handlings() -> None:
    parts = (a_part("A", 4, (450, 60, 22)), a_part("B", 3, (450, 38, 22)))
    job = a_job(*parts, stock=(a_board(4),))
    mixed = figures(make_plan(job, a_shop()), Choices())
    single = figures(make_plan(job, a_shop(), Choices(mix_widths=False)), Choices(mix_widths=False))
    assert single.boards >= mixed.boards
    assert single.boards == 2


def test_the_sheet_says_how_many_flip_stops_would_set_nothing_twice() -> None:
    sizes = ((450, 84), (720, 84), (450, 60), (720, 60))
    parts = [a_part(chr(65 + i), 1, (length, width, 22)) for i, (length, width) in enumerate(sizes)]
    # the ring of two widths and two lengths needs two stops (see plan/ordering/flip_stops.py)
    assert "2 flip stops would set nothing twice; this saw has 2." in make_plan(a_job(*parts), a_shop()).notes[0]


SIDE = a_part("A", 4, (400, 120, 12))
GROOVE = Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(10), width=mm(6), depth=mm(6),
                station="saw")  # fmt: skip
OWNS_STRIPS = replace(default_shop(), shims=(mm(2.8),))


def test_the_plan_without_strips_is_one_of_the_alternatives_with_what_they_save() -> None:
    job = Job("grooved", (SIDE,), cuts=(GROOVE,))
    for flow in Flow:
        here = [one for one in alternatives(job, OWNS_STRIPS) if one.choices.flow is flow]
        (with_them,) = [one for one in here if one.choices.strips]
        (without,) = [one for one in here if not one.choices.strips]
        assert (with_them.strips, without.strips) == (1, 0)
        assert without.settings.made == with_them.settings.made + 1
        sheet = make_plan(job, OWNS_STRIPS, without.choices)
        assert not [run for run in sheet.runs if run.spacer] and not sheet.spacers


def test_where_no_strip_is_used_there_is_no_plan_without() -> None:
    job = Job("plain", (SIDE,))
    assert all(choices.strips for choices in choices_to_try(job, OWNS_STRIPS))
    in_one_pass = Job("grooved", (SIDE,), cuts=(replace(GROOVE, station="spindle"),))
    assert all(one.choices.strips for one in alternatives(in_one_pass, OWNS_STRIPS))


def test_a_run_says_what_its_strip_saves() -> None:
    sheet = make_plan(Job("grooved", (SIDE,), cuts=(GROOVE,)), OWNS_STRIPS)
    told = dict(zip((run.number for run in sheet.runs), reasons(sheet, OWNS_STRIPS), strict=True))
    (run,) = [run for run in sheet.runs if run.spacer]
    assert "A strip of 2.8 mm saves setting the rip fence once more, 1 min." in told[run.number]


def test_a_block_that_brings_the_stop_within_reach_saves_nothing_and_says_so() -> None:
    tenon = Tenon(mark="N1", parts=("A",), length=mm(15), thickness=mm(4))
    sheet = make_plan(Job("tenons", (SIDE,), cuts=(tenon,)), OWNS_STRIPS)  # 15 less 3.2, and the stop begins at 20
    told = dict(zip((run.number for run in sheet.runs), reasons(sheet, OWNS_STRIPS), strict=True))
    (run, *_) = [run for run in sheet.runs if run.spacer]
    assert "Nearer than fence or stop goes: a block of 10 mm lies in between." in told[run.number]


def test_a_shop_without_strips_sets_the_fence_for_every_cheek_of_a_bridle() -> None:
    stiles = (a_part("A", 4, (500, 60, 24)), a_part("B", 4, (400, 60, 24)))
    job = Job("bridled", stiles, cuts=(Bridle(mark="B1", parts=("A", "B"), thickness=mm(8), from_face=mm(9)),))
    places = {
        strips: {
            stop.target
            for run in make_plan(job, default_shop(), Choices(strips=strips)).runs
            for stop in run.stops
            if run.work == "lap" and stop.sets == "width"
        }
        for strips in (True, False)
    }
    assert places == {True: {mm(17)}, False: {mm(17), mm(13.8), mm(9), mm(5.8)}}
