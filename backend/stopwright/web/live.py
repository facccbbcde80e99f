"""Open pages follow a job: one pump in the program, a line to every page, and who has which run open."""

import asyncio
import json
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from anyio.to_thread import run_sync

from stopwright.store.log import Store
from stopwright.web.run_state import Standing, fold_standing

GATHER = 0.05
"""Seconds in which taps gather before pages are told: many phones cost little more than one."""

LOOK_AGAIN = 2.0
"""Seconds after which the pump looks for events of another program."""

SIGN_OF_LIFE = 15.0
IDS_TOLD = 200


@dataclass(eq=False)
class Line:
    """One open page: which job and run it shows, on whose device, and what wakes it."""

    job: str
    run: int
    page: str
    device: str
    name: str
    wake: asyncio.Event = field(default_factory=asyncio.Event)


class Live:
    """Tells open pages what is new. `sheet_mark` names the run sheet a job has now: a page sees when its own is old."""

    def __init__(self, store: Store, sheet_mark: Callable[[str], str], is_in: Callable[[str], bool]) -> None:
        self._store = store
        self._sheet_mark = sheet_mark
        self._is_in = is_in
        self._lines: set[Line] = set()
        self._news = asyncio.Event()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._ending = False

    @asynccontextmanager
    async def pumping(self) -> AsyncIterator[None]:
        """While this is entered, pages are told."""
        loop = self._loop = asyncio.get_running_loop()
        self._news = asyncio.Event()
        end_watch = self._store.watch(lambda _: _call_in(loop, self._news.set))
        pump = asyncio.create_task(self._pump())
        try:
            yield
        finally:
            end_watch()
            pump.cancel()
            with suppress(asyncio.CancelledError):
                await pump
            self.end()

    def end(self) -> None:
        """Ends all lines, from any thread: a server that stops waits for open answers, and a line is never complete."""
        self._ending = True
        if self._loop:
            _call_in(self._loop, self._wake)

    def open_runs(self, job: str) -> list[dict[str, Any]]:
        """Who has which run of the job open, in the order of arrival; 0 is the list of runs."""
        lines = [line for line in self._lines if line.job == job]
        return [
            {"page": line.page, "name": line.name, "run": line.run}
            for line in sorted(lines, key=lambda line: (line.name, line.page))
        ]

    async def follow(self, line: Line, after: int) -> AsyncIterator[str]:
        """Messages for one page, the first at once, until it goes or its device is shut out."""
        self._lines.add(line)
        self._wake(line.job)
        told: dict[str, dict[str, Any]] = {}
        told_here: list[dict[str, Any]] = []
        seq = after
        first = True
        mark = ""
        try:
            yield "retry: 1000\n\n"
            while not self._ending and await run_sync(self._is_in, line.device):
                line.wake.clear()
                now = await run_sync(self._store.folded, line.job, fold_standing)
                new_mark = await run_sync(self._sheet_mark, line.job)
                here = self.open_runs(line.job)
                if first or now.seq > seq or here != told_here or new_mark != mark:
                    yield await run_sync(partial(self._message, line.job, now, seq, told, here, new_mark))
                    told, told_here, mark, first = now.runs, here, new_mark, False
                    seq = max(seq, now.seq)
                try:
                    await asyncio.wait_for(line.wake.wait(), SIGN_OF_LIFE)
                except TimeoutError:
                    yield ": here\n\n"
        finally:
            self._lines.discard(line)
            self._wake(line.job)

    def _message(
        self, job: str, now: Standing, seq: int, told: dict[str, Any], here: list[dict[str, Any]], mark: str
    ) -> str:
        news = self._store.events(job, after=seq) if now.seq > seq else []
        message = {
            "seq": now.seq,
            "sheet": mark,
            "ids": [event.id for event in news[-IDS_TOLD:]],
            "runs": {key: run for key, run in now.runs.items() if told.get(key) is not run and told.get(key) != run},
            "gone": [key for key in told if key not in now.runs],
            "here": here,
        }
        return f"id: {now.seq}\ndata: {json.dumps(message, ensure_ascii=False, separators=(',', ':'))}\n\n"

    async def _pump(self) -> None:
        last = -1
        while True:
            with suppress(TimeoutError):
                await asyncio.wait_for(self._news.wait(), LOOK_AGAIN)
                await asyncio.sleep(GATHER)
            self._news.clear()
            newest = await run_sync(lambda: self._store.last_seq)
            if newest != last:
                last = newest
                self._wake()

    def _wake(self, job: str = "") -> None:
        for line in self._lines:
            if not job or line.job == job:
                line.wake.set()


def _call_in(loop: asyncio.AbstractEventLoop, call: Callable[[], None]) -> None:
    with suppress(RuntimeError):  # the loop has ended; so has everybody who listened
        loop.call_soon_threadsafe(call)
