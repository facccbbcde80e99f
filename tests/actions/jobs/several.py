"""Two small jobs worked together, for tests: their store, their plan, and a phone that taps on its runs."""

from collections.abc import Sequence
from itertools import count
from typing import Any

from tests.builders import a_board, a_job, a_part, a_shop

from stopwright.actions.floor.worked_together import shares_in
from stopwright.actions.floor.working import TakenDown, record
from stopwright.actions.jobs.keeping import create_job
from stopwright.actions.jobs.planning import Planned, plan_for
from stopwright.actions.jobs.together import begin_together
from stopwright.intake.job_file import job_to_document
from stopwright.plan.run_sheet import Run
from stopwright.store.log import Store

STOOLS, DRAWERS, BOTH = "1", "2", "3"
numbers = count(1)


def two_jobs(store: Store) -> None:
    """Stools as job 1, drawers as job 2. They share the length of 450 and a thickness."""
    stools = a_job(a_part("A", 4, (450, 60, 22), name="Leg"), a_part("B", 2, (300, 60, 22)), stock=(a_board(3),))
    drawers = a_job(a_part("A", 6, (450, 38, 22), name="Side"), units=3, stock=(a_board(3),))
    for name, job in (("Stools", stools), ("Drawers", drawers)):
        create_job(store, {**job_to_document(job), "name": name}, "bench")


def worked_together(store: Store) -> Planned:
    """Both of them together as number 3."""
    two_jobs(store)
    assert begin_together(store, [DRAWERS, STOOLS], "bench") == BOTH
    return planned(store)


def planned(store: Store, job: str = BOTH) -> Planned:
    """The plan of a job as it stands."""
    return plan_for(store, job, a_shop())


def the_run(plan: Planned, work: str, target: float | None = None) -> Run:
    """The run of that work, its first stop at so many mm."""
    return next(
        run
        for run in plan.sheet.runs
        if run.work == work and (target is None or run.stops[0].target == round(target * 1e6))
    )


def tapped(plan: Planned, run: Run, kind: str, id_: str = "", **body: Any) -> dict[str, Any]:
    """A tap on that run as the phone's page sends it."""
    if kind == "stop set":
        stops = [[stop.axis, stop.told] for stop in run.stops]
        body |= {"station": run.station, "work": run.work, "stops": stops}
    shares = [{"job": share.job, "run": share.run} for share in shares_in(run, plan.members)]
    if "mark" in body:
        shares = [
            {"job": share.job, "run": share.run, "mark": own}
            for share in shares_in(run, plan.members)
            for own, name in share.names.items()
            if name == body["mark"]
        ]
    return {
        "id": id_ or f"tap-{next(numbers):08}",
        "kind": kind,
        "at": "2026-03-01T07:30:00.000Z",
        "body": {"run": run.id, **body},
        "shares": shares,
    }


def send(store: Store, *taps: dict[str, Any], job: str = BOTH) -> TakenDown:
    """Takes them down as from the bench's own page."""
    return record(store, job, list(taps), "bench")


def work_whole(store: Store, plan: Planned, runs: Sequence[Run], job: str = BOTH) -> None:
    """Sets, cuts and finishes these runs."""
    for run in runs:
        counted = [(line.lot, line.count) for line in run.lines] or [(one.mark, one.count) for one in run.pieces]
        cuts = [tapped(plan, run, "piece cut", mark=mark, count=count) for mark, count in counted]
        taps = [tapped(plan, run, "stop set"), *cuts, tapped(plan, run, "run done")]
        assert not send(store, *taps, job=job).refused
