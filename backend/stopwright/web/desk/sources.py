"""The page of sources: every figure and caution of the program, where it comes from, how sure it is."""

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from stopwright.actions.shop.keeping import current_shop
from stopwright.actions.shop.sources import all_sections
from stopwright.plan.operations.caution import FIRST_OF_ALL
from stopwright.plan.sourcing.sources import SURE
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES


def sources_routes(web: Web) -> APIRouter:
    """The route of the page of sources."""
    routes = APIRouter()

    @routes.get("/sources", tags=FOR_PHONES)
    def sources(request: Request) -> HTMLResponse:
        shop_show = current_shop(web.store, web.shop).show
        show = web.pages.ways(request, shop_show).show
        return web.pages.show(
            request,
            "sources.html",
            shop_show=shop_show,
            here="sources",
            sections=all_sections(show),
            sure=SURE,
            first_of_all=FIRST_OF_ALL,
        )

    return routes
