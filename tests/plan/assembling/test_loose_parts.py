"""Panels and bottoms in a glue-up: they go in at the stage in which they must, or slide in afterwards."""

from dataclasses import replace
from functools import partial

import pytest
from tests.builders import a_job, a_part, mm
from tests.conftest import ROOT
from tests.paper.pixels import page_count, page_words
from tests.plan.joint_builders import a_frame, a_joint

from stopwright.intake.job_file import job_from_document, read_job
from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Kind
from stopwright.paper.glue_up import glue_up_pdf
from stopwright.plan.assembling.assembly import LATE, assembly_stages
from stopwright.plan.assembling.glue_up_told import Horn
from stopwright.plan.assembling.joint_poses import Nth
from stopwright.plan.assembling.loose_parts import loose_parts
from stopwright.plan.assembling.moving_panels import moving_panels
from stopwright.plan.assembling.poses import Pose
from stopwright.plan.assembling.unit_layout import lay_out_unit
from stopwright.plan.operations.groove import Groove


def a_door(lights: int = 1, rows: int = 1, units: int = 1) -> Job:
    frame = {
        "mark": "D", "width": 500, "height": 700, "lights": lights, "rows": rows, "corner": "loose tenons",
        "groove_depth": 8, "groove_at": 4, "stiles": 60, "bit": 6, "count": units,
    }  # fmt: skip
    return job_from_document({"name": "Larder doors", "units": units, "frame": [frame]}, "x")


def a_box(back: float, end: float | None = None) -> tuple[Job, dict[Nth, Pose]]:
    """A box of 336 × 400 as it stands, x to the right, y to the back, z down: sides A, front B, back C, bottom D.

    The bottom lies in grooves of sides and front, 20 above the lower edges at 120; the back is `back` high and has
    none. With `end` the grooves of the sides end so far from the front.
    """
    parts = (
        a_part("A", 2, (400, 120, 18)),
        a_part("B", 1, (300, 120, 18)),
        a_part("C", 1, (300, back, 18)),
        a_part("D", 1, (380, 311, 6), kind=Kind.SHEET),
    )
    groove = partial(Groove, side=Side.BACK, from_=Side.FAR_EDGE, at=mm(20), fits="D", depth=mm(6), play=mm(0.2))
    grooves = (
        groove(mark="G1", parts=("A",), end=None if end is None else mm(end)),
        groove(mark="G2", parts=("B",)),
    )
    right, backwards, down = (1, 0, 0), (0, 1, 0), (0, 0, 1)
    poses = {
        ("A", 0): Pose((0, 0, 0), backwards, down, right),
        ("A", 1): Pose((mm(336), 0, 0), backwards, down, (-1, 0, 0)),
        ("B", 0): Pose((mm(18), 0, 0), right, down, backwards),
        ("C", 0): Pose((mm(18), mm(382), 0), right, down, backwards),
    }
    return a_job(*parts, cuts=grooves), poses


def test_a_bottom_slides_in_under_a_lowered_back_when_all_is_glued() -> None:
    (bottom,) = loose_parts(*a_box(back=93.8)).parts
    assert (bottom.piece, bottom.slides, bottom.blocked) == (("D", 0), (1, 1), ())
    assert [mouth.cut for mouth in bottom.mouths] == ["G1", "G1", "G2"]
    assert bottom.openings == ((0, mm(300)),)


def test_a_bottom_behind_a_back_that_is_too_high_goes_in_before_it() -> None:
    (bottom,) = loose_parts(*a_box(back=93.9)).parts
    assert bottom.slides is None
    assert bottom.blocked == ((("C", 0), (1, 1)),)


def test_a_bottom_in_grooves_that_end_before_the_back_does_not_slide_in() -> None:
    (bottom,) = loose_parts(*a_box(back=93.8, end=380)).parts
    assert bottom.slides is None


def test_more_bottoms_than_places_are_told_of() -> None:
    job, poses = a_box(back=93.8)
    two = replace(job, parts=tuple(replace(one, quantity=2) if one.mark == "D" else one for one in job.parts))
    assert loose_parts(two, poses).not_told == ("D",)


def test_the_panel_of_a_door_goes_in_before_the_door_is_closed() -> None:
    job = a_door()
    plan = assembly_stages(job)
    panel = next(cut.fits for cut in job.cuts if isinstance(cut, Groove))
    (stage,) = plan.stages
    assert [one.piece for one in stage.loose] == [(panel, 0)]
    assert len(stage.loose[0].mouths) == len(stage.loose[0].holders) == 4
    assert dict(stage.members)[panel] == 1
    assert len(stage.closings) == 4 and stage.clamps == 2
    assert (plan.afterwards, plan.faults, plan.warnings) == ((), (), ())


