"""Runs of several jobs out of the log of each: set and done only when it is so for all whose pieces they work."""

from typing import Any

from tests.store.taps import tap

from stopwright.store.events import Event
from stopwright.store.together_fold import Share, TapsSoFar, run_together, runs_left_over

RUN = "rcrosscut450"
SHARES = (Share("3", RUN, {"A": "#3·A"}), Share("7", RUN, {"A": "#7·A"}))
numbers = iter(range(1, 10_000))


def taken(*events: Event) -> TapsSoFar:
    """These events in the order of the log."""
    fold = TapsSoFar()
    fold.add(events)
    return fold


def own(kind: str, job: str, **body: Any) -> Event:
    """What a job did on a sheet of its own."""
    return tap(kind, job, run=RUN, seq=next(numbers), **body)


def both(kind: str, id_: str, **body: Any) -> list[Event]:
    """The shares of one tap on the sheet of both."""
    return [tap(kind, job, id_=f"{id_}-{job}", run=RUN, tap=id_, seq=next(numbers), **body) for job in ("3", "7")]


def test_what_both_share_is_one_tap_and_pieces_are_named_by_their_job() -> None:
    set_ = both("stop set", "set-0001")
    cut = [own("piece cut", job, mark="A", count=count) for job, count in (("3", 4), ("7", 6))]
    now = taken(*set_, *cut, *both("run done", "done-001")).now()
    found = run_together(SHARES, now.runs)
    assert found.taps[0].id == "set-0001" and len(found.taps) == 4
    assert found.state.is_set and found.state.done
    assert found.state.cut == {("#3·A", False): 4, ("#7·A", False): 6}
    assert now.recent[-1][1] == "done-001" and now.seq == now.recent[-1][0]


def test_a_run_that_one_has_done_is_open_for_the_other_and_its_pieces_are_cut() -> None:
    alone = [own("stop set", "3"), own("piece cut", "3", mark="A", count=4), own("run done", "3")]
    found = run_together(SHARES, taken(*alone).now().runs)
    assert not found.state.done and not found.state.is_set
    assert found.state.cut == found.before == {("#3·A", False): 4}
    later = run_together(SHARES, taken(*alone, *both("stop set", "set-0002")).now().runs)
    assert later.state.is_set and not later.state.done and later.before == {("#3·A", False): 4}
    done = run_together(SHARES, taken(*alone, *both("stop set", "set-0003"), *both("run done", "done-003")).now().runs)
    assert done.state.done and not done.before


def test_a_trial_piece_proves_a_run_only_when_it_was_cut_since_the_stop_was_set_for_all() -> None:
    within = {"axis": "flip stops", "target_nm": 450, "reading_nm": 450, "measured_nm": 450, "tolerance_nm": 1}
    alone = [own("stop set", "3"), own("piece measured", "3", **within)]
    set_ = both("stop set", "set-0004")
    assert not run_together(SHARES, taken(*alone, *set_).now().runs).state.proved
    proved = run_together(SHARES, taken(*alone, *set_, *both("piece measured", "trial-04", **within)).now().runs).state
    assert proved.proved and len(proved.measured) == 1


def test_stops_made_one_by_one_are_made_when_they_are_so_for_both() -> None:
    alone = own("stop made", "3", axis="rip fence")
    assert run_together(SHARES, taken(alone).now().runs).state.made == ()
    assert run_together(SHARES, taken(*both("stop made", "made-001", axis="rip fence")).now().runs).state.made == (
        "rip fence",
    )


def test_an_undo_in_one_log_takes_back_that_share_alone() -> None:
    done = both("run done", "done-005")
    undo = tap("undo", "3", event=done[0].id, seq=next(numbers))
    assert not run_together(SHARES, taken(*done, undo).now().runs).state.done


def test_a_run_that_nobody_has_begun_has_no_tap_and_one_that_no_plan_has_is_left_over() -> None:
    assert run_together(SHARES, taken().now().runs).taps == ()
    elsewhere = tap("piece cut", "3", run="rip84", mark="A", count=2, seq=next(numbers))
    left = runs_left_over(SHARES, taken(elsewhere, own("run done", "7")).now().runs)
    assert [state.cut for state in left.values()] == [{("A", False): 2}]
