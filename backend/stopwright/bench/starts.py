"""How long the commands take to answer, in seconds and as ratios to a Python that does nothing."""

import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from statistics import median
from time import perf_counter

from stopwright.bench.figures import Figure

LIST = "name,quantity,length,width,thickness\nRail,4,400,50,20\n"


def measure_starts(quick: bool, _yardstick: float) -> Iterator[Figure]:
    """Help, and the run sheet of a list of one line: the median of a few runs, each a process of its own."""
    times = 3 if quick else 9
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "parts.csv")
        path.write_text(LIST, encoding="utf-8")
        commands = {
            "help": (("-m", "stopwright", "--help"), 0.3),
            "the run sheet of one line": (("-m", "stopwright", "plan", str(path)), 0.6),
        }
        bare = _seconds(("-c", "pass"), times)
        for name, (command, most) in commands.items():
            taken = _seconds(command, times)
            yield Figure(f"{name}, from a standing start", taken, "s", most)
            yield Figure(f"{name}, against a Python that does nothing", taken / bare, "×", note=f"bare {bare:.3f} s")


def _seconds(command: Sequence[str], times: int) -> float:
    """The median of the seconds that a command takes, after one run that is not counted."""
    taken = []
    for _ in range(times + 1):
        begun = perf_counter()
        subprocess.run([sys.executable, *command], check=True, capture_output=True)
        taken.append(perf_counter() - begun)
    return median(taken[1:])
