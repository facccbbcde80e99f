"""Papers of a planned job, on A4 or Letter."""

from stopwright.actions.planning import Planned
from stopwright.paper.pdf import A4, LETTER
from stopwright.paper.run_sheet_pdf import run_sheet_pdf
from stopwright.paper.wood_blocks import layouts_pdf
from stopwright.plan.stations.run_pictures import pictures_of

PAGES = {"A4": A4, "Letter": LETTER}


def _run_sheet(planned: Planned, page: tuple[float, float]) -> bytes:
    pictures = pictures_of(planned.sheet.runs, planned.job, planned.shop)
    return run_sheet_pdf(planned.sheet, planned.shop.show, page, pictures)


def _layouts(planned: Planned, page: tuple[float, float]) -> bytes:
    return layouts_pdf(planned.sheet, planned.shop.show, page)


PAPERS = {"run-sheet": _run_sheet, "layouts": _layouts}


def paper_of(planned: Planned, what: str, page: str = "A4") -> bytes:
    """The PDF of a paper by its name, on A4 unless the page is "Letter". KeyError for a paper there is not."""
    return PAPERS[what](planned, PAGES.get(page, A4))
