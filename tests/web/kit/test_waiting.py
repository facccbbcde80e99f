"""Pages that wait for a plan: no thread is held, one plan serves all, and what was sent is not lost meanwhile."""

import asyncio
import threading
from typing import Any

import httpx
import pytest
from tests.web.conftest import BENCH, Shopfloor

from stopwright.actions.jobs import planning, searching
from stopwright.actions.jobs.keeping import create_job, job_document
from stopwright.actions.jobs.searching import Search, Searches
from stopwright.errors import StopwrightError
from stopwright.intake.shop_file import default_shop
from stopwright.plan.plan import make_plan
from stopwright.store.events import new_id, utc_now, written

PHONES = 60
"""More than the server has threads."""


class SlowPlanner:
    """Makes plans when it is let; counts them."""

    def __init__(self) -> None:
        self.let = threading.Event()
        self.made = 0

    def __call__(self, *asked: Any) -> Any:
        self.made += 1
        assert self.let.wait(60)
        return make_plan(*asked)


@pytest.fixture
def slow(monkeypatch: pytest.MonkeyPatch) -> SlowPlanner:
    planner = SlowPlanner()
    monkeypatch.setattr(planning, "make_plan", planner)
    monkeypatch.setattr(planning, "_SHEETS", Searches(8))
    return planner


def client_of(floor: Shopfloor) -> httpx.AsyncClient:
    transport = httpx.ASGITransport(floor.bench.app, raise_app_exceptions=False, client=("127.0.0.1", 50000))
    return httpx.AsyncClient(transport=transport, base_url=BENCH, timeout=60)


def search_of(floor: Shopfloor) -> Search[Any]:
    return planning.sheet_search(planning.asked_for(floor.store, floor.job, default_shop()))


async def until_all_wait(floor: Shopfloor, count: int) -> None:
    while search_of(floor)._waiting < count:
        await asyncio.sleep(0.01)


def test_a_tap_is_taken_while_more_phones_than_there_are_threads_wait_for_one_plan(
    floor: Shopfloor, slow: SlowPlanner
) -> None:
    other = create_job(floor.store, job_document(floor.store, floor.job).document, "bench")
    tap = {"id": new_id(), "kind": "run done", "at": written(utc_now()), "body": {"run": "rrip000084"}}

    async def morning() -> list[httpx.Response]:
        async with client_of(floor) as client:
            pages = [asyncio.create_task(client.get(f"/jobs/{floor.job}/runs")) for _ in range(PHONES)]
            await until_all_wait(floor, PHONES)
            taken = await client.post(f"/jobs/{other}/events", json={"events": [tap], "sent": tap["at"]})
            assert taken.status_code == 200 and tap["id"] in taken.json()["stored"]
            assert not any(page.done() for page in pages)
            slow.let.set()
            return await asyncio.gather(*pages)

    answers = asyncio.run(morning())
    assert {answer.status_code for answer in answers} == {200}
    assert slow.made == 1


def test_a_form_sent_while_the_plan_is_made_is_read_when_it_is_there(floor: Shopfloor, slow: SlowPlanner) -> None:
    async def tap() -> httpx.Response:
        async with client_of(floor) as client:
            sent = asyncio.create_task(
                client.post(f"/jobs/{floor.job}/runs/1/tap", data={"tap": "done", "id": "form-0001"})
            )
            await until_all_wait(floor, 1)
            slow.let.set()
            return await sent

    assert asyncio.run(tap()).status_code == 303
    assert [one.kind for one in floor.store.events(floor.job)] == ["job saved", "run done"]


def test_a_plan_that_cannot_be_made_is_told_to_who_waited_and_not_tried_for_ever(
    floor: Shopfloor, monkeypatch: pytest.MonkeyPatch
) -> None:
    tried = []

    def fail(*asked: Any) -> Any:
        tried.append(asked)
        raise StopwrightError("the wood is bewitched", next_step="wait for the new moon")

    monkeypatch.setattr(planning, "make_plan", fail)
    monkeypatch.setattr(planning, "_SHEETS", Searches(8))
    answer = floor.bench.get(f"/jobs/{floor.job}/runs")
    assert answer.status_code == 422 and "bewitched" in answer.text
    assert len(tried) == 1


def test_who_goes_away_waits_no_more(floor: Shopfloor, slow: SlowPlanner, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(searching, "GRACE", 0.0)
    path = f"/jobs/{floor.job}/runs"
    scope: dict[str, Any] = {"type": "http", "method": "GET", "path": path, "raw_path": path.encode()}
    scope |= {"query_string": b"", "headers": [(b"host", b"127.0.0.1:8765")]}
    scope |= {"client": ("127.0.0.1", 50000), "scheme": "http"}
    scope |= {"server": ("127.0.0.1", 8765), "http_version": "1.1", "root_path": "", "asgi": {"version": "3.0"}}
    said: list[Any] = []

    async def ask() -> None:
        left = asyncio.Event()
        messages = [{"type": "http.request", "body": b"", "more_body": False}]

        async def receive() -> Any:
            if messages:
                return messages.pop()
            await left.wait()
            return {"type": "http.disconnect"}

        async def send(message: Any) -> None:
            said.append(message)

        asked = asyncio.create_task(floor.bench.app(scope, receive, send))
        await until_all_wait(floor, 1)
        left.set()
        await asked

    asyncio.run(ask())
    search = search_of(floor)
    assert not said and search._waiting == 0
    slow.let.set()
    assert search.answer() is not None
