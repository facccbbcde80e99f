"""The bench that is killed: takes taps on the sheet of several jobs from a pipe and answers each once it is on disk."""

import json
import sys

from tests.actions.jobs.several import BOTH

from stopwright.actions.floor.working import record
from stopwright.store.log import Store


def serve(path: str) -> None:
    """Answers `id` a line for every tap a line, until the pipe ends or the process is killed."""
    with Store.open(path) as store:
        for line in sys.stdin:
            tap = json.loads(line)
            assert not record(store, BOTH, [tap], "phone").refused
            sys.stdout.write(f"{tap['id']}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    serve(sys.argv[1])
