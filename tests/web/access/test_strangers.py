"""Whoever is in the network, paired or not, may hold little of the server, and the server ends when it is told to."""

import asyncio
import http.client
import json
import logging
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

import pytest
import uvicorn

from stopwright.store.log import Store
from stopwright.web.access import strangers
from stopwright.web.access.strangers import Guarded, Seldom, is_here, make_room

STRANGER = "127.0.0.66"
SOON = 30.0


async def says_done(scope: Any, receive: Any, send: Any) -> None:
    """A program that reads what is sent, and says so."""
    while scope["type"] == "http" and (await receive()).get("more_body"):
        pass
    await send({"type": "http.response.start", "status": 200, "headers": [(b"content-length", b"4")]})
    await send({"type": "http.response.body", "body": b"done"})


@contextmanager
def serving() -> Iterator[int]:
    with socket.create_server(("127.0.0.1", 0), backlog=256) as listening:
        server = uvicorn.Server(uvicorn.Config(says_done, http=Guarded, log_level="error", lifespan="off", ws="none"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        port = listening.getsockname()[1]
        thread.start()
        while not server.started and thread.is_alive():
            time.sleep(0.01)
        yield port
        server.should_exit = True
        thread.join(SOON)
    assert not Guarded.of_each  # all are forgotten


@pytest.fixture
def stranger(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[int], socket.socket]]:
    """Opens connections as another device would, which only this machine's own first address is not."""
    monkeypatch.setattr(strangers, "is_here", lambda address: address == "127.0.0.1")
    with ExitStack() as stack:

        def open_one(port: int) -> socket.socket:
            return stack.enter_context(socket.create_connection(("127.0.0.1", port), SOON, (STRANGER, 0)))

        yield open_one


def asked(port: int) -> bytes:
    with socket.create_connection(("127.0.0.1", port), SOON) as one:
        one.sendall(b"GET / HTTP/1.1\r\nhost: x\r\nconnection: close\r\n\r\n")
        return b"".join(iter(lambda: one.recv(4096), b""))


def is_cut(one: socket.socket) -> bool:
    """Waits until the server ends the connection; False when it answers instead."""
    try:
        return one.recv(1) == b""
    except ConnectionError:
        return True


def test_of_many_silent_connections_of_a_stranger_few_are_held_and_others_are_answered(
    stranger: Callable[[int], socket.socket],
) -> None:
    with serving() as port:
        for _ in range(300):
            stranger(port)
        assert asked(port).endswith(b"done")
        assert Guarded.of_each[STRANGER] <= strangers.MOST_OF_ONE


def test_all_together_are_not_more_than_there_is_room_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Guarded, "most", 3)
    with serving() as port, ExitStack() as stack:
        held = [stack.enter_context(socket.create_connection(("127.0.0.1", port), SOON)) for _ in range(3)]
        for one in held:
            one.sendall(b"GET / HTTP/1.1\r\nhost: x\r\n\r\n")
            assert one.recv(9) == b"HTTP/1.1 "
        assert is_cut(stack.enter_context(socket.create_connection(("127.0.0.1", port), SOON)))


