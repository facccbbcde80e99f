"""Several jobs worked together: joined and left, every tap in the log of the job it belongs to, nothing lost."""

from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from tests.actions.jobs.several import (
    BOTH,
    DRAWERS,
    STOOLS,
    planned,
    send,
    tapped,
    the_run,
    two_jobs,
    work_whole,
    worked_together,
)
from tests.builders import a_shop

from stopwright.actions.floor.remaking import remake_stands
from stopwright.actions.floor.replanning import worked_before
from stopwright.actions.floor.spoiled import name_spoiled, unnamed_spoils
from stopwright.actions.floor.worked_together import figures_of, part_of, run_states, taps_of
from stopwright.actions.floor.working import job_state, record
from stopwright.actions.jobs.keeping import choose_plan, create_job, job_document, save_job
from stopwright.actions.jobs.listing import archive_job, copy_job, export, job_list, restore_job
from stopwright.actions.jobs.planning import asked_for
from stopwright.actions.jobs.repeating import repeat_job
from stopwright.actions.jobs.together import MOST_TOGETHER, begin_together, join, leave, together_with
from stopwright.actions.shop.memory import scales
from stopwright.errors import ChangedMeanwhile, NotFound, StopwrightError
from stopwright.intake.shop_file import default_shop
from stopwright.store.backup import restore
from stopwright.store.log import Store
from stopwright.store.whole_job import export_job, read_whole_job, take_in


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "shop.db") as one:
        yield one


def version(store: Store, job: str = BOTH) -> int:
    return job_document(store, job).version


def cut_in(store: Store, job: str) -> Counter[tuple[str, str]]:
    """What the log of one job counts, run by run, whatever plan it has."""
    counts: Counter[tuple[str, str]] = Counter()
    for run, state in job_state(store, job).runs.items():
        counts.update({(run, mark): count for (mark, _), count in state.cut.items()})
    return counts


def test_jobs_worked_together_are_a_line_of_their_own_and_each_says_so(store: Store) -> None:
    worked_together(store)
    lines = {line.job: line for line in job_list(store).at_hand}
    assert lines[BOTH].name == "Stools + Drawers" and lines[BOTH].together == (STOOLS, DRAWERS)
    assert [lines[job].within for job in (STOOLS, DRAWERS, BOTH)] == [BOTH, BOTH, ""]
    assert [event.kind for event in store.events(STOOLS)] == ["job saved", "job joined"]


def test_the_same_wish_twice_makes_one_of_them(store: Store) -> None:
    two_jobs(store)
    first = begin_together(store, [STOOLS, DRAWERS], "bench", id_="wish-0001")
    assert begin_together(store, [STOOLS, DRAWERS], "bench", id_="wish-0001") == first
    assert len(job_list(store).at_hand) == 3


@pytest.mark.parametrize(
    "jobs, words",
    [
        (["1", "99"], "there is no such job"),
        (["1", "two"], "there is no such job"),
        (["1", "../2"], "there is no such job"),
        (["1", "1"], "named twice"),
        (["1"], "one job alone"),
        ([], "one job alone"),
        (["1", "5"], "several jobs are worked together"),
        (["1", "3"], "worked together with other jobs already"),
        (["1", "6"], "archived"),
        ([str(number) for number in (1, *range(7, 7 + MOST_TOGETHER))], "too many"),
    ],
)
def test_what_cannot_be_worked_together_is_refused_in_words_and_nothing_is_written(
    store: Store, jobs: list[str], words: str
) -> None:
    for number in range(1, 5):
        create_job(store, {"name": f"Job {number}"}, "bench")
    assert begin_together(store, ["3", "4"], "bench") == "5"
    for number in range(6, 30):
        create_job(store, {"name": f"Job {number}"}, "bench")
    archive_job(store, "6", "bench")
    before = store.last_seq
    with pytest.raises(StopwrightError, match=words) as refused:
        begin_together(store, jobs, "bench")
    assert refused.value.where and refused.value.next_step
    assert store.last_seq == before


