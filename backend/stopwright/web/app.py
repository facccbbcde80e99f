"""The web server: `create_app` puts pages, live lines, the doorway and the error shape together."""

from collections.abc import AsyncIterator, Collection
from contextlib import asynccontextmanager
from functools import partial
from pathlib import Path

from fastapi import Depends, FastAPI
from starlette.middleware.gzip import GZipMiddleware
from starlette.staticfiles import StaticFiles

from stopwright.actions.shop.pairing import Door
from stopwright.model.stations import Shop
from stopwright.store.log import Store
from stopwright.web.access.doorway import Doorway
from stopwright.web.access.pairing import pair_routes
from stopwright.web.desk.choices import choices_routes
from stopwright.web.desk.hardware import hardware_routes
from stopwright.web.desk.importing import import_routes
from stopwright.web.desk.jobs import jobs_routes
from stopwright.web.desk.joints import joints_routes
from stopwright.web.desk.layouts import layouts_routes
from stopwright.web.desk.master_piece import master_routes
from stopwright.web.desk.memory import memory_routes
from stopwright.web.desk.outdated import outdated_routes
from stopwright.web.desk.paper import paper_routes
from stopwright.web.desk.parts import parts_routes
from stopwright.web.desk.sheet import sheet_routes
from stopwright.web.desk.shelf import shelf_routes
from stopwright.web.desk.shop import shop_routes
from stopwright.web.desk.sources import sources_routes
from stopwright.web.desk.things import things_routes
from stopwright.web.desk.together import together_routes
from stopwright.web.desk.wood import wood_routes
from stopwright.web.kit.bundles import bundle_routes
from stopwright.web.kit.context import Web
from stopwright.web.kit.faults import FaultPages
from stopwright.web.kit.guard import at_the_bench
from stopwright.web.kit.one_job import one_job_only
from stopwright.web.kit.pages import Pages
from stopwright.web.kit.portions import Portions
from stopwright.web.kit.sheet_faults import install_faults_page
from stopwright.web.kit.shop_certificate import ShopCertificate
from stopwright.web.kit.waiting import Waiting
from stopwright.web.phone.changed_sheet import changed_sheet_routes
from stopwright.web.phone.day import day_routes
from stopwright.web.phone.kept_pages import kept_routes
from stopwright.web.phone.live import Live
from stopwright.web.phone.live_routes import live_routes
from stopwright.web.phone.pictures import picture_routes
from stopwright.web.phone.plain_taps import plain_tap_routes
from stopwright.web.phone.rack import rack_routes
from stopwright.web.phone.standing import standing_now
from stopwright.web.phone.taps import phone_routes
from stopwright.web.phone.wall_board import board_routes
from stopwright.web.pieces.all_pieces import pieces_routes
from stopwright.web.pieces.glue_up import glue_routes
from stopwright.web.pieces.labels import label_routes
from stopwright.web.pieces.piece import piece_routes
from stopwright.web.pieces.remake import remake_routes
from stopwright.web.pieces.scanning import scan_routes
from stopwright.web.pieces.spoiled import spoiled_routes

FOR_ALL = (
    picture_routes,
    piece_routes,
    plain_tap_routes,
    changed_sheet_routes,
    label_routes,
    day_routes,
    outdated_routes,
    layouts_routes,
    choices_routes,
    paper_routes,
    jobs_routes,
    together_routes,
    memory_routes,
    shelf_routes,
    shop_routes,
    sources_routes,
)
"""Pages of the shop, of a job, and of several jobs that are worked together."""

FOR_ONE_JOB = (
    parts_routes,
    import_routes,
    things_routes,
    joints_routes,
    master_routes,
    wood_routes,
    hardware_routes,
    rack_routes,
    pieces_routes,
    remake_routes,
    spoiled_routes,
    scan_routes,
    glue_routes,
)
"""Pages that a job has by itself only, also while it is worked together with others."""


def create_app(
    store: Store,
    shop: Shop,
    frontend: Path,
    *,
    hosts: Collection[str] = (),
    address: str = "",
    tls_port: int = 0,
    certificate: ShopCertificate | None = None,
    door: Door | None = None,
) -> FastAPI:
    """The program as a web application; nothing is made before this is called.

    `shop` holds until one is saved in the store; `frontend` is the folder with pages, styles and scripts. `hosts` are
    the names and addresses under which other devices call the bench, `address` the one put into codes
    (`http://192.168.1.5:8765`); without it no phone can be paired. With a `certificate` the program is served over
    HTTPS too, at `tls_port`. `app.state.web.door.new_code()` makes a code.

    Run it without proxy headers: who is this machine itself is told by the connection alone.
    """
    pages = Pages(frontend / "pages", shop.show)
    web = Web(store, shop, pages, door or Door(store), address, certificate)
    live = Live(store, partial(standing_now, web), web.door.device_ids)
    faults = FaultPages(pages)

    @asynccontextmanager
    async def running(_: FastAPI) -> AsyncIterator[None]:
        async with live.pumping():
            yield

    app = FastAPI(
        title="stopwright",
        lifespan=running,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        dependencies=[Depends(at_the_bench)],
    )
    app.state.web, app.state.live = web, live
    faults.install(app)
    install_faults_page(app, web, faults)
    for routes in (
        pair_routes(web, frontend),
        phone_routes(web, live),
        board_routes(web, live),
        live_routes(web, live),
        sheet_routes(web, live),
        kept_routes(web, frontend),
        bundle_routes(frontend),
    ):
        app.include_router(routes)
    for of_all in FOR_ALL:
        app.include_router(of_all(web))
    one_job = [Depends(one_job_only(store))]
    for of_one in FOR_ONE_JOB:
        app.include_router(of_one(web), dependencies=one_job)

    for folder in ("styles", "scripts"):
        app.mount(f"/{folder}", StaticFiles(directory=frontend / folder), folder)
    app.add_middleware(Waiting)
    app.add_middleware(GZipMiddleware, minimum_size=500)
    app.add_middleware(Portions, faults=faults)
    app.add_middleware(Doorway, door=web.door, faults=faults, hosts=hosts, tls_port=tls_port)
    return app
