"""Several phones at one job with bad reception: in the end all sides see the same, each tap once."""

import tempfile
from collections import Counter
from pathlib import Path
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from stopwright.actions.floor.working import job_state, record
from stopwright.actions.jobs.keeping import create_job
from stopwright.store.events import Event
from stopwright.store.log import Store
from stopwright.store.piece_fold import fold_assembly, fold_pieces
from stopwright.store.run_fold import fold_runs

RUNS = ("rrip000084", "rcrosscut450")
PHONES = st.integers(0, 2)


class Phones(RuleBasedStateMachine):
    """Three phones tap, lose answers, send again and out of order; a log is closed and opened in between."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.store = Store.open(Path(self.folder.name) / "shop.db")
        create_job(self.store, {"name": "Stools"}, "bench")
        self.tapped: dict[str, Event] = {}
        self.waiting: list[list[Event]] = [[], [], []]
        self.known: list[dict[str, Event]] = [{}, {}, {}]
        self.seen = [0, 0, 0]

    def tap(self, phone: int, kind: str, moment: int, **body: Any) -> None:
        at = f"2026-03-01T07:30:{moment:02}.000Z"
        event = Event(f"tap-{len(self.tapped):06}", "1", kind, at, f"phone {phone}", body)
        self.tapped[event.id] = event
        self.waiting[phone].append(event)
        self.known[phone][event.id] = event

    @rule(phone=PHONES, run=st.sampled_from(RUNS), count=st.integers(1, 5), moment=st.integers(0, 4))
    def cut(self, phone: int, run: str, count: int, moment: int) -> None:
        self.tap(phone, "piece cut", moment, run=run, mark="A", count=count)

    @rule(phone=PHONES, run=st.sampled_from(RUNS), moment=st.integers(0, 4), counted=st.booleans())
    def spoil(self, phone: int, run: str, moment: int, counted: bool) -> None:
        self.tap(phone, "piece spoiled", moment, run=run, mark="A", count=1, counted=counted, piece=6)

    @rule(phone=PHONES, run=st.sampled_from(RUNS), moment=st.integers(0, 4))
    def finish_and_reopen(self, phone: int, run: str, moment: int) -> None:
        self.tap(phone, "run done", moment, run=run)
        self.tap(phone, "run reopened", moment, run=run)

    @rule(phone=PHONES, moment=st.integers(0, 4), unit=st.integers(1, 2))
    def sort_and_glue(self, phone: int, moment: int, unit: int) -> None:
        self.tap(phone, "piece sorted", moment, piece=6, unit=unit)
        self.tap(phone, "glue-up begun", moment, unit=unit, stage=1, glue="white glue")

    @rule(phone=PHONES, moment=st.integers(0, 4), data=st.data())
    def undo_what_this_phone_knows_of(self, phone: int, moment: int, data: st.DataObject) -> None:
        taps = sorted(self.known[phone])
        if taps:
            self.tap(phone, "undo", moment, event=data.draw(st.sampled_from(taps)))

    @rule(phone=PHONES, data=st.data(), answered=st.booleans())
    def send_some_in_any_order(self, phone: int, data: st.DataObject, answered: bool) -> None:
        chosen = data.draw(st.lists(st.sampled_from(self.waiting[phone]))) if self.waiting[phone] else []
        self.send(phone, chosen, answered)

    @rule(phone=PHONES)
    def look(self, phone: int) -> None:
        for event in self.store.events("1", after=self.seen[phone]):
            self.known[phone][event.id] = event
            self.seen[phone] = event.seq

    @rule()
    def restart(self) -> None:
        self.store.close()
        self.store = Store.open(self.store.path)

    def send(self, phone: int, events: list[Event], answered: bool) -> None:
        posted = [{"id": one.id, "kind": one.kind, "at": one.at, "body": dict(one.body)} for one in events]
        done = record(self.store, "1", posted, f"phone {phone}")
        assert not done.refused
        if answered:
            kept = {one.id for one in done.stored}
            self.waiting[phone] = [one for one in self.waiting[phone] if one.id not in kept]

    @invariant()
    def no_tap_stands_in_the_log_twice_or_out_of_nothing(self) -> None:
        logged = Counter(one.id for one in self.store.events("1") if one.kind != "job saved")
        assert set(logged.values()) <= {1} and set(logged) <= set(self.tapped)

    def teardown(self) -> None:
        for phone in (2, 0, 1):
            self.send(phone, self.waiting[phone][::-1], answered=True)
        for phone in range(3):
            self.look(phone)
        state = job_state(self.store, "1")
        for known in self.known:
            events = list(known.values())
            assert (fold_runs(events), fold_pieces(events), fold_assembly(events)) == (
                state.runs,
                state.pieces,
                state.assembly,
            )
        gone = {one.body["event"] for one in self.tapped.values() if one.kind == "undo"}
        hold = [one for one in self.tapped.values() if one.id not in gone]
        for run in RUNS:
            here = [one for one in hold if one.body.get("run") == run]
            cut = sum(one.body["count"] for one in here if one.kind == "piece cut")
            spoiled = sum(1 for one in here if one.kind == "piece spoiled" and one.body["counted"])
            assert state.run(run).cut.get(("A", False), 0) == max(0, cut - spoiled)
        self.store.close()
        self.folder.cleanup()


TestPhones = Phones.TestCase
TestPhones.settings = settings(deadline=None, max_examples=25, stateful_step_count=25)
