"""Labels for pieces and offcuts: a PDF for a sheet of any grid or a roll, and an SVG of one to look at first."""

from collections.abc import Callable, Iterable, Iterator, Sequence

from stopwright.errors import StopwrightError
from stopwright.lengths import MM, Show
from stopwright.model.codes import SHELF, encode
from stopwright.model.stock import Stock
from stopwright.model.whose import mark_for
from stopwright.paper.drawing import Drawing
from stopwright.paper.label_grid import Grid
from stopwright.paper.label_layout import Label, lay_out_label
from stopwright.paper.pdf import Placed, pdf_of_pages
from stopwright.paper.svg import drawing_svg
from stopwright.paper.wording import size_text
from stopwright.plan.assembling.pieces import Piece
from stopwright.plan.timber.panels import Panel

__all__ = ["Label", "label_sheet_pdf", "label_svg", "offcut_label", "piece_label", "piece_labels", "strip_labels"]


BESIDE_THE_CODE = 28
"""Signs of the least type that stand in a line beside the code of a label on an A4 sheet."""


def piece_label(piece: Piece, job_number: int, units: int = 1, show: Show = Show.MM, whose: str = "") -> Label:
    """The label of a piece of a job of so many units; it says `whose` where several jobs are worked together."""
    unit = "spare" if piece.unit is None else f"unit {piece.unit}" if units > 1 else ""
    hand = f"{piece.hand}-hand" if piece.hand else ""
    in_triangle = piece.unit is not None and piece.per_unit
    return Label(
        code=encode(job_number, piece.index),
        title=mark_for(str(job_number), piece.label) if whose else piece.label,
        name=_with_job(piece.name, whose) if whose else piece.name,
        size=size_text(piece.size, show),
        facts=tuple(fact for fact in (unit, hand, piece.place) if fact),
        hand=piece.hand,
        nth=piece.nth if in_triangle else 0,
        per_unit=piece.per_unit if in_triangle else 0,
    )


def strip_labels(piece: Piece, panel: Panel, job_number: int, show: Show = Show.MM, whose: str = "") -> Iterator[Label]:
    """The labels of the strips that a panel is glued from, from the left: their triangle closes in one order only.

    Their code is that of the panel. They are stuck to the face side, the triangle's point towards the marked end.
    """
    title = mark_for(str(job_number), piece.label) if whose else piece.label
    strips = panel.strips_of(piece.number)
    subs = [number for number, several in enumerate(panel.split.each, start=1) for _ in range(several)]
    for nth, strip in enumerate(strips, start=1):
        yield Label(
            code=encode(job_number, piece.index),
            title=f"{title} {nth}/{len(strips)}",
            name=_with_job(strip.name, whose) if whose else strip.name,
            size=size_text(strip.size, show),
            facts=(f"strip {nth} from the left", *([f"sub-panel {subs[nth - 1]}"] if panel.is_split else [])),
            nth=nth,
            per_unit=len(strips),
            referenced=False,
        )


def _with_job(name: str, whose: str) -> str:
    """The name of a piece and of its job, so far as there is room beside the code.

    >>> _with_job("Leg", "Six bakery stools"), _with_job("Front leg", "Two tables for the ferry's waiting room")
    ('Leg, Six bakery stools', 'Front leg, Two tables for t…')
    """
    both = f"{name}, {whose}"
    most = max(BESIDE_THE_CODE, len(name) + 8)
    return both if len(both) <= most else f"{both[: most - 1].rstrip()}…"


def piece_labels(pieces: Iterable[Piece], job_number: int, units: int = 1, show: Show = Show.MM) -> list[Label]:
    """The labels of the pieces, in the same order: that in which they come off the saw."""
    return [piece_label(piece, job_number, units, show) for piece in pieces]


def offcut_label(offcut: Stock, number: int, show: Show = Show.MM) -> Label:
    """The label of an offcut for the shelf; `number` is its own number there."""
    return Label(
        code=encode(SHELF, number),
        title=offcut.label or f"offcut {number}",
        name=offcut.material or "offcut",
        size=size_text((offcut.length, offcut.width, offcut.thickness), show),
        facts=("offcut", f"{size_text(offcut.clean, show)} without a flaw") if offcut.zones else ("offcut",),
        referenced=False,
    )


def label_sheet_pdf(
    labels: Sequence[Label], grid: Grid, address: str, start: int = 1, reached: Callable[[int], None] = lambda _: None
) -> bytes:
    """A PDF of the labels in order, row by row; the first lands on label `start` of a sheet partly used.

    `address` is where this program is reached, such as `http://shop.local:8000`: the codes lead to `/P/…` there.
    `reached` is told after each page how many labels are drawn.
    Raises StopwrightError when there is nothing to print, `start` is not on the sheet, or a label is too small.
    """
    if not labels:
        raise StopwrightError("there is no label to print", next_step="choose at least one piece")
    if not 1 <= start <= grid.per_page:
        raise StopwrightError(
            f"there is no label {start} on a sheet of {grid.per_page}",
            next_step=f"start at a label from 1 to {grid.per_page}",
        )

    def pages() -> Iterator[list[Placed]]:
        drawn = 0
        for page in places_on_pages(len(labels), grid.per_page, start - 1):
            yield [Placed(_layout(labels[at], grid, address), *grid.corner(on)) for at, on in page]
            drawn += len(page)
            reached(drawn)

    return pdf_of_pages(pages(), (grid.page_width / MM, grid.page_height / MM), "Labels")


def places_on_pages(count: int, per_page: int, used: int) -> Iterator[list[tuple[int, int]]]:
    """Page by page which label stands in which place, the first `used` places of the first page being gone.

    >>> list(places_on_pages(4, 3, 1))
    [[(0, 1), (1, 2)], [(2, 0), (3, 1)]]
    """
    for first in range(0, used + count, per_page):
        yield [(first + place - used, place) for place in range(per_page) if 0 <= first + place - used < count]


def label_svg(label: Label, grid: Grid, address: str) -> str:
    """One label as it will be printed, as an SVG element; raises as `label_sheet_pdf` does."""
    return drawing_svg(_layout(label, grid, address))


def _layout(label: Label, grid: Grid, address: str) -> Drawing:
    return lay_out_label(label, grid.label_width / MM, grid.label_height / MM, address)
