"""What is worked out from the whole log goes on from what was kept, and is worked out anew where that is in doubt."""

import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import a_planer, a_saw, a_shop
from tests.store.taps import tap

from stopwright.actions.jobs.keeping import create_job, job_document, save_job
from stopwright.actions.jobs.listing import archive_job, job_list, restore_job
from stopwright.store import settled
from stopwright.store.events import Event
from stopwright.store.kept import Kept
from stopwright.store.log import Store
from stopwright.store.pace import PACE_KINDS, PaceSoFar
from stopwright.store.run_fold import standing

SHOP = a_shop(a_planer(), a_saw())


class Told:
    """A fold that tells everything it was given, in the order in which it was."""

    def __init__(self, kept: Any = None) -> None:
        self._told: list[str] = list(kept or [])

    def add(self, taps: Iterable[Event]) -> None:
        self._told += [event.id for event in taps]

    def now(self) -> tuple[str, ...]:
        return tuple(self._told)

    def kept(self) -> Any:
        return list(self._told)


def told(store: Store, make: Callable[[Any], Told] = Told) -> list[str]:
    return list(store.settled("told", ("piece measured", "piece cut"), make))


def as_it_is(store: Store) -> list[str]:
    return [event.id for event in standing(store.events(), {"piece measured", "piece cut"})]


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(settled, "OPEN", 3)


STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("tap"), st.sampled_from(["piece measured", "piece cut", "run done"]), st.integers(0, 12)),
        st.tuples(st.just("late"), st.integers(0, 12), st.integers(0, 30)),
        st.tuples(st.just("undo"), st.integers(0, 20), st.booleans()),
        st.tuples(st.just("look"), st.booleans(), st.just(0)),
    ),
    max_size=40,
)


@settings(deadline=None, max_examples=60)  # each example writes a log
@given(STEPS)
def test_whatever_is_undone_or_comes_late_it_is_what_the_whole_log_comes_to(
    tmp_path_factory: pytest.TempPathFactory, steps: list
) -> None:
    path = tmp_path_factory.mktemp("log") / "shop.db"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(settled, "OPEN", 3)
        store = Store.open(path)
        ids: list[str] = []
        for what, one, other in steps:
            last = store.last_seq
            if what == "tap":
                ids.append(store.append([tap(one, at=other)])[0].id)
            elif what == "late":
                late = tap("piece cut", at=other)
                object.__setattr__(late, "place", max(1, last - one))
                ids.append(store.append([late])[0].id)
            elif what == "undo" and ids:
                job = "1" if other else "2"  # a tap of another job is not undone
                store.append([tap("undo", job=job, event=ids[-1 - one % len(ids)])])
            elif what == "look":
                assert told(store) == as_it_is(store)
                if one:
                    store.close()
                    store = Store.open(path)
        assert told(store) == as_it_is(store)
        store.close()


@pytest.mark.usefixtures("few")
def test_an_undo_that_came_before_its_tap_holds_however_much_comes_between(tmp_path: Path) -> None:
    with Store.open(tmp_path / "shop.db") as store:
        waited_for = tap("piece cut")
        store.append([tap("undo", event=waited_for.id)])
        for _ in range(4):
            store.append([tap("piece cut") for _ in range(5)])
            told(store)
        store.append([waited_for])
        assert waited_for.id not in told(store) and told(store) == as_it_is(store)


@pytest.mark.usefixtures("few")
def test_only_the_end_of_a_long_log_is_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "shop.db"
    with Store.open(path) as store:
        store.append([tap("piece cut") for _ in range(50)])
        assert len(told(store)) == 50
    with Store.open(path) as store:
        read: list[int] = []
        whole = store.events

        def counted(*a: Any, **k: Any) -> list[Event]:
            found = whole(*a, **k)
            read.append(len(found))
            return found

        monkeypatch.setattr(store, "events", counted)
        monkeypatch.setattr(store, "as_they_count", lambda *_, **__: pytest.fail("folded anew"))
        assert len(told(store)) == 50
        store.append([tap("piece cut")])
        assert len(told(store)) == 51
        assert sum(read) <= 3 + 4


