"""Master pieces and the story stick of a job, on the screen and as papers at their true size."""

from collections.abc import Callable
from functools import partial
from urllib.parse import quote

from fastapi import APIRouter, Request
from markupsafe import Markup
from starlette.responses import RedirectResponse, Response

from stopwright.actions.jobs.planning import Planned
from stopwright.errors import BadInput, NotFound
from stopwright.lengths import Show
from stopwright.paper.master_drawing import SIDE_NAMES, cut_texts, slotted_sides
from stopwright.paper.master_piece import (
    master_piece_svg,
    master_pieces_pdf,
    serves_text,
    stick_lines,
    story_stick_pdf,
    story_stick_svg,
)
from stopwright.paper.pdf import A4, LETTER
from stopwright.plan.joinery.master_piece import MasterPiece, master_pieces, story_stick
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.sheet_faults import faults_page

PAGES = {"A4": A4, "Letter": LETTER}


def master_routes(web: Web) -> APIRouter:
    """The routes of master pieces."""
    routes = APIRouter()

    @routes.get("/jobs/{job}/master", tags=FOR_PHONES)
    def first(request: Request, job: str) -> Response:
        def to_it(_: Planned, masters: tuple[MasterPiece, ...]) -> Response:
            return RedirectResponse(f"/jobs/{job}/master/{quote(masters[0].part, safe='')}", 303)

        return _shown(web, request, job, to_it)

    @routes.get("/jobs/{job}/master-pieces.pdf", tags=FOR_PHONES)
    def pieces_on_paper(job: str, page: str = "A4", mark: str = "") -> Response:
        planned, masters = _masters(web, job)
        chosen = [_named(masters, mark)] if mark else masters
        return _paper(master_pieces_pdf(chosen, planned.shop.show, PAGES.get(page, A4)))

    @routes.get("/jobs/{job}/story-stick.pdf", tags=FOR_PHONES)
    def stick_on_paper(job: str, page: str = "A4") -> Response:
        planned, masters = _masters(web, job)
        return _paper(story_stick_pdf(story_stick(masters), planned.shop.show, PAGES.get(page, A4)))

    @routes.get("/jobs/{job}/story-stick", tags=FOR_PHONES)
    def stick(request: Request, job: str) -> Response:
        return _shown(web, request, job, partial(_page, web, request, job, ""))

    @routes.get("/jobs/{job}/master/{mark:path}", tags=FOR_PHONES)
    def piece(request: Request, job: str, mark: str) -> Response:
        return _shown(web, request, job, partial(_page, web, request, job, mark))

    return routes


def _shown(
    web: Web, request: Request, job: str, made: Callable[[Planned, tuple[MasterPiece, ...]], Response]
) -> Response:
    """What is made of the master pieces; of a job that cannot be planned its faults."""
    try:
        planned, masters = _masters(web, job)
    except BadInput as bad:
        return faults_page(web, request, job, bad)
    return made(planned, masters)


def _page(
    web: Web, request: Request, job: str, mark: str, planned: Planned, masters: tuple[MasterPiece, ...]
) -> Response:
    """The page of one master piece; of the story stick where no mark is given."""
    show = web.pages.ways(request, planned.shop.show).show
    master = _named(masters, mark) if mark else None
    stick = story_stick(masters)
    drawing = master_piece_svg(master, show) if master else story_stick_svg(stick, show)
    return web.pages.show(
        request,
        "master_piece.html",
        shop_show=planned.shop.show,
        here="joints",
        job=job,
        job_name=planned.job.name,
        masters=masters,
        master=master,
        drawing=Markup(drawing),
        lines=stick_lines(stick),
        serves=serves_text(master) if master else "",
        side_names=SIDE_NAMES,
        papers=tuple(PAGES),
        cuts=_cuts(master, show) if master else [],
    )


def _cuts(master: MasterPiece, show: Show) -> list[tuple[str, str]]:
    """Side and words of every cut that the mortiser does not make."""
    return [
        (SIDE_NAMES[side], text) for side in slotted_sides(master) for text in cut_texts(master.cuts_on(side), show)
    ]


def _masters(web: Web, job: str) -> tuple[Planned, tuple[MasterPiece, ...]]:
    planned = web.planned(job)
    masters = master_pieces(planned.job, planned.shop, planned.sheet.runs)
    if not masters:
        raise NotFound("this job has no joints or cuts", f"job {job}", "enter them first, on the page “Joints”")
    return planned, masters


def _named(masters: tuple[MasterPiece, ...], mark: str) -> MasterPiece:
    for master in masters:
        if master.part == mark:
            return master
    raise NotFound("this part has no slots or cuts", f"part {mark[:60]}", "choose one that has")


def _paper(data: bytes) -> Response:
    return Response(data, media_type="application/pdf", headers={"content-disposition": "inline"})
