"""Taps taken down: each once, in the order of the tapping, whatever the network and the clocks do."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from tests.builders import mm

from stopwright.actions.floor.working import ADVICE, GREATEST_BATCH, job_state, measure, record
from stopwright.actions.jobs.keeping import create_job
from stopwright.errors import NotFound, StopwrightError
from stopwright.store.events import moment
from stopwright.store.log import Store

RUN = "rrip000084"
numbers = count(1)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "shop.db") as one:
        create_job(one, {"name": "Stools"}, "bench")
        yield one


def eight() -> datetime:
    return datetime(2026, 3, 1, 8, tzinfo=UTC)


def tap(kind: str, at: str = "2026-03-01T07:30:00.000Z", **body: Any) -> dict[str, Any]:
    about = {"station": "saw", "work": "rip", "stops": [["rip fence", mm(84)]]} if kind == "stop set" else {}
    return {"id": f"tap-{next(numbers):08}", "kind": kind, "at": at, "body": {"run": RUN} | about | body}


def test_taps_are_on_disk_under_the_device_that_the_session_names(store: Store) -> None:
    done = record(
        store, "1", [tap("stop set") | {"device": "somebody else"}, tap("piece cut", mark="A", count=5)], "Ada"
    )
    assert [(one.kind, one.device, one.job) for one in done.stored] == [
        ("stop set", "Ada", "1"),
        ("piece cut", "Ada", "1"),
    ]
    state = job_state(store, "1").run(RUN)
    assert state.is_set and state.cut == {("A", False): 5}


def test_a_repeat_is_answered_alike_and_counts_once(store: Store) -> None:
    taps = [tap("piece cut", mark="A", count=5)]
    assert record(store, "1", taps, "Ada").stored == record(store, "1", taps * 2, "Ada").stored[:1]
    assert job_state(store, "1").run(RUN).cut == {("A", False): 5}


def test_one_event_that_cannot_be_kept_does_not_hold_up_the_others(store: Store) -> None:
    cut = tap("piece cut", mark="A", count=5)
    record(store, "1", [cut], "Ada")
    clash = cut | {"body": cut["body"] | {"count": 9}}
    known = [clash, tap("piece cut", mark="A", count=0), tap("job saved")]
    bad = [*known, tap("zero accepted"), {}, None, "x", {"id": 7}]
    done = record(store, "1", [tap("stop set"), *bad, tap("run done")], "Ada")
    assert [one.kind for one in done.stored] == ["stop set", "run done"]
    assert len(done.refused) == len(bad)
    assert {one["id"] for one in known} <= {one.id for one in done.refused}
    assert all(one.what and one.next_step for one in done.refused)
    assert job_state(store, "1").run(RUN).cut == {("A", False): 5}


def test_an_untouched_run_stands_at_nothing(store: Store) -> None:
    state = job_state(store, "1")
    assert state.runs == {}
    assert not state.run(RUN).is_set and state.run(RUN).cut == {}


def test_taps_for_a_job_that_is_not_there_are_refused(store: Store) -> None:
    for job in ("2", "", "x"):
        with pytest.raises(NotFound):
            record(store, job, [tap("stop set")], "Ada")
        with pytest.raises(NotFound):
            job_state(store, job)


def test_too_many_events_at_once_are_refused_before_any_is_read(store: Store) -> None:
    with pytest.raises(StopwrightError, match="too many"):
        record(store, "1", [None] * (GREATEST_BATCH + 1), "Ada")


def test_a_clock_that_goes_wrong_is_put_right_by_what_it_says_when_sending(store: Store) -> None:
    taps = [tap("run done", at="2031-01-01T03:00:00.000Z"), tap("run reopened", at="2031-01-01T03:00:10.000Z")]
    done = record(store, "1", taps, "Ada", eight, sent="2031-01-01T03:01:00.000Z")
    assert [one.at for one in done.stored] == ["2026-03-01T07:59:00.000Z", "2026-03-01T07:59:10.000Z"]
    slow = record(store, "1", [tap("run done", at="1970-01-01T00:00:05Z")], "Ada", eight, sent="1970-01-01T00:00:10Z")
    assert slow.stored[0].at == "2026-03-01T07:59:55.000Z"


def test_no_event_lies_in_the_future_and_the_order_of_taps_stays(store: Store) -> None:
    taps = [tap("run done", at="2031-01-01T03:00:00.000Z"), tap("run reopened", at="2031-01-01T03:00:10.000Z")]
    done = record(store, "1", taps, "Ada", eight)
    assert [one.at for one in done.stored] == ["2026-03-01T07:59:50.000Z", "2026-03-01T08:00:00.000Z"]
    assert not job_state(store, "1").run(RUN).done


def test_taps_from_hours_without_network_keep_the_time_they_were_made(store: Store) -> None:
    done = record(
        store, "1", [tap("run done", at="2026-02-28T16:00:00.000Z")], "Ada", eight, sent="2026-03-01T08:00:00Z"
    )
    assert done.stored[0].at == "2026-02-28T16:00:00.000Z"


@pytest.mark.parametrize("at", ["9999-12-31T23:59:59Z", "2999-12-31T23:59:59Z", "1970-01-01T00:00:00+14:00"])
def test_the_oddest_times_are_kept_or_refused_never_a_crash(store: Store, at: str) -> None:
    odd, plain = tap("run done", at=at), tap("run done")
    done = record(store, "1", [odd, plain], "Ada", eight)
    assert {one.id for one in done.stored} | {one.id for one in done.refused} == {odd["id"], plain["id"]}
    assert plain["id"] in [one.id for one in done.stored]


seconds = count()


def a_moment_later() -> datetime:
    """Two trial pieces never come in one moment."""
    return datetime(2026, 3, 1, 7, 30, tzinfo=UTC) + timedelta(seconds=next(seconds))


def trial(store: Store, reading: float, measured: float, step: float | None = 0.5) -> Any:
    return measure(
        store,
        "1",
        RUN,
        "rip fence",
        station="saw",
        target=mm(84),
        reading=mm(reading),
        measured=mm(measured),
        tolerance=mm(0.3),
        step=None if step is None else mm(step),
        device="Ada",
        now=a_moment_later,
    )


def test_a_trial_piece_outside_gives_the_new_reading_and_its_nearest_graduation(store: Store) -> None:
    verdict = trial(store, 84, 84.8)
    assert (verdict.off, verdict.within) == (mm(0.8), False)
    assert (verdict.corrected, verdict.mark) == (mm(83.2), mm(83))  # 84 + 84 − 84.8; halves: 83.0
    assert verdict.advice == ""
    assert not job_state(store, "1").run(RUN).proved


def test_a_trial_piece_within_tolerance_proves_the_run_and_leaves_the_reading(store: Store) -> None:
    verdict = trial(store, 84, 84.3, step=None)
    assert (verdict.within, verdict.corrected, verdict.mark) == (True, mm(84), mm(84))
    assert job_state(store, "1").run(RUN).proved


def test_twice_outside_says_what_to_look_for_and_a_piece_within_ends_it(store: Store) -> None:
    assert [trial(store, 84, size).advice for size in (84.8, 84.7, 84.0, 84.9, 83.1)] == ["", ADVICE, "", "", ADVICE]


@pytest.mark.parametrize("sent", ["", "2026-03-01T07:00:00.000Z", "2026-03-01T09:30:00.000Z"])
def test_no_tap_lies_in_the_future_though_the_phone_says_it_sent_it_before_it_was_tapped(
    store: Store, sent: str
) -> None:
    taps = [tap("stop set", at="2026-03-01T09:00:00.000Z"), tap("run done", at="2026-03-01T09:20:00.000Z")]
    first, last = record(store, "1", taps, "Ada", eight, sent=sent).stored
    assert last.at <= "2026-03-01T08:00:00.000Z"
    assert moment(last.at) - moment(first.at) == timedelta(minutes=20)


def test_a_tap_older_than_any_clock_counts_from_the_first_time_there_is(store: Store) -> None:
    done = record(store, "1", [tap("run done", at="1970-01-02T00:00:00Z")], "Ada", eight, sent="2090-01-01T00:00:00Z")
    assert [one.at for one in done.stored] == ["1970-01-01T00:00:00.000Z"]


def test_a_trial_piece_sent_again_counts_once(store: Store) -> None:
    for _ in range(2):
        verdict = measure(
            store, "1", RUN, "rip fence", station="saw", target=mm(84), reading=mm(84), measured=mm(85),
            tolerance=mm(0.3), device="Ada", id_="trial-0001", now=eight,
        )  # fmt: skip
    assert verdict.times_outside == 1
