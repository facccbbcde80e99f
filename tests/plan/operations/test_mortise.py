"""The mortiser's runs: few settings, right counts, spacers where they save, marks where there is no scale."""

from collections.abc import Iterable
from dataclasses import replace

from tests.builders import a_part, at_length, minutes_made, mm, settings_made
from tests.plan.alone import Alone, plan_mortises
from tests.plan.joint_builders import a_bench_shop, a_frame, a_joint, a_mortiser
from tests.plan.solid_check import complaints

from stopwright.model.job import Job
from stopwright.model.stations import Axis, Station
from stopwright.plan.joinery.mortise_setups import blocks_for, out_of_range
from stopwright.plan.run_sheet import Move, Run, SpacerBlock


def plan(job: Job, station: Station | None = None, **shop: bool) -> Alone:
    ours = a_bench_shop(station, **shop)
    return plan_mortises(job, ours, ours.stations[0])


def stands(run: Run) -> dict[str, float]:
    return {str(stop.sets): at_length(stop.target) / mm(1) for stop in run.stops}


def settings_on(runs: Iterable[Run], sets: str) -> int:
    return sum(stop.sets == sets and stop.move is Move.SET for run in runs for stop in run.stops)


def some_slats(repeat: int = 4, spacing: float = 90) -> Job:
    joint = a_joint(
        side="edge", slot_from=5, slot_to=35, bit=8, setback=10, drop=50, repeat=repeat, spacing=spacing, depth_post=20
    )
    return Job("bench", (a_part("A", 2, (1200, 60, 40)), a_part("B", repeat, (300, 40, 20))), joints=(joint,))


def test_a_job_without_joints_has_no_runs() -> None:
    assert plan(Job("none", (a_part(),))) == Alone()


def test_a_post_slotted_on_two_sides_needs_both_end_stops_at_the_same_distance() -> None:
    job = a_frame(a_joint("J1", "far edge", setback=3), a_joint("J2", "back", setback=3), rails=4)
    posts = [run for run in plan(job, spacers=False).runs if run.pieces[0].mark == "A"]
    assert {(str(run.pieces[0].slotted), run.pieces[0].at, run.pieces[0].count) for run in posts} == {
        ("far edge", "right", 4),
        ("back", "left", 4),
    }
    left, right = (next(run for run in posts if run.pieces[0].at == at) for at in ("left", "right"))
    assert stands(left).pop("end stop left") == stands(right).pop("end stop right") == 0
    assert settings_on(posts, "travel from") <= 1


def test_pairs_are_the_same_settings_with_the_other_sides_swapped() -> None:
    job = a_frame(a_joint("J1", "far edge"), a_joint("J2", "back", setback=4), rails=4, hand="pairs")
    rows = {
        (stands(run)["table height"], p.at, str(p.slotted), p.mirrored, p.count)
        for run in plan(job, spacers=False).runs
        for p in run.pieces
        if p.mark == "A"
    }
    assert rows == {
        (10, "right", "far edge", False, 2),
        (10, "left", "far edge", True, 2),
        (14, "left", "back", False, 2),
        (14, "right", "back", True, 2),
    }


def test_a_part_list_that_says_same_where_pairs_are_needed_is_counted_in_pairs_and_told_so() -> None:
    job = a_frame(a_joint("J1", "far edge"), a_joint("J2", "back", setback=4), rails=4)
    assert not plan(job).faults
    (warning,) = (one for one in plan(job).warnings if "set hand to pairs" in one.text)
    assert warning.about == "A"


def test_a_spacer_of_the_setback_lets_post_and_rail_share_one_height() -> None:
    job = a_frame(a_joint(setback=3), hand="pairs")
    with_block, without = plan(job), plan(job, spacers=False)
    assert settings_on(with_block.runs, "table height") == 1
    assert settings_on(without.runs, "table height") == 2
    assert with_block.spacers == (SpacerBlock(mm(3), 1, "under the piece"),)
    rails = [run for run in with_block.runs if run.pieces[0].mark == "B"]
    assert all(run.spacer and run.spacer.thickness == mm(3) and stands(run)["table height"] == 13 for run in rails)
    assert without.spacers == ()
    assert not any(run.spacer for run in without.runs)


