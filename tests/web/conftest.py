"""A bench and a phone as clients of one program, without a browser or a network."""

import asyncio
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx
import pytest
from fastapi import FastAPI
from tests.conftest import ROOT

from stopwright.actions.jobs.keeping import create_job
from stopwright.actions.shop.pairing import Door
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop
from stopwright.store.log import Store
from stopwright.web.app import create_app

BENCH, PHONE = "http://127.0.0.1:8765", "http://192.168.1.5:8765"


class Clock:
    """Seconds that pass when a test says so."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


class Client:
    """Asks the program itself as a device at an address would; keeps its cookies, follows nothing."""

    def __init__(self, app: FastAPI, base: str, address: str) -> None:
        self.app = app
        self.cookies = httpx.Cookies()
        self._base = base
        self._address = address

    def request(self, method: str, path: str, **more: Any) -> httpx.Response:
        """The answer to one request."""
        return asyncio.run(self._request(method, path, **more))

    def get(self, path: str, **more: Any) -> httpx.Response:
        """The answer to a GET."""
        return self.request("GET", path, **more)

    def post(self, path: str, **more: Any) -> httpx.Response:
        """The answer to a POST."""
        return self.request("POST", path, **more)

    async def _request(self, method: str, path: str, **more: Any) -> httpx.Response:
        transport = httpx.ASGITransport(self.app, raise_app_exceptions=False, client=(self._address, 50000))
        async with httpx.AsyncClient(transport=transport, base_url=self._base, cookies=self.cookies) as client:
            answer = await client.request(method, path, **more)
            self.cookies = client.cookies
            return answer


@dataclass
class Shopfloor:
    """The program with the demo job; `phone()` makes a phone in the shop's network that is not paired."""

    store: Store
    door: Door
    clock: Clock
    job: str
    bench: Client
    phone: Callable[[], Client]


@pytest.fixture
def floor(tmp_path: Path) -> Iterator[Shopfloor]:
    """A program with the demo job in a store of its own."""
    with Store.open(tmp_path / "shop.db") as store:
        job = create_job(store, job_to_document(read_job(ROOT / "fixtures" / "bakery-stools")), "bench")
        clock = Clock()
        door = Door(store, clock)
        app = create_app(
            store, default_shop(), ROOT / "frontend", hosts=["192.168.1.5", "bench.local"], address=PHONE, door=door
        )

        yield Shopfloor(
            store, door, clock, job, Client(app, BENCH, "127.0.0.1"), lambda: Client(app, PHONE, "192.168.1.77")
        )
