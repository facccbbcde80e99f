"""Labels: read back from pixels, where they lie, what they say, and what does not fit."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise, permutations
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas
from tests.paper.pixels import codes_read, page_count, page_pixels, page_words

from stopwright.errors import Inconsistent, StopwrightError
from stopwright.lengths import MM, Show
from stopwright.model.codes import decode, encode, spaced
from stopwright.model.parts import Made, PanelStrip, Part
from stopwright.model.stock import Stock, StockKind
from stopwright.paper import labels as of_labels
from stopwright.paper.drawing import Blocks, Shape, Words
from stopwright.paper.label_grid import A4_SHEET, LETTER_SHEET, Grid, roll
from stopwright.paper.label_layout import Label, lay_out_label
from stopwright.paper.label_signs import triangle_slice
from stopwright.paper.labels import label_sheet_pdf, label_svg, offcut_label, piece_label, piece_labels, strip_labels
from stopwright.plan.assembling.pieces import Piece
from stopwright.plan.timber.panels import Panel

ADDRESS = "http://192.168.1.20:8000"
SIZES = [(63.5, 38.1), (70, 37), (48.5, 25.4), (38.1, 21.2), (57, 32), (62, 29), (50, 70), (25, 50), (100, 60)]


def leg(index: int = 6) -> Piece:
    corners = ("front right", "front left", "back left", "back right")
    hand = ("right", "left")[index % 2]
    size = (450 * MM, 38 * MM, 38 * MM)
    unit, nth = divmod(index, 4)
    return Piece(index, "A", index + 1, "Leg", unit + 1, hand, size, corners[nth], nth + 1, 4)


def a_roll(width: float, height: float) -> Grid:
    return roll(round(width * MM), round(height * MM))


@pytest.mark.parametrize("dpi", [203, 300])
def test_every_code_on_a_sheet_is_read_from_its_pixels(dpi: int) -> None:
    labels = piece_labels([leg(n) for n in range(21)], job_number=3, units=6)
    read = codes_read(page_pixels(label_sheet_pdf(labels, A4_SHEET, ADDRESS), dpi))
    assert sorted(read) == sorted(f"HTTP://192.168.1.20:8000/P/{encode(3, n)}" for n in range(21))


@pytest.mark.parametrize("dpi", [203, 300])
@pytest.mark.parametrize(("width", "height"), SIZES)
def test_a_label_of_every_usual_size_is_read_from_its_pixels(width: float, height: float, dpi: int) -> None:
    pdf = label_sheet_pdf([piece_label(leg(), 3, 6)], a_roll(width, height), ADDRESS)
    (read,) = codes_read(page_pixels(pdf, dpi))
    assert decode(read.rpartition("/")[2]) == (3, 6)


def test_a_page_is_drawn_before_the_labels_of_the_next_are_laid_out(monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[str] = []
    lay_out, show = of_labels._layout, Canvas.showPage

    def laid_out(*given: Any) -> Any:
        done.append("label")
        return lay_out(*given)

    def shown(canvas: Canvas) -> None:
        done.append("page")
        show(canvas)

    monkeypatch.setattr(of_labels, "_layout", laid_out)
    monkeypatch.setattr(Canvas, "showPage", shown)
    label_sheet_pdf(piece_labels([leg(n) for n in range(30)], 3, 6), A4_SHEET, ADDRESS, start=2)
    assert done == ["label"] * 20 + ["page"] + ["label"] * 10 + ["page"]  # 21 on a sheet, one of them gone


def test_the_labels_come_in_the_order_given_row_by_row() -> None:
    labels = piece_labels([leg(n) for n in (5, 2, 9)], 3, 6)
    page = page_pixels(label_sheet_pdf(labels, A4_SHEET, ADDRESS), 203)
    corners = [A4_SHEET.corner(place) for place in range(3)]
    for label, (x, y) in zip(labels, corners, strict=True):
        cut = page.crop(tuple(round(edge / 25.4 * 203) for edge in (x, y, x + 63.5, y + 38.1)))  # type: ignore[arg-type]
        assert codes_read(cut) == [f"HTTP://192.168.1.20:8000/P/{label.code}"]


def test_a_label_says_mark_number_name_size_unit_hand_place_and_code() -> None:
    words = page_words(label_sheet_pdf([piece_label(leg(6), 3, 6)], A4_SHEET, ADDRESS))
    for said in ("A-07", "Leg", "450 × 38 × 38 mm", "unit 2", "right-hand", "back left", spaced(encode(3, 6))):
        assert said in words


def test_a_used_sheet_is_begun_at_the_label_that_is_left() -> None:
    labels = piece_labels([leg(n) for n in range(3)], 3, 6)
    pdf = label_sheet_pdf(labels, A4_SHEET, ADDRESS, start=20)
    assert page_count(pdf) == 2  # labels 20 and 21, then 1 of the next sheet
    assert len(codes_read(page_pixels(pdf, 203, page=0))) == 2
    x, y = A4_SHEET.corner(19)
    whole = page_pixels(pdf, 203, page=0)
    above = whole.crop((0, 0, whole.width, round(y / 25.4 * 203)))
    assert above.getextrema() == (255, 255)  # nothing is printed on the labels that are gone
    assert x > 0


def test_a_roll_gives_one_page_a_label_of_the_labels_own_size() -> None:
    pdf = label_sheet_pdf(piece_labels([leg(0), leg(1)], 3, 6), a_roll(57, 32), ADDRESS)
    assert page_count(pdf) == 2
    page = page_pixels(pdf, 254)
    assert (page.width, page.height) == (570, 320)


def test_the_same_labels_give_the_same_bytes() -> None:
    labels = piece_labels([leg(n) for n in range(4)], 3, 6)
    assert label_sheet_pdf(labels, LETTER_SHEET, ADDRESS) == label_sheet_pdf(labels, LETTER_SHEET, ADDRESS)


def test_a_module_of_the_code_is_never_smaller_than_half_a_millimetre() -> None:
    for width, height in SIZES:
        svg = label_svg(piece_label(leg(), 3, 6), a_roll(width, height), ADDRESS)
        path = next(node for node in ElementTree.fromstring(svg).iter() if node.tag.endswith("path"))
        heights = {float(run.partition("v")[2].partition("h")[0]) for run in path.attrib["d"].split("M")[1:]}
        (module,) = heights
        assert module >= 0.5
        assert module % 0.125 == 0  # whole dots of a printer with 8 dots to the mm
        assert min(float(run.split(",")[0]) for run in path.attrib["d"].split("M")[1:]) == 4 * module  # quiet zone


def test_a_label_too_small_for_its_code_says_what_would_fit_and_that_does_fit() -> None:
    label = piece_label(leg(), 3, 6)
    with pytest.raises(StopwrightError, match="30 × 12 mm is too small") as refused:
        label_sheet_pdf([label], a_roll(30, 12), ADDRESS)
    # 33 modules of 0.5 = 16.5, and the code in letters under it
    assert refused.value.next_step.startswith("take a label of at least")
    width, height = (float(part) for part in refused.value.next_step.split(" mm")[0].split("least ")[1].split(" × "))
    assert label_sheet_pdf([label], a_roll(width, height), ADDRESS)


def test_a_label_too_small_for_its_words_says_so_too() -> None:
    with pytest.raises(StopwrightError, match="too small for its code and words"):
        label_sheet_pdf([piece_label(leg(), 3, 6)], a_roll(24, 22), ADDRESS)


def test_a_long_name_is_shortened_and_nothing_else_is() -> None:
    long = replace(leg(), name="Upper rail of the left front side with the wide shoulder " * 3)
    words = page_words(label_sheet_pdf([piece_label(long, 3, 6)], a_roll(48.5, 25.4), ADDRESS))
    assert "…" in words
    assert "450 × 38 × 38 mm" in words


def test_sizes_are_shown_as_the_shop_reads_them() -> None:
    # 450.85 mm = 17 3/4 in, 38.1 mm = 1 1/2 in
    piece = replace(leg(), size=(450_850_000, 38_100_000, 38_100_000))
    assert piece_label(piece, 3, 6, Show.SIXTEENTHS).size == "17 3/4 × 1 1/2 × 1 1/2 in"


def test_a_spare_says_so_and_stands_in_no_triangle() -> None:
    label = piece_label(replace(leg(), unit=None, place=""), 3, 6)
    assert label.facts[0] == "spare"
    assert label.per_unit == 0


def test_an_offcut_has_its_size_and_a_code_of_the_shelf() -> None:
    label = offcut_label(Stock(StockKind.OFFCUT, 1, 640 * MM, 128 * MM, 27 * MM, "ash"), 12)
    assert decode(label.code) == (0, 12)
    words = page_words(label_sheet_pdf([label], A4_SHEET, ADDRESS))
    assert "640 × 128 × 27 mm" in words
    assert "ash" in words


@pytest.mark.parametrize("start", [0, 22, -1])
def test_a_start_that_is_not_on_the_sheet_is_refused(start: int) -> None:
    with pytest.raises(StopwrightError, match="start at a label from 1 to 21"):
        label_sheet_pdf([piece_label(leg(), 3)], A4_SHEET, ADDRESS, start)


def test_no_labels_are_refused_in_words() -> None:
    with pytest.raises(StopwrightError, match="no label to print"):
        label_sheet_pdf([], A4_SHEET, ADDRESS)


@pytest.mark.parametrize("address", ["http://my_shop:8000", "http://werkstück.local", "http://" + "a" * 80])
def test_an_address_that_no_code_can_hold_is_refused_in_words(address: str) -> None:
    with pytest.raises(StopwrightError, match="address on the labels"):
        label_sheet_pdf([piece_label(leg(), 3)], A4_SHEET, address)


def test_a_grid_that_runs_off_its_page_is_refused() -> None:
    with pytest.raises(Inconsistent, match="214 mm of the page's width of 210"):
        # 4 × 50 + 3 × 3 + 5 = 214
        Grid(210 * MM, 297 * MM, 4, 5, 50 * MM, 40 * MM, left=5 * MM, gap_x=3 * MM)


@settings(deadline=None, max_examples=60)
@given(
    st.text(max_size=40),
    st.text("ABÄ-7m. ", min_size=1, max_size=4).filter(str.strip),
    st.tuples(*[st.integers(1, 3_000 * MM)] * 3),
    st.floats(5, 120),
    st.floats(5, 120),
    st.sampled_from(Show),
)
def test_any_name_and_size_gives_a_label_inside_its_edges_or_a_sentence(
    name: str, mark: str, size: tuple[int, int, int], width: float, height: float, show: Show
) -> None:
    label = piece_label(replace(leg(), name=name or "-", mark=mark, size=size), 3, 6, show)
    try:
        drawing = lay_out_label(label, width, height, ADDRESS)
    except StopwrightError as error:
        assert "mm" in error.next_step
        return
    for item in drawing.items:
        if isinstance(item, Words):
            left = item.x - (item.width / 2 if item.anchor == "middle" else 0)
            assert left >= 0 and left + item.width <= width
            assert item.size * 0.7 <= item.y <= height
        elif isinstance(item, Shape):
            assert all(0 <= x <= width and 0 <= y <= height for x, y in item.points)
        elif isinstance(item, Blocks):
            assert all(x + w <= width and y + h <= height for x, y, w, h in item.rectangles)


MARKUP = "<script>alert(\"1\")</script> & 'quotes' ]]> \x00\x1b"


def test_markup_in_a_name_is_harmless_in_the_preview() -> None:
    svg = label_svg(piece_label(replace(leg(), name=MARKUP, mark="<b>"), 3, 6), a_roll(100, 60), ADDRESS)
    tree = ElementTree.fromstring(svg)  # well formed
    assert not [node for node in tree.iter() if node.tag.endswith("script")]
    assert all(not name.startswith("on") and name != "style" for node in tree.iter() for name in node.attrib)
    assert "<script>" in "".join(tree.itertext())


def test_the_preview_says_the_same_words_as_the_paper() -> None:
    label = piece_label(replace(leg(), name="Őrség стол ⅛″"), 3, 6)
    paper = page_words(label_sheet_pdf([label], A4_SHEET, ADDRESS))
    screen = [node.text for node in ElementTree.fromstring(label_svg(label, A4_SHEET, ADDRESS)).iter() if node.text]
    assert 'Orség ◊◊◊◊ 1/8"' in screen
    for words in screen:
        assert words in paper


def a_wide_panel(sub_panels: int = 1) -> tuple[Piece, Panel]:
    top = Part("B", "Top", 2, 1000 * MM, 600 * MM, 18 * MM, made=Made.PANEL)
    strip = PanelStrip("Bs", "Strip of Top", 12, 1025 * MM, 105 * MM, 20 * MM, panel="B", sub_panels=sub_panels)
    return Piece(9, "B", 2, "Top", 1, "", top.size, "", 1, 1), Panel(top, strip, 6)


def test_labels_of_strips_number_them_and_lead_to_their_panel() -> None:
    labels = list(strip_labels(*a_wide_panel(), job_number=3))
    assert [label.title for label in labels] == [f"B-02 {nth}/6" for nth in range(1, 7)]
    assert {label.code for label in labels} == {encode(3, 9)}
    assert labels[1].facts == ("strip 2 from the left",)
    assert [label.facts[1] for label in strip_labels(*a_wide_panel(2), job_number=3)] == (
        ["sub-panel 1"] * 3 + ["sub-panel 2"] * 3
    )
    read = codes_read(page_pixels(label_sheet_pdf(labels, A4_SHEET, ADDRESS), 203))
    assert read == [f"HTTP://192.168.1.20:8000/P/{encode(3, 9)}"] * 6


def test_the_triangle_of_strips_closes_in_one_order_only() -> None:
    """Where each slice begins and ends above its base: those of neighbours meet in their own order and in no other."""
    labels = list(strip_labels(*a_wide_panel(), job_number=3))

    def ends(label: Label) -> tuple[float, float]:
        _, _, *legs = triangle_slice(0, 0, 1, label.nth, label.per_unit)
        points = [point for leg in legs if isinstance(leg, Shape) for point in leg.points]
        return round(points[0][1], 6), round(points[-1][1], 6)

    def closes(order: Sequence[Label]) -> bool:
        base = round(0.88, 6)
        outer = ends(order[0])[0] == base == ends(order[-1])[1]
        return outer and all(ends(one)[1] == ends(two)[0] for one, two in pairwise(order))

    assert [order for order in permutations(labels) if closes(order)] == [tuple(labels)]
