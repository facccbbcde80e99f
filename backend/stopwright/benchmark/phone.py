"""A phone for measuring: its page loaded once, a line it follows, taps sent one by one over a kept connection."""

import asyncio
import json
from collections.abc import Mapping
from time import perf_counter
from typing import Any

SILENCE = 30.0
"""Seconds after which a server that says nothing is given up."""


class Connection:
    """One kept HTTP connection to a server on this machine; costs far less than the server does."""

    def __init__(self, port: int) -> None:
        self._port = port
        self._reader: asyncio.StreamReader | None = None
        self._writer: asyncio.StreamWriter | None = None

    async def ask(self, method: str, path: str, body: bytes = b"", **headers: str) -> tuple[bytes, bytes]:
        """Head and body of the answer, as they came over the wire. Raises ConnectionError unless it is a 200."""
        reader = await self.send(method, path, body, **headers)
        head = await asyncio.wait_for(reader.readuntil(b"\r\n\r\n"), SILENCE)
        if not head.startswith(b"HTTP/1.1 200"):
            raise ConnectionError(f"{method} {path}: {head[:60]!r}")
        said = dict(line.lower().split(b": ", 1) for line in head.split(b"\r\n")[1:] if b": " in line)
        if b"content-length" in said:
            return head, await reader.readexactly(int(said[b"content-length"]))
        parts = []
        while size := int(await reader.readline(), 16):
            parts.append(await reader.readexactly(size))
            await reader.readline()
        await reader.readline()
        return head, b"".join(parts)

    async def send(self, method: str, path: str, body: bytes = b"", **headers: str) -> asyncio.StreamReader:
        """Sends a request; what is answered comes from the reader."""
        if self._reader is None or self._writer is None:
            self._reader, self._writer = await asyncio.open_connection("127.0.0.1", self._port)
        lines = [f"{method} {path} HTTP/1.1", f"host: 127.0.0.1:{self._port}", f"content-length: {len(body)}"]
        lines += [f"{name.replace('_', '-')}: {value}" for name, value in headers.items()]
        self._writer.write("\r\n".join([*lines, "", ""]).encode() + body)
        return self._reader

    def close(self) -> None:
        """Ends the connection."""
        if self._writer:
            self._writer.close()


class FollowingPhone:
    """A phone at one job: `seen` says when it first heard of each tap, by id, in seconds of `perf_counter`."""

    def __init__(self, port: int, job: str) -> None:
        self.seen: dict[str, float] = {}
        self._job = job
        self._taps, self._line = Connection(port), Connection(port)

    async def follow(self, page: str) -> None:
        """Hears the job's live line until cancelled."""
        reader = await self._line.send("GET", f"/jobs/{self._job}/live?page={page}&after=0")
        while line := await reader.readline():
            if line.startswith(b"data: "):
                now = perf_counter()
                for id_ in json.loads(line[6:])["ids"]:
                    self.seen.setdefault(id_, now)

    async def tap(self, event: Mapping[str, Any]) -> float:
        """Sends one tap; the seconds until it was acknowledged, which is until it was on disk."""
        body = json.dumps({"events": [event], "sent": event["at"]}).encode()
        begun = perf_counter()
        _, answer = await self._taps.ask("POST", f"/jobs/{self._job}/events", body, content_type="application/json")
        taken = perf_counter() - begun
        if event["id"] not in json.loads(answer)["stored"]:
            raise ConnectionError(f"not taken down: {answer[:200]!r}")
        return taken

    def close(self) -> None:
        """Puts the phone away."""
        self._taps.close()
        self._line.close()
