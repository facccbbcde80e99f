"""Boards into lengths: hand-sized cases, every layout tried, promises for any job."""

from collections import Counter
from itertools import combinations_with_replacement, product

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp
from tests.plan.cutting.board_checker import faults

from stopwright.plan.cutting import lay_out_boards
from stopwright.plan.cutting.board_kinds import BoardKind
from stopwright.plan.effort import Steps


def test_kerfs_stand_between_pieces_and_trims_at_both_ends():
    # 3 × 100 + 2 × 4 + 2 × 10 = 328
    assert lay_out_boards([(100, 3)], [(328, None)], kerf=4, trim=10).boards_used == 1
    assert lay_out_boards([(100, 3)], [(327, None)], kerf=4, trim=10).boards_used == 2


def test_a_rest_shorter_than_the_kerf_is_dust():
    # 200 + 4 + 200 = 404; of 406 the last 2 go with the blade
    assert [layout.offcut for layout in lay_out_boards([(200, 2)], [(406, None)], kerf=4).layouts] == [0]
    assert [layout.offcut for layout in lay_out_boards([(200, 2)], [(410, None)], kerf=4).layouts] == [2]


def test_pieces_of_a_layout_are_cut_longest_first():
    (layout,) = lay_out_boards([(100, 1), (300, 1), (200, 2)], [(1000, None)], kerf=3).layouts
    assert layout.lengths == (300, 200, 200, 100)


def test_a_piece_longer_than_every_board_is_named_and_the_rest_is_planned():
    plan = lay_out_boards([(2500, 2), (1000, 2)], [(2000 + 3, None)], kerf=3)
    assert plan.unplaced == ((2500, 2),)
    assert (plan.boards_used, plan.least_possible, plan.proven) == (1, 1, True)


def test_when_boards_run_out_as_many_pieces_as_possible_are_placed():
    # one board of 1000: three of 300 rather than one of 900
    plan = lay_out_boards([(900, 1), (300, 3)], [(1000, 1)], kerf=0)
    assert plan.unplaced == ((900, 1),)
    assert plan.proven


def test_no_boards_at_all_leaves_everything_unplaced():
    plan = lay_out_boards([(900, 1), (300, 3)], [], kerf=3)
    assert plan.unplaced == ((900, 1), (300, 3))
    assert (plan.boards_used, plan.layouts) == (0, ())


def test_nothing_to_cut_needs_no_board():
    plan = lay_out_boards([], [(1000, None)], kerf=3)
    assert (plan.boards_used, plan.least_possible, plan.proven, plan.layouts) == (0, 0, True, ())


def test_the_shorter_board_is_taken_where_it_does():
    plan = lay_out_boards([(700, 1), (900, 1)], [(2000, None), (1000, None), (750, None)], kerf=0)
    # one board is fewest: 700 + 900 out of 2000
    assert [layout.board_length for layout in plan.layouts] == [2000]
    plan = lay_out_boards([(700, 1), (1900, 1)], [(2000, None), (1000, None), (750, None)], kerf=0)
    assert sorted(layout.board_length for layout in plan.layouts) == [750, 2000]


def test_offcuts_from_the_shelf_go_before_new_boards():
    # two offcuts of 600 save the one new board
    plan = lay_out_boards([(500, 2)], [(2000, None), BoardKind(600, 3, prefer=True)], kerf=0)
    assert [(layout.board, layout.times) for layout in plan.layouts] == [(1, 2)]
    assert (plan.boards_used, plan.least_possible, plan.proven) == (2, 2, True)


def test_a_shelf_offcut_that_saves_nothing_stays_on_the_shelf():
    plan = lay_out_boards([(500, 4), (900, 1)], [(3000, None), (600, 1, True)], kerf=0)
    assert [(layout.board_length, layout.times) for layout in plan.layouts] == [(3000, 1)]


def test_lines_of_equal_boards_are_taken_in_their_order():
    plan = lay_out_boards([(900, 4)], [(1000, 1), (1000, 2), (1000, None)], kerf=0)
    assert [(layout.board, layout.times) for layout in plan.layouts] == [(0, 1), (1, 2), (2, 1)]
    assert plan.patterns == 1


@pytest.mark.parametrize(
    ("pieces", "boards", "kerf", "trim"),
    [
        ([(0, 1)], [(10, None)], 0, 0),
        ([(5, -1)], [(10, None)], 0, 0),
        ([(5, 1)], [(0, None)], 0, 0),
        ([(5, 1)], [(10, -1)], 0, 0),
        ([(5, 1)], [(10, None)], -1, 0),
        ([(5, 1)], [(10, None)], 0, -1),
    ],
)
def test_a_length_or_count_that_cannot_be_is_refused(pieces, boards, kerf, trim):
    with pytest.raises(ValueError, match="give"):
        lay_out_boards(pieces, boards, kerf=kerf, trim=trim)


# -- every layout tried ------------------------------------------------------------------------------------------


def fewest_by_trying(lengths, board, kerf):
    """Fewest boards for single pieces: every way to deal them out to so many boards."""
    for boards in range(1, len(lengths) + 1):
        for deal in product(range(boards), repeat=len(lengths)):
            rooms = [board + kerf] * boards
            for length, b in zip(lengths, deal, strict=True):
                rooms[b] -= length + kerf
            if min(rooms) >= 0:
                return boards
    return 0


@settings(deadline=None, max_examples=60)
@given(
    lengths=st.lists(st.integers(2, 20), min_size=1, max_size=6),
    board=st.integers(20, 40),
    kerf=st.integers(0, 2),
)
def test_no_way_of_dealing_pieces_to_boards_takes_fewer(lengths, board, kerf):
    plan = lay_out_boards([(length, 1) for length in lengths], [(board, None)], kerf=kerf)
    assert plan.boards_used == fewest_by_trying(lengths, board, kerf)


