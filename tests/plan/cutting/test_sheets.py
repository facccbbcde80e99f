"""Sheets laid out for the saw: counts, kerf, trims, turning, zones, stages, and what is left over."""

import itertools
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.plan.sheet_checker import check_plan

from stopwright.plan.cutting import SheetKind, Zone, lay_out_sheets
from stopwright.plan.effort import Steps


def checked(pieces, sheets, **rest):
    plan = lay_out_sheets(pieces, sheets, **rest)
    keep = {k: rest[k] for k in ("kerf", "trim", "stages", "exact_strips") if k in rest}
    check_plan(plan, pieces, sheets, **keep)
    return plan


def test_eight_shelves_of_a_bookcase_fit_one_sheet_with_kerf():
    # 3 × 800 + 2 × 4 = 2408 of 2430, 3 × 300 + 2 × 4 = 908 of 1210: nine places for eight shelves.
    plan = checked([(800, 300, 8, False)], [(2440, 1220, None)], kerf=4, trim=5)
    assert (plan.sheets_used, plan.least_possible, plan.proven) == (1, 1, True)


def test_the_kerf_is_lost_between_pieces_and_not_at_the_far_edge():
    # 4 × 100 + 3 × 3 = 409.
    assert checked([(100, 50, 4, False)], [(409, 50, None)], kerf=3).sheets_used == 1
    assert checked([(100, 50, 4, False)], [(408, 50, None)], kerf=3).sheets_used == 2


def test_trim_is_taken_off_all_four_edges():
    assert checked([(100, 50, 1, False)], [(110, 60, None)], kerf=3, trim=5).sheets_used == 1
    assert checked([(100, 50, 1, False)], [(109, 60, None)], kerf=3, trim=5).unplaced == ((0, 1),)
    assert checked([(100, 50, 1, False)], [(110, 59, None)], kerf=3, trim=5).unplaced == ((0, 1),)


def test_a_piece_turns_only_when_its_grain_allows():
    assert checked([(50, 100, 1, False)], [(100, 50, None)]).unplaced == ((0, 1),)
    plan = checked([(50, 100, 1, True)], [(100, 50, None)])
    assert plan.unplaced == ()
    assert plan.layouts[0].placements[0].turned


def test_pieces_that_fit_no_sheet_are_named_and_the_rest_is_planned():
    plan = checked([(3000, 100, 2, True), (500, 100, 3, False)], [(2440, 1220, None)], kerf=3)
    assert plan.unplaced == ((0, 2),)
    assert (plan.sheets_used, plan.proven) == (1, True)


def test_a_stock_that_runs_out_leaves_pieces_unplaced():
    plan = checked([(100, 100, 9, False)], [(200, 200, 2)])
    assert plan.unplaced == ((0, 1),)
    assert plan.sheets_used == 2


def test_two_stages_need_more_sheets_than_three_where_blocks_are_stacked():
    # Full height 40 beside two pieces of 20 stacked: one sheet in three stages, two strips of 40 in two.
    pieces = [(30, 40, 1, False), (30, 20, 2, False)]
    assert checked(pieces, [(60, 40, None)], stages=3, along="length").sheets_used == 1
    assert checked(pieces, [(60, 40, None)], stages=2, along="length").sheets_used == 2


def test_exact_strips_hold_pieces_of_one_width_only():
    pieces = [(50, 20, 1, False), (50, 10, 1, False)]
    assert checked(pieces, [(100, 20, None)], along="length").sheets_used == 1
    assert checked(pieces, [(100, 20, None)], exact_strips=True, along="length").sheets_used == 2
    plan = checked(pieces, [(100, 30, None)], exact_strips=True, along="length")
    assert plan.sheets_used == 1
    assert {c.position for c in plan.layouts[0].cuts if c.direction == "rip"} == {20}


def test_the_first_cuts_run_in_the_direction_asked_for():
    pieces = [(40, 10, 3, False), (20, 10, 4, False)]
    for along, first in (("length", "rip"), ("width", "crosscut")):
        plan = checked(pieces, [(100, 40, None)], along=along, kerf=1)
        assert {c.direction for layout in plan.layouts for c in layout.cuts if c.stage == 1} <= {first}


def test_a_knot_divides_the_strip_that_crosses_it():
    # The knot from 100 to 130 leaves 100 before it and 170 behind it; 100 ends where the knot begins.
    board = SheetKind(300, 50, 1, zones=(Zone(100, 20, 30, 10),))
    plan = checked([(100, 50, 1, False), (170, 50, 1, False)], [board], kerf=3, along="length")
    assert plan.unplaced == ()
    assert checked([(101, 50, 1, False), (170, 50, 1, False)], [board], kerf=3, along="length").unplaced


def test_a_split_along_the_edge_moves_the_strip_beside_it():
    board = SheetKind(300, 60, 1, zones=(Zone(0, 0, 300, 10),))
    plan = checked([(300, 50, 1, False)], [board], kerf=3, along="length")
    assert plan.unplaced == ()
    assert plan.layouts[0].placements[0].y == 10