def test_every_piece_is_worked_once_and_counted_to_its_own_job(store: Store) -> None:
    plan = worked_together(store)
    work_whole(store, plan, plan.sheet.runs)
    for job, wanted in ((STOOLS, {"A": 4, "B": 2}), (DRAWERS, {"A": 6})):
        alone, state = planned(store, job), job_state(store, job)
        assert all(state.run(run.id).done for run in alone.sheet.runs), f"the log of job {job} is not whole"
        for run in alone.sheet.runs:
            counted = [((line.lot, False), line.count) for line in run.lines]
            counted = counted or [((one.mark, one.mirrored), one.count) for one in run.pieces]
            assert state.run(run.id).cut == dict(counted)
        off_the_saw = [one for run in alone.sheet.runs if run.work == "crosscut" for one in run.pieces]
        assert {one.mark: one.count for one in off_the_saw} == wanted
    now = run_states(store, BOTH, plan)
    assert all(now[run.id].done for run in plan.sheet.runs)


def test_a_tap_of_both_jobs_is_one_setting_whoever_asks(store: Store) -> None:
    plan = worked_together(store)
    run = the_run(plan, "crosscut", 450)
    set_ = tapped(plan, run, "stop set")
    stored = send(store, set_).stored
    assert [event.job for event in stored] == [STOOLS, DRAWERS] and {event.body["tap"] for event in stored} == {
        set_["id"]
    }
    trial = tapped(
        plan, run, "piece measured", station="saw", axis="flip stops",
        target_nm=450_000_000, reading_nm=450_000_000, measured_nm=450_600_000, tolerance_nm=300_000,
    )  # fmt: skip
    send(store, trial)
    (axis,) = scales(store, a_shop())
    assert len(axis.trials) == 1  # not once for each of the jobs
    assert run_states(store, BOTH, plan)[run.id].readings == {"flip stops": 449_400_000}


def test_a_repeat_of_a_portion_is_harmless_and_an_undo_takes_back_every_share(store: Store) -> None:
    plan = worked_together(store)
    run = the_run(plan, "crosscut", 450)
    portion = [tapped(plan, run, "stop set"), tapped(plan, run, "piece cut", mark="#1·A", count=3)]
    assert send(store, *portion).stored == send(store, *portion, *portion).stored[:3]
    assert run_states(store, BOTH, plan)[run.id].cut == {("#1·A", False): 3}
    undo = tapped(plan, run, "undo") | {"body": {"event": portion[0]["id"]}}
    back = tapped(plan, run, "undo") | {"body": {"event": portion[1]["id"]}}
    assert [event.job for event in send(store, undo, back).stored] == [STOOLS, DRAWERS, STOOLS]
    assert run.id not in run_states(store, BOTH, plan) and not job_state(store, DRAWERS).runs


@pytest.mark.parametrize("kind, more", [("run done", {}), ("piece cut", {"mark": "#2·A", "count": 2})])
def test_an_undo_that_comes_with_its_tap_takes_it_back(store: Store, kind: str, more: dict[str, Any]) -> None:
    plan = worked_together(store)
    run = the_run(plan, "crosscut", 450)
    done = tapped(plan, run, kind, **more)
    send(store, done, tapped(plan, run, "undo") | {"body": {"event": done["id"]}})
    assert run.id not in run_states(store, BOTH, plan)


