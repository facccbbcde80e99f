"""A whole job out of one shop and into another."""

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from tests.store.taps import RUN, tap
from tests.store.test_run_fold import histories

from stopwright.actions.jobs.keeping import create_job
from stopwright.errors import NotFound, StopwrightError
from stopwright.store import whole_job
from stopwright.store.events import Event
from stopwright.store.job_fold import fold_choices, fold_saved
from stopwright.store.log import Store
from stopwright.store.piece_fold import fold_assembly, fold_pieces
from stopwright.store.run_fold import RunState, fold_runs
from stopwright.store.whole_job import Imported, read_whole_job, take_in

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)


def export_job(store: Store, job: str) -> str:
    return "".join(whole_job.export_job(store, job))


def import_job(store: Store, text: str) -> Imported:
    return take_in(store, read_whole_job(text, "job.json", NOON))


@pytest.fixture
def ours(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "ours.db") as store:
        cut = tap("piece cut", job="3", count=5)
        store.append([tap("job saved", job="3"), cut, tap("piece cut", job="3"), tap("undo", job="3", event=cut.id)])
        store.append([tap("zero accepted", job=""), tap("device let in", job="")])
        yield store


@pytest.fixture
def theirs(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "theirs.db") as store:
        yield store


def test_a_job_keeps_its_number_where_it_is_free_and_stands_as_it_stood(ours: Store, theirs: Store) -> None:
    assert import_job(theirs, export_job(ours, "3")) == Imported("3", labels_hold=True)
    assert fold_runs(theirs.events("3"))[RUN].cut == {("A", False): 1}  # the five are undone there too
    saved = fold_saved(theirs.events("3"))
    assert saved is not None and saved.document == {"name": "Six bakery stools"}


def test_what_came_late_counts_at_its_place_in_another_shop_too(ours: Store, theirs: Store) -> None:
    done = ours.append([tap("run done", job="3"), tap("run reopened", job="3")])[0]
    ours.append([replace(tap("run done", job="3"), place=done.seq)])  # tapped before it was reopened
    assert not fold_runs(ours.events("3"))[RUN].done
    import_job(theirs, export_job(ours, "3"))
    assert not fold_runs(theirs.events("3"))[RUN].done


def test_a_job_gets_the_lowest_free_number_where_its_own_is_taken(ours: Store) -> None:
    whole = export_job(ours, "3")
    assert import_job(ours, whole) == Imported("1", labels_hold=False)
    assert import_job(ours, whole) == Imported("2", labels_hold=False)
    for job in ("1", "2", "3"):
        assert fold_runs(ours.events(job))[RUN].cut == {("A", False): 1}
    ids = [one.id for one in ours.events()]
    assert len(set(ids)) == len(ids) == 4 * 3 + 2


def test_the_file_holds_nothing_of_the_shop_or_its_devices(ours: Store) -> None:
    kinds = {one["kind"] for one in json.loads(export_job(ours, "3"))["events"]}
    assert kinds == {"job saved", "piece cut", "undo"}


@pytest.mark.parametrize("job", ["1", "", "three"])
def test_a_job_that_is_not_there_cannot_be_written_out(ours: Store, job: str) -> None:
    with pytest.raises(NotFound):
        export_job(ours, job)


def spoilt(whole: str, **change: object) -> str:
    return json.dumps(json.loads(whole) | change)


def chosen(**choices: object) -> dict[str, object]:
    return {"id": "chosen-01", "kind": "plan chosen", "at": "2026-03-01T07:30:00.000Z", "device": "bench"} | {
        "body": {"choices": choices}
    }


@pytest.mark.parametrize(
    "choices",
    [
        {"standing": [["saw", "rip fence"]]},
        {"standing": "saw"},
        {"standing": [["saw", "rip fence", 84.5]]},
        {"flow": "sideways"},
        {"may_turn": "yes"},
        {"mix_widths": 1},
        {"steps": -1},
        {"version": "7"},
    ],
)
def test_choices_that_no_plan_has_are_refused_with_their_place(ours: Store, theirs: Store, choices: dict) -> None:
    rows = json.loads(export_job(ours, "3"))["events"]
    with pytest.raises(StopwrightError, match=next(iter(choices))) as refusal:
        import_job(theirs, spoilt(export_job(ours, "3"), events=[*rows, chosen(**choices)]))
    assert refusal.value.where == f"job.json, event {len(rows) + 1}"
    assert theirs.last_seq == 0


