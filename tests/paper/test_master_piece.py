"""Master pieces on paper: at their true size, each side as it is seen, all marks from one reference."""

from collections.abc import Iterator
from xml.etree import ElementTree

import pytest
from PIL import Image
from tests.paper.pixels import page_count, page_pixels, page_words

from stopwright.lengths import MM, Show
from stopwright.model.joints import Side
from stopwright.paper.drawing import Drawing, Shape, Words
from stopwright.paper.master_drawing import LONG_SIDES, master_drawing, slotted_sides
from stopwright.paper.master_piece import master_piece_svg, master_pieces_pdf, story_stick_pdf, story_stick_svg
from stopwright.paper.pdf import A4, LETTER
from stopwright.paper.tiling import EDGE, page_room
from stopwright.plan.joinery.master_piece import Mark, MasterPiece, story_stick

BESIDE = {Side.FACE: Side.EDGE, Side.BACK: Side.EDGE}


def mark(number: int, side: Side, start: float, end: float, centre: float = 14) -> Mark:
    reference = "face edge" if side in (Side.MARKED_END, Side.OTHER_END) else "marked end"
    beside = BESIDE.get(side, Side.FACE)
    lengths = (round(start * MM), round(end * MM))
    return Mark(number, side, reference, *lengths, beside, round(centre * MM), 19 * MM, 8 * MM, ("J1",), "left")


def leg(*marks: Mark, length: int = 240, horn: int = 0) -> MasterPiece:
    return MasterPiece("A", "Leg", length * MM, 45 * MM, 38 * MM, horn * MM, marks, 12, 12, 8)


def on_paper(drawing: Drawing, text: str) -> Words:
    return next(item for item in drawing.items if isinstance(item, Words) and item.text == text)


# Outward normal, and the directions of "along" and "across" (away from the side beside) on the piece's own axes.
# x from the marked end, y from the face edge, z from the face side: right-handed.
AXES = {
    Side.FACE: ((0, 0, -1), (1, 0, 0), (0, 1, 0)),
    Side.BACK: ((0, 0, 1), (1, 0, 0), (0, 1, 0)),
    Side.EDGE: ((0, -1, 0), (1, 0, 0), (0, 0, 1)),
    Side.FAR_EDGE: ((0, 1, 0), (1, 0, 0), (0, 0, 1)),
    Side.MARKED_END: ((-1, 0, 0), (0, 1, 0), (0, 0, 1)),
    Side.OTHER_END: ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
}


