"""Open pages follow a job: one pump in the program, a line to every page, and who has which run open."""

import asyncio
import json
from collections.abc import AsyncGenerator, AsyncIterator, Callable, Collection
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field
from typing import Any

from anyio.to_thread import run_sync

from stopwright.actions.shop.pairing import BENCH
from stopwright.store.log import Store
from stopwright.web.phone.run_state import Standing

GATHER = 0.25
"""Seconds in which taps gather before pages are told: many phones cost little more than one."""

LOOK_AGAIN = 2.0
"""Seconds after which the pump looks for events of another program."""

SIGN_OF_LIFE = 15.0


@dataclass(eq=False)
class Line:
    """One open page: which job and run it shows, on whose device, and what wakes it."""

    job: str
    run: int
    page: str
    device: str
    name: str
    wake: asyncio.Event = field(default_factory=asyncio.Event)


@dataclass(eq=False)
class View:
    """A job as its pages see it at one moment; made once for all of them."""

    standing: Standing
    sheet: str
    here: list[dict[str, Any]]
    messages: dict["View | None", str] = field(default_factory=dict)

    def message(self, told: "View | None", after: int) -> str:
        """What a page must hear that was told `told` last, or knows all up to event `after` and was told nothing."""
        if told is None:
            return self._written(None, after)
        if told not in self.messages:
            self.messages[told] = self._written(told, told.standing.seq)
        return self.messages[told]

    def is_news(self, told: "View | None") -> bool:
        """Whether it says anything that a page does not know yet that was told `told` last, and nothing older."""
        if told is None or self.standing.seq > told.standing.seq:
            return True
        return self.standing.seq == told.standing.seq and (self.sheet, self.here) != (told.sheet, told.here)

    def _written(self, told: "View | None", after: int) -> str:
        runs, before = self.standing.runs, {} if told is None else told.standing.runs
        message = {
            "seq": self.standing.seq,
            "sheet": self.sheet,
            "ids": [id_ for seq, id_ in self.standing.recent if seq > after],
            "all": told is None,
            "runs": {key: run for key, run in runs.items() if before.get(key) != run},
            "machines": self.standing.machines,
            "gone": [key for key in before if key not in runs],
        }
        if told is None or told.here != self.here:
            message["here"] = self.here
        text = json.dumps(message, ensure_ascii=False, separators=(",", ":"))
        return f"id: {self.standing.seq}\ndata: {text}\n\n"


class Live:
    """Tells open pages what is new. `look` says how a job stands, and what names the run sheet that it has now.

    By its name a page sees when its own sheet is old. `devices` are the ids of those that may follow, besides the
    bench.
    """

    def __init__(
        self, store: Store, look: Callable[[str], tuple[Standing, str]], devices: Callable[[], Collection[str]]
    ) -> None:
        self._store = store
        self._read = look
        self._devices = devices
        self._lines: set[Line] = set()
        self._views: dict[str, View] = {}
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
            self.end()
            pump.cancel()
            with suppress(asyncio.CancelledError):
                await pump

    def end(self) -> None:
        """Ends all lines, from any thread: a server that stops waits for open answers, and a line is never complete."""
        self._ending = True
        if self._loop:
            _call_in(self._loop, self._wake)

    def open_runs(self, job: str) -> list[dict[str, Any]]:
        """Who has which run of the job open, by name; 0 is the list of runs."""
        lines = [line for line in tuple(self._lines) if line.job == job]
        return [
            {"page": line.page, "name": line.name, "run": line.run}
            for line in sorted(lines, key=lambda line: (line.name, line.page))
        ]

    async def follow(self, line: Line, after: int) -> AsyncGenerator[str, None]:
        """Messages for one page, the first at once, until it goes or its device is removed.

        The other pages hear of it with what else is new by then: fifty phones that come at once, as when the bench was
        started again, would else each be told fifty times.
        """
        self._lines.add(line)
        told: View | None = None
        try:
            yield "retry: 1000\n\n"
            view = await self._seen_now(line.job)
            self._views.setdefault(line.job, view)
            self._news.set()
            while not self._ending and line in self._lines:
                line.wake.clear()
                if view.is_news(told):
                    yield view.message(told, after)
                    told = view
                try:
                    await asyncio.wait_for(line.wake.wait(), SIGN_OF_LIFE)
                except TimeoutError:
                    yield ": here\n\n"
                view = self._views.get(line.job, view)
        finally:
            self._lines.discard(line)
            self._news.set()

    async def _pump(self) -> None:
        while not self._ending:  # Python 3.11's wait_for may swallow a cancellation
            with suppress(TimeoutError):
                await asyncio.wait_for(self._news.wait(), LOOK_AGAIN)
                await asyncio.sleep(GATHER)
            self._news.clear()
            paired = {BENCH, *await run_sync(self._devices)}
            for line in [line for line in self._lines if line.device not in paired]:
                self._lines.discard(line)
                line.wake.set()
            jobs = {line.job for line in self._lines}
            for job in jobs:
                await self._look(job)
            for job in self._views.keys() - jobs:
                del self._views[job]

    async def _look(self, job: str) -> None:
        """Makes a new view of the job if anything has changed, and wakes its pages."""
        view, old = await self._seen_now(job), self._views.get(job)
        if old and old.standing.seq > view.standing.seq:
            view.standing = old.standing
        if view.is_news(old):
            self._views[job] = view
            self._wake(job)

    async def _seen_now(self, job: str) -> View:
        standing, sheet = await run_sync(self._read, job)
        return View(standing, sheet, self.open_runs(job))

    def _wake(self, job: str = "") -> None:
        for line in tuple(self._lines):
            if not job or line.job == job:
                line.wake.set()


def _call_in(loop: asyncio.AbstractEventLoop, call: Callable[[], None]) -> None:
    with suppress(RuntimeError):  # the loop has ended; so has everybody who listened
        loop.call_soon_threadsafe(call)
