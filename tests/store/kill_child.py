"""The process that is killed: takes taps from a pipe, a phone a thread, and answers each id once it is on disk."""

import json
import sys
from concurrent.futures import ThreadPoolExecutor
from threading import Lock

from stopwright.store.events import Event
from stopwright.store.log import Store


def serve(path: str) -> None:
    """Answers `id` a line for every event a line, until the pipe ends or the process is killed."""
    speaking = Lock()
    with Store.open(path) as store, ThreadPoolExecutor(8) as phones:

        def answer(line: str) -> None:
            (stored,) = store.append([Event(**json.loads(line))])
            with speaking:
                sys.stdout.write(stored.id + "\n")
                sys.stdout.flush()

        for line in sys.stdin:
            phones.submit(answer, line)


if __name__ == "__main__":
    serve(sys.argv[1])
