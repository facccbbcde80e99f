"""Planners: processes in which plans are made while people tap, ended when nobody waits for what they do.

`made` is the door: while planners are there (`planning_apart`) it has them do the work, else it does it itself.
"""

import os
import queue
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from time import monotonic
from typing import Any, TypeVar

from stopwright.actions.jobs.searching import Abandoned, Search
from stopwright.errors import StopwrightError

T = TypeVar("T")

AT_ONCE = 4
KEPT_READY = 1
"""Planners that stay though they have nothing to do: one knows the wood laid out last."""
LOOK = 0.25
"""Seconds between two looks at whether the work is still wanted."""
NICE = 10
"""How much a planner stands back behind the program that takes taps."""
_STOP = "stop"


class _TheSearch:
    """Stands for the search among the arguments on their way to a planner."""


class Planner:
    """One process that makes plans, one after the other."""

    def __init__(self) -> None:
        context = get_context("spawn")
        self._connection, theirs = context.Pipe()
        self._process: SpawnProcess = context.Process(target=_work, args=(theirs,), name="planner", daemon=True)
        self._process.start()
        theirs.close()

    def make(self, search: Search[Any], function: Callable[..., T], arguments: tuple[object, ...]) -> T:
        """What `function` gives for the arguments; raises what it raises, and Abandoned.

        Whatever else it raises than the function itself, the planner is of no use any more: `end` it.
        """
        sent = tuple(_TheSearch() if one is search else one for one in arguments)
        left = None if search.seconds is None else search.seconds - search.passed
        told = False
        try:
            self._connection.send((function, sent, left))
            while True:
                while not self._connection.poll(LOOK):
                    search.look()
                    if search.abandoned:
                        raise _cancelled()
                    if search.stopped and not told:
                        self._connection.send(_STOP)
                        told = True
                said = self._connection.recv()
                if not isinstance(said, int):
                    break
                search.reached(said)
            result, error, looked = said
        except (EOFError, OSError) as failed:
            raise Abandoned("planning was stopped", next_step="open the page again") from failed
        search.looked += looked
        if error is not None:
            raise error
        made: T = result
        return made

    def end(self) -> None:
        """Ends the process at once."""
        self._connection.close()
        self._process.kill()
        self._process.join()


class Planners:
    """Planners lent to one piece of planning at a time."""

    def __init__(self, at_once: int = AT_ONCE) -> None:
        self._turns = threading.BoundedSemaphore(at_once)
        self._lock = threading.Lock()
        self._ready: list[Planner] = [Planner()]
        self._busy: set[Planner] = set()
        self._closed = False

    def make(self, search: Search[Any], function: Callable[..., T], arguments: tuple[object, ...]) -> T:
        """What `function` gives for the arguments, made by a planner; `search` among them is asked when to stop.

        Raises what the function raises, and Abandoned when nobody waits for the search any more.
        """
        while not self._turns.acquire(timeout=LOOK):
            if search.abandoned:
                raise _cancelled()
        try:
            planner = self._borrowed()
            try:
                made = planner.make(search, function, arguments)
            except BaseException as error:
                self._given_back(planner, of_use=not isinstance(error, Abandoned))
                raise
            self._given_back(planner, of_use=True)
            return made
        finally:
            self._turns.release()

    def close(self) -> None:
        """Ends all planners at once, whatever they do."""
        with self._lock:
            self._closed = True
            planners = [*self._ready, *self._busy]
            self._ready.clear()
        for planner in planners:
            planner.end()

    def _borrowed(self) -> Planner:
        with self._lock:
            if self._closed:
                raise Abandoned("the program is shutting down", next_step="start it again")
            planner = self._ready.pop() if self._ready else Planner()
            self._busy.add(planner)
            return planner

    def _given_back(self, planner: Planner, of_use: bool) -> None:
        with self._lock:
            self._busy.discard(planner)
            kept = of_use and not self._closed and len(self._ready) < KEPT_READY
            if kept:
                self._ready.append(planner)
        if not kept:
            planner.end()


_PLANNERS: list[Planners] = []


@contextmanager
def planning_apart() -> Iterator[None]:
    """While this is entered, plans are made in processes of their own."""
    planners = Planners()
    _PLANNERS.append(planners)
    try:
        yield
    finally:
        _PLANNERS.remove(planners)
        planners.close()


def made(search: Search[Any], function: Callable[..., T], *arguments: object) -> T:
    """What `function` gives for the arguments; what goes to a planner and back is pickled.

    Raises what the function raises, and Abandoned when nobody waits for the search any more.
    """
    return _PLANNERS[-1].make(search, function, arguments) if _PLANNERS else function(*arguments)


class _Told:
    """The effort of a search in the planner's process; counts how often it was asked."""

    def __init__(self, seconds: float | None, tell: Callable[[int], None]) -> None:
        self.reached = tell
        """Tells who asked how far it has come."""
        self._until = None if seconds is None else monotonic() + seconds
        self.stopped = False
        self.looked = 0

    def __call__(self) -> bool:
        """True when the search was stopped or its seconds are over."""
        enough = self.stopped or (self._until is not None and monotonic() >= self._until)
        if not enough:
            self.looked += 1
        return enough


def _cancelled() -> Abandoned:
    return Abandoned("this plan was cancelled, as no page was waiting for it", next_step="open the page again")


def _work(connection: Connection) -> None:
    """What a planner does until it is ended, or until who asks is gone. Ctrl-C is for who asks."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with suppress(AttributeError, OSError):
        os.nice(NICE)
    asked: queue.SimpleQueue[tuple[Callable[..., Any], tuple[object, ...], _Told]] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(connection, asked), daemon=True).start()
    import stopwright.plan.plan  # noqa: F401  # ready before it is asked

    while True:
        function, arguments, told = asked.get()
        said: tuple[Any, BaseException | None]
        try:
            said = function(*(told if isinstance(one, _TheSearch) else one for one in arguments)), None
        except Exception as error:
            said = None, error if isinstance(error, StopwrightError) else RuntimeError(f"planning failed: {error!r}")
        connection.send((*said, told.looked))


def _listen(connection: Connection, asked: "queue.SimpleQueue[Any]") -> None:
    told = _Told(None, connection.send)
    while True:
        try:
            heard = connection.recv()
        except (EOFError, OSError):
            os._exit(0)
        if heard == _STOP:
            told.stopped = True
        else:
            function, arguments, seconds = heard
            told = _Told(seconds, connection.send)
            asked.put((function, arguments, told))
