"""A phone with bad luck: connections cut, answers dropped, all sent again; it keeps taps as the real one does."""

import http.client
import json
import socket
import threading
import time
from contextlib import suppress
from dataclasses import dataclass, field
from random import Random
from typing import Any

from stopwright.store.events import new_id, utc_now, written

PORTION = 50
SILENCE = 20.0
RUNS = [f"rcrosscut{place}" for place in range(4)]


@dataclass
class RoughPhone:
    """Taps `taps` times in its own thread, and follows the job in another; seeded, so that its luck is repeatable."""

    port: int
    job: str
    taps: int
    chance: Random
    made: list[dict[str, Any]] = field(default_factory=list)
    acknowledged: dict[str, int] = field(default_factory=dict)
    runs: dict[str, Any] = field(default_factory=dict)
    seq: int = 0
    ended: threading.Event = field(default_factory=threading.Event)
    trouble: list[str] = field(default_factory=list)

    def work(self) -> None:
        """Taps and sends until every tap is acknowledged."""
        try:
            while len(self.acknowledged) < self.taps and not self.ended.is_set():
                for _ in range(min(self.chance.randint(0, 3), self.taps - len(self.made))):
                    self.made.append(self._tap())
                if not self._send():
                    time.sleep(self.chance.uniform(0, 0.1))
        except Exception as error:
            self.trouble.append(repr(error))

    def follow(self) -> None:
        """Hears the live line and opens it again whenever it breaks."""
        while not self.ended.is_set():
            with suppress(OSError, http.client.HTTPException, ValueError):
                line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=SILENCE)
                line.request("GET", f"/jobs/{self.job}/live?after={self.seq}")
                answer = line.getresponse()
                while (text := answer.readline()) and not self.ended.is_set():
                    if text.startswith(b"data: "):
                        self._hear(json.loads(text[6:]))
                    if self.chance.random() < 0.02:
                        break
                line.close()
            self.ended.wait(0.05)

    def _hear(self, word: dict[str, Any]) -> None:
        if word["seq"] < self.seq:
            return
        runs = word["runs"] if word["all"] else self.runs | word["runs"]
        self.runs = {key: run for key, run in runs.items() if key not in word["gone"]}
        self.seq = word["seq"]

    def _tap(self) -> dict[str, Any]:
        kinds = ["piece cut"] * 6 + ["piece spoiled", "stop set", "run done", "run reopened", "undo"]
        kind = self.chance.choice(kinds)
        body: dict[str, Any] = {"run": self.chance.choice(RUNS)}
        if kind.startswith("piece"):
            body |= {"mark": self.chance.choice("AB"), "count": self.chance.randint(1, 5)}
            body["mirrored"] = self.chance.random() < 0.3
        if kind == "undo" and not self.made:
            kind = "stop set"
        if kind == "stop set":
            body |= {"station": "saw", "work": "crosscut", "stops": [["stop", 450_000_000]]}
        if kind == "undo":
            body = {"event": self.chance.choice(self.made)["id"]}
        return {"id": new_id(), "kind": kind, "at": written(utc_now()), "body": body}

    def _send(self) -> bool:
        """Sends the oldest taps not acknowledged, in order; False when it does not hear that they are on disk."""
        portion = [tap for tap in self.made if tap["id"] not in self.acknowledged][:PORTION]
        if not portion:
            return False
        body = json.dumps({"events": portion, "sent": written(utc_now())}).encode()
        head = (
            f"POST /jobs/{self.job}/events HTTP/1.1\r\nhost: 127.0.0.1:{self.port}\r\nconnection: close\r\n"
            f"content-type: application/json\r\ncontent-length: {len(body)}\r\n\r\n"
        ).encode()
        luck = self.chance.random()
        try:
            with socket.create_connection(("127.0.0.1", self.port), SILENCE) as line:
                if luck < 0.1:  # the connection is cut while the request is on its way
                    line.sendall((head + body)[: self.chance.randrange(len(head) + len(body))])
                    return False
                line.sendall(head + body)
                if luck < 0.2:  # the answer is dropped
                    return False
                answer = http.client.HTTPResponse(line)
                answer.begin()
                said = json.loads(answer.read())
        except (OSError, http.client.HTTPException, ValueError):
            return False
        if luck < 0.3:  # it arrived, yet everything is sent again
            return False
        if answer.status != 200 or said["refused"]:
            raise AssertionError(f"{answer.status}: {said}")
        self.acknowledged |= said["stored"]
        return True
