"""What the commands take to answer, in seconds of the processor and as ratios to a Python that does nothing.

As it is where the program is installed: its modules are compiled once, whatever the environment says of keeping that.
"""

import os
import socket
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median
from time import sleep

from stopwright.benchmark.figures import Figure

LIST = "name,quantity,length,width,thickness\nRail,4,400,50,20\n"


def measure_starts(quick: bool, _yardstick: float) -> Iterator[Figure]:
    """Help, the run sheet of a list of one line, the server up and down: the median of a few runs, each on its own."""
    times = 3 if quick else 9
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "parts.csv")
        path.write_text(LIST, encoding="utf-8")
        starting = _Starting(folder)
        starts: dict[str, tuple[Callable[[], None], float]] = {
            "help": (lambda: starting.run("-m", "stopwright", "--help"), 0.3),
            "the run sheet of one line": (lambda: starting.run("-m", "stopwright", "plan", str(path)), 0.6),
            "the server up and down": (starting.serve_once, 1.0),
        }
        bare = _seconds(lambda: starting.run("-c", "pass"), times)
        for name, (start, most) in starts.items():
            taken = _seconds(start, times)
            yield Figure(f"{name}, from a standing start", taken, "s", most)
            yield Figure(f"{name}, against a Python that does nothing", taken / bare, "×", note=f"bare {bare:.3f} s")


def _seconds(start: Callable[[], None], times: int) -> float:
    """The median of what a process takes of the processor, after one run that is not counted."""
    taken = []
    for _ in range(times + 1):
        before = getrusage(RUSAGE_CHILDREN)
        start()
        after = getrusage(RUSAGE_CHILDREN)
        taken.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return median(taken[1:])


class _Starting:
    """Processes of this program; what is kept, and the compiled modules, lie in the folder."""

    def __init__(self, folder: str) -> None:
        self._folder = folder
        self._around = os.environ | {"PYTHONPYCACHEPREFIX": folder, "PYTHONDONTWRITEBYTECODE": ""}

    def run(self, *command: str) -> None:
        """Runs Python with these arguments until it ends."""
        subprocess.run([sys.executable, *command], check=True, capture_output=True, env=self._around)

    def serve_once(self) -> None:
        """Starts the server, waits until it takes a connection, and ends it."""
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        command = [sys.executable, "-m", "stopwright", "serve", "--data", self._folder, "--port", str(port)]
        quiet = subprocess.DEVNULL
        with subprocess.Popen(command, stdout=quiet, stderr=quiet, env=self._around) as server:
            while server.poll() is None:
                with suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=1):
                    server.terminate()
                    break
                sleep(0.02)
