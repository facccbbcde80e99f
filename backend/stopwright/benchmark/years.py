"""A log of years: the list of jobs and the memory of the scales, first worked out and then gone on from."""

import tempfile
from collections.abc import Iterator
from functools import partial
from itertools import count, islice
from pathlib import Path
from random import Random
from typing import Any

from stopwright.actions.jobs.keeping import create_job
from stopwright.actions.jobs.listing import job_list
from stopwright.actions.shop.learning import learned_minutes
from stopwright.actions.shop.memory import readings, scales
from stopwright.benchmark.figures import Figure
from stopwright.benchmark.instances import made_job
from stopwright.benchmark.yardstick import timed
from stopwright.intake.job_file import job_to_document
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM
from stopwright.model.job import Flow
from stopwright.store.events import Event
from stopwright.store.log import Store

JOBS, RUNS, PIECES = 200, 50, 17
"""So many jobs of so many runs of so many pieces: 200 000 events with what is set, measured and undone."""


def measure_years(quick: bool, _yardstick: float) -> Iterator[Figure]:
    """Processor seconds for what both pages show: with nothing kept, and after the program was started again."""
    jobs = JOBS // 10 if quick else JOBS
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "shop.db")
        with Store.open(path) as store:
            document = job_to_document(made_job(20, 200, 7, Flow.STATION_BY_STATION))
            for _ in range(jobs):
                create_job(store, document, "bench")
            told = _years(jobs)
            while some := list(islice(told, 5000)):
                store.append(some)
            events = f"{jobs} jobs, {store.last_seq} events"
        for when, most in (("with nothing kept", None), ("after a start", 1.0)):
            with Store.open(path) as store:
                _, took = timed(partial(job_list, store))
                yield Figure(f"the list of jobs, {when}", took, "s", most and 0.3, events)
                _, took = timed(partial(_memory, store))
                yield Figure(f"the memory of the scales, {when}", took, "s", most, events)


def _memory(store: Store) -> None:
    shop = default_shop()
    scales(store, shop)
    readings(store)
    learned_minutes(store, shop)


def _years(jobs: int) -> Iterator[Event]:
    numbers, chance = count(1), Random(7)
    shop = default_shop()
    places = [(station.name, axis.name) for station in shop.stations for axis in station.axes if axis.step]
    for job in range(1, jobs + 1):
        for run in range(RUNS):
            at = f"2026-03-{1 + job % 28:02}T{7 + run // 10:02}:{run % 10 * 6:02}:00.000Z"
            station, axis = places[run % len(places)]
            target = (100 + run) * MM
            name = {"run": f"r{job}x{run}"}
            off = chance.randrange(-3, 4) * MM // 10
            measured = {"target_nm": target, "reading_nm": target, "measured_nm": target + off}
            told: list[tuple[str, dict[str, Any]]] = [
                ("stop set", {"station": station, "work": "crosscut", "stops": [[axis, target]]}),
                ("piece measured", {"station": station, "axis": axis, **measured, "tolerance_nm": MM // 10}),
                *[("piece cut", {"mark": "A", "count": 1})] * PIECES,
                ("run done", {}),
            ]
            for kind, body in told:
                yield Event(f"tap-{next(numbers):08}", str(job), kind, at, f"phone-{job % 4}", name | body)
            undone = f"tap-{next(numbers) - 3:08}"  # the last piece but one
            yield Event(f"undo-{next(numbers):08}", str(job), "undo", at, f"phone-{job % 4}", {"event": undone})
