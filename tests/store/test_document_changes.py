"""Edits are kept as what they changed, and the document is made from them again."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlite_utils import Database
from tests.store.taps import tap

from stopwright.actions.jobs.editing import document_at, save_section
from stopwright.actions.jobs.keeping import create_job, job_document, save_job
from stopwright.errors import NotFound, StopwrightError
from stopwright.store.document_changes import a_change, change_between, changed
from stopwright.store.events import body_text, utc_now
from stopwright.store.job_fold import SAVES
from stopwright.store.log import Store
from stopwright.store.migrations import OURS, migrations
from stopwright.store.whole_job import export_job, read_whole_job, take_in

PLAIN = st.one_of(st.text(max_size=3), st.integers(-3, 3), st.floats(-2, 2), st.booleans())
ROWS = st.lists(st.dictionaries(st.sampled_from("ab"), PLAIN, max_size=2), max_size=6)
DOCUMENTS = st.dictionaries(st.sampled_from(["name", "units", "part", "stock"]), PLAIN | ROWS, max_size=4)


def written(value: Any) -> str:
    """As JSON writes it: 1, 1.0 and true are three things."""
    return json.dumps(value, sort_keys=True)


def rows(count: int) -> list[dict[str, str]]:
    sizes = {"length": "450", "width": "42", "thickness": "22", "material": "ash", "quantity": "4"}
    return [{"mark": f"P{n}", "name": f"Part of the drawer {n}", **sizes} for n in range(count)]


def edit(store: Store, job: str, at: int, length: str) -> None:
    saved = job_document(store, job)
    parts = [dict(row) for row in saved.document["part"]]
    parts[at]["length"] = length
    save_section(store, job, {"part": parts}, saved.version, "bench")


@given(DOCUMENTS, DOCUMENTS)
def test_a_change_makes_the_later_document_of_the_earlier_one(before: dict, after: dict) -> None:
    change = change_between(before, after)
    assert not a_change(json.loads(json.dumps(change)))
    assert written(changed(before, change)) == written(after)


def test_rows_that_differ_side_by_side_are_one_exchange_and_those_apart_are_several() -> None:
    before = {"part": ["a", "b", "c", "d", "e"]}
    after = {"part": ["a", "B", "C", "d", "E"]}
    assert change_between(before, after) == {"rows": {"part": [[1, 2, ["B", "C"]], [4, 1, ["E"]]]}}


def test_rows_that_came_went_or_were_altered_are_told_alone() -> None:
    five = rows(5)
    assert change_between({"part": five}, {"part": [*five[:2], {"mark": "X"}, *five[2:]]}) == {
        "rows": {"part": [[2, 0, [{"mark": "X"}]]]}
    }
    assert change_between({"part": five}, {"part": [*five[:1], *five[3:]]}) == {"rows": {"part": [[1, 2, []]]}}
    altered = [{"mark": "X"}, *five[1:4], {"mark": "Y"}]
    assert change_between({"part": five}, {"part": altered}) == {
        "rows": {"part": [[0, 1, [{"mark": "X"}]], [4, 1, [{"mark": "Y"}]]]}
    }


EDITS = 300


def test_many_edits_of_a_long_list_write_little_more_than_what_they_changed(tmp_path: Path) -> None:
    with Store.open(tmp_path / "shop.db") as store:
        job = create_job(store, {"name": "Drawers", "part": rows(200)}, "bench")
        whole = len(body_text(store.events(job)[0]))
        for n in range(EDITS):
            edit(store, job, n * 7 % 200, str(1000 + n))
        events = store.events(job, kinds=SAVES)
        assert len(events) == EDITS + 1
        assert sum(len(body_text(one)) for one in events) < EDITS / 40 * whole  # whole each time they were one more
        lengths = [row["length"] for row in job_document(store, job).document["part"]]
        assert lengths[(EDITS - 1) * 7 % 200] == str(999 + EDITS)
        assert document_at(store, job, events[1].seq)["part"][0]["length"] == "1000"
        assert document_at(store, job, events[0].seq)["part"] == rows(200)
        text = "".join(export_job(store, job))
        assert len(text) < EDITS / 33 * whole
        again = take_in(store, read_whole_job(text, "job.json", utc_now())).job
        assert job_document(store, again).document == job_document(store, job).document
        edit(store, again, 3, "77")
        assert job_document(store, again).document["part"][3]["length"] == "77"


def damaged(path: Path, seq: int) -> None:
    """A byte that the disk has turned about, in the body of one event."""
    db = Database(path)
    db.execute("drop trigger no_event_is_changed")
    db.execute("pragma ignore_check_constraints = on")
    db.execute("update events set body = 'x' || substr(body, 2) where seq = ?", [seq])
    db.execute("""
        create trigger no_event_is_changed before update on events
        begin select raise(abort, 'the log is only added to'); end
    """)
    db.conn.commit()
    db.close()


@pytest.mark.parametrize("lost", [2, 3])
def test_after_a_lost_edit_the_document_is_the_last_that_is_sure_and_can_be_saved(tmp_path: Path, lost: int) -> None:
    path = tmp_path / "shop.db"
    with Store.open(path) as store:
        job = create_job(store, {"name": "Drawers", "part": rows(20)}, "bench")
        edit(store, job, 0, "300")
        edit(store, job, 1, "301")
    damaged(path, lost)
    with Store.open(path) as store:
        saved = job_document(store, job)
        assert [row["length"] for row in saved.document["part"][:2]] == (["450"] * 2 if lost == 2 else ["300", "450"])
        if lost == 2:
            with pytest.raises(NotFound, match="not there"):
                document_at(store, job, 3)
        edit(store, job, 2, "302")  # neither refused for ever nor laid over what is not known
        edit(store, job, 3, "303")
        now = [row["length"] for row in job_document(store, job).document["part"][:4]]
        assert now == [*(row["length"] for row in saved.document["part"][:2]), "302", "303"]
        kinds = [event.kind for event in store.events(job)]
        assert kinds[2:] == (["job saved", "job changed"] if lost == 2 else ["job changed", "job changed"])


def test_saving_again_under_the_same_id_changes_nothing(tmp_path: Path) -> None:
    with Store.open(tmp_path / "shop.db") as store:
        job = create_job(store, {"name": "Drawers", "part": rows(20)}, "bench")
        version = job_document(store, job).version
        first = save_job(store, job, {"name": "Drawers, ash", "part": rows(20)}, version, "bench", id_="save-00001")
        assert (
            save_job(store, job, {"name": "Drawers, ash", "part": rows(20)}, version, "bench", id_="save-00001")
            == first
        )
        assert len(store.events(job)) == 2


@pytest.mark.parametrize(
    "change",
    [{"rows": {"part": [[0, 0, ["Leg"]]]}}, {"set": {"part": 7}}, {"set": {"lengths": "cubits"}}, {"rows": {"part": 7}},
     {"rows": {"part": [[-1, 0, []]]}}, {"drop": [7]}, {"set": {"part": [{"name": {}}]}},
     {"rows": {"name": [[0, 0, []]]}}, {"rows": {"part": [[0, 99, []]]}}],
)  # fmt: skip
def test_a_forged_change_is_refused_before_anything_comes_in(tmp_path: Path, change: dict) -> None:
    with Store.open(tmp_path / "shop.db") as store:
        job = create_job(store, {"name": "Drawers", "part": rows(20)}, "bench")
        edit(store, job, 0, "300")
        whole = json.loads("".join(export_job(store, job)))
        whole["events"][1]["body"]["change"] = change
        with pytest.raises(StopwrightError):
            read_whole_job(json.dumps(whole), "job.json", utc_now())


def logged(path: Path, bodies: Sequence[tuple[str, dict[str, Any]]]) -> None:
    """A log as the version before wrote it: every edit holds the whole document."""
    old = Database(path)
    migrations.apply(old, stop_before="edits_as_what_changed")
    for job, document in bodies:
        one = tap("job saved", job=job, document=document)
        row = [one.id, one.job, one.kind, one.at, one.device, body_text(one)]
        old.execute("insert into events (id, job, kind, at, device, body) values (?, ?, ?, ?, ?, ?)", row)
    old.execute(f"pragma application_id = {OURS}")
    old.conn.commit()
    old.close()


@settings(deadline=None, max_examples=40)  # each example opens a log
@given(st.lists(st.tuples(st.sampled_from("12"), DOCUMENTS), max_size=8))
def test_every_version_of_an_older_log_stands_as_it_stood(
    tmp_path_factory: pytest.TempPathFactory, bodies: list[tuple[str, dict]]
) -> None:
    path = tmp_path_factory.mktemp("old") / "shop.db"
    logged(path, bodies)
    with Store.open(path) as store:
        for seq, (job, document) in enumerate(bodies, start=1):
            assert written(document_at(store, job, seq)) == written(document)


def test_what_an_older_log_wrote_again_and_again_is_kept_once(tmp_path: Path) -> None:
    path, part = tmp_path / "shop.db", rows(100)
    logged(path, [("1", {"name": f"Drawers {n}", "part": part}) for n in range(50)])
    with Store.open(path) as store:
        whole, *changes = [len(body_text(event)) for event in store.events("1")]
        assert sum(changes) < whole
        assert job_document(store, "1").document == {"name": "Drawers 49", "part": part}