def ways_to_cut(lengths, board, kerf):
    for size in range(1, (board + kerf) // (min(lengths) + kerf) + 1):
        for way in combinations_with_replacement(lengths, size):
            if sum(way) + (size - 1) * kerf <= board:
                yield way


def least_by_scipy(pieces, boards, kerf, cost):
    """Least cost over every way of cutting, by another solver's interface: `cost` of one board of each line."""
    lengths = [length for length, _ in pieces]
    columns = [(b, way) for b, (length, _) in enumerate(boards) for way in ways_to_cut(lengths, length, kerf)]
    makes = np.array([[way.count(length) for _, way in columns] for length in lengths])
    takes = np.array([[float(b == line) for b, _ in columns] for line in range(len(boards))])
    held = [np.inf if count is None else count for _, count in boards]
    found = milp(
        [cost[b] for b, _ in columns],
        constraints=[LinearConstraint(makes, lb=[n for _, n in pieces]), LinearConstraint(takes, ub=held)],
        integrality=np.ones(len(columns)),
        bounds=Bounds(0),
        options={"mip_rel_gap": 0.0},
    )
    return round(found.fun) if found.success else None


some_pieces = st.dictionaries(st.integers(5, 30), st.integers(1, 9), min_size=1, max_size=4).map(
    lambda found: sorted(found.items())
)


@settings(deadline=None, max_examples=40)
@given(pieces=some_pieces, board=st.integers(30, 60), kerf=st.integers(0, 3))
def test_a_second_solver_finds_no_plan_with_fewer_boards(pieces, board, kerf):
    plan = lay_out_boards(pieces, [(board, None)], kerf=kerf)
    assert plan.boards_used == least_by_scipy(pieces, [(board, None)], kerf, [1])


@settings(deadline=None, max_examples=40)
@given(pieces=some_pieces, scarce=st.integers(1, 3), kerf=st.integers(0, 3))
def test_with_boards_of_three_lengths_number_comes_before_length(pieces, scarce, kerf):
    boards = [(60, scarce), (47, None), (31, 2)]
    plan = lay_out_boards(pieces, boards, kerf=kerf, effort=Steps(50_000))
    length = sum(layout.board_length * layout.times for layout in plan.layouts)
    best = least_by_scipy(pieces, boards, kerf, [10_000 + length for length, _ in boards])
    assert 10_000 * plan.boards_used + length == best


# -- promises ----------------------------------------------------------------------------------------------------

any_boards = st.lists(
    st.tuples(st.integers(20, 90), st.none() | st.integers(0, 4), st.booleans()), min_size=1, max_size=4
)
any_pieces = st.lists(st.tuples(st.integers(3, 95), st.integers(0, 12)), max_size=8)


@settings(deadline=None, max_examples=80)
@given(pieces=any_pieces, boards=any_boards, kerf=st.integers(0, 4), trim=st.integers(0, 6))
def test_every_plan_can_be_cut(pieces, boards, kerf, trim):
    assert faults(lay_out_boards(pieces, boards, kerf=kerf, trim=trim), pieces, boards, kerf, trim) == []


@settings(deadline=None, max_examples=30)
@given(pieces=any_pieces, boards=any_boards, steps=st.integers(0, 12))
def test_a_plan_stopped_at_any_moment_can_be_cut(pieces, boards, steps):
    plan = lay_out_boards(pieces, boards, kerf=2, trim=1, effort=Steps(steps))
    assert faults(plan, pieces, boards, 2, 1) == []
    assert plan.boards_used >= lay_out_boards(pieces, boards, kerf=2, trim=1).least_possible or plan.unplaced


@settings(deadline=None, max_examples=30)
@given(pieces=any_pieces, boards=any_boards, data=st.data())
def test_the_order_of_the_lines_changes_nothing(pieces, boards, data):
    split = [(length, 1) for length, n in pieces for _ in range(n)]
    shuffled = data.draw(st.permutations(split))
    assert lay_out_boards(pieces, boards, kerf=3) == lay_out_boards(shuffled, boards, kerf=3)


@settings(deadline=None, max_examples=20)
@example([(3, 11)], [(27, None, True), (27, 1, True)])
@given(pieces=any_pieces, boards=any_boards)
def test_the_order_of_what_is_on_hand_changes_no_layout(pieces, boards):
    one, other = (lay_out_boards(pieces, lines, kerf=3) for lines in (boards, boards[::-1]))

    def cut(plan):
        times: Counter[tuple[int, tuple[int, ...]]] = Counter()
        for layout in plan.layouts:
            times[layout.board_length, layout.lengths] += layout.times
        return times

    assert cut(one) == cut(other)
    assert (one.least_possible, one.unplaced) == (other.least_possible, other.unplaced)


@settings(deadline=None, max_examples=20)
@given(pieces=any_pieces, boards=any_boards, scale=st.integers(2, 3_200_000))
def test_the_unit_of_measure_changes_nothing(pieces, boards, scale):
    small = lay_out_boards(pieces, boards, kerf=3, trim=1)
    large = lay_out_boards(
        [(length * scale, n) for length, n in pieces],
        [(length * scale, n, prefer) for length, n, prefer in boards],
        kerf=3 * scale,
        trim=scale,
    )
    assert [(y.times, y.board, *y.lengths) for y in large.layouts] == [
        (y.times, y.board, *(length * scale for length in y.lengths)) for y in small.layouts
    ]
