"""How runs stand: counts, trial pieces, readings, in any order of arrival."""

import json
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.store.taps import RUN, tap

from stopwright.store.events import Event
from stopwright.store.job_fold import fold_choices, fold_saved
from stopwright.store.piece_fold import fold_assembly, fold_pieces
from stopwright.store.run_fold import RunState, corrected_reading, fold_runs, runs_so_far


def test_a_run_counts_what_all_phones_cut_mirrored_pieces_apart() -> None:
    taps = [tap("piece cut", count=5), tap("piece cut"), tap("piece cut", count=2, mirrored=True)]
    assert fold_runs(taps)[RUN].cut == {("A", False): 6, ("A", True): 2}


def test_the_same_tap_counts_once_however_often_it_arrives() -> None:
    one = tap("piece cut", count=5)
    assert fold_runs([one, one, one])[RUN].cut == {("A", False): 5}


def test_a_spoiled_piece_that_was_counted_is_taken_off_the_good_ones() -> None:
    state = fold_runs([tap("piece cut", count=5), tap("piece spoiled", count=2)])[RUN]
    assert (state.cut, state.spoiled) == ({("A", False): 3}, {("A", False): 2})  # 5 − 2


def test_the_piece_in_hand_that_goes_wrong_was_never_counted() -> None:
    state = fold_runs([tap("piece cut", count=5), tap("piece spoiled", counted=False)])[RUN]
    assert (state.cut, state.spoiled) == ({("A", False): 5}, {("A", False): 1})


def test_no_count_is_below_nothing_while_the_cuts_are_still_on_their_way() -> None:
    assert fold_runs([tap("piece spoiled", count=3)])[RUN].cut == {("A", False): 0}


@pytest.mark.parametrize("undo_first", [True, False])
def test_undo_takes_back_one_tap_even_when_it_arrives_first(undo_first: bool) -> None:
    cut = tap("piece cut", count=5)
    taps = [tap("undo", event=cut.id), cut] if undo_first else [cut, tap("undo", event=cut.id)]
    assert fold_runs([*taps, tap("piece cut")])[RUN].cut == {("A", False): 1}


VECTORS = json.loads((Path(__file__).parent.parent / "scripts" / "counts.json").read_text("utf8"))


@pytest.mark.parametrize("vector", VECTORS, ids=lambda vector: vector["why"])
def test_counts_over_and_spoiled_are_folded_as_the_phone_folds_them(vector: dict[str, Any]) -> None:
    taps = [
        tap("piece cut", at=at, count=count)
        if what == "cut"
        else tap("piece spoiled", at=at, count=count, counted=what == "spoiled", need=24)
        for at, (what, count) in enumerate(vector["taps"])
    ]
    state = fold_runs(taps)[RUN]
    assert (state.cut.get(("A", False), 0), state.spoiled.get(("A", False), 0)) == (vector["cut"], vector["spoiled"])


MADE = json.loads((Path(__file__).parent.parent / "scripts" / "made-stops.json").read_text("utf8"))


@pytest.mark.parametrize("vector", MADE, ids=lambda vector: vector["why"])
def test_stops_made_one_by_one_are_folded_as_the_phone_folds_them(vector: dict[str, Any]) -> None:
    taps = []
    for at, (name, kind, what) in enumerate(vector["taps"]):
        more = {"event": f"tap-0000{what}"} if kind == "undo" else {"axis": what} if kind == "stop made" else {}
        taps.append(tap(kind, at=at, id_=f"tap-0000{name}", **more))
    for order in (taps, taps[::-1]):
        state = fold_runs(order)[RUN]
        assert (list(state.made), state.is_set) == (vector["made"], vector["set"])


def test_undo_does_not_reach_into_another_job_nor_undo_an_undo_nor_a_saved_job() -> None:
    cut = tap("piece cut")
    undo = tap("undo", event=cut.id)
    assert fold_runs([cut, tap("undo", job="2", event=cut.id)])[RUN].cut == {("A", False): 1}
    assert fold_runs([cut, undo, tap("undo", event=undo.id)]) == {}
    chosen = tap("plan chosen")
    assert fold_choices([chosen, tap("undo", event=chosen.id)]) == {"flow": "part by part"}


def test_what_was_said_last_holds_by_the_time_of_saying_not_of_arriving() -> None:
    taps = [tap("run reopened", at=20), tap("run done", at=30), tap("run done", at=10)]
    assert fold_runs(taps)[RUN].done
    assert not fold_runs([*taps, tap("run reopened", at=40)])[RUN].done


def test_two_words_of_one_moment_hold_in_the_order_of_their_ids() -> None:
    done, reopened = tap("run done", id_="tap-00000b"), tap("run reopened", id_="tap-00000a")
    assert fold_runs([done, reopened])[RUN].done and fold_runs([reopened, done])[RUN].done


def test_a_trial_piece_outside_gives_the_corrected_reading_and_one_within_proves_the_run() -> None:
    outside = tap("piece measured", at=1, measured_nm=84_700_000, tolerance_nm=300_000)
    state = fold_runs([outside])[RUN]
    assert state.readings == {"rip fence": 83_300_000}  # 84 + (84 − 84.7)
    assert not state.proved
    within = tap("piece measured", at=2, reading_nm=83_300_000, measured_nm=84_100_000, tolerance_nm=300_000)
    state = fold_runs([within, outside])[RUN]
    assert state.readings == {"rip fence": 83_300_000}  # 0.1 off is within 0.3: leave it
    assert state.proved