@pytest.mark.parametrize(
    "spoiled, words",
    [
        ({"shares": None}, "does not say of which jobs"),
        ({"shares": []}, "does not say of which jobs"),
        ({"shares": [{"job": "9", "run": "r"}]}, "does not say of which jobs"),
        ({"shares": [{"job": "1", "run": "r"}, {"job": "1", "run": "r"}]}, "does not say of which jobs"),
        ({"shares": [7]}, "does not say of which jobs"),
        ({"shares": [{"job": "1"}]}, "run must be"),
        ({"shares": [{"job": "1", "run": "r"}]}, "mark must be"),
        ({"body": {"run": "r", "mark": "A", "count": 1, "piece": 3}}, "belongs to one job"),
        ({"body": {"run": "r", "mark": "A", "count": 1, "tap": "tap-00000001"}}, "is not tapped"),
        ({"id": 7}, "does not say of which jobs"),
    ],
)
def test_a_tap_that_does_not_say_whose_it_is_is_refused_and_holds_up_no_other(
    store: Store, spoiled: dict[str, Any], words: str
) -> None:
    plan = worked_together(store)
    run = the_run(plan, "crosscut", 450)
    bad = tapped(plan, run, "piece cut", mark="#1·A", count=1) | spoiled
    done = send(store, bad, tapped(plan, run, "piece cut", mark="#1·A", count=2))
    assert len(done.refused) == 1 and words in done.refused[0].what
    assert cut_in(store, STOOLS).total() == 2


def test_a_job_by_itself_takes_no_share_of_a_tap(store: Store) -> None:
    plan = worked_together(store)
    tap = tapped(plan, the_run(plan, "crosscut", 450), "run done")
    tap["body"]["tap"] = "tap-00000001"
    assert "not tapped" in record(store, STOOLS, [tap], "bench").refused[0].what


def test_who_joins_finds_what_was_worked_and_the_stops_to_be_set(store: Store) -> None:
    two_jobs(store)
    alone = planned(store, STOOLS)
    work_whole(store, alone, alone.sheet.runs, job=STOOLS)
    begin_together(store, [STOOLS, DRAWERS], "bench")
    plan = planned(store)
    shared, only = the_run(plan, "crosscut", 450), the_run(plan, "crosscut", 300)
    states = run_states(store, BOTH, plan)
    assert states[only.id].done
    state = states[shared.id]
    assert (state.done, state.is_set, state.cut) == (False, False, {("#1·A", False): 4})
    send(store, tapped(plan, shared, "stop set"), tapped(plan, shared, "piece cut", mark="#2·A", count=6))
    assert run_states(store, BOTH, plan)[shared.id].is_set
    send(store, tapped(plan, shared, "run done"))
    assert run_states(store, BOTH, plan)[shared.id].done
    assert cut_in(store, STOOLS)[shared.id, "A"] == 4  # as often as before, though the stop was set again


def test_who_leaves_takes_along_what_was_worked_and_who_stays_goes_on(store: Store) -> None:
    plan = worked_together(store)
    third = create_job(store, dict(job_document(store, STOOLS).document) | {"name": "More stools"}, "bench")
    join(store, BOTH, third, version(store), "bench")
    plan = planned(store)
    half = [run for run in plan.sheet.runs if run.work in ("joint", "plane", "rip", "square")]
    work_whole(store, plan, half)
    before = cut_in(store, STOOLS)
    leave(store, BOTH, STOOLS, version(store), "bench")
    assert together_with(store, STOOLS) == "" and together_with(store, third) == BOTH
    assert cut_in(store, STOOLS) == before and before
    alone, state = planned(store, STOOLS), job_state(store, STOOLS)
    assert [run.work for run in alone.sheet.runs if not state.run(run.id).done] == ["crosscut", "crosscut"]
    assert worked_before(alone.sheet, state.runs) == ()
    others = planned(store)
    assert [one.number for one in others.members] == [DRAWERS, third]
    states = run_states(store, BOTH, others)
    assert {run.work for run in others.sheet.runs if run.id not in states} == {"crosscut"}
    known = taps_of(store, BOTH).seq
    late = tapped(plan, the_run(plan, "crosscut", 300), "piece cut", mark="#1·B", count=1)  # a phone without network
    assert not send(store, late).refused and cut_in(store, STOOLS).total() == before.total() + 1
    assert taps_of(store, BOTH).seq == store.last_seq > known  # pages that know of it hear no older word


