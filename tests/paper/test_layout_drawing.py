"""Layouts on paper: to scale, every piece and cut there, nothing outside."""

from dataclasses import replace
from itertools import pairwise

from tests.paper.sheets import board_layout

from stopwright.lengths import MM
from stopwright.paper.drawing import Blocks, Circle, Drawing, Shape, Words
from stopwright.paper.layout_drawing import layout_drawing
from stopwright.plan.run_sheet import Cut, Layout, Placement


def sheet_layout() -> Layout:
    seats = tuple(Placement("D", (5 + 363 * n) * MM, 5 * MM, 360 * MM, 360 * MM) for n in range(6))
    cuts = (
        Cut(1, "rip", 365 * MM, 0, 2440 * MM),
        *(Cut(2 + n, "crosscut", (365 + 363 * n) * MM, 0, 365 * MM) for n in range(6)),
    )
    return Layout(0, "birch plywood", 2440 * MM, 1220 * MM, 18 * MM, 1, seats, cuts)


def filled(drawing: Drawing) -> list[Shape]:
    return [item for item in drawing.items if isinstance(item, Shape) and item.fill == 0.9]


def test_pieces_are_drawn_to_scale() -> None:
    drawing = layout_drawing(sheet_layout(), 180)
    wood = next(item for item in drawing.items if isinstance(item, Shape))
    scale = (wood.points[1][0] - wood.points[0][0]) / 2440
    assert abs((wood.points[2][1] - wood.points[1][1]) / 1220 - scale) < 1e-9
    for nth, piece in enumerate(filled(drawing)):
        (left, top), (right, _), (_, bottom), _ = piece.points
        assert abs((right - left) - 360 * scale) < 1e-9
        assert abs((bottom - top) - 360 * scale) < 1e-9
        assert abs((left - wood.points[0][0]) - (5 + 363 * nth) * scale) < 1e-9


def test_every_piece_bears_its_mark_and_every_cut_its_number() -> None:
    words = [item.text for item in layout_drawing(sheet_layout(), 180).items if isinstance(item, Words)]
    assert words.count("D") == 6
    assert words.count("360 × 360 mm") == 6
    assert {"1", "2", "3", "4", "5", "6", "7"} <= set(words)


def test_the_cuts_of_a_narrow_strip_are_numbered_in_sum() -> None:
    # 2400 on about 166 mm: a strip 49 wide is drawn 3.4 wide
    words = [item.text for item in layout_drawing(board_layout(), 180).items if isinstance(item, Words)]
    assert "2–5" in words
    assert "1" in words


def test_nothing_is_drawn_outside_the_width_it_was_given() -> None:
    wide = replace(board_layout(), width=20 * MM)
    for layout in (board_layout(), sheet_layout(), wide):
        for width in (60, 120, 180):
            drawing = layout_drawing(layout, width)
            for item in drawing.items:
                if isinstance(item, Shape):
                    assert all(-0.01 <= x <= width + 0.01 for x, _ in item.points)
                elif isinstance(item, Circle):
                    assert item.x + item.radius <= width + 0.01
                else:
                    assert not isinstance(item, Blocks)


def test_the_drawing_says_in_words_what_is_seen() -> None:
    assert layout_drawing(board_layout(), 180).about == "ash 2400 × 180 × 45 mm: 4 A"


def test_the_numbers_of_rips_close_to_each_other_do_not_lie_on_each_other() -> None:
    cuts = tuple(Cut(nth, "rip", place * MM, 0, 2440 * MM) for nth, place in enumerate((60, 80, 100, 1200, 1215), 1))
    drawing = layout_drawing(replace(sheet_layout(), cuts=cuts), 180)
    numbers = sorted((item for item in drawing.items if isinstance(item, Circle)), key=lambda item: item.y)
    assert all(one.y + one.radius <= two.y - two.radius + 1e-9 for one, two in pairwise(numbers))
    assert numbers[0].y - numbers[0].radius >= 0 and numbers[-1].y + numbers[-1].radius <= drawing.height
    assert [item.text for item in drawing.items if isinstance(item, Words) and item.text in "12345"] == list("12345")