def test_a_run_is_proved_when_every_axis_measured_is_within_by_its_last_piece() -> None:
    good = tap("piece measured", at=1, axis="flip stops", measured_nm=84_000_000, tolerance_nm=100_000)
    bad = tap("piece measured", at=2, measured_nm=84_900_000, tolerance_nm=100_000)
    assert not fold_runs([good, bad])[RUN].proved
    assert fold_runs([good, bad, tap("undo", event=bad.id)])[RUN].proved


def test_a_piece_measured_without_a_tolerance_proves_nothing() -> None:
    assert not fold_runs([tap("piece measured", measured_nm=84_000_000)])[RUN].proved


def test_times_outside_are_counted_from_the_last_piece_within() -> None:
    sizes = [84_900_000, 84_000_000, 84_800_000, 83_100_000]  # outside, within, outside, outside
    taps = [tap("piece measured", at=n, measured_nm=size, tolerance_nm=300_000) for n, size in enumerate(sizes)]
    assert fold_runs(taps)[RUN].times_outside("rip fence") == 2
    assert fold_runs(taps[:2])[RUN].times_outside("rip fence") == 0


def test_a_stop_on_the_far_side_of_the_blade_is_corrected_the_other_way() -> None:
    assert corrected_reading(700, 300, 310) == 690
    assert corrected_reading(700, 300, 310, outboard=True) == 710


def test_a_reading_noted_by_hand_later_holds_over_a_corrected_one() -> None:
    measured = tap("piece measured", at=1, tolerance_nm=100_000)
    assert fold_runs([tap("reading noted", at=2), measured])[RUN].readings == {"rip fence": 83_500_000}


kinds = st.sampled_from(
    ["stop set", "piece cut", "piece spoiled", "piece measured", "reading noted", "run done", "run reopened",
     "piece scanned", "piece sorted", "piece remade", "dry fit ticked", "glue-up begun", "joint closed", "glue-up done",
     "plan chosen"]
)  # fmt: skip


@st.composite
def histories(draw: st.DrawFn) -> list[Event]:
    taps: list[Event] = []
    for number in range(draw(st.integers(0, 25))):
        id_ = f"tap-{number:05}"
        at = draw(st.integers(0, 5))  # few moments, so that many taps share one
        if taps and draw(st.integers(0, 4)) == 0:
            taps.append(tap("undo", id_=id_, at=at, event=draw(st.sampled_from(taps)).id))
            continue
        kind = draw(kinds)
        body: dict[str, Any] = {}
        if kind in ("piece cut", "piece spoiled"):
            body = {"count": draw(st.integers(1, 9)), "mirrored": draw(st.booleans())}
        if kind == "piece measured":
            body = {"measured_nm": 84_000_000 + draw(st.integers(-5, 5)) * 100_000, "tolerance_nm": 300_000}
        if kind in ("piece sorted", "glue-up begun"):
            body = {"unit": draw(st.integers(1, 2))}
        taps.append(tap(kind, id_=id_, at=at, seq=number + 1, **body))
    return taps


@given(histories(), st.integers(0, 2**32))
@settings(deadline=None, max_examples=150)
def test_any_order_of_late_and_repeated_events_gives_the_same_state(taps: list[Event], seed: int) -> None:
    chance = Random(seed)
    shaken = taps + chance.sample(taps, len(taps) // 2)
    chance.shuffle(shaken)
    for fold in (fold_runs, fold_pieces, fold_assembly, fold_choices, fold_saved):
        assert fold(shaken) == fold(taps)


@given(histories(), st.integers(1, 6))
@settings(deadline=None, max_examples=100)
def test_runs_fed_with_news_portion_by_portion_stand_as_if_told_all_at_once(taps: list[Event], portion: int) -> None:
    runs = runs_so_far()
    for start in range(0, len(taps), portion):
        runs.add(taps[start : start + portion])
        told = runs.now()
        as_told = dict(told)
        assert told == fold_runs(taps[: start + portion])
        runs.add([])
        assert runs.now() == as_told


@given(histories())
@settings(deadline=None, max_examples=100)
def test_good_pieces_are_those_cut_less_those_spoiled_of_the_taps_not_undone(taps: list[Event]) -> None:
    gone = {one.body["event"] for one in taps if one.kind == "undo"}
    hold = [one for one in taps if one.id not in gone]
    for mirrored in (False, True):

        def total(kind: str, mirrored: bool = mirrored) -> int:
            return sum(one.body["count"] for one in hold if one.kind == kind and one.body["mirrored"] is mirrored)

        state = fold_runs(taps).get(RUN)
        good = state.cut.get(("A", mirrored), 0) if state else 0
        assert good == max(0, total("piece cut") - total("piece spoiled"))


NOTES = json.loads((Path(__file__).parent.parent / "scripts" / "notes.json").read_text("utf8"))


@pytest.mark.parametrize("vector", NOTES, ids=[one["why"] for one in NOTES])
def test_notes_on_a_set_up_as_the_phone_folds_them(vector):
    events = []
    for at, (id_, kind, *what) in enumerate(vector["taps"]):
        if kind == "undo":
            events.append(tap("undo", at=at, id_=f"note-{id_}", event=f"note-{what[0]}"))
        else:
            events.append(tap(f"run {kind}", at=at, id_=f"note-{id_}", **({"text": what[0]} if what else {})))
    state = fold_runs(events).get(RUN, RunState())
    assert [[one.event.removeprefix("note-"), one.text, one.is_picture] for one in state.notes] == vector["notes"]
    assert not state.is_set and not state.done and not state.cut
