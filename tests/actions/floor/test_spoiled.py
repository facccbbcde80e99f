"""A piece counted as spoiled without saying which: found again, named without changing a count, made again."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.conftest import ROOT

from stopwright.actions.floor.remaking import finish_remake, pass_run, remake_stands
from stopwright.actions.floor.spoiled import name_spoiled, unnamed_spoils
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.keeping import create_job
from stopwright.actions.jobs.numbering import pieces_of
from stopwright.actions.jobs.planning import Planned, plan_for
from stopwright.errors import NotFound, StopwrightError
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop
from stopwright.plan.assembling.pieces import Piece
from stopwright.plan.run_sheet import Run
from stopwright.store.events import Event, new_id, utc_now, written
from stopwright.store.log import Store

SHOP = default_shop()


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "shop.db") as store:
        create_job(store, job_to_document(read_job(ROOT / "fixtures" / "bakery-stools")), "bench")
        yield store


def planned_of(store: Store) -> Planned:
    return plan_for(store, "1", SHOP)


def piece(store: Store, label: str) -> Piece:
    return next(one for one in pieces_of(store, "1", planned_of(store)) if one.label == label)


def legs_run(store: Store, work: str, mirrored: bool = False) -> Run:
    runs = planned_of(store).sheet.runs
    return next(r for r in runs if r.work == work and any((p.mark, p.mirrored) == ("A", mirrored) for p in r.pieces))


def tell(store: Store, kind: str, run: Run, count: int = 1, **more: object) -> str:
    id_ = new_id()
    body = {"run": run.id, "mark": "A", "count": count} | more
    store.append([Event(id_, "1", kind, written(utc_now()), "phone", body)])
    return id_


def unnamed(store: Store) -> list[tuple[str, int]]:
    return [(one.tap.id, one.count) for one in unnamed_spoils(store, "1", planned_of(store))]


def name(store: Store, tap: str, label: str, id_: str = "") -> None:
    name_spoiled(store, "1", planned_of(store), tap, piece(store, label), "torn grain", "phone", id_=id_)


def test_naming_a_spoiled_piece_changes_no_count_and_its_remake_fills_the_run_again(store: Store) -> None:
    run = legs_run(store, "crosscut")
    tell(store, "piece cut", run, 24)
    tap = tell(store, "piece spoiled", run)
    assert unnamed(store) == [(tap, 1)]
    before = job_state(store, "1").run(run.id)
    name(store, tap, "A-07")
    state = job_state(store, "1")
    assert (state.run(run.id).cut, state.run(run.id).spoiled) == (before.cut, before.spoiled)
    assert before.cut == {("A", False): 23} and before.spoiled == {("A", False): 1}
    assert state.pieces[piece(store, "A-07").index].missing and unnamed(store) == []
    planned = planned_of(store)
    for step in remake_stands(store, "1", planned, piece(store, "A-07")).remake.steps:
        pass_run(store, "1", planned, piece(store, "A-07"), step.run.id, "phone")
    finish_remake(store, "1", piece(store, "A-07"), "phone")
    assert job_state(store, "1").run(run.id).cut == {("A", False): 24}


def test_of_several_spoiled_with_one_tap_each_is_named_by_itself(store: Store) -> None:
    run = legs_run(store, "crosscut")
    tap = tell(store, "piece spoiled", run, 3, counted=False)
    name(store, tap, "A-01")
    ((rest, count),) = unnamed(store)
    assert count == 2
    name(store, rest, "A-02")
    ((_, count),) = unnamed(store)
    assert count == 1
    assert job_state(store, "1").run(run.id).spoiled == {("A", False): 3}


def test_what_was_taken_back_or_made_good_from_spare_wood_is_not_asked_for(store: Store) -> None:
    run = legs_run(store, "crosscut")
    tap = tell(store, "piece spoiled", run, counted=False)
    store.append([Event(new_id(), "1", "undo", written(utc_now()), "phone", {"event": tap})])
    assert unnamed(store) == []
    tell(store, "piece spoiled", run, counted=False)
    assert len(unnamed(store)) == 1
    tell(store, "piece cut", run, 24)
    assert unnamed(store) == []


def test_said_twice_it_counts_once_and_a_second_person_is_told(store: Store) -> None:
    tap = tell(store, "piece spoiled", legs_run(store, "crosscut"), counted=False)
    for _ in range(2):
        name(store, tap, "A-01", id_="form-00001")
    assert sum(one.kind == "piece spoiled" for one in store.events("1")) == 2  # without a name, then with one
    with pytest.raises(NotFound) as said:
        name(store, tap, "A-02", id_="form-00002")
    assert "named already" in said.value.what
    assert not job_state(store, "1").pieces.get(piece(store, "A-02").index)


def test_only_pieces_that_it_can_have_been_are_offered_and_taken(store: Store) -> None:
    run = legs_run(store, "mortise", mirrored=True)
    tap = tell(store, "piece spoiled", run, mirrored=True, counted=False)
    (one,) = unnamed_spoils(store, "1", planned_of(store))
    assert len(one.pieces) == 12 and {piece.hand for piece in one.pieces} == {"left"}
    right = next(p for p in pieces_of(store, "1", planned_of(store)) if (p.mark, p.hand) == ("A", "right"))
    for label in (right.label, "B-01"):
        with pytest.raises(StopwrightError):
            name(store, tap, label)
    assert unnamed(store) == [(tap, 1)]
    other = tell(store, "piece spoiled", run, mirrored=True, counted=False)
    name(store, tap, one.pieces[0].label)
    with pytest.raises(StopwrightError):  # it is already being made again
        name(store, other, one.pieces[0].label)


def test_a_run_that_is_not_on_the_sheet_any_more_asks_nothing(store: Store) -> None:
    body = {"run": "saw|gone", "mark": "A", "count": 1}
    store.append([Event(new_id(), "1", "piece spoiled", written(utc_now()), "phone", body)])
    assert unnamed(store) == []
