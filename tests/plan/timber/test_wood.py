"""Which wood is taken: the shelf first, and what is said of wood that is left."""

from tests.builders import a_board, a_job, a_part, a_saw, a_shop

from stopwright.model.parts import Grain, Kind
from stopwright.model.stock import StockKind
from stopwright.plan.plan import make_plan

SHEET = StockKind.SHEET


def test_a_piece_is_turned_where_an_offcut_then_saves_a_new_sheet() -> None:
    # 640 across does not go into the offcut of 500, but turned it lies along its 900
    part = a_part("A", 1, (210, 640, 18), kind=Kind.SHEET, grain=Grain.ANY)
    whole, rest = (
        a_board(3, (1500, 1500, 18), kind=SHEET),
        a_board(1, (900, 500, 18), kind=StockKind.OFFCUT, sheet=True),
    )
    (layout,) = make_plan(a_job(part, stock=(whole, rest)), a_shop(a_saw())).wood.layouts
    assert (layout.stock, layout.placements[0].turned) == (1, True)
    (layout,) = make_plan(a_job(part, stock=(whole,)), a_shop(a_saw())).wood.layouts
    assert not layout.placements[0].turned
