"""What is bought: wood without a number as it is sold, parts without wood as blanks, in the measures of the trade."""

from fractions import Fraction

from tests.builders import a_board, a_job, a_part, a_shop, mm

from stopwright.model.parts import Kind
from stopwright.model.stock import StockKind
from stopwright.plan.plan import make_plan
from stopwright.plan.timber.buying import Purchase, totals, what_to_buy


def bought(job):
    return what_to_buy(job, make_plan(job, a_shop()))


def test_wood_on_hand_is_not_bought():
    assert bought(a_job(a_part(), stock=(a_board(2),))) == ()


def test_boards_without_a_number_are_bought_as_many_as_are_used_at_their_price():
    # eight pieces of 1000: two from each board of 2400 with trims, one strip of 60 beside the other in 150
    job = a_job(a_part(quantity=8, size=(1000, 60, 22)), stock=(a_board(None, price=30.0),))
    (line,) = bought(job)
    assert (line.count, line.length, line.price, line.cost) == (2, mm(2400), 30.0, 60.0)
    assert line.running_metres == Fraction("4.8") and line.square_metres == Fraction("0.72")


def test_parts_that_find_no_wood_are_bought_as_blanks_and_alike_ones_together():
    job = a_job(a_part("A", 4), a_part("B", 2), a_part("C", 1, (900, 60, 22)), a_part("D", 1, kind=Kind.SHEET))
    lines = bought(job)
    assert [(line.marks, line.count, line.sheet) for line in lines] == [
        (("C",), 1, False),
        (("A", "B"), 6, False),
        (("D",), 1, True),
    ]
    assert lines[1].length == mm(450 + 25) and lines[1].width == mm(60 + 6)  # rough over finished
    assert lines[2].board_feet is None


def test_totals_say_how_many_lines_have_no_price():
    lines = (
        Purchase("ash", False, 3, mm(2540), mm(254), mm(25.4), price=20.0),  # 100 x 10 x 1 in = 6.94 board feet each
        Purchase("birch plywood", True, 1, mm(2440), mm(1220), mm(18)),
    )
    sums = totals(lines)
    assert sums.board_feet == Fraction(3 * 1000, 144)
    assert sums.running_metres == Fraction("7.62") + Fraction("2.44")
    assert sums.square_metres == Fraction("7.62") * Fraction("0.254") + Fraction("2.44") * Fraction("1.22")
    assert (sums.pieces, sums.cost, sums.unpriced) == (4, 60.0, 1)


def test_an_offcut_from_the_shelf_costs_nothing():
    job = a_job(a_part(quantity=1), stock=(a_board(1, (600, 100, 27), kind=StockKind.OFFCUT), a_board(None)))
    assert bought(job) == ()
