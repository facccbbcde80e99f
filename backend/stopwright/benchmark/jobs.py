"""Whole jobs: planning them, planning them again after a change, printing their labels."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from statistics import median

from stopwright.actions.jobs.labelling import job_labels_pdf
from stopwright.actions.jobs.planning import Planned
from stopwright.benchmark.figures import Figure
from stopwright.benchmark.instances import made_job
from stopwright.benchmark.yardstick import timed
from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Flow
from stopwright.model.parts import Kind
from stopwright.model.stations import Shop
from stopwright.paper.label_grid import A4_SHEET
from stopwright.plan.plan import make_plan


def measure_jobs(quick: bool, _yardstick: float) -> Iterator[Figure]:
    """Processor seconds for jobs of two sizes in both flows, a second plan after a change, and labels."""
    shop = default_shop()
    for lines, pieces, target in ((20, 200, 0.35), (200, 5000, 2.5)):
        if quick and lines > 20:
            continue
        for seed, flow in enumerate(Flow, start=7):  # another job for each flow: wood laid out once is remembered
            job = made_job(lines, pieces, seed, flow)
            sheet, took = timed(partial(make_plan, job, shop))
            boards = f"boards {sheet.wood.boards_used}, at least {sheet.wood.least_possible}"
            gap = sheet.settings.made - sheet.settings.least_possible
            yield Figure(f"plan {lines} lines, {flow}", took, "s", target, boards)
            yield Figure(f"plan {lines} lines, {flow}: settings above the bound", gap, "", 0 if lines == 20 else None)
    yield from _planned_again(shop)
    for many, seconds in ((500, 0.8), (5000, 8.0)):
        if quick and many > 500:
            continue
        job = made_job(20, many)
        planned = Planned(job, shop, make_plan(job, shop))
        count = sum(part.quantity for part in job.parts)
        _, took = timed(partial(job_labels_pdf, planned, 1, A4_SHEET, "http://stopwright.local:8765"))
        yield Figure(f"{many} labels", many * took / count, "s", seconds, f"from {count} labels")


def _planned_again(shop: Shop) -> Iterator[Figure]:
    """Processor seconds for a second plan with one piece more of a part, each part in turn."""
    job = made_job(20, 200)
    make_plan(job, shop)
    took: dict[Kind, list[float]] = {}
    for part in job.parts:
        more = tuple(replace(one, quantity=one.quantity + (one is part)) for one in job.parts)
        took.setdefault(part.kind, []).append(timed(partial(make_plan, replace(job, parts=more), shop))[1])
    for kind, seconds in took.items():
        yield Figure(f"20 lines planned again, a {kind} part changed: median", median(seconds), "s", 0.05)
        yield Figure(f"20 lines planned again, a {kind} part changed: slowest", max(seconds), "s", 0.05)
