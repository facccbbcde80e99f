"""The yardstick: a fixed piece of work that every figure is measured by, so that two machines can be compared.

One yardstick is about a second of the processor on the machine on which the figures of 0.1.0 were made. That machine is
gone; its speed was told from what it had measured (slowest of the orders A and B 4.7 s, 20 lines 0.7 s, 500 labels
1.8 s), each taken again, unchanged, on the machine on which the size of the work was chosen.
"""

from collections.abc import Callable
from time import process_time
from typing import TypeVar

import numpy as np

from stopwright.benchmark.instances import Dice

ROUNDS = 3
"""The work is done so often and the shortest counts: what else runs on a machine can only make it longer."""
LAYERS = 400
"""Layers of the work in plain Python."""
KNAPSACKS = 20_000
"""Lines that the work with arrays fills a board with."""

Found = TypeVar("Found")


def yardstick() -> float:
    """Processor seconds that the fixed work takes here: the least of a few times."""
    return min(timed(fixed_work)[1] for _ in range(ROUNDS))


def timed(work: Callable[[], Found]) -> tuple[Found, float]:
    """What the work gives, and the processor seconds it took, its threads together; waiting counts for nothing."""
    start = process_time()
    found = work()
    return found, process_time() - start


def fixed_work() -> tuple[int, int]:
    """Always the same: sets as bits in lists and dicts, as orders are found; arrays, as boards are filled.

    What comes out depends on all that was done, so that a test can say that the work has not changed.
    """
    return _plain_work(LAYERS), _array_work(KNAPSACKS)


def _plain_work(layers: int) -> int:
    """A search in layers, the best 120 kept of each: whole numbers, tuples, a dict, a sort."""
    dice = Dice(20)
    needs = [sum(1 << dice(60) for _ in range(5)) for _ in range(40)]
    kept = [(0, 0, 0)]
    total = 0
    for _ in range(layers):
        seen: dict[int, tuple[int, int, int]] = {}
        for cost, done, stands in kept:
            for run, need in enumerate(needs):
                mask = done ^ (1 << run)
                now = (cost + (need & ~stands).bit_count(), mask, (stands >> 1 & stands) | need)
                if mask not in seen or now < seen[mask]:
                    seen[mask] = now
        kept = sorted(seen.values())[:120]
        total += kept[-1][0]
    return total


def _array_work(lines: int) -> int:
    """The worth of the best filling of a board of 20 000, line by line."""
    dice = Dice(21)
    worth = np.zeros(20_001, dtype=np.int64)
    for _ in range(lines):
        length, gain = 200 + dice(6000), 1 + dice(1000)
        np.maximum(worth[length:], worth[:-length] + gain, out=worth[length:])
    return int(worth[-1])
