"""Strips of one width each: the optimum of two problems of lengths, held against every way to lay the pieces."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.plan.cutting.sheet_fill import Cutting, Kind
from stopwright.plan.cutting.sheet_layouts import Zone
from stopwright.plan.cutting.sheet_repack import Packing
from stopwright.plan.cutting.sheet_widths import lay_straight, widths_of
from stopwright.plan.cutting.sheets import lay_out_sheets

EXACT: dict[str, Any] = {"exact_strips": True, "along": "length"}
ROOMS = st.lists(st.tuples(st.integers(6, 12), st.integers(4, 9)), min_size=1, max_size=2, unique=True)
PIECES = st.lists(st.tuples(st.integers(2, 6), st.integers(1, 4)), min_size=1, max_size=6)


def cutting_of(pieces: list[tuple[int, int]], kinds: list[Kind]) -> Cutting:
    types = sorted(set(pieces))
    return Cutting(
        tuple((along, across, False) for along, across in types),
        tuple(pieces.count(one) for one in types),
        tuple(kinds),
        0,
        2,
        True,
        (False,),
    )


def laid_straight(pieces: list[tuple[int, int]], kinds: list[Kind]) -> tuple[Packing | None, int]:
    widths = widths_of(cutting_of(pieces, kinds))
    assert widths is not None
    return lay_straight(widths, None)


def fewest_of_all_ways(pieces: list[tuple[int, int]], rooms: list[tuple[int, int]], turned: bool = False) -> int:
    """Every piece into every strip of its width that has room, into a new strip of every sheet, into a new sheet."""
    best = len(pieces) + 1
    order = sorted(pieces, reverse=True)

    def lay(n: int, sheets: list[tuple[int, int, list[tuple[int, int]]]]) -> None:
        nonlocal best
        if len(sheets) >= best:
            return
        if n == len(order):
            best = len(sheets)
            return
        for along, across in {order[n], order[n][::-1]} if turned else {order[n]}:
            for s, (long, left, strips) in enumerate(sheets):
                for i, (width, used) in enumerate(strips):
                    if width == across and used + along <= long:
                        put = [*strips[:i], (width, used + along), *strips[i + 1 :]]
                        lay(n + 1, [*sheets[:s], (long, left, put), *sheets[s + 1 :]])
                if across <= left and along <= long:
                    opened = (long, left - across, [*strips, (across, along)])
                    lay(n + 1, [*sheets[:s], opened, *sheets[s + 1 :]])
            for long, wide in rooms:
                if along <= long and across <= wide:
                    lay(n + 1, [*sheets, (long, wide - across, [(across, along)])])

    lay(0, [])
    return best


@settings(max_examples=150, deadline=None)
@given(PIECES, ROOMS)
def test_the_bound_never_exceeds_the_optimum_and_sheets_of_one_length_reach_it(
    pieces: list[tuple[int, int]], rooms: list[tuple[int, int]]
) -> None:
    fitting = [one for one in pieces if any(one[0] <= long and one[1] <= wide for long, wide in rooms)]
    if not fitting:
        return
    optimum = fewest_of_all_ways(fitting, rooms)
    packing, least = laid_straight(fitting, [Kind(*room, None, False, ()) for room in rooms])
    assert least <= optimum
    if packing is None:
        assert len({long for long, _ in rooms}) == 2
    else:
        assert len(packing.patterns) == least == optimum
        assert sorted(p[3:5] for pattern in packing.patterns for p in pattern.placed) == sorted(fitting)
    plan = lay_out_sheets(
        [(along, across, 1, False) for along, across in fitting], [(*room, None) for room in rooms], **EXACT
    )
    assert plan.least_possible <= optimum <= plan.sheets_used


def test_sheets_that_run_out_or_have_zones_give_a_bound_only() -> None:
    pieces = [(6, 2)] * 4  # a strip of 10 holds one, a sheet of 5 two strips: two sheets
    assert laid_straight(pieces, [Kind(10, 5, 1, False, ())]) == (None, 0)  # not all are placed at all
    assert laid_straight(pieces, [Kind(10, 5, None, False, (Zone(0, 0, 1, 1),))]) == (None, 2)
    assert laid_straight(pieces, [Kind(10, 5, None, True, ())]) == (None, 2)


def test_what_pieces_in_fractions_leave_open_is_proven_by_whole_strips() -> None:
    # Strips of 100: four of 40 (53 lies once), five of 23 (44 twice), two of 49 (45 twice). Of 40 and 49 only two lie
    # on a sheet of 100, with no room for 23 beside them; a sheet with one of them holds two of 23, an empty one four.
    # Four sheets with 2, 2, 1, 1 or 2, 2, 2, 0 of them hold four of 23, not five. By area 3.7 sheets would do.
    plan = lay_out_sheets([(53, 40, 4, False), (44, 23, 9, False), (45, 49, 3, False)], [(100, 100, None)], **EXACT)
    assert (plan.sheets_used, plan.least_possible, plan.proven) == (5, 5, True)


def test_whole_strips_find_the_sheet_that_piece_by_piece_is_missed() -> None:
    # 27 + 27 + 22 + 22, 27 + 27 + 22 + 21 and 27 + 27 + 21 + 21 of 100: every strip on three sheets.
    plan = lay_out_sheets([(57, 21, 3, False), (84, 27, 6, False), (51, 22, 3, False)], [(100, 100, None)], **EXACT)
    assert (plan.sheets_used, plan.least_possible, plan.proven) == (3, 3, True)


def test_turned_pieces_never_need_more_sheets_than_straight_ones() -> None:
    pieces = [(17, 9, 7), (23, 8, 5), (11, 6, 9), (29, 7, 6), (13, 12, 4)]
    used = {
        turn: lay_out_sheets([(*piece, turn) for piece in pieces], [(60, 40, None)], **EXACT).sheets_used
        for turn in (False, True)
    }
    assert used[True] <= used[False]
