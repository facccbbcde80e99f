"""How boards and sheets are cut, at the bench: every layout to scale with cut numbers, offcuts, what is bought."""

from collections import Counter
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from markupsafe import Markup
from starlette.responses import Response

from stopwright.actions.jobs.planning import Planned
from stopwright.lengths import Show
from stopwright.paper.layout_drawing import layout_drawing
from stopwright.paper.svg import drawing_svg
from stopwright.paper.wording import rest_text, size_text
from stopwright.plan.run_sheet import Layout, Placement
from stopwright.web.desk.sheet import planned_page
from stopwright.web.desk.sheet_view import wood_sentence
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES

AT_ONCE = 40
DRAWN_WIDE = 190.0
"""Width of the drawing in its own mm; it is shown as wide as the page."""


@dataclass(frozen=True, slots=True)
class LayoutView:
    """One layout as it is shown, and in words."""

    layout: Layout
    number: int
    title: str
    drawn: Markup
    holds: tuple[tuple[str, int], ...]
    keeps: tuple[tuple[str, int], ...]
    used: int
    rips: int
    crosscuts: int


def layouts_routes(web: Web) -> APIRouter:
    """The routes of the layouts."""
    routes = APIRouter(prefix="/jobs/{job}/layouts")

    @routes.get("", tags=FOR_PHONES)
    def layouts(request: Request, job: str, start: int = 1) -> Response:
        def made(planned: Planned) -> dict[str, Any]:
            show = web.pages.ways(request, planned.shop.show).show
            return _data(planned, show, max(start, 1))

        return planned_page(web, request, job, "layouts.html", made)

    return routes


def _data(planned: Planned, show: Show, start: int) -> dict[str, Any]:
    wood = planned.sheet.wood
    numbered = list(enumerate(wood.layouts, start=1))[start - 1 : start - 1 + AT_ONCE]
    after = start + AT_ONCE
    return {
        "wood": wood,
        "sentence": wood_sentence(planned.sheet),
        "used": _used(wood.layouts),
        "views": [_view(layout, number, show) for number, layout in numbered],
        "before": max(start - AT_ONCE, 1) if start > 1 else 0,
        "after": after if after <= len(wood.layouts) else 0,
    }


def _view(layout: Layout, number: int, show: Show) -> LayoutView:
    size = size_text((layout.length, layout.width, layout.thickness), show)
    title = f"{layout.lot[:1].upper()}{layout.lot[1:]} · {layout.material or 'wood'} {size}"
    drawing = layout_drawing(layout, DRAWN_WIDE, show)
    marks = Counter(one.mark for one in layout.placements)
    kept = sorted(layout.offcuts, key=_size, reverse=True)
    return LayoutView(
        layout,
        number,
        title,
        Markup(drawing_svg(drawing, ground="ground", ink="currentColor")),
        tuple(marks.items()),
        tuple(Counter(rest_text(one, show) for one in kept).items()),
        _used((layout,)),
        sum(cut.work == "rip" for cut in layout.cuts),
        sum(cut.work == "crosscut" for cut in layout.cuts),
    )


def _used(layouts: tuple[Layout, ...]) -> int:
    """How much of the wood's face becomes pieces, in whole percent."""
    whole = sum(one.times * one.length * one.width for one in layouts)
    pieces = sum(one.times * placed.length * placed.width for one in layouts for placed in one.placements)
    return round(100 * pieces / whole) if whole else 0


def _size(placement: Placement) -> int:
    return placement.length * placement.width