def test_slots_at_an_equal_pitch_take_one_end_stop_and_a_stack_of_equal_blocks() -> None:
    sheet = plan(some_slats())
    posts = [run for run in sheet.runs if run.pieces[0].mark == "A"]
    assert [run.spacer and (run.spacer.thickness, run.spacer.count) for run in posts] == [
        None,
        (mm(90), 1),
        (mm(90), 2),
        (mm(90), 3),
    ]
    # the farthest slot begins at 50 + 3 × 90 + 5 = 325: travel from 329 to 351 with the piece at the stop
    assert {(stands(run)["travel from"], stands(run)["travel to"]) for run in posts} == {(329, 351)}
    assert settings_on(posts, "end stop left") == 1
    assert SpacerBlock(mm(90), 3, "between end stop and piece") in sheet.spacers


def test_without_spacers_the_end_stop_is_moved_where_that_is_cheaper_than_the_travel() -> None:
    posts = [run for run in plan(some_slats(), spacers=False).runs if run.pieces[0].mark == "A"]
    assert sorted(stands(run)["end stop left"] for run in posts) == [0, 90, 180, 270]
    assert settings_on(posts, "travel from") == 1


def test_without_spacers_the_travel_is_moved_where_that_is_cheaper_than_the_end_stop() -> None:
    axes = tuple(
        Axis(a.name, a.sets, step=a.step, minutes=9 if "end" in a.name else a.minutes) for a in a_mortiser().axes
    )
    posts = [run for run in plan(some_slats(), a_mortiser(axes=axes), spacers=False).runs if run.pieces[0].mark == "A"]
    assert {stands(run)["end stop left"] for run in posts} == {0}
    assert settings_on(posts, "travel from") == 4


def test_spacers_never_cost_settings() -> None:
    for job in (some_slats(), some_slats(5, 77), a_frame(a_joint(setback=3), a_joint("J2", "back", drop=90), rails=4)):
        runs, without = plan(job).runs, plan(job, spacers=False).runs
        assert minutes_made(runs, a_mortiser()) <= minutes_made(without, a_mortiser())
        assert complaints(job, runs) == []


def test_each_position_is_set_once_for_a_frame_with_one_kind_of_joint() -> None:
    sheet = plan(a_frame(a_joint(setback=12.5)), spacers=False)
    # bit, heights 22.5 and 10, depths 26 and 35, travel from and to, left and right end stop
    assert (settings_made(sheet.runs), sheet.least_possible, sheet.proven) == (1 + 2 + 2 + 2 + 2, 9, True)
    assert minutes_made(sheet.runs, a_mortiser()) == 3 + 2 * 1 + 2 * 0.5 + 2 * 0.5 + 2 * 0.3


def test_a_run_says_which_mark_it_is_set_to_where_there_is_no_scale() -> None:
    runs = plan(a_frame(a_joint()), a_mortiser(step=None)).runs
    marks = {(str(s.sets), s.to_mark) for run in runs if run.pieces[0].mark == "A" for s in run.stops}
    assert ("table height", "mark 1 on master A") in marks
    assert ("bit", "") in marks
    assert all(stop.reading == stop.target for run in runs for stop in run.stops)


def test_axes_that_a_shop_does_not_have_are_left_out() -> None:
    runs = plan(a_frame(a_joint()), a_mortiser(("end stop right", "depth"))).runs
    assert {str(stop.sets) for run in runs for stop in run.stops} == {
        "bit", "table height", "travel from", "travel to", "end stop left"
    }  # fmt: skip


def test_a_mortiser_without_any_axis_is_one_run_with_every_slot() -> None:
    (run,) = plan(a_frame(a_joint()), Station("mortiser", ("mortise",))).runs
    assert run.count == 4 + 2
    assert run.passes == 4 + 2 + 2  # each rail has a slot at both its ends


def test_run_ids_are_unique() -> None:
    for job in (some_slats(), a_frame(a_joint(setback=3), a_joint("J2", "back", drop=3), rails=4)):
        ids = [run.id for run in plan(job).runs]
        assert len(set(ids)) == len(ids)


def test_what_stands_on_the_machine_is_free() -> None:
    job, ours = a_frame(a_joint()), a_bench_shop(spacers=False)
    standing = {"bit": {mm(10)}, "table height": {mm(10)}}
    fresh = plan_mortises(job, ours, ours.stations[0])
    again = plan_mortises(job, ours, ours.stations[0], standing=standing)
    assert settings_made(again.runs) == settings_made(fresh.runs) - 2


def test_a_coarse_scale_shows_its_residual() -> None:
    joint = a_joint(setback=3.4)
    runs = plan(a_frame(joint, hand="pairs"), a_mortiser(step=0.5), spacers=False).runs
    heights = {(s.target, s.reading, s.residual) for r in runs for s in r.stops if s.sets == "table height"}
    assert (mm(13.4), mm(13.5), mm(0.1)) in heights


