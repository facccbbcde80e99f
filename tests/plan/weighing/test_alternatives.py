"""The plans to choose between: none beaten by another, each made again by its choices."""

from tests.builders import a_board, a_job, a_part, a_shop

from stopwright.model.job import Flow
from stopwright.model.parts import Grain, Kind
from stopwright.model.stock import StockKind
from stopwright.plan.choices import Choices
from stopwright.plan.plan import make_plan
from stopwright.plan.weighing.alternatives import alternatives, figures

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


def test_one_width_a_board_takes_more_boards_and_fewer_touches() -> None:
    parts = (a_part("A", 4, (450, 60, 22)), a_part("B", 3, (450, 38, 22)))
    job = a_job(*parts, stock=(a_board(4),))
    mixed = figures(make_plan(job, a_shop()), Choices())
    single = figures(make_plan(job, a_shop(), Choices(mix_widths=False)), Choices(mix_widths=False))
    assert single.boards >= mixed.boards
    assert single.boards == 2


def test_the_sheet_says_how_many_flip_stops_would_set_nothing_twice() -> None:
    sizes = ((450, 84), (720, 84), (450, 60), (720, 60))
    parts = [a_part(chr(65 + i), 1, (length, width, 22)) for i, (length, width) in enumerate(sizes)]
    # the ring of two widths and two lengths needs two stops (see plan/flip_stops.py)
    assert "2 flip stops would set nothing twice; this saw has 2." in make_plan(a_job(*parts), a_shop()).notes[0]
