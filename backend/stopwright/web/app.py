"""The web server: `create_app` puts pages, live lines, the doorway and the error shape together."""

from collections.abc import AsyncIterator, Collection
from contextlib import asynccontextmanager
from functools import partial
from pathlib import Path

from fastapi import Depends, FastAPI
from starlette.middleware.gzip import GZipMiddleware
from starlette.staticfiles import StaticFiles

from stopwright.actions.letting_in import Door
from stopwright.model.stations import Shop
from stopwright.store.log import Store
from stopwright.web.bench_choices import choices_routes
from stopwright.web.bench_faults import install_faults_page
from stopwright.web.bench_hardware import hardware_routes
from stopwright.web.bench_import import import_routes
from stopwright.web.bench_jobs import jobs_routes
from stopwright.web.bench_joints import joints_routes
from stopwright.web.bench_layouts import layouts_routes
from stopwright.web.bench_master import master_routes
from stopwright.web.bench_outdated import outdated_routes
from stopwright.web.bench_paper import paper_routes
from stopwright.web.bench_parts import parts_routes
from stopwright.web.bench_sheet import sheet_routes
from stopwright.web.bench_shelf import shelf_routes
from stopwright.web.bench_shop import shop_routes
from stopwright.web.bench_sources import sources_routes
from stopwright.web.bench_things import things_routes
from stopwright.web.bench_together import together_routes
from stopwright.web.bench_wood import wood_routes
from stopwright.web.board_page import board_routes
from stopwright.web.bundles import bundle_routes
from stopwright.web.changed_sheet import changed_sheet_routes
from stopwright.web.context import Web
from stopwright.web.day_page import day_routes
from stopwright.web.doorway import Doorway
from stopwright.web.faults import FaultPages
from stopwright.web.glue_routes import glue_routes
from stopwright.web.guard import at_the_bench
from stopwright.web.kept_pages import kept_routes
from stopwright.web.label_routes import label_routes
from stopwright.web.let_in_routes import let_in_routes
from stopwright.web.live import Live
from stopwright.web.live_routes import live_routes
from stopwright.web.memory_pages import memory_routes
from stopwright.web.one_job import one_job_only
from stopwright.web.pages import Pages
from stopwright.web.phone import phone_routes
from stopwright.web.picture_routes import picture_routes
from stopwright.web.piece import piece_routes
from stopwright.web.pieces_pages import pieces_routes
from stopwright.web.plain_taps import plain_tap_routes
from stopwright.web.portions import Portions
from stopwright.web.rack_page import rack_routes
from stopwright.web.remake_pages import remake_routes
from stopwright.web.scan_routes import scan_routes
from stopwright.web.shop_certificate import ShopCertificate
from stopwright.web.spoiled_pages import spoiled_routes
from stopwright.web.standing import standing_now
from stopwright.web.waiting import Waiting

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
    (`http://192.168.1.5:8765`); without it no phone can be let in. With a `certificate` the program is served over
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
        let_in_routes(web, frontend),
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
