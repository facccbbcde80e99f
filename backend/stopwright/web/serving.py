"""Serving bench and phones: the store opened, the port bound, and how to get there, on the screen."""

import asyncio
import gc
import os
import signal
import socket
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import FrameType
from typing import Any

import uvicorn
from fastapi import FastAPI

from stopwright.actions.jobs.planners import planning_apart
from stopwright.actions.jobs.shipped import frontend
from stopwright.errors import StopwrightError
from stopwright.model.stations import Shop
from stopwright.paper.qr import qr_code
from stopwright.store.backup import daily_copy
from stopwright.store.log import Store
from stopwright.web.access.announcing import announce, host_name
from stopwright.web.access.strangers import Guarded, ShortHandshakes, make_room, speak_seldom
from stopwright.web.app import create_app
from stopwright.web.kit.shop_certificate import ShopCertificate

THIS_MACHINE = "127.0.0.1"
THIS_MACHINES = ("localhost", THIS_MACHINE)


GREATEST_PORT = 65_535
HOUR = 3600.0
GRACE_SECONDS = 1
"""What is being answered when the server is told to end has so long."""
END_SECONDS = 2.5
"""When it is told to end, it has ended after so long, whatever it does: all that was answered is on disk."""


@dataclass(frozen=True, slots=True)
class Serving:
    """Where to listen: on this machine only, or (`phones`) to the shop's network; port 0 takes a free one.

    `tls` serves phones over HTTPS as well, at the next port. `name` is made known on the network, "" none.
    """

    port: int = 8765
    phones: bool = False
    tls: bool = False
    name: str = "stopwright"


@dataclass(frozen=True, slots=True)
class Reached:
    """How phones reach the bench: the names and addresses they may call it by, the first one preferred."""

    hosts: tuple[str, ...] = ()
    port: int = 0
    tls_port: int = 0

    @property
    def address(self) -> str:
        """What stands on labels and in codes, "" when no phone can come."""
        if not self.hosts:
            return ""
        return f"https://{self.hosts[0]}:{self.tls_port}" if self.tls_port else f"http://{self.hosts[0]}:{self.port}"


def serve(
    store: Store,
    shop: Shop,
    serving: Serving,
    say: Callable[[str], None] = print,
    announce: Callable[[str, str, int], Callable[[], None]] = announce,
) -> None:
    """Serves until it is stopped. Raises StopwrightError when a port is taken.

    With `phones` the first code that pairs a phone is shown at once: one use, two minutes; more on the bench.
    """
    with ExitStack() as stack:
        everywhere = "0.0.0.0" if serving.phones else THIS_MACHINE
        plain = stack.enter_context(listen(everywhere, serving.port))
        port = plain.getsockname()[1]
        secure = stack.enter_context(listen(everywhere, port + 1 if serving.port else 0)) if serving.tls else None
        tls_port = secure.getsockname()[1] if secure else 0
        outside = own_address() if serving.phones else ""
        hosts: tuple[str, ...] = (outside, socket.gethostname().lower()) if outside else ()
        if outside and serving.name:
            try:
                stack.callback(announce(serving.name, outside, tls_port or port))
                hosts = (host_name(serving.name), *hosts)
            except StopwrightError as error:
                say(str(error))
        reached = Reached(hosts, port, tls_port)
        certificate = _certificate(store, reached) if secure else None
        app = create_app(
            store,
            shop,
            frontend(),
            hosts=hosts,
            address=reached.address,
            tls_port=tls_port,
            certificate=certificate,
        )
        servers = [(_Server(app), plain)]
        if secure and certificate:
            servers.append((_Server(app, certificate), secure))
        stack.enter_context(planning_apart())
        stack.callback(_copying_daily(store.path, say))
        gc.freeze()  # what stays for good need not be looked through again and again, while every tap waits
        stack.callback(gc.unfreeze)
        _say_where(app, reached, store, say)
        Guarded.most = make_room()
        speak_seldom()
        with asyncio.Runner(loop_factory=ShortHandshakes) as runner:
            runner.run(_run(servers))


def _certificate(store: Store, reached: Reached) -> ShopCertificate:
    from stopwright.web.access.certificate import shop_certificate

    return shop_certificate(store.path.parent / "certificate", {*THIS_MACHINES, *reached.hosts}, datetime.now(UTC))


def _say_where(app: FastAPI, reached: Reached, store: Store, say: Callable[[str], None]) -> None:
    say(f"Bench: http://{THIS_MACHINE}:{reached.port}  (Ctrl-C ends it; everything is kept in {store.path})")
    if reached.tls_port:
        say(f"Over HTTPS: https://{(*reached.hosts, THIS_MACHINE)[0]}:{reached.tls_port}")
    if not reached.address:
        say("Phones: add --phones to listen to the shop's own network.")
        return
    if reached.tls_port:
        say(f"A new phone first opens http://{reached.hosts[0]}:{reached.port}/pair/certificate, once.")
    address = f"{reached.address}/PAIR/{app.state.web.door.new_code()}".upper()
    say(f"Phone: scan this within two minutes, from the same network:\n{qr_text(address)}\n{address}")


