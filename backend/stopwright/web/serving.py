"""Serving bench and phones: the store opened, the port bound, and how to get there, on the screen."""

import socket
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

import uvicorn
from fastapi import FastAPI

from stopwright.actions.shipped import frontend
from stopwright.errors import StopwrightError
from stopwright.model.stations import Shop
from stopwright.paper.qr import qr_code
from stopwright.store.log import Store
from stopwright.web.app import create_app

THIS_MACHINE = "127.0.0.1"


@dataclass(frozen=True, slots=True)
class Serving:
    """Where to listen: on this machine only, or (`phones`) to the shop's network; port 0 takes a free one."""

    port: int = 8765
    phones: bool = False


def serve(store: Store, shop: Shop, serving: Serving, say: Callable[[str], None] = print) -> None:
    """Serves until it is stopped. Raises StopwrightError when the port is taken.

    With `phones` the first code that lets a phone in is shown at once: one use, two minutes; more on the bench.
    """
    listening = listen("0.0.0.0" if serving.phones else THIS_MACHINE, serving.port)
    port = listening.getsockname()[1]
    outside = own_address() if serving.phones else ""
    app = create_app(
        store,
        shop,
        frontend(),
        hosts=(outside, socket.gethostname()) if outside else (),
        address=f"http://{outside}:{port}" if outside else "",
    )
    say(f"Bench: http://{THIS_MACHINE}:{port}  (Ctrl-C ends it; everything is kept in {store.path})")
    if outside:
        address = f"HTTP://{outside}:{port}/LET-IN/{app.state.web.door.new_code()}".upper()
        say(f"Phone: scan this within two minutes, from the same network:\n{qr_text(address)}\n{address}")
    else:
        say("Phones: add --phones to listen to the shop's own network.")
    server = _Server(app)
    server.run(sockets=[listening])


class _Server(uvicorn.Server):
    """Ends the live lines before it stops: it waits for open answers, and a line is never complete."""

    def __init__(self, app: FastAPI) -> None:
        super().__init__(uvicorn.Config(app, log_level="warning", proxy_headers=False, server_header=False))
        self._app = app

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Called on Ctrl-C."""
        self._app.state.live.end()
        super().handle_exit(sig, frame)


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
    folder = folder or Path.home() / ".local" / "share" / "stopwright"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StopwrightError(
            f"the folder cannot be made ({error.strerror})", str(folder), "name another with --data"
        ) from error
    return folder / name


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens there; port 0 takes a free one. Raises StopwrightError when the port is taken."""
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