def test_offcuts_from_the_shelf_are_used_before_a_fresh_sheet_is_opened():
    plan = checked([(100, 50, 1, False)], [(2440, 1220, None), SheetKind(200, 60, 1, prefer=True)], kerf=3)
    assert [layout.sheet for layout in plan.layouts] == [1]


def test_of_two_sizes_the_smaller_is_taken_where_it_serves():
    plan = checked([(900, 900, 1, False)], [(2440, 1220, None), (1525, 1525, None), (1000, 1000, None)])
    assert [layout.sheet for layout in plan.layouts] == [2]


def test_nothing_to_cut_needs_no_sheet():
    plan = checked([], [(100, 100, None)])
    assert (plan.sheets_used, plan.least_possible, plan.proven, plan.layouts) == (0, 0, True, ())


def test_no_stock_leaves_everything_unplaced():
    assert checked([(10, 10, 2, False)], []).unplaced == ((0, 2),)


@pytest.mark.parametrize("bad", [{"kerf": -1}, {"trim": -1}, {"stages": 4}])
def test_impossible_settings_are_refused(bad):
    with pytest.raises(ValueError):
        lay_out_sheets([(1, 1, 1, False)], [(2, 2, None)], **bad)


lines = st.lists(
    st.tuples(st.integers(1, 40), st.integers(1, 30), st.integers(1, 4), st.booleans()), min_size=1, max_size=6
)
zones = st.lists(st.tuples(st.integers(0, 50), st.integers(0, 30), st.integers(1, 12), st.integers(1, 12)), max_size=3)
stock = st.lists(
    st.builds(
        lambda length, width, count, zones, prefer: SheetKind(length, width, count, tuple(zones), prefer),
        st.integers(10, 60),
        st.integers(10, 40),
        st.one_of(st.none(), st.integers(0, 3)),
        zones,
        st.booleans(),
    ),
    min_size=1,
    max_size=3,
)


@settings(deadline=None, max_examples=60)
@given(
    lines, stock, st.integers(0, 4), st.integers(0, 3), st.sampled_from([2, 3]), st.booleans(),
    st.sampled_from(["length", "width", "either"]),
)  # fmt: skip
def test_every_layout_can_be_cut_as_written(pieces, sheets, kerf, trim, stages, exact, along):
    checked(pieces, sheets, kerf=kerf, trim=trim, stages=stages, exact_strips=exact, along=along, effort=Steps(40))


@settings(deadline=None, max_examples=15)
@given(lines, st.integers(0, 3), st.sampled_from([2, 3]), st.randoms(use_true_random=False))
def test_the_order_of_the_lines_changes_nothing_but_names(pieces, kerf, stages, shuffler):
    def geometry(plan):
        return sorted(
            (layout.times, sorted((p.x, p.y, p.length, p.width) for p in layout.placements)) for layout in plan.layouts
        )

    pieces = list({piece[:2]: piece for piece in pieces}.values())
    shuffled = pieces[:]
    shuffler.shuffle(shuffled)
    rest = {"kerf": kerf, "stages": stages}
    plan = lay_out_sheets(pieces, [(60, 40, None)], effort=Steps(60), **rest)
    again = lay_out_sheets(shuffled, [(60, 40, None)], effort=Steps(60), **rest)
    assert geometry(plan) == geometry(again)


def fits_strips(items, length, width, kerf):
    """Whether all items fit one sheet in strips along the length; every division into strips is tried."""
    if not items:
        return True
    tall = max(w for _, w in items)
    if tall > width:
        return False
    # The widest item opens a strip; any subset with it that fits the length may share it.
    first = next(i for i, item in enumerate(items) if item[1] == tall)
    others = [item for i, item in enumerate(items) if i != first]
    for mask in range(1 << len(others)):
        inside = [o for i, o in enumerate(others) if mask >> i & 1]
        if items[first][0] + sum(long + kerf for long, _ in inside) <= length:
            rest = [o for i, o in enumerate(others) if not mask >> i & 1]
            if fits_strips(rest, length, width - tall - kerf, kerf):
                return True
    return False


def fewest_sheets(items, length, width, kerf):
    """The fewest sheets for two stages by trying every way to share the items out."""
    fits = [
        fits_strips([i for n, i in enumerate(items) if mask >> n & 1], length, width, kerf)
        for mask in range(1 << len(items))
    ]
    best = [0] * (1 << len(items))
    for mask in range(1, 1 << len(items)):
        low = mask & -mask
        sub, least = mask, len(items)
        while sub:
            if sub & low and fits[sub]:
                least = min(least, best[mask ^ sub] + 1)
            sub = (sub - 1) & mask
        best[mask] = least
    return best[-1]


def test_tiny_cases_equal_brute_force_and_the_bound_stays_below():
    maker = random.Random(7)
    for _, kerf in itertools.product(range(12), (0, 2)):
        items = [(maker.randint(5, 30), maker.randint(5, 20)) for _ in range(6)]
        least = fewest_sheets(items, 40, 30, kerf)
        plan = checked(
            [(long, w, 1, False) for long, w in items], [(40, 30, None)], kerf=kerf, along="length", effort=Steps(300)
        )
        assert plan.sheets_used == least
        assert plan.least_possible <= least
