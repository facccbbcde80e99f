"""What anybody in the network may do to the server before it knows who it is: little, and not for long."""

import asyncio
import logging
import socket
import time
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from ipaddress import ip_address
from typing import Any, ClassVar

from uvicorn.protocols.http.h11_impl import H11Protocol

HEAD_SECONDS = 10.0
"""From the connection, or from the first byte of a later request, to the whole head of a request."""
BODY_SECONDS = 60.0
"""From the head of a request to the end of its body: 8 MB over a poor radio."""
HANDSHAKE_SECONDS = 10.0
MOST_OF_ONE = 64
"""Connections of one other device at a time. A browser keeps six, and one for each page that follows a job."""
FILES_OF_OUR_OWN = 200
"""Files that are open besides connections: the log, pages, processes that plan."""
GONE_AFTER = 30
"""Seconds of silence after which a device is asked whether it is there, and again as many until it is given up."""


class Guarded(H11Protocol):
    """A connection with limits of time, one of at most so many of its device and of all together."""

    of_each: ClassVar[Counter[str]] = Counter()
    """How many connections each address has now."""
    most: ClassVar[int] = 10_000

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Takes a connection, or ends it at once where there are too many."""
        self._limit: asyncio.TimerHandle | None = None
        self._waits_for = ""
        peer = transport.get_extra_info("peername")
        self._from = str(peer[0]) if peer else ""
        too_many = self.of_each[self._from] >= MOST_OF_ONE and not is_here(self._from)
        self._counted = not too_many and self.of_each.total() < self.most
        if self._counted:
            self.of_each[self._from] += 1
        _notice_when_gone(transport.get_extra_info("socket"))
        super().connection_made(transport)
        if self._counted:
            self._within(HEAD_SECONDS, "head")
        else:
            transport.abort()

    def connection_lost(self, exc: Exception | None) -> None:
        """Forgets the connection."""
        self._within(None)
        if self._counted:
            self._counted = False
            self.of_each[self._from] -= 1
            if not self.of_each[self._from]:
                del self.of_each[self._from]
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Reads on, and looks whether what is awaited has come whole."""
        super().data_received(data)
        self._look()

    def on_response_complete(self) -> None:
        """Waits for the next request on this connection."""
        super().on_response_complete()
        if self.conn.trailing_data[0]:
            self._look()

    def _look(self) -> None:
        if self.transport.is_closing():
            self._within(None)
        elif self.cycle is None or self.cycle.response_complete:
            self._within(HEAD_SECONDS, "head")
        elif self.cycle.more_body:
            self._within(BODY_SECONDS, "body")
        else:
            self._within(None)

    def _within(self, seconds: float | None, what: str = "") -> None:
        """Begins to wait for something for at most so many seconds, once; with None it waits for nothing."""
        if what and what == self._waits_for:
            return
        if self._limit:
            self._limit.cancel()
        self._waits_for = what
        self._limit = self.loop.call_later(seconds, self.transport.abort) if seconds else None


def is_here(address: str) -> bool:
    """True for this machine itself: the bench may open as many pages as it likes."""
    with suppress(ValueError):
        found = ip_address(address)
        mapped = getattr(found, "ipv4_mapped", None)
        return bool((mapped or found).is_loopback)
    return False


def make_room() -> int:
    """How many connections there may be at a time, after asking the system for as many files as it gives."""
    try:
        import resource
    except ImportError:  # a system without such limits
        return Guarded.most
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = Guarded.most + FILES_OF_OUR_OWN
    with suppress(OSError, ValueError):
        soft_now = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
        if soft != resource.RLIM_INFINITY and soft_now > soft:
            resource.setrlimit(resource.RLIMIT_NOFILE, (soft_now, hard))
            soft = soft_now
    return Guarded.most if soft == resource.RLIM_INFINITY else max(50, min(Guarded.most, soft - FILES_OF_OUR_OWN))


class ShortHandshakes(asyncio.SelectorEventLoop):
    """A loop that gives up a connection over HTTPS which does not shake hands."""

    async def create_server(self, *arguments: Any, **named: Any) -> Any:
        """As usual, with a limit of time for the handshake."""
        if named.get("ssl"):
            named.setdefault("ssl_handshake_timeout", HANDSHAKE_SECONDS)
        return await super().create_server(*arguments, **named)


class Seldom(logging.Filter):
    """Lets a message through so many times in a minute, however often it is said; then how often it was left out."""

    def __init__(self, times: int = 5, seconds: float = 60.0, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__()
        self._times, self._seconds, self._clock = times, seconds, clock
        self._since = clock()
        self._said: Counter[tuple[str, str]] = Counter()

    def filter(self, record: logging.LogRecord) -> bool:
        """True for a message that is written."""
        if self._clock() - self._since >= self._seconds:
            self._since = self._clock()
            self._said.clear()
        what = record.name, str(record.msg)
        self._said[what] += 1
        if self._said[what] == self._times:
            record.msg = f"{record.msg} (the same is not written again for a minute)"
        return self._said[what] <= self._times


def speak_seldom() -> None:
    """Keeps what strangers do from filling the log: each message at most a few times a minute."""
    for name in ("uvicorn.error", "asyncio", "stopwright.web.kit.faults"):
        logger = logging.getLogger(name)
        if not any(isinstance(one, Seldom) for one in logger.filters):
            logger.addFilter(Seldom())


def _notice_when_gone(connection: socket.socket | None) -> None:
    """Has the system end a connection whose device dropped off the network, whether we write to it or wait for it."""
    if connection is None:
        return
    wanted = {"TCP_KEEPIDLE": GONE_AFTER, "TCP_KEEPINTVL": GONE_AFTER // 3, "TCP_KEEPCNT": 3}
    wanted |= {"TCP_USER_TIMEOUT": 2 * GONE_AFTER * 1000}
    with suppress(OSError):
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)
    for name, value in wanted.items():
        if hasattr(socket, name):
            with suppress(OSError):
                connection.setsockopt(socket.IPPROTO_TCP, getattr(socket, name), value)
