"""Drawings on PDF pages, at their true size."""

import zlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from stopwright.paper.drawing import Anchor, Blocks, Circle, Drawing, Shape, Words
from stopwright.paper.typeface import fonts, printable

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.pdfgen.pathobject import PDFPathObject

A4 = (210.0, 297.0)
LETTER = (215.9, 279.4)
"""Sizes of paper, mm (ISO 216; ANSI/ASME Y14.1)."""

mm = 72 / 25.4
"""Points in a millimetre."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A drawing on a page; x, y is where its top left corner lies, mm, and may lie outside the page.

    With a `window` (left, top, width, height on the page, mm) only what falls into it is printed.
    """

    drawing: Drawing
    x: float
    y: float
    window: tuple[float, float, float, float] | None = None


def pdf_of_pages(pages: Iterable[Iterable[Placed]], page: tuple[float, float], title: str) -> bytes:
    """A PDF with one page for each row of placed drawings, each asked for only when the one before is drawn.

    The same drawings always give the same bytes. A page that is drawn is packed at once: of thousands, each would
    else stay ten times as long until the last. Packed, each is in memory twice at most.
    """
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    rl_config.useA85 = 0  # streams as bytes: to write them as letters took longer than to draw, and a quarter more room
    canvas = Canvas("", pagesize=(page[0] * mm, page[1] * mm), invariant=1, pageCompression=1)
    canvas.setTitle(printable(title))
    canvas.setCreator("stopwright")
    for placed in pages:
        for one in placed:
            _draw(canvas, one, page[1])
        canvas.showPage()
        _pack_last_page(canvas)
    pdf: bytes = canvas.getpdfdata()
    return pdf


def _pack_last_page(canvas: "Canvas") -> None:
    """Compresses what was drawn on the page shown last, which reportlab leaves until the document is put together."""
    page = canvas._doc.Pages.pages[-1]
    page.Contents = _packed_stream()(zlib.compress(page.stream.encode("latin-1")))
    page.stream = None


@cache
def _packed_stream() -> Any:
    """What holds a packed page, made when reportlab is first needed."""
    from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFName, PDFStream

    class Packed(PDFStream):  # type: ignore[misc]
        """The stream of a page; it lets go of what it holds as soon as that stands in the document."""

        def __init__(self, packed: bytes) -> None:
            super().__init__(PDFDictionary({"Filter": PDFName("FlateDecode")}), packed, filters=[])

        def format(self, document: object) -> bytes:
            written: bytes = super().format(document)
            self.content = b""
            return written

    return Packed


def _draw(canvas: "Canvas", placed: Placed, page_height: float) -> None:
    pen = _Pen(canvas, placed.x, page_height - placed.y)
    canvas.saveState()
    if placed.window:
        left, top, width, height = placed.window
        path = canvas.beginPath()
        path.rect(left * mm, (page_height - top - height) * mm, width * mm, height * mm)
        canvas.clipPath(path, stroke=0, fill=0)
    for item in placed.drawing.items:
        if isinstance(item, Words):
            pen.words(item)
        elif isinstance(item, Circle):
            pen.circle(item)
        elif isinstance(item, Blocks):
            pen.blocks(item)
        else:
            pen.shape(item)
    canvas.restoreState()


class _Pen:
    """Turns millimetres from the top left into points from the bottom left."""

    def __init__(self, canvas: "Canvas", left: float, top: float) -> None:
        self._canvas = canvas
        self._left = left
        self._top = top

    def _at(self, x: float, y: float) -> tuple[float, float]:
        return (self._left + x) * mm, (self._top - y) * mm

    def words(self, words: Words) -> None:
        canvas = self._canvas
        x, y = self._at(words.x, words.y)
        shift = {Anchor.START: 0.0, Anchor.MIDDLE: words.width / 2, Anchor.END: words.width}[words.anchor] * mm
        canvas.setFillGray(words.shade)
        canvas.setFont(fonts()[words.bold], words.size * mm)
        if words.turned:
            canvas.saveState()
            canvas.translate(x, y)
            canvas.rotate(90)
            canvas.drawString(-shift, 0, printable(words.text))
            canvas.restoreState()
        else:
            canvas.drawString(x - shift, y, printable(words.text))

    def circle(self, circle: Circle) -> None:
        self._ready(circle.ink, 0, circle.fill, ())
        x, y = self._at(circle.x, circle.y)
        self._canvas.circle(x, y, circle.radius * mm, stroke=bool(circle.ink), fill=circle.fill is not None)

    def blocks(self, blocks: Blocks) -> None:
        left, top = self._left, self._top
        rectangles = [  # operator `re` of ISO 32000-1, 8.5.2.1, to a ten-thousandth of a point; made at once for speed
            f"{(left + x) * mm:.4f} {(top - y - height) * mm:.4f} {width * mm:.4f} {height * mm:.4f} re"
            for x, y, width, height in blocks.rectangles
        ]
        self._canvas.setFillGray(0)
        self._canvas.drawPath(_path(rectangles), stroke=0, fill=1)

    def shape(self, shape: Shape) -> None:
        left, top = self._left, self._top
        # Operators `m`, `l` and `h` of ISO 32000-1, 8.5.2.1, to a ten-thousandth of a point.
        path = [f"{(left + x) * mm:.4f} {(top - y) * mm:.4f} l" for x, y in shape.points]
        path[0] = f"{path[0][:-1]}m"
        if shape.closed:
            path.append("h")
        self._ready(shape.ink, shape.shade, shape.fill, shape.dashes)
        self._canvas.drawPath(_path(path), stroke=bool(shape.ink), fill=shape.fill is not None)

    def _ready(self, ink: float, shade: float, fill: float | None, dashes: Sequence[float]) -> None:
        self._canvas.setLineWidth(ink * mm)
        self._canvas.setStrokeGray(shade)
        self._canvas.setDash([dash * mm for dash in dashes])
        if fill is not None:
            self._canvas.setFillGray(fill)


def _path(code: list[str]) -> "PDFPathObject":
    from reportlab.pdfgen.pathobject import PDFPathObject

    return PDFPathObject(code=code)