@pytest.mark.usefixtures("few")
@pytest.mark.parametrize("harm", ["cut short", "altered", "gone", "of another program", "of another log", "a folder"])
def test_what_was_kept_and_is_in_doubt_is_worked_out_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, harm: str
) -> None:
    path = tmp_path / "shop.db"
    with Store.open(path) as store:
        store.append([tap("piece cut") for _ in range(20)])
        told(store)
    (kept,) = (tmp_path / "shop.db-kept").iterdir()
    text = kept.read_text()
    if harm == "cut short":
        kept.write_text(text[: len(text) // 2])
    elif harm == "altered":
        kept.write_text(text.replace("tap-", "tip-", 1))
    elif harm in ("gone", "a folder"):
        kept.unlink()
        if harm == "a folder":
            kept.mkdir()
    elif harm == "of another program":
        monkeypatch.setattr("stopwright.store.kept.program_mark", lambda: "newer")
    else:
        path.unlink()
        with Store.open(path) as store:
            store.append([tap("piece cut") for _ in range(20)])
    with Store.open(path) as store:
        assert told(store) == as_it_is(store)


def test_what_was_kept_is_read_by_its_owner_only_and_only_under_its_mark(tmp_path: Path) -> None:
    kept = Kept(tmp_path / "shop.db")
    kept.write("told", "a", {"one": 1})
    assert kept.read("told", "a") == {"one": 1} and kept.read("told", "b") is None and kept.read("other", "a") is None
    for path in (tmp_path / "shop.db-kept", tmp_path / "shop.db-kept" / "told"):
        assert path.stat().st_mode & 0o077 == 0


def test_the_pace_goes_on_from_what_was_kept_of_it() -> None:
    taps = []
    for run in range(6):
        name, stops = f"run{run:05}", [["rip fence", run * 1_000_000]]
        taps += [tap("stop set", at=60 * run, run=name, stops=stops), tap("piece cut", at=60 * run + 20, run=name)]
        taps.append(tap("run done", at=60 * run + 25, run=name))
    whole = PaceSoFar(SHOP)
    whole.add(taps)
    for at in range(len(taps)):
        first = PaceSoFar(SHOP)
        first.add(taps[:at])
        again = PaceSoFar(SHOP, json.loads(json.dumps(first.kept())))
        again.add(taps[at:])
        assert again.now() == whole.now()
    assert whole.now().setting == {("saw", "rip fence"): [5.0] * 5}  # 35 s, half a minute of them between runs
    assert {one.kind for one in taps} <= set(PACE_KINDS)


def test_the_list_of_jobs_reads_a_job_again_only_when_it_was_saved(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[str] = []
    real = job_list.__globals__["read_draft"]

    def named(document: dict[str, Any]) -> Any:
        read.append(document["name"])
        return real(document)

    monkeypatch.setitem(job_list.__globals__, "read_draft", named)
    leg = {"name": "Leg", "quantity": 4, "length": 450, "width": 38, "thickness": 38}
    with Store.open(tmp_path / "shop.db") as store:
        for name in ("Stools", "Drawers"):
            create_job(store, {"name": name, "units": 2, "part": [leg]}, "bench")
        assert [(line.name, line.parts, line.pieces) for line in job_list(store).at_hand] == [
            ("Drawers", 1, 4), ("Stools", 1, 4),
        ]  # fmt: skip
        store.append([tap("piece cut")])
    with Store.open(tmp_path / "shop.db") as store:
        assert [line.name for line in job_list(store).at_hand] == ["Stools", "Drawers"]  # the one worked on first
        assert sorted(read) == ["Drawers", "Stools"]
        saved = job_document(store, "1")
        save_job(store, "1", {**saved.document, "name": "Stools, ash"}, saved.version, "bench")
        archive_job(store, "2", "bench")
        listed = job_list(store)
        assert [line.name for line in listed.at_hand] == ["Stools, ash"]
        assert [line.name for line in listed.archived] == ["Drawers"]
        restore_job(store, "2", "bench")
        assert [line.name for line in job_list(store).at_hand] == ["Drawers", "Stools, ash"]
        assert sorted(read) == ["Drawers", "Stools", "Stools, ash"]
