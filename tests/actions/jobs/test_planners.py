"""Plans made in processes of their own: the same plans, ended when nobody waits for them or the job has changed."""

import gc
import os
import threading
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.builders import a_job, a_part, a_shop

from stopwright.actions.jobs import searching
from stopwright.actions.jobs.keeping import create_job, job_document, save_job
from stopwright.actions.jobs.labelling import Counted, job_labels_pdf, labels_being_made, labels_search, making_of
from stopwright.actions.jobs.longer import search_longer
from stopwright.actions.jobs.planners import Planners, made, planning_apart
from stopwright.actions.jobs.planning import Planned, asked_for, plan_for
from stopwright.actions.jobs.searching import Abandoned, Search
from stopwright.errors import StopwrightError
from stopwright.intake.job_file import job_to_document
from stopwright.paper.label_grid import A4_SHEET
from stopwright.paper.labels import piece_labels
from stopwright.plan.assembling.pieces import list_pieces
from stopwright.plan.plan import make_plan
from stopwright.store.log import Store

FOR_EVER = 600.0
SOON = 60.0
"""Seconds after which a test gives up."""


@pytest.fixture(scope="module", autouse=True)
def apart() -> Iterator[None]:
    with planning_apart():
        yield


def ended(search: Search[Any]) -> BaseException | None:
    """What a search ended with, without waiting for it as somebody would who wants to know."""
    done = threading.Event()
    search.when_done(done.set)
    assert done.wait(SOON)
    return search.error


def sleeping(search: Search[object]) -> object:
    return made(search, time.sleep, FOR_EVER)


def test_a_plan_made_apart_is_the_plan_made_here() -> None:
    job, shop = replace(a_job(a_part(quantity=7)), units=3), a_shop()
    assert Search(lambda search: made(search, make_plan, job, shop)).answer(SOON) == make_plan(job, shop)


def test_labels_made_apart_are_the_labels_made_here() -> None:
    job, shop = replace(a_job(a_part(quantity=7)), units=3), a_shop()
    planned = Planned(job, shop, make_plan(job, shop))
    labels = tuple(piece_labels(list_pieces(job, planned.sheet), 1, job.units))
    asked = A4_SHEET, "http://bench.local:8765", 2
    search = labels_search(labels, *asked)
    file = search.answer(SOON)
    assert file is not None and file.path.read_bytes() == job_labels_pdf(planned, 1, *asked)
    assert (search.at, search.of) == (7, 7)
    assert labels_search(labels, *asked) is search and labels_being_made(making_of(search) or "") is search


def test_labels_that_others_followed_leave_nothing_on_the_disk() -> None:
    job, shop = a_job(a_part(quantity=3)), a_shop()
    pieces = list_pieces(job, make_plan(job, shop))
    paths = []
    for number in (1, 2):
        file = labels_search(tuple(piece_labels(pieces, number, 1)), A4_SHEET, "http://bench.local:8765", 1).answer(
            SOON
        )
        assert file is not None
        paths.append(file.path)
        del file
    gc.collect()
    assert [path.parent.exists() for path in paths] == [False, True]


def test_how_far_it_is_comes_from_a_planner_while_it_works() -> None:
    search = Search(lambda search: made(search, counting, search), of=3)
    assert search.answer(SOON) == "counted" and search.at == 2


def counting(search: Counted) -> str:
    search.reached(1)
    search.reached(2)
    return "counted"


def test_what_is_wrong_comes_out_as_it_was_said() -> None:
    with pytest.raises(StopwrightError, match="is not a moment") as told:
        Search(lambda search: made(search, fails)).answer(SOON)
    assert told.value.next_step == "wait"


def fails() -> None:
    raise StopwrightError("this is not a moment", next_step="wait")


def test_a_planner_that_dies_says_so_and_another_takes_its_place() -> None:
    for _ in range(2):
        with pytest.raises(Abandoned, match="planning was stopped"):
            Search(lambda search: made(search, os._exit, 3)).answer(SOON)
    assert Search(lambda search: made(search, len, "abc")).answer(SOON) == 3


def test_planning_ends_when_nobody_waits_for_it(monkeypatch: pytest.MonkeyPatch) -> None:
    search = Search(sleeping)
    with search.waited_for():
        monkeypatch.setattr(searching, "GRACE", 0.0)
        assert not search.abandoned
    assert isinstance(ended(search), Abandoned)


def test_who_waits_for_a_turn_is_let_go_when_nobody_waits_for_him(monkeypatch: pytest.MonkeyPatch) -> None:
    planners = Planners(at_once=1)
    first = Search(lambda search: planners.make(search, time.sleep, (FOR_EVER,)), seconds=FOR_EVER)
    monkeypatch.setattr(searching, "GRACE", 0.0)
    second = Search(lambda search: planners.make(search, len, ("abc",)))
    assert isinstance(ended(second), Abandoned) and not first.finished
    planners.close()
    assert isinstance(ended(first), Abandoned)


def test_closing_ends_what_is_planned_at_once() -> None:
    with planning_apart():
        search = Search(sleeping)
        with search.waited_for():
            assert not search.finished
    assert isinstance(ended(search), Abandoned)


def test_a_search_knows_how_often_it_was_asked_by_its_planner() -> None:
    search = Search(lambda search: made(search, three_looks, search), seconds=FOR_EVER)
    assert search.answer(SOON) == [False, False, False] and search.looked == 3


def three_looks(enough) -> list[bool]:
    return [enough() for _ in range(3)]


def test_a_search_that_is_stopped_ends_with_what_it_has() -> None:
    search = Search(lambda search: made(search, until_enough, search), seconds=FOR_EVER)
    search.stop()
    assert search.answer(SOON) == "ended"


def until_enough(enough) -> str:
    while not enough():
        time.sleep(0.001)
    return "ended"


def test_a_longer_search_ends_when_the_job_has_changed(tmp_path: Path, monkeypatch) -> None:
    shop = a_shop()
    with Store.open(tmp_path / "shop.db") as store:
        job = create_job(store, job_to_document(a_job(a_part(quantity=7))), "bench")
        before = plan_for(store, job, shop).sheet
        monkeypatch.setattr("stopwright.actions.jobs.planning.make_plan", searched_until_enough)
        search = search_longer(store, job, shop, FOR_EVER, "bench")
        saved = job_document(store, job)
        save_job(store, job, {**saved.document, "units": 9}, saved.version, "bench")
        found = search.answer(SOON)
        assert found is not None and found.sheet == before
        assert asked_for(store, job, shop).steps is None


def searched_until_enough(job, shop, choices, enough):
    until_enough(enough)
    return make_plan(job, shop, choices)