def test_an_end_stop_that_does_not_come_to_nothing_shifts_the_travel_with_it() -> None:
    axes = tuple(
        Axis(a.name, a.sets, step=a.step, low=mm(40) if "end" in a.name else 0, minutes=a.minutes)
        for a in a_mortiser().axes
    )
    job = a_frame(a_joint())
    sheet = plan(job, a_mortiser(axes=axes))
    assert {(stands(r)["travel from"], stands(r)["travel to"]) for r in sheet.runs} == {(40 + 25, 40 + 75)}
    assert complaints(job, sheet.runs) == []
    assert not [fault for fault in sheet.faults if "out of reach" in fault.text]


def test_a_stop_out_of_reach_is_a_fault() -> None:
    axes = tuple(Axis(a.name, a.sets, step=a.step, high=mm(300), minutes=a.minutes) for a in a_mortiser().axes)
    faults = plan(a_frame(a_joint(drop=400)), a_mortiser(axes=axes)).faults
    assert any("425 mm is out of reach of the travel from of the mortiser, 0 to 300" in one.text for one in faults)


def test_the_order_of_the_joints_in_the_file_changes_no_setting() -> None:
    one, two = a_joint("J1", "far edge", setback=3), a_joint("J2", "back", drop=150, setback=3)
    there, back = plan(a_frame(one, two, rails=4)), plan(a_frame(two, one, rails=4))
    assert [run.id for run in there.runs] == [run.id for run in back.runs]


def test_blocks_are_stacked_for_equal_steps_and_else_made_as_thick_as_they_are_needed() -> None:
    assert blocks_for([90, 180, 270]) == {90: (90, 1), 180: (90, 2), 270: (90, 3)}
    # 4 is no step of 1 on from another, so it is one block and no stack of four; 8 is two of that
    assert blocks_for([1, 4, 8]) == {1: (1, 1), 4: (4, 1), 8: (4, 2)}
    assert blocks_for([10, 110]) == {10: (10, 1), 110: (110, 1)}


def test_a_block_is_made_only_where_it_saves_more_minutes_than_it_takes() -> None:
    frame = a_frame(a_joint(setback=3))
    for minutes, blocks in ((0.9, 1), (1.1, 0)):  # one setting of the table height takes a minute
        shop = a_bench_shop(block_minutes=minutes)
        assert len(plan_mortises(frame, shop, shop.stations[0]).spacers) == blocks
    owned = a_bench_shop(block_minutes=5, shims=(mm(3),))
    assert len(plan_mortises(frame, owned, owned.stations[0]).spacers) == 1


def test_a_slot_beyond_the_travel_comes_within_reach_by_an_end_stop_beyond_zero() -> None:
    station = a_mortiser()
    axes = tuple(
        replace(axis, high=mm(100)) if axis.sets.startswith("travel")
        else replace(axis, low=-mm(600)) if axis.sets.startswith("end stop") else axis
        for axis in station.axes
    )  # fmt: skip
    job = a_frame(a_joint(drop=150), a_joint("J2", "back", drop=320))
    found = plan_mortises(job, a_bench_shop(replace(station, axes=axes)), replace(station, axes=axes))
    assert not [fault for fault in found.faults if "out of reach" in fault.text]
    assert complaints(job, found.runs) == []
    stood = {at_length(stop.target) for run in found.runs for stop in run.stops if stop.sets.startswith("end stop")}
    assert min(stood) < 0 and all(place % mm(10) == 0 for place in stood)
    assert any("beyond the zero of the travel" in run.note for run in found.runs)
    without = plan_mortises(job, a_bench_shop(replace(station, axes=tuple(replace(a, low=0) for a in axes))), replace(
        station, axes=tuple(replace(axis, low=0) for axis in axes)
    ))  # fmt: skip
    assert any("out of reach" in fault.text for fault in without.faults)


def test_a_stop_reaches_both_ends_of_its_scale_and_no_further() -> None:
    # the scale shows 1 mm too much, and shows 10 to 90
    travel = Axis("travel to", "travel to", step=mm(0.1), zero=mm(1), low=mm(10), high=mm(90))
    station = a_mortiser(axes=(travel,))
    assert [out_of_range((("travel to", mm(at)),), station) for at in (8.9, 9, 89, 89.1)] == [1, 0, 0, 1]
