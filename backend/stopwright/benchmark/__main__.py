"""`python -m stopwright.benchmark`: measures, prints a table, writes JSON; `compare A B` lays two runs side by side."""

import argparse
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from stopwright.benchmark.figures import Figure, compare, read, table, write
from stopwright.benchmark.jobs import measure_jobs
from stopwright.benchmark.orders import measure_orders
from stopwright.benchmark.starts import measure_starts
from stopwright.benchmark.taps import measure_taps
from stopwright.benchmark.wood import measure_boards, measure_sheets
from stopwright.benchmark.yardstick import yardstick
from stopwright.benchmark.years import measure_years
from stopwright.errors import StopwrightError

SUBJECTS: dict[str, Callable[[bool, float], Iterator[Figure]]] = {
    "jobs": measure_jobs,
    "order": measure_orders,
    "boards": measure_boards,
    "sheets": measure_sheets,
    "starts": measure_starts,
    "taps": measure_taps,
    "years": measure_years,
}
"""What measures each, told whether every tenth will do and how many seconds a yardstick is here."""


def main(argv: Sequence[str] | None = None) -> int:
    """Measures the subjects named, all of them without a name; 2 when a file cannot be read."""
    parser = argparse.ArgumentParser(prog="python -m stopwright.benchmark", description=__doc__)
    parser.add_argument("subjects", nargs="*", help=f"{', '.join(SUBJECTS)}; or: compare BEFORE.json AFTER.json")
    parser.add_argument("--quick", action="store_true", help="every tenth instance, the small jobs")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the figures to a file")
    arguments = parser.parse_args(argv)
    try:
        if arguments.subjects[:1] == ["compare"] and len(arguments.subjects) == 3:
            print(compare(*(read(Path(name)) for name in arguments.subjects[1:])))
            return 0
        unknown = [name for name in arguments.subjects if name not in SUBJECTS]
        if unknown:
            raise StopwrightError(f"'{unknown[0]}' is not measured", next_step=f"choose from {', '.join(SUBJECTS)}")
    except StopwrightError as error:
        print(error, file=sys.stderr)
        return 2
    figures: list[Figure] = []
    for name in arguments.subjects or SUBJECTS:
        one = yardstick()
        figures.append(Figure(f"the yardstick, before {name}", one, "s"))
        for found in SUBJECTS[name](arguments.quick, one):
            figure = found.measured_by(one)
            print(f"{figure.name}: {figure.value:.3g} {figure.unit} {figure.verdict}", file=sys.stderr, flush=True)
            figures.append(figure)
    print(table(figures))
    if arguments.json:
        write(figures, arguments.json)
    return 0


if __name__ == "__main__":
    sys.exit(main())
