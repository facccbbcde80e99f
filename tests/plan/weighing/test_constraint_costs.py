"""What each constraint costs: one relaxed at a time, the saving worked by hand."""

from dataclasses import replace

from tests.builders import a_board, a_job, a_part, a_planer, a_saw, a_shop, mm

from stopwright.model.job import Flow
from stopwright.model.parts import Grain, Kind
from stopwright.model.stock import StockKind
from stopwright.plan.choices import Choices
from stopwright.plan.plan import make_plan
from stopwright.plan.weighing.constraint_costs import constraint_cost, relaxations

RING = tuple(
    a_part(chr(65 + place), 1, (length, width, 22))
    for place, (length, width) in enumerate([(450, 84), (720, 84), (450, 60), (720, 60)])
)


def costs(job, shop, choices=Choices()):  # noqa: B008
    sheet = make_plan(job, shop, choices)
    return {one.constraint: constraint_cost(one, sheet) for one in relaxations(job, shop, choices)}


def test_a_second_flip_stop_saves_the_setting_that_a_ring_of_sizes_needs_twice() -> None:
    # two widths, two lengths, all four pairs: with one stop a setting is made again (least P + 1 = 5), with two none
    saw = a_saw()
    one_stop = replace(saw, axes=(saw.axes[0], replace(saw.axes[1], holds=1)))
    found = costs(a_job(*RING), a_shop(one_stop), Choices(Flow.PART_BY_PART))
    assert found["1 flip stop"].settings == 1
    assert found["1 flip stop"].relaxed.becomes == "2 of them"
    assert not costs(a_job(*RING), a_shop(saw), Choices(Flow.PART_BY_PART))["2 flip stops"].saves


def test_nearly_equal_lengths_made_equal_save_a_setting_and_the_question() -> None:
    # 450 and 449.6 differ by 0.4, the scale reads 0.5: asked about; equal, one crosscut setting less
    found = costs(a_job(a_part("A", 1, (450, 60, 22)), a_part("B", 1, (449.6, 60, 22))), a_shop(a_saw()))
    cost = found["Nearly equal sizes"]
    assert (cost.settings, cost.warnings) == (1, 1)
    assert cost.relaxed.becomes == "made equal: B"


def test_a_deeper_cut_is_offered_on_narrow_stock_only_and_saves_heights() -> None:
    # 22 from 31.75: 9.75 / 1.6 → 7 heights, 9.75 / 3.2 → 4
    narrow = costs(a_job(a_part("A", 2, (450, 60, 22))), a_shop(a_planer()))
    assert narrow["Planer takes 1.6 mm at most"].settings == 3
    # 136 and 6 of allowance are 142, over 140
    assert not costs(a_job(a_part("A", 2, (450, 136, 22))), a_shop(a_planer()))


def test_turning_saves_a_sheet_where_the_grain_stands_in_the_way() -> None:
    # as in test_alternatives: 3 of 480 × 300 need two sheets of 1000 × 500 along the grain, one when turned
    part = a_part("A", 3, (480, 300, 18), kind=Kind.SHEET, grain=Grain.ALONG)
    job = a_job(part, stock=(a_board(2, (1000, 500, 18), kind=StockKind.SHEET),))
    assert costs(job, a_shop())["Grain of A"].boards == 1


def test_finer_scales_take_away_the_warning_that_the_nearest_mark_is_too_far_off() -> None:
    part = replace(a_part("A", 2, (450.2, 60, 22)), tolerance=mm(0.1))
    found = costs(a_job(part), a_shop(a_saw()))
    assert found["Scales read to 0.5 mm"].warnings == 1
    assert found["Scales read to 0.5 mm"].settings == 0
