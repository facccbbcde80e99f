"""Every sheet can be worked as printed: the books of the wood add up, run by run, to the nanometre."""

from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from tests.builders import a_board, a_job, a_part, a_shop
from tests.conftest import ROOT
from tests.plan.test_plan_checked import jobs
from tests.shop.facts import facts_of
from tests.shop.ledger import Facts, check_ledger

from stopwright.actions.jobs.file_planning import plan_file
from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet_json import run_sheet_json

JOBS = sorted(path.parent for path in (ROOT / "fixtures").glob("*/job.toml"))


def books(job: Job, shop: Any) -> list[str]:
    return check_ledger(run_sheet_json(make_plan(job, shop), Show.MM), facts_of(job, shop))


@pytest.mark.parametrize("folder", JOBS, ids=lambda path: path.name)
def test_the_books_of_a_whole_job_add_up(folder: Path) -> None:
    planned = plan_file(folder)
    assert books(planned.job, planned.shop) == []


@settings(deadline=None, max_examples=40)
@given(jobs())
def test_the_books_of_any_job_add_up(job: Job) -> None:
    assert books(job, a_shop()) == []


def a_sheet() -> tuple[dict[str, Any], Facts]:
    parts = (a_part("A", 4, (450, 60, 22)), a_part("B", 3, (300, 38, 22)))
    job = a_job(*parts, stock=(a_board(2, (1000, 150, 27)),))
    return run_sheet_json(make_plan(job, a_shop()), Show.MM), facts_of(job, a_shop())


def a_run(sheet: dict[str, Any], work: str) -> dict[str, Any]:
    return next(run for run in sheet["runs"] if run["work"] == work)


def test_the_ledger_sees_what_does_not_add_up() -> None:
    sheet, facts = a_sheet()
    assert check_ledger(sheet, facts) == []

    def spoiled(work: str, change: Any) -> list[str]:
        other = deepcopy(sheet)
        change(a_run(other, work))
        return check_ledger(other, facts)

    def nm(lot: dict[str, Any], field: str, by: int) -> None:
        lot["size"][field]["nm"] += by

    assert spoiled("crosscut", lambda run: run["gives"][0].update(count=5, becomes=[{"mark": "A", "count": 5}]))
    assert spoiled("rip", lambda run: run["gives"].pop())
    assert spoiled("rip", lambda run: nm(run["gives"][0], "width", 1))
    assert spoiled("joint", lambda run: nm(run["gives"][0], "width", 3_200_000))
    assert spoiled("plane", lambda run: nm(run["gives"][0], "thickness", -1))
    assert spoiled("square", lambda run: nm(run["gives"][0], "length", -1))
    assert spoiled("crosscut", lambda run: run["takes"].append(run["takes"][0]))
    assert spoiled("square", lambda run: run["after"].clear())
    without = deepcopy(sheet)
    without["runs"].remove(a_run(without, "rip"))
    assert check_ledger(without, facts)
