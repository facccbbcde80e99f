"""The cuts of one sheet in the order of the saw."""

import pytest

from stopwright.plan.cutting.sheet_cuts import NotGuillotine, cut_up
from stopwright.plan.cutting.sheet_layouts import Placement, SheetKind


def test_all_rips_come_before_the_crosscuts_and_the_widest_strip_is_first():
    placed = [Placement(0, 0, 0, 40, 20, False), Placement(1, 0, 23, 50, 30, False)]
    cut = cut_up(placed, SheetKind(100, 60), "rip", kerf=3, trim=0)
    # The strip of 30 moves to the edge, the strip of 20 behind it at 33; 53 is the second rip, 4 are left.
    assert [(c.number, c.direction, c.position, c.stage) for c in cut.cuts] == [
        (1, "rip", 30, 1),
        (2, "rip", 53, 1),
        (3, "crosscut", 50, 2),
        (4, "crosscut", 40, 2),
    ]
    assert [(o.x, o.y, o.length, o.width) for o in cut.offcuts] == [
        (53, 0, 47, 30),
        (43, 33, 57, 20),
        (0, 56, 100, 4),
    ]


def test_the_longest_piece_comes_first_and_a_narrow_one_is_trimmed_last():
    placed = [Placement(0, 0, 0, 40, 30, False), Placement(1, 43, 0, 57, 20, False)]
    cut = cut_up(placed, SheetKind(100, 30), "rip", kerf=3, trim=0)
    assert [(c.direction, c.position, c.strip, c.stage) for c in cut.cuts] == [
        ("crosscut", 57, (0, 0, 100, 30), 2),
        ("rip", 20, (0, 0, 57, 30), 3),
    ]


def test_the_trim_cut_takes_its_kerf_from_the_trimmed_band():
    cut = cut_up([Placement(0, 5, 5, 90, 50, False)], SheetKind(100, 60), "rip", kerf=3, trim=5)
    # 5 − 3 = 2: the blade takes 2 to 5; at the far side it takes 55 to 58 of 60.
    assert [(c.direction, c.position) for c in cut.cuts] == [
        ("rip", 2),
        ("rip", 55),
        ("crosscut", 2),
        ("crosscut", 95),
    ]
    assert cut.offcuts == ()


def test_a_pinwheel_cannot_be_cut_edge_to_edge():
    pinwheel = [(0, 0, 20, 10), (20, 0, 10, 20), (10, 20, 20, 10), (0, 10, 10, 20)]
    placed = [Placement(i, *place, False) for i, place in enumerate(pinwheel)]
    with pytest.raises(NotGuillotine):
        cut_up(placed, SheetKind(30, 30), "rip", kerf=0, trim=0)
