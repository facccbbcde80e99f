"""Every thing has stages of glue-up, whatever holds its corners: tongues, housings, combs, rebates."""

from typing import Any

import pytest

from stopwright.intake.job_file import job_from_document
from stopwright.lengths import MM
from stopwright.model.job import Job
from stopwright.model.whose import job_for
from stopwright.plan.assembling.assembly import AssemblyPlan, assembly_stages
from stopwright.plan.assembling.poses import spans_of
from stopwright.plan.assembling.unit_layout import lay_out_unit

DRAWER = {"mark": "D", "width": 450, "height": 150, "depth": 400}
FRAME = {"mark": "F", "width": 500, "height": 700, "groove_depth": 8}
CASE = {"mark": "K", "width": 800, "height": 900, "depth": 300}


def a_job_of(units: int = 1, **things: dict[str, Any]) -> Job:
    return job_from_document({"name": "Seed room", "units": units} | {kind: [one] for kind, one in things.items()}, "x")


def outside(job: Job) -> tuple[float, ...]:
    """How far all that is placed reaches along each axis, mm, smallest first."""
    spans = [spans_of(pose, job.part(piece[0]).size) for piece, pose in lay_out_unit(job).poses.items()]
    return tuple(
        sorted((max(one[axis][1] for one in spans) - min(one[axis][0] for one in spans)) / MM for axis in range(3))
    )


def titles(plan: AssemblyPlan) -> list[str]:
    return [stage.title() for stage in plan.stages]


def laid_in(plan: AssemblyPlan) -> list[list[str]]:
    return [[one.piece[0] for one in stage.loose] for stage in plan.stages]


def test_a_drawer_is_glued_in_one_go_and_its_bottom_slides_in_under_the_lowered_back() -> None:
    job = a_job_of(drawer=DRAWER)
    plan = assembly_stages(job)
    (stage,) = plan.stages
    assert stage.title() == "2 × Ds, Df, Db" and stage.joints == ("DH1",) and len(stage.closings) == 4
    assert stage.opening == 424.6 * MM and stage.clamps == 2  # 450 − 2 × 12.7, over the sides
    assert [one.piece for one in plan.afterwards] == [("Dbo", 0)] and not stage.loose
    assert not plan.warnings and not plan.faults
    # 150 less half an inch high, 424.6 wide, 400 deep: nothing stands out of the box
    assert outside(job) == (137.3, 400, 424.6)


@pytest.mark.parametrize("lowered", [True, False])
def test_loose_tenons_close_a_drawer_in_one_go_front_and_back_between_the_sides(lowered: bool) -> None:
    job = a_job_of(drawer=DRAWER | {"corner": "loose tenons", "lowered": lowered, "sides": 15, "front": 18})
    plan = assembly_stages(job)
    (stage,) = plan.stages
    assert stage.joints == ("DE1", "DE2") and len(stage.closings) == 4
    assert (stage.opening, stage.clamps) == (424.6 * MM, 2)
    assert outside(job) == (137.3, 400, 424.6) and lay_out_unit(job).misses == {}
    assert [one.piece for one in plan.afterwards] == ([("Dbo", 0)] if lowered else [])
    assert laid_in(plan) == ([[]] if lowered else [["Dbo"]])
    assert not plan.warnings and not plan.faults


@pytest.mark.parametrize("back", [{"lowered": False}, {"lowered": False, "front": 18}])
def test_a_bottom_between_four_grooves_goes_in_before_the_drawer_is_closed(back: dict[str, Any]) -> None:
    job = a_job_of(drawer=DRAWER | back)
    plan = assembly_stages(job)
    assert titles(plan) == ["2 × Ds, Df, Db, Dbo"] and laid_in(plan) == [["Dbo"]]
    assert len(plan.stages[0].loose[0].holders) == 4 and not plan.afterwards
    assert lay_out_unit(job).misses == {}


def test_a_comb_stands_out_of_the_box_on_all_sides_and_holds_its_bottom() -> None:
    job = a_job_of(drawer=DRAWER | {"corner": "comb", "lowered": False})
    plan = assembly_stages(job)
    assert titles(plan) == ["2 × Ds, 2 × Df, Dbo"] and laid_in(plan) == [["Dbo"]]
    assert outside(job) == (137.3, 400.6, 425.2)  # fingers 0.3 proud at either end


def test_a_frame_with_stub_tongues_takes_its_panel_in_before_the_stiles_close() -> None:
    job = a_job_of(frame=FRAME)
    plan = assembly_stages(job)
    assert titles(plan) == ["2 × Fst, Ftr, Fbr, Fp"] and laid_in(plan) == [["Fp"]]
    assert plan.stages[0].opening == 500 * MM and outside(job) == (22, 500, 700)
    assert not plan.warnings


@pytest.mark.parametrize(("lights", "rows"), [(2, 1), (1, 2), (1, 3), (3, 2)])
def test_a_frame_of_several_lights_has_every_panel_in_and_none_twice(lights: int, rows: int) -> None:
    job = a_job_of(frame=FRAME | {"width": 900, "height": 900, "lights": lights, "rows": rows})
    plan = assembly_stages(job)
    assert sorted(one.piece[1] for stage in plan.stages for one in stage.loose) == list(range(lights * rows))
    assert len(plan.stages) == (2 if lights > 1 else 1)  # uprights into rails, then stiles
    assert outside(job) == (22, 900, 900) and lay_out_unit(job).misses == {}


def test_two_things_in_one_unit_are_two_glue_ups_that_do_not_wait_for_each_other() -> None:
    plan = assembly_stages(a_job_of(3, frame=FRAME | {"count": 2}, drawer=DRAWER))
    assert sorted(titles(plan)) == ["2 × Ds, Df, Db", "2 × Fst, Ftr, Fbr, Fp", "2 × Fst, Ftr, Fbr, Fp"]
    assert {stage.round for stage in plan.stages} == {1}
    assert laid_in(plan).count(["Fp"]) == 2


def test_a_case_closes_with_its_shelves_between_bottom_and_top() -> None:
    shelf = {"mark": "B", "sides": ["Ks"], "width": 764, "depth": 280, "at": [300, 600]}
    job = a_job_of(carcase=CASE | {"bottom_up": 60}, shelf=shelf)
    (stage,) = assembly_stages(job).stages
    assert stage.title() == "2 × Ks, 2 × Kt, 2 × B" and stage.joints == ("KH1", "BH1", "KR1")
    assert stage.opening == 800 * MM and stage.clamps == 4
    assert outside(job) == (300, 800, 900)


def test_a_drawer_of_a_job_that_is_worked_together_with_others_has_its_stage_too() -> None:
    (stage,) = assembly_stages(job_for("3", a_job_of(drawer=DRAWER))).stages
    assert stage.title() == "2 × #3·Ds, #3·Df, #3·Db" and stage.joints == ("#3·DH1",)