def _copying_daily(path: Path, say: Callable[[str], None]) -> Callable[[], None]:
    """Makes today's copy of the log, now and when a new day has begun; calling what is returned ends it."""
    ended = threading.Event()

    def copy() -> None:
        while True:
            try:
                daily_copy(path, datetime.now().astimezone().date())
            except StopwrightError as error:
                say(f"Today's copy could not be made: {error}")
            if ended.wait(HOUR):
                return

    thread = threading.Thread(target=copy, name="daily copy", daemon=True)
    thread.start()

    def end() -> None:
        ended.set()
        thread.join(10)

    return end


async def _run(servers: Sequence[tuple["_Server", socket.socket]]) -> None:
    """All servers until one is told to end; the first one begins and ends the program's own work."""
    first, *others = servers
    begun = asyncio.create_task(first[0].serve([first[1]]))
    while others and not first[0].started and not begun.done():
        await asyncio.sleep(0.01)
    more = [asyncio.create_task(server.serve([at])) for server, at in others]
    try:
        await begun
    finally:
        for server, _ in others:
            server.should_exit = True
        await asyncio.gather(*more)


class _Server(uvicorn.Server):
    """Ends the live lines before it stops: it waits for open answers, and a line is never complete.

    Over HTTPS when it is given a certificate; it then leaves the program's begin and end, and the signals, to the
    plain one.
    """

    def __init__(self, app: FastAPI, certificate: ShopCertificate | None = None) -> None:
        settings: dict[str, Any] = {"log_level": "warning", "proxy_headers": False, "server_header": False}
        settings |= {"http": Guarded, "ws": "none", "timeout_graceful_shutdown": GRACE_SECONDS}
        if certificate:
            settings |= {"ssl_certfile": certificate.certificate, "ssl_keyfile": certificate.key, "lifespan": "off"}
        super().__init__(uvicorn.Config(app, **settings))
        self._app = app
        self._second = certificate is not None

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Called on Ctrl-C and when the system wants the program to end."""
        at_last = threading.Timer(END_SECONDS, _end_at_once)
        at_last.daemon = True
        at_last.start()
        self._app.state.live.end()
        super().handle_exit(sig, frame)

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Takes both signals for itself, unless it is the second server; they end serving and nothing else."""
        if self._second or threading.current_thread() is not threading.main_thread():
            yield
            return
        before = {sig: signal.signal(sig, self.handle_exit) for sig in (signal.SIGINT, signal.SIGTERM)}
        try:
            yield
        finally:
            for sig, handler in before.items():
                signal.signal(sig, handler)


def _end_at_once() -> None:
    sys.stdout.flush()
    os._exit(0)


def qr_text(text: str) -> str:
    """A QR code for a terminal: two rows of modules a line, light on dark ground, quiet zone of four."""
    code = qr_code(text)
    dark = {(column + at, row) for column, row, length in code.runs for at in range(length)}
    side = range(-4, code.side + 4)
    blocks = {(False, False): "█", (False, True): "▀", (True, False): "▄", (True, True): " "}
    lines = ("".join(blocks[((x, y) in dark, (x, y + 1) in dark)] for x in side) for y in side[::2])
    return "\n".join(lines)


def own_address() -> str:
    """This machine's address in the shop's network; found without sending anything."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # a documentation address (RFC 5737): only the route is looked up
            return str(probe.getsockname()[0])
        except OSError:
            return ""


def data_file(folder: Path | None, name: str) -> Path:
    """The store's file in the folder, which is made if need be; by default in the user's own data folder."""
    try:
        folder = folder or Path.home() / ".local" / "share" / "stopwright"
    except RuntimeError as error:
        raise StopwrightError(
            "your home folder is not known, so there is no place to keep things", next_step="name one with --data"
        ) from error
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StopwrightError(
            f"the folder cannot be made ({error.strerror})", str(folder), "name another with --data"
        ) from error
    return folder / name


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens there; port 0 takes a free one. Raises StopwrightError for a port that cannot be had."""
    if not 0 <= port <= GREATEST_PORT:
        raise StopwrightError(f"there is no port {port}", next_step=f"name one from 1 to {GREATEST_PORT} with --port")
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
        listening.listen(128)  # whoever reads the address may come before the server is ready
    except OSError as error:
        listening.close()
        raise StopwrightError(
            f"port {port} cannot be used ({error.strerror})", next_step="end the other program, or name one with --port"
        ) from error
    return listening
