"""Reading what people bring in a process of its own, which is ended when it takes too much time or memory.

Every reader counts and refuses on its own; this holds against what no count foresees. The process ends with its
answer, so its memory is given back, and whoever serves beside it is not held up.
"""

import os
import pickle
import re
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any, TypeVar

from stopwright.errors import StopwrightError
from stopwright.intake.files import fault_of_file

T = TypeVar("T")

SECONDS = 4.0
"""From the start of the process to its answer."""

ROOM = 220_000_000
"""Bytes that it may take beyond what it has when it begins to read."""

AT_ONCE = 2
_TURNS = threading.BoundedSemaphore(AT_ONCE)


def read_apart(read: Callable[..., T], *arguments: object, file: str, seconds: float = SECONDS, room: int = ROOM) -> T:
    """What `read` gives for the arguments, or raises; both are pickled on the way, and so is `read` by its name.

    Raises BadInput about `file` when it takes more than `seconds` or more than `room` bytes of memory,
    StopwrightError when others read and their turn takes too long.
    """
    if not _TURNS.acquire(timeout=seconds):
        raise StopwrightError("others are being read", file, "try again in a moment")
    try:
        answer = _answer_of(pickle.dumps((read, arguments, room, seconds)), seconds)
    except subprocess.TimeoutExpired as error:
        raise fault_of_file(file, f"takes more than {seconds:g} seconds to read", _NEXT_STEP) from error
    finally:
        _TURNS.release()
    if not answer:
        raise fault_of_file(file, f"takes more than {room // 1_000_000} MB of memory to read", _NEXT_STEP)
    result, failed = pickle.loads(answer)
    if isinstance(failed, MemoryError):
        raise fault_of_file(file, f"takes more than {room // 1_000_000} MB of memory to read", _NEXT_STEP)
    if isinstance(failed, StopwrightError):
        raise failed
    if failed is not None:
        raise RuntimeError(f"{read.__name__} failed") from failed
    made: T = result
    return made


_NEXT_STEP = "export only the list, or split it"


def _answer_of(question: bytes, seconds: float) -> bytes:
    """What the process writes; nothing when it died. It sees no Ctrl-C: who asked it ends it."""
    command = [sys.executable, "-c", "from stopwright.intake.apart import answer; answer()"]
    where = os.environ | {"PYTHONPATH": os.pathsep.join(filter(None, sys.path)), "OPENBLAS_NUM_THREADS": "1"}
    with subprocess.Popen(
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=where,
        start_new_session=True,
    ) as process:
        try:
            written, _ = process.communicate(question, timeout=seconds)
        finally:
            process.kill()
    return written if process.returncode == 0 else b""


def answer() -> None:
    """The work of the process: reads the question, keeps to its limits, writes what came of it."""
    read, arguments, room, seconds = pickle.load(sys.stdin.buffer)
    _limit(room, seconds)
    said: tuple[Any, BaseException | None]
    try:
        said = read(*arguments), None
    except Exception as error:
        error.__cause__ = error.__context__ = None
        said = None, error
    with suppress(MemoryError):
        told = pickle.dumps(said)
        sys.stdout.buffer.write(told)
        sys.stdout.buffer.flush()
        os._exit(0)  # nothing that was read is taken apart one by one
    os._exit(1)


def _limit(room: int, seconds: float) -> None:
    """Bounds work and memory where the system can; elsewhere the clock of who asked must do."""
    with suppress(ImportError, OSError, ValueError):
        import resource

        work = int(seconds) + 1
        resource.setrlimit(resource.RLIMIT_CPU, (work, work))
        held = re.search(r"VmData:\s*(\d+) kB", Path("/proc/self/status").read_text(encoding="ascii"))
        if held:
            most = int(held[1]) * 1024 + room
            resource.setrlimit(resource.RLIMIT_DATA, (most, most))