def slot_middle(drawing: Drawing) -> tuple[float, float]:
    outline = next(item for item in drawing.items if isinstance(item, Shape) and len(item.points) > 8)
    xs, ys = zip(*outline.points, strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


@pytest.mark.parametrize("side", list(AXES))
def test_every_side_is_drawn_as_it_is_seen_from_outside_and_never_as_its_mirror_image(side: Side) -> None:
    def middle(along: float, across: float) -> tuple[float, float]:
        return slot_middle(master_drawing(leg(mark(1, side, along - 5, along + 5, across)), side))

    start, along, across = middle(20, 10), middle(21, 10), middle(20, 11)
    normal, a, c = AXES[side]

    def moves(to: tuple[float, float]) -> tuple[int, int]:
        return round(to[0] - start[0]), -round(to[1] - start[1])  # paper y runs down, up is wanted

    # What lies to the right on the paper, and upwards, as directions on the piece.
    right, up = ([moves(along)[way] * a[n] + moves(across)[way] * c[n] for n in range(3)] for way in (0, 1))
    cross = (
        right[1] * up[2] - right[2] * up[1],
        right[2] * up[0] - right[0] * up[2],
        right[0] * up[1] - right[1] * up[0],
    )
    assert cross == normal  # right × up points at the one who looks, so does the outward normal


def test_the_face_side_has_the_face_edge_down_and_the_marked_end_at_the_right() -> None:
    near = slot_middle(master_drawing(leg(mark(1, Side.FACE, 10, 30, 8)), Side.FACE))
    far = slot_middle(master_drawing(leg(mark(1, Side.FACE, 110, 130, 30)), Side.FACE))
    assert near[0] > far[0]  # nearer to the marked end lies further right
    assert near[1] > far[1]  # nearer to the face edge lies lower


def test_every_figure_is_measured_from_the_reference_and_none_from_another_mark() -> None:
    drawing = master_drawing(leg(mark(1, Side.FACE, 20, 80), mark(2, Side.FACE, 110, 170)), Side.FACE)
    shown = {text: on_paper(drawing, text).x for text in ("20", "80", "110", "170")}
    assert shown == pytest.approx({"20": 220, "80": 160, "110": 130, "170": 70})  # 240 less each
    assert on_paper(
        drawing, "1: 20 to 80, centre 14 from the face edge, 19 deep, bit 8 (J1), mm, all from the marked end"
    )


def dark_columns(page: Image.Image, row: int) -> Iterator[float]:
    shades = page.crop((0, row, page.width, row + 1)).tobytes()
    edges = [x for x in range(1, len(shades)) if (shades[x] < 150) != (shades[x - 1] < 150)]
    return ((begin + end) / 2 / 10 for begin, end in zip(edges[::2], edges[1::2], strict=True))


@pytest.mark.parametrize("page", [A4, LETTER])
def test_lines_lie_at_their_true_distance_from_the_marked_end_over_all_pages(page: tuple[float, float]) -> None:
    master = leg(mark(1, Side.FACE, 20, 80), mark(2, Side.FACE, 400, 470), length=600)
    pdf = master_pieces_pdf([master], page=page)
    room, _ = page_room(page)
    assert page_count(pdf) == 1 + 3  # words, then 600 over 277 (259) and twice 10 less
    found = set()
    for number in range(1, 4):
        pixels = page_pixels(pdf, 254, number)
        # the face side is drawn first: head 9, its name 5.7, then 45 mm of wood; a row above the slots
        for x in dark_columns(pixels, round((EDGE + 9 + 5.7 + 8) * 10)):
            found.add(round(EDGE + room + (number - 1) * (room - 10) - x, 1))
    for wanted in (20, 80, 400, 470, 600):
        assert any(abs(at - wanted) <= 0.2 for at in found)
    assert len({round(at) for at in found}) == 6  # those, and the heavy line at the marked end


def test_the_first_page_says_what_it_serves_and_how_it_is_held() -> None:
    words = " ".join(page_words(master_pieces_pdf([leg(mark(1, Side.BACK, 14, 46))])).split())
    for said in (
        "Master A, Leg",
        "240 × 45 × 38 mm",
        "for 12 pieces as it is drawn and 12 pieces as its mirror image, in 8 runs",
        "With the face side towards you and the face edge down, the marked end is at your right hand",
        "1: 14 to 46, centre 14 from the face edge, 19 deep, bit 8 (J1), from the marked end",
        "face edge on the table, marked end at the left stop; mirror image at the right stop",
        "100 mm, measure before use",
    ):
        assert said in words


def test_a_horn_is_drawn_and_named() -> None:
    master = leg(mark(1, Side.FACE, 60, 90), horn=30)
    drawing = master_drawing(master, Side.FACE)
    assert on_paper(drawing, "horn").x > 240 - 30
    assert "30 mm of it horn" in page_words(master_pieces_pdf([master]))


def test_only_sides_with_marks_are_drawn_in_the_order_of_rolling_the_piece_over() -> None:
    sides = [Side.OTHER_END, Side.FAR_EDGE, Side.EDGE, Side.FACE]
    master = leg(*(mark(n, side, 5, 30) for n, side in enumerate(sides, 1)))
    assert slotted_sides(master) == [Side.FACE, Side.EDGE, Side.FAR_EDGE, Side.OTHER_END]


def test_the_screen_shows_every_mark_in_the_colours_of_the_page() -> None:
    master = leg(*(mark(n, side, 5, 30) for n, side in enumerate(LONG_SIDES, 1)))
    tree = ElementTree.fromstring(master_piece_svg(master, Show.MM))
    texts = [node.text for node in tree.iter() if node.text]
    assert {"1", "2", "3", "4"} <= set(texts)
    colours = {node.attrib[name] for node in tree.iter() for name in ("fill", "stroke") if name in node.attrib}
    assert colours == {"currentColor", "none"}


def test_the_story_stick_names_every_line_with_its_distance() -> None:
    masters = [leg(mark(1, Side.FACE, 14, 46), mark(2, Side.BACK, 14, 80)), leg(length=100)]
    stick = story_stick(masters)
    words = " ".join(page_words(story_stick_pdf(stick)).split())
    for said in ("14 mm slot begins A1, A2", "46 mm slot ends A1", "80 mm slot ends A2"):
        assert said in words
    assert "slot ends A2" in "".join(ElementTree.fromstring(story_stick_svg(stick)).itertext())


def test_a_long_master_in_inches_and_a_strange_name_are_no_trouble() -> None:
    master = MasterPiece(
        "A", "<b>Leg</b> стол", 2000 * MM, 38_100_000, 38_100_000, 0, (mark(1, Side.FACE, 50.8, 76.2),), 1, 0, 1
    )
    words = page_words(master_pieces_pdf([master], Show.SIXTEENTHS))
    assert "1: 2 to 3, centre 9/16 (−0.0113) from the face edge" in words  # 14 mm = 0.5512 in, 9/16 = 0.5625
    assert "<b>" not in master_piece_svg(master)
