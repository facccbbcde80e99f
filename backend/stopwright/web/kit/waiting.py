"""Who waits for a plan or for labels holds no thread: the request is put aside, and asked again when they are there."""

import asyncio
from contextlib import suppress
from contextvars import ContextVar
from typing import Any, TypeVar

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from stopwright.actions.jobs.searching import Search

T = TypeVar("T")

_WAITED: ContextVar[tuple[Search[Any], ...]] = ContextVar("waited", default=())
"""What this request has waited for already."""


class StillPlanning(Exception):
    """What a page needs is not made yet. The page is asked again: what it wrote down before must do no harm twice."""

    def __init__(self, search: Search[Any], patience: float | None = None) -> None:
        super().__init__("still planning")
        self.search = search
        self.patience = patience


def tell_failure() -> None:
    """Raises what the planner raised when this request waited for it."""
    for search in _WAITED.get():
        if search.error:
            raise search.error


def answer_of(search: Search[T], patience: float | None = None) -> T | None:
    """What the search found; None when it has not after `patience` seconds, waited for without a thread.

    Raises what the search raised.
    """
    if search.finished:
        return search.answer()
    if patience is not None and search in _WAITED.get():
        return None
    raise StillPlanning(search, patience)


def progress_of(search: Search[Any] | None) -> dict[str, Any]:
    """How far a search is, for the script of a page that waits for it."""
    if search is None:
        return {"running": False}
    return {
        "running": not search.finished,
        "at": search.at,
        "of": search.of,
        "passed": round(search.passed, 1),
        "seconds": search.seconds,
    }


class Waiting:
    """Asks the program again when the plan is there that a page was `StillPlanning`."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        heard: list[Message] = []

        async def hear() -> Message:
            heard.append(await receive())
            return heard[-1]

        hears: Receive = hear
        _WAITED.set(())
        while True:
            try:
                await self._app(dict(scope), hears, send)
                return
            except StillPlanning as still:
                waiting = still
            if not await _waited(waiting, heard, receive):
                return
            _WAITED.set((*_WAITED.get(), waiting.search))
            hears = _again(list(heard), hear)


def _again(heard: list[Message], receive: Receive) -> Receive:
    """What was sent, told once more, and then what comes."""

    async def hear() -> Message:
        return heard.pop(0) if heard else await receive()

    return hear


async def _waited(still: StillPlanning, heard: list[Message], receive: Receive) -> bool:
    """True as soon as planning or patience has ended; False when who asked has gone away."""
    loop, done = asyncio.get_running_loop(), asyncio.Event()

    def tell() -> None:
        with suppress(RuntimeError):  # the loop has ended meanwhile
            loop.call_soon_threadsafe(done.set)

    async def gone() -> None:
        while not heard or heard[-1]["type"] != "http.disconnect":
            heard.append(await receive())
        heard.pop()

    still.search.when_done(tell)
    waits = [asyncio.ensure_future(done.wait()), asyncio.ensure_future(gone())]
    with still.search.waited_for():
        try:
            await asyncio.wait(waits, timeout=still.patience, return_when=asyncio.FIRST_COMPLETED)
        finally:
            for one in waits:
                one.cancel()
    return not waits[1].done() or waits[1].cancelled()