@pytest.mark.parametrize(
    "sent",
    [
        b"",
        b"GET / HTTP/1.1\r\nhost: x\r\nnote: ",
        b"POST / HTTP/1.1\r\nhost: x\r\ncontent-length: 100\r\n\r\nhalf",
        b"GET / HTTP/1.1\r\nhost: x\r\n\r\nGET / HT",
    ],
    ids=["silent", "half a head", "half a body", "half a second head"],
)
def test_what_never_comes_whole_is_not_waited_for(sent: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(strangers, "HEAD_SECONDS", 0.2)
    monkeypatch.setattr(strangers, "BODY_SECONDS", 0.2)
    with serving() as port, socket.create_connection(("127.0.0.1", port), SOON) as one:
        one.sendall(sent)
        if sent.endswith(b"GET / HT"):
            answer = b""
            while not answer.endswith(b"done"):
                answer += one.recv(4096)
        assert is_cut(one)


def test_a_head_that_comes_letter_by_letter_is_cut_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(strangers, "HEAD_SECONDS", 0.3)
    with serving() as port, socket.create_connection(("127.0.0.1", port), SOON) as one:
        one.sendall(b"GET / HTTP/1.1\r\nhost: x\r\n")
        with pytest.raises(ConnectionError):
            while True:
                one.sendall(b"a")
                time.sleep(0.02)


def test_an_answer_that_takes_long_is_not_cut(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(strangers, "HEAD_SECONDS", 0.05)
    monkeypatch.setattr(strangers, "BODY_SECONDS", 0.05)
    slow = threading.Event()

    async def slowly(scope: Any, receive: Any, send: Any) -> None:
        while not slow.is_set():
            await asyncio.sleep(0.01)
        await at_last(scope, receive, send)

    at_last = says_done
    monkeypatch.setattr(sys.modules[__name__], "says_done", slowly)
    with serving() as port:
        threading.Timer(0.5, slow.set).start()
        assert asked(port).endswith(b"done")


def test_the_log_is_not_filled_by_what_is_said_again_and_again() -> None:
    now = [0.0]
    seldom = Seldom(times=3, seconds=60, clock=lambda: now[0])
    logger, written = logging.Logger("asked"), []
    logger.addFilter(seldom)
    handler = logging.Handler()
    handler.emit = lambda record: written.append(record.getMessage())  # type: ignore[method-assign]
    logger.addHandler(handler)
    for number in range(1000):
        logger.warning("bad request from %s", number)
    assert len(written) == 3 and "not written again" in written[-1] and "from 2" in written[-1]
    logger.warning("something else")
    now[0] = 61.0
    logger.warning("bad request from %s", "x")
    assert written[3:] == ["something else", "bad request from x"]


@pytest.mark.parametrize(("address", "here"), [("127.0.0.1", True), ("::1", True), ("::ffff:127.0.0.1", True)])
def test_this_machine_is_no_stranger(address: str, here: bool) -> None:
    assert is_here(address) is here
    assert not is_here("192.168.1.77") and not is_here("") and not is_here("::ffff:192.168.1.77")


def test_there_is_room_for_fewer_connections_than_files() -> None:
    import resource

    room = make_room()
    assert 50 <= room < resource.getrlimit(resource.RLIMIT_NOFILE)[0]


BUSY = """
import time, threading, urllib.request
from pathlib import Path
from stopwright.actions.jobs.keeping import create_job
from stopwright.intake.shop_file import default_shop
from stopwright.store.log import Store
from stopwright.web import serving
from stopwright.web.kit.context import Web

def busy(web, job):
    print("busy", flush=True)
    while True:
        time.sleep(0.01)

Web.planned = busy

def say(what):
    if what.startswith("Bench:"):
        address = what.split()[1]
        threading.Thread(target=lambda: urllib.request.urlopen(f"{address}/jobs/1/runs"), daemon=True).start()

with Store.open(Path("PATH")) as store:
    create_job(store, {"name": "Stools"}, "bench")
    serving.serve(store, default_shop(), serving.Serving(port=0), say)
"""


@pytest.mark.parametrize("sig", [signal.SIGINT, signal.SIGTERM])
def test_a_server_in_the_middle_of_something_ends_when_it_is_told_to(sig: signal.Signals, tmp_path: Any) -> None:
    command = [sys.executable, "-c", BUSY.replace("PATH", str(tmp_path / "shop.db"))]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        silent = threading.Timer(60, process.kill)
        silent.start()
        try:
            assert process.stdout is not None
            assert "busy" in process.stdout.readline()
            process.send_signal(sig)
            process.communicate(timeout=SOON)
        finally:
            silent.cancel()
            process.kill()
    assert process.returncode == 0


SHOP = """
import resource
import sys
from pathlib import Path
from stopwright.actions.jobs.keeping import create_job
from stopwright.intake.shop_file import default_shop
from stopwright.store.log import Store
from stopwright.web.access import strangers
from stopwright.web.serving import Serving, serve

strangers.is_here = lambda address: address == "127.0.0.1"
resource.setrlimit(resource.RLIMIT_NOFILE, (1024, resource.getrlimit(resource.RLIMIT_NOFILE)[1]))  # as most begin
with Store.open(Path(sys.argv[1])) as store:
    create_job(store, {"name": "Stools"}, "bench")
    serve(store, default_shop(), Serving(port=0), lambda said: print(said, flush=True))
"""
SILENT = 1100


@pytest.fixture
def many_files() -> Iterator[None]:
    """Room for as many connections in this process, where the system gives it."""
    resource = pytest.importorskip("resource", reason="no limit on open files there")
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = SILENT + 400
    if hard not in (-1, resource.RLIM_INFINITY) and hard < wanted:
        pytest.skip(f"the system lets a program open {hard} files, {wanted} are wanted")
    resource.setrlimit(resource.RLIMIT_NOFILE, (max(soft, wanted), hard))
    yield
    resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))


@pytest.mark.usefixtures("many_files")
@pytest.mark.parametrize("addresses", [1, 20], ids=["of one device", "of twenty"])
def test_while_1100_silent_connections_come_a_phone_taps_and_the_log_stays_small(
    addresses: int, tmp_path: Path
) -> None:
    command = [sys.executable, "-c", SHOP, str(tmp_path / "shop.db")]
    with (
        subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as server,
        ExitStack() as stack,
    ):
        silent = threading.Timer(120, server.kill)
        silent.start()
        try:
            assert server.stdout is not None
            port = int(server.stdout.readline().split("127.0.0.1:")[1].split()[0])
            phone = http.client.HTTPConnection("127.0.0.1", port, timeout=SOON)
            stack.callback(phone.close)
            for place in range(SILENT):
                here = f"127.0.1.{1 + place % addresses}"
                one = socket.create_connection(("127.0.0.1", port), SOON, (here, 0))
                stack.callback(one.close)
                if place % 50 == 49:
                    assert tapped(phone, place // 50) == [f"tap-{place // 50:05}"]
            assert tapped(phone, 99) == ["tap-00099"]
        finally:
            server.terminate()
            said = server.communicate(timeout=SOON)[1]
            silent.cancel()
    assert len(said) < 4000, said[:4000]
    with Store.open(tmp_path / "shop.db") as store:
        assert len(store.events("1", kinds=("run done",))) == SILENT // 50 + 1


def tapped(phone: http.client.HTTPConnection, number: int) -> list[str]:
    """The ids that the bench has stored of one tap."""
    tap = {
        "id": f"tap-{number:05}",
        "kind": "run done",
        "at": "2026-03-01T07:30:00.000Z",
        "body": {"run": "rrip000084"},
    }
    body = json.dumps({"events": [tap], "sent": tap["at"]})
    phone.request("POST", "/jobs/1/events", body, {"content-type": "application/json"})
    answer = phone.getresponse()
    return list(json.loads(answer.read())["stored"])