def test_what_has_changed_meanwhile_is_not_overwritten(store: Store) -> None:
    worked_together(store)
    third, fourth = (create_job(store, {"name": name}, "bench") for name in ("Third", "Fourth"))
    seen = version(store)
    join(store, BOTH, third, seen, "bench")
    with pytest.raises(ChangedMeanwhile):
        join(store, BOTH, fourth, seen, "bench")
    assert together_with(store, fourth) == "" and together_with(store, third) == BOTH


def test_joining_and_leaving_that_cannot_be_is_refused_in_words(store: Store) -> None:
    worked_together(store)
    for job, words in (("1", "among them already"), ("9", "no such job"), (BOTH, "several jobs")):
        with pytest.raises(StopwrightError, match=words):
            join(store, BOTH, job, version(store), "bench")
    with pytest.raises(NotFound, match="one job by itself"):
        join(store, STOOLS, DRAWERS, version(store, STOOLS), "bench")
    with pytest.raises(NotFound, match="not among these"):
        leave(store, BOTH, "9", version(store), "bench")
    with pytest.raises(StopwrightError, match="one job alone"):
        leave(store, BOTH, STOOLS, version(store), "bench")


def test_taken_apart_each_is_a_job_by_itself_and_can_be_put_together_again(store: Store) -> None:
    plan = worked_together(store)
    work_whole(store, plan, plan.sheet.runs[:2])
    with pytest.raises(StopwrightError, match="worked together with other jobs"):
        archive_job(store, STOOLS, "bench")
    archive_job(store, BOTH, "bench")
    assert together_with(store, STOOLS) == ""
    other = begin_together(store, [STOOLS, DRAWERS], "bench")
    with pytest.raises(StopwrightError, match="worked together with other jobs already"):
        restore_job(store, BOTH, "bench")
    archive_job(store, other, "bench")
    archive_job(store, STOOLS, "bench")
    with pytest.raises(StopwrightError, match="archived"):
        restore_job(store, BOTH, "bench")
    restore_job(store, STOOLS, "bench")
    restore_job(store, BOTH, "bench")
    assert together_with(store, STOOLS) == BOTH
    assert sum(state.done for state in run_states(store, BOTH, planned(store)).values()) == 2


@pytest.mark.parametrize(
    "document, words",
    [
        ({"name": "Stools", "flow": "part by part"}, "it goes part by part"),
        ({"name": "Stools", "part": []}, "must be fixed"),
        ({"name": "Stools", "lengths": "in"}, "scales of the shop"),
    ],
)
def test_a_job_that_cannot_be_planned_with_the_others_is_named(
    store: Store, document: dict[str, Any], words: str
) -> None:
    worked_together(store)
    whole = dict(job_document(store, DRAWERS).document) | document | {"name": "Drawers"}
    save_job(store, DRAWERS, whole, version(store, DRAWERS), "bench")
    with pytest.raises(StopwrightError, match=words) as refused:
        asked_for(store, BOTH, default_shop())
    assert refused.value.where == "Drawers" and refused.value.next_step


def test_choices_for_the_wood_of_a_job_are_kept_among_the_others(store: Store) -> None:
    worked_together(store)
    choose_plan(store, DRAWERS, {"mix_widths": False}, "bench")
    member = next(one for one in planned(store).members if one.number == DRAWERS)
    assert member.choices.mix_widths is False


def test_several_jobs_are_no_job_that_could_be_changed_copied_or_taken_out(store: Store) -> None:
    worked_together(store)
    for refused in (
        lambda: save_job(store, BOTH, {"name": "Stools"}, version(store), "bench"),
        lambda: copy_job(store, BOTH, "bench"),
        lambda: repeat_job(store, BOTH, "bench"),
        lambda: export(store, BOTH, "whole.json"),
        lambda: export(store, BOTH, "job.toml"),
    ):
        with pytest.raises(StopwrightError, match="several jobs"):
            refused()


