"""Pictures of runs on paper: paths as the drawing boards of all operations write them, and what stands at a run."""

from itertools import combinations

import pypdfium2
import pytest
from tests.conftest import ROOT

from stopwright.actions.jobs.file_planning import plan_file
from stopwright.actions.jobs.printing import paper_of
from stopwright.lengths import MM, Show
from stopwright.paper.drawing import Circle, Shape, Words
from stopwright.paper.run_picture import picture_of, strokes
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.plan.pictures.of_runs import pictures_of

JOBS = ("ferry-tables", "library-drawers", "jar-cabinet", "bakery-stools", "picture-frames")


@pytest.mark.parametrize("name", JOBS)
def test_every_group_of_a_run_that_cuts_into_pieces_is_drawn_on_paper_within_its_own_width(name):
    planned = plan_file(ROOT / "fixtures" / name)
    pictures = pictures_of(planned.sheet.runs, planned.job, planned.shop)
    groups = {run: sum(one.down is not None for row in run.pieces for one in row.each) for run in planned.sheet.runs}
    assert {run.number for run, pieces in groups.items() if pieces} <= set(pictures)
    for run, pieces in groups.items():
        boards = pictures.get(run.number, ())
        laid = [board for board in boards if " as it lies" in board.label]
        assert len(laid) == pieces
        assert all(one.drawn != other.drawn for one, other in combinations(boards, 2))  # none is shown twice
        assert len(boards) > len(laid) or not boards  # at least one section at the tool
        for board in boards:
            drawn = picture_of(board, 80, planned.shop.show)
            assert drawn.items and drawn.about
            for item in drawn.items:
                if isinstance(item, Shape):
                    assert all(-5 < x < 85 and -5 < y < drawn.height + 5 for x, y in item.points), board.label


def test_the_printed_run_sheet_carries_the_pictures():
    planned = plan_file(ROOT / "fixtures" / "ferry-tables")
    text = "".join(
        page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(paper_of(planned, "run-sheet"))
    )
    # once under the words of how the piece lies, once in each of its pictures
    assert text.count("face side down") > sum(
        "face" in str(one.down) for run in planned.sheet.runs for one in run.pieces
    )


def test_shapes_lengths_and_round_ends_come_as_they_are_drawn():
    board = Canvas(tall=100)
    board.box("wood", 36, 10, 72, 20)
    board.path("slot now", "M73 77H116a5.4 5.4 0 0 1 0 10.8H73a5.4 5.4 0 0 1 0 -10.8z")
    board.circle("bit", 180, 50, 18)
    board.length_inside(6 * MM, WIDE, 90)
    wood, slot, bit, length = picture_of(board, 36, Show.MM).items
    assert isinstance(wood, Shape) and wood.closed and wood.fill == pytest.approx(0.88)
    assert wood.points == ((3.6, 1), (10.8, 1), (10.8, 3), (3.6, 3))
    assert isinstance(slot, Shape) and slot.fill == pytest.approx(0.45)
    assert max(x for x, _ in slot.points) == pytest.approx(12.14)  # 116 and the radius of 5.4
    assert min(x for x, _ in slot.points) == pytest.approx(6.76)
    assert isinstance(bit, Circle) and bit.radius == pytest.approx(1.8)
    assert isinstance(length, Words) and length.text == "6 mm" and length.x + length.width / 2 == pytest.approx(36)


def test_a_bend_is_drawn_through_its_middle():
    ((points, closed),) = strokes("M0 0Q10 10 20 0")
    assert not closed and (10, 5) in [(round(x, 6), round(y, 6)) for x, y in points]
