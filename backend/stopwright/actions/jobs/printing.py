"""Papers of a planned job, on A4 or Letter."""

from collections.abc import Callable, Mapping

from stopwright.actions.jobs.planning import Planned
from stopwright.lengths import Show
from stopwright.paper.pdf import A4, LETTER
from stopwright.paper.run_sheet_pdf import run_sheet_pdf
from stopwright.paper.short_sheet import short_sheet_pdf, station_pages_pdf
from stopwright.paper.wood_blocks import layouts_pdf
from stopwright.plan.pictures.of_runs import pictures_of
from stopwright.plan.run_sheet import RunSheet

PAGES = {"A4": A4, "Letter": LETTER}


def _run_sheet(planned: Planned, page: tuple[float, float]) -> bytes:
    pictures = pictures_of(planned.sheet.runs, planned.job, planned.shop)
    return run_sheet_pdf(planned.sheet, planned.shop.show, page, pictures)


def _as_planned(
    paper: Callable[[RunSheet, Show, tuple[float, float]], bytes],
) -> Callable[[Planned, tuple[float, float]], bytes]:
    """A paper that needs the sheet alone."""
    return lambda planned, page: paper(planned.sheet, planned.shop.show, page)


PAPERS: Mapping[str, Callable[[Planned, tuple[float, float]], bytes]] = {
    "run-sheet": _run_sheet,
    "run-sheet-in-short": _as_planned(short_sheet_pdf),
    "by-station": _as_planned(station_pages_pdf),
    "layouts": _as_planned(layouts_pdf),
}


def paper_of(planned: Planned, what: str, page: str = "A4") -> bytes:
    """The PDF of a paper by its name, on A4 unless the page is "Letter". KeyError for a paper there is not."""
    return PAPERS[what](planned, PAGES.get(page, A4))
