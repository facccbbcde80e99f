"""Papers of a planned job, on A4 or Letter."""

from stopwright.actions.planning import Planned
from stopwright.paper.pdf import A4, LETTER
from stopwright.paper.run_sheet_pdf import run_sheet_pdf
from stopwright.paper.wood_blocks import layouts_pdf

PAGES = {"A4": A4, "Letter": LETTER}
PAPERS = {"run-sheet": run_sheet_pdf, "layouts": layouts_pdf}


def paper_of(planned: Planned, what: str, page: str = "A4") -> bytes:
    """The PDF of a paper by its name, on A4 unless the page is "Letter". KeyError for a paper there is not."""
    return PAPERS[what](planned.sheet, planned.shop.show, PAGES.get(page, A4))