def test_choices_of_a_plan_come_in_and_those_of_another_time_too(ours: Store, theirs: Store) -> None:
    rows = json.loads(export_job(ours, "3"))["events"]
    good = chosen(
        flow="part by part", may_turn=None, standing=[["saw", "rip fence", 84_000_000]], steps=9, colour="blue"
    )
    import_job(theirs, spoilt(export_job(ours, "3"), events=[*rows, good]))
    assert fold_choices(theirs.events("3"))["steps"] == 9


@pytest.mark.parametrize("job", ["1٣", "９", "0", "8192", "", 3, None, "three"])
def test_a_number_that_no_job_has_is_refused(ours: Store, theirs: Store, job: object) -> None:
    with pytest.raises(StopwrightError, match="no valid job number"):
        import_job(theirs, spoilt(export_job(ours, "3"), job=job))
    assert theirs.last_seq == 0


@pytest.mark.parametrize("at", ["2999-12-31T23:59:59Z", "2026-03-02T12:00:01Z"])
def test_what_is_still_to_come_is_refused(ours: Store, theirs: Store, at: str) -> None:
    rows = json.loads(export_job(ours, "3"))["events"]
    with pytest.raises(StopwrightError, match="in the future"):
        import_job(theirs, spoilt(export_job(ours, "3"), events=[rows[0], rows[1] | {"at": at}]))
    assert theirs.last_seq == 0


def test_a_job_with_the_highest_number_leaves_room_for_new_ones(ours: Store, theirs: Store) -> None:
    assert import_job(theirs, spoilt(export_job(ours, "3"), job="8191")).labels_hold
    assert create_job(theirs, {"name": "Stools"}, "bench") == "1"


def test_what_is_no_whole_job_is_refused_and_nothing_comes_in(ours: Store, theirs: Store) -> None:
    whole = export_job(ours, "3")
    rows = json.loads(whole)["events"]
    secret = {"device": "phone-0001", "name": "x", "secret_hash": "0" * 64}
    for bad in (
        "",
        "[]",
        "[" * 100_000,
        whole[: len(whole) // 2],
        spoilt(whole, what="recipe"),
        spoilt(whole, version=3),
        spoilt(whole, events=[]),
        spoilt(whole, events=rows[1:]),
        spoilt(whole, events=[*rows, 7]),
        spoilt(whole, events=[*rows, rows[0] | {"id": None}]),
        spoilt(whole, events=[*rows, rows[1] | {"body": {"run": 7}}]),
        spoilt(whole, events=[*rows, rows[1] | {"kind": "device let in", "body": secret}]),
        spoilt(whole, events=[*rows, rows[1] | {"body": rows[2]["body"] | {"count": 9}}]),
    ):
        with pytest.raises(StopwrightError) as refusal:
            import_job(theirs, bad)
        assert refusal.value.next_step
    assert theirs.last_seq == 0


@given(histories())
@settings(deadline=None, max_examples=15)
def test_any_history_stands_the_same_in_the_other_shop(folders: pytest.TempPathFactory, taps: list[Event]) -> None:
    folder = folders.mktemp("shops")
    with Store.open(folder / "ours.db") as ours, Store.open(folder / "theirs.db") as theirs:
        before = ours.append([tap("job saved"), *taps])
        theirs.append([tap("job saved")])
        after = theirs.events(import_job(theirs, export_job(ours, "1")).job)
    assert fold_pieces(after) == fold_pieces(before)
    assert fold_assembly(after) == fold_assembly(before)
    assert without_ids(fold_runs(after)) == without_ids(fold_runs(before))


@pytest.fixture(scope="session")
def folders(tmp_path_factory: pytest.TempPathFactory) -> pytest.TempPathFactory:
    return tmp_path_factory


def without_ids(runs: dict[str, RunState]) -> dict[str, RunState]:
    return {
        run: replace(state, measured=tuple(replace(one, event="") for one in state.measured))
        for run, state in runs.items()
    }
