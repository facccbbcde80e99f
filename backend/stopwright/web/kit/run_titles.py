"""How pages call a run."""

from stopwright.model.stations import Station
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.run_sheet import Run


def run_title(run: Run, station: Station | None) -> str:
    """Station and work of a run: `Saw, rip`; the station alone where its name already says the work.

    >>> run_title(Run(1, "saw", "rip", (), ()), None)
    'Saw, rip'
    """
    name = run.station[:1].upper() + run.station[1:]
    title = OPERATIONS[run.work].title
    if station is not None and station.work == (run.work,) and not title:
        return name
    return f"{name}, {title or run.work}"
