"""The live line: what an open page hears, when, and that it ends when its device is removed."""

import asyncio
import json
from collections.abc import Callable
from contextlib import aclosing
from pathlib import Path

import pytest

from stopwright.store.events import Event
from stopwright.store.log import Store
from stopwright.web.phone.live import GATHER, Line, Live
from stopwright.web.phone.run_state import StandingSoFar

AT = "2026-03-01T07:30:00.000Z"


def tap(id_, kind="piece cut", **body):
    if kind == "stop set":
        body = {"station": "saw", "work": "rip", "stops": [["rip fence", 84_000_000]], **body}
    return Event(id_, "1", kind, AT, "bench", {"run": "rrip", **body})


@pytest.fixture
def store(tmp_path: Path):
    with Store.open(tmp_path / "shop.db") as store:
        yield store


def listen(store, script, device="bench", devices=frozenset):
    """Runs `script(live, hear)` with the pump going; `hear()` is the next message of a line."""

    async def run():
        live = Live(store, lambda job: (store.grown(job, StandingSoFar), "1.0"), devices)
        async with live.pumping(), aclosing(live.follow(Line("1", 2, "p1", device, "A phone"), 0)) as line:

            async def hear():
                while True:
                    said = await asyncio.wait_for(anext(line), 10)
                    if "data: " in said:
                        return json.loads(said.split("data: ")[1])

            await script(live, hear)

    asyncio.run(run())


def test_a_page_hears_how_things_stand_at_once_and_then_what_changed(store):
    store.append([tap("tap-00001", mark="B", count=3)])

    async def script(_, hear):
        first = await hear()
        assert first["runs"]["rrip"]["cut"] == {"B": 3} and first["ids"] == ["tap-00001"]
        assert first["here"] == [{"page": "p1", "name": "A phone", "run": 2}]
        await asyncio.to_thread(store.append, [tap("tap-00002", mark="B", count=1), tap("tap-00003", "stop set")])
        news = await hear()
        assert news["runs"]["rrip"]["cut"] == {"B": 4} and news["runs"]["rrip"]["set"]
        assert news["ids"] == ["tap-00002", "tap-00003"] and news["seq"] == 3
        assert "here" not in news  # of fifty phones it is the longest part, and it has not changed

    listen(store, script)


def test_a_run_whose_every_tap_was_undone_is_said_to_be_gone(store):
    store.append([tap("tap-00001", mark="B", count=3)])

    async def script(_, hear):
        await hear()
        undo = Event("undo-0001", "1", "undo", AT, "bench", {"event": "tap-00001"})
        await asyncio.to_thread(store.append, [undo])
        assert (await hear())["gone"] == ["rrip"]

    listen(store, script)


def test_news_of_one_job_is_not_told_to_another(store):
    async def script(_, hear):
        await hear()
        other = Event("tap-other", "2", "run done", AT, "bench", {"run": "rrip"})
        await asyncio.to_thread(store.append, [other, tap("tap-00001", "run done")])
        assert (await hear())["ids"] == ["tap-00001"]

    listen(store, script)


def test_a_line_ends_when_its_device_is_shut_out(store):
    pair = {"phone"}

    async def script(live, hear):
        await hear()
        pair.clear()
        await asyncio.to_thread(store.append, [tap("tap-00001", "stop set")])
        with pytest.raises(StopAsyncIteration):
            await hear()
        assert live.open_runs("1") == []

    listen(store, script, "phone", lambda: pair)


def test_a_line_ends_when_the_server_does(store):
    async def script(live, hear):
        await hear()
        live.end()
        with pytest.raises(StopAsyncIteration):
            await hear()

    listen(store, script)


PHONES, TAPS = 30, 120


def test_many_phones_are_told_together_and_once_for_all_that_gathered(store, monkeypatch):
    """The pump goes on when the test lets it: frames are counted, not seconds."""
    waits, goes_on = asyncio.Semaphore(0), asyncio.Semaphore(0)
    really = asyncio.sleep

    async def sleep(seconds: float) -> None:
        if seconds == GATHER:
            waits.release()
            await goes_on.acquire()
        else:
            await really(seconds)

    async def run() -> None:
        live = Live(store, lambda job: (store.grown(job, StandingSoFar), "1.0"), frozenset)
        heard: list[list[dict]] = [[] for _ in range(PHONES)]

        async def listen(nth: int) -> None:
            async with aclosing(live.follow(Line("1", nth, f"p{nth}", "bench", f"Phone {nth}"), 0)) as line:
                async for said in line:
                    if "data: " in said:
                        heard[nth].append(json.loads(said.split("data: ")[1]))

        async def until_all(know: Callable[[list[dict]], bool], of: slice = slice(None)) -> None:
            while not all(map(know, heard[of])):
                await really(0)

        async with asyncio.timeout(60), live.pumping():
            phones = []
            for nth in range(PHONES):
                phones.append(asyncio.create_task(listen(nth)))
                await until_all(lambda frames: len(frames) > 0, slice(nth, nth + 1))
            assert [len(frames) for frames in heard] == [1] * PHONES  # its own first, whoever came after it
            await waits.acquire()
            goes_on.release()
            await until_all(lambda frames: any(len(one.get("here", ())) == PHONES for one in frames))
            for nth in range(TAPS):
                await asyncio.to_thread(store.append, [tap(f"tap-{nth:05}", mark="B", count=1)])
            await waits.acquire()
            goes_on.release()
            await until_all(lambda frames: frames[-1]["seq"] == TAPS)
            assert max(map(len, heard)) <= 3  # the first, and one each time the pump went on
            assert all(frames[-1]["runs"]["rrip"]["cut"] == {"B": TAPS} for frames in heard)
            for phone in phones:
                phone.cancel()

    monkeypatch.setattr(asyncio, "sleep", sleep)
    asyncio.run(run())