def test_a_whole_job_taken_out_while_it_is_worked_together_comes_in_as_a_job_by_itself(
    store: Store, tmp_path: Path
) -> None:
    plan = worked_together(store)
    work_whole(store, plan, plan.sheet.runs)
    text = "".join(export_job(store, STOOLS))
    whole = read_whole_job(text, "stools.json", datetime(2027, 1, 1, tzinfo=UTC))
    assert '"tap"' in text and '"job joined"' in text
    with Store.open(tmp_path / "other.db") as other:
        assert take_in(other, whole).labels_hold
        assert together_with(other, STOOLS) == ""
        assert cut_in(other, STOOLS) == cut_in(store, STOOLS)
    again = take_in(store, whole).job  # beside the first: its taps are its own
    assert cut_in(store, again) == cut_in(store, STOOLS) and together_with(store, again) == ""


def test_a_copy_of_the_log_holds_all_of_it(store: Store, tmp_path: Path) -> None:
    plan = worked_together(store)
    work_whole(store, plan, plan.sheet.runs[:3])
    store.backup(tmp_path / "copy.sqlite")
    restore(tmp_path / "copy.sqlite", tmp_path / "back.db", datetime(2027, 1, 1, tzinfo=UTC))
    with Store.open(tmp_path / "back.db") as back:
        assert run_states(back, BOTH, planned(back)) == run_states(store, BOTH, plan)


def test_for_one_of_them_the_plan_is_what_concerns_it_numbered_as_for_all(store: Store) -> None:
    plan = worked_together(store)
    own = part_of(plan, DRAWERS, 1)
    assert own.job.name == "Drawers" and own.job.units == 3
    numbers = [run.number for run in plan.sheet.runs if any(one.mark.startswith("#2·") for one in run.pieces)]
    assert [run.number for run in own.sheet.runs] == numbers
    assert {one.mark for run in own.sheet.runs for one in run.pieces} == {"A"}
    assert [layout.chalk for layout in own.sheet.wood.layouts] == ["#2·1"]
    work_whole(store, plan, plan.sheet.runs)
    state = job_state(store, DRAWERS)
    assert all(state.run(run.id).done for run in own.sheet.runs)


def test_together_they_take_what_their_sheet_says_and_alone_what_theirs_say(store: Store) -> None:
    # From 27 mm, 1.5 off the first face, down to 22 in passes of 1.6 at most: 3 heights. Widths 60 and 38, lengths 450
    # (both) and 300: 3 + 2 + 2 together, 3 + 1 + 2 and 3 + 1 + 1 alone.
    plan = worked_together(store)
    assert figures_of(plan.sheet).settings == 7
    assert [figures_of(planned(store, job).sheet).settings for job in (STOOLS, DRAWERS)] == [6, 5]


def test_a_piece_spoiled_on_the_sheet_of_all_is_named_and_made_again_on_the_pages_of_its_job(store: Store) -> None:
    plan = worked_together(store)
    run = the_run(plan, "crosscut", 450)
    work_whole(store, plan, plan.sheet.runs[:6])
    cut = tapped(plan, run, "piece cut", mark="#2·A", count=6)
    send(store, tapped(plan, run, "stop set"), cut, tapped(plan, run, "piece spoiled", mark="#2·A", count=1, need=6))
    assert unnamed_spoils(store, STOOLS, part_of(plan, STOOLS, 1)) == []
    own = part_of(plan, DRAWERS, 1)
    (open_one,) = unnamed_spoils(store, DRAWERS, own)
    assert open_one.run.number == run.number and [piece.label for piece in open_one.pieces][:2] == ["A-01", "A-02"]
    name_spoiled(store, DRAWERS, own, open_one.tap.id, open_one.pieces[1], "torn grain", "bench")
    remake = remake_stands(store, DRAWERS, own, open_one.pieces[1]).remake
    assert remake is not None and remake.wood is not None
    assert [step.run.number for step in remake.steps] == [one.number for one in own.sheet.runs]
    assert run_states(store, BOTH, plan)[run.id].spoiled == {("#2·A", False): 1}
    assert run_states(store, BOTH, plan)[run.id].cut == {("#2·A", False): 5}