@pytest.mark.parametrize(("lights", "rows"), [(2, 1), (1, 2), (3, 1), (2, 2)])
def test_every_panel_of_a_door_with_several_lights_goes_in_and_none_twice(lights: int, rows: int) -> None:
    job = a_door(lights, rows)
    plan = assembly_stages(job)
    laid_in = [one.piece for stage in plan.stages for one in stage.loose]
    assert len(laid_in) == len(set(laid_in)) == lights * rows
    assert plan.faults == plan.warnings == ()
    # what holds a panel is not all together before the stage in which it goes in
    for number, stage in enumerate(plan.stages):
        for one in stage.loose:
            assert not any(set(one.holders) <= set(earlier.pieces) for earlier in plan.stages[:number])
            together = [set(earlier.pieces) for earlier in plan.stages[:number]]
            facing = [(a, b) for a in one.mouths for b in one.mouths if a.out[0] == b.out[0] and a.out[1] < b.out[1]]
            assert facing and not any({a.piece, b.piece} <= body for a, b in facing for body in together)


def test_the_openings_of_a_panel_are_those_between_its_holders() -> None:
    job = a_door(2)
    found = loose_parts(job, lay_out_unit(job).poses).parts
    # (500 - 3 x 60) / 2 wide, 700 - 2 x 60 high
    assert [sorted(length for _, length in one.openings) for one in found] == [[mm(160), mm(580)]] * 2


def test_a_panel_that_joints_do_not_place_is_told_of() -> None:
    """The door's upper rail with its groove in the edge that is the top of the door, and as it is, looking inwards."""
    job = read_job(ROOT / "fixtures" / "jar-cabinet")
    groove = next(cut for cut in job.cuts if cut.mark == "G2")
    assert isinstance(groove, Groove)
    outwards = tuple(replace(groove, side=Side.EDGE) if cut is groove else cut for cut in job.cuts)
    told = [one for one in assembly_stages(replace(job, cuts=outwards)).warnings if LATE in one.text]
    assert told and all("lies loose in the grooves of" in warning.text for warning in told)
    assert not [one for one in assembly_stages(job).warnings if LATE in one.text]


def test_a_panel_of_which_nothing_says_where_it_sits_is_named_with_all_that_holds_it() -> None:
    frame = {"mark": "D", "width": 500, "height": 700, "groove_depth": 8}
    made = job_from_document({"name": "Larder door", "frame": [frame]}, "x")
    (told,) = assembly_stages(replace(made, meetings=())).warnings
    assert told.about == "Dp" and "lies loose in the grooves of Dst, Dbr and Dtr: put it in, without glue" in told.text


def test_horns_are_cut_off_when_the_glue_has_set() -> None:
    plan = assembly_stages(a_frame(a_joint("J1", horn=20)))
    assert plan.horns == (Horn("A", mm(20), mm(700), lies_flat=True),)
    assert assembly_stages(a_frame(a_joint("J1"))).horns == ()


def test_the_paper_lays_the_panel_in_before_the_first_joint() -> None:
    job = a_door()
    pdf = glue_up_pdf(job)
    said = " ".join(" ".join(page_words(pdf, page) for page in range(page_count(pdf))).split())
    assert said.index("no glue") < said.index("clamp 1")
    assert "into the grooves of" in said


def test_a_panel_that_joints_place_has_its_room_checked_without_being_told_its_opening() -> None:
    frame = {"mark": "D", "width": 800, "height": 700, "corner": "loose tenons", "groove_depth": 8, "groove_at": 4,
             "stiles": 60, "bit": 6, "panel_kind": "solid", "panel_material": "beech", "panel": 8}  # fmt: skip
    moist = {"made_at": 8, "driest": 6, "wettest": 13}
    job = job_from_document({"name": "Larder door", "frame": [frame], "moisture": moist}, "x")
    found = moving_panels(job, Show.MM)
    # beech, flat: an opening of 680 wants deeper grooves than 8: (686) x 1.02155 / .99138 - 680 + 1 = 27.9, so 14 each
    (panel,) = found.panels
    assert panel.room.opening == mm(680) and panel.room.grooves == mm(16)
    assert "Make the grooves 14 mm deep" in found.faults[0].text
