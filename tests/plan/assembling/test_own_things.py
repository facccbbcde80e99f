"""Things of which the units have not as many each are glued up by themselves, each in the unit that has it."""

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.paper.pixels import page_words
from tests.plan.assembling.test_glue_ups_told import told_as_json
from tests.plan.assembling.test_units_of_things import CASE, DRAWER, FRAME, a_job_of, titles

from stopwright.intake.job_file import job_from_document
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM, Show
from stopwright.model.job import Job
from stopwright.model.whose import job_for
from stopwright.paper.glue_up import glue_up_pdf
from stopwright.plan.assembling.assembly import NOT_AS_MANY, NOT_BY_ITSELF, AssemblyPlan, assembly_stages
from stopwright.plan.assembling.glue_ups import glue_ups_of
from stopwright.plan.assembling.moving_panels import moving_panels
from stopwright.plan.assembling.pieces import list_pieces, number_of_piece
from stopwright.plan.operations.groove import Groove
from stopwright.plan.plan import make_plan

NARROW = {"number": 3, "width": 448.5}


def placed(job: Job, plan: AssemblyPlan) -> Counter[tuple[str, int]]:
    """How often each piece of the batch, by mark and number, is in a first stage of its own or goes in afterwards."""
    found: Counter[tuple[str, int]] = Counter()
    for unit in range(1, job.units + 1):
        here = {piece for stage in plan.of_unit(unit) for piece in stage.pieces}
        later = [one.piece for one in plan.afterwards if not one.units or unit in one.units]
        found.update((mark, number_of_piece(job, mark, nth, unit)) for mark, nth in (*here, *later))
    return found


@pytest.mark.parametrize(
    "thing",
    [
        {"drawer": DRAWER | {"opening": [NARROW]}},
        {"drawer": DRAWER | {"count": 2, "opening": [NARROW, {"number": 5, "height": 149}]}},
        {"drawer": DRAWER | {"count": 3, "corner": "comb", "lowered": False, "opening": [{"number": 2, "width": 440}]}},
        {"frame": FRAME | {"count": 2, "lights": 2, "opening": [{"number": 1, "width": 498}]}},
        {
            "frame": FRAME
            | {"corner": "loose tenons", "groove_at": 4, "bit": 6, "opening": [{"number": 2, "width": 498}]}
        },
        {"carcase": CASE | {"opening": [{"number": 2, "width": 790}]}},
        {"carcase": CASE | {"bottom_up": 60, "top_down": 10, "opening": [{"number": 1, "depth": 280}]}},
        {"mitred_frame": {"mark": "M", "width": 200, "height": 300, "opening": [{"number": 2, "width": 198}]}},
    ],
)
def test_every_piece_of_a_batch_is_put_together_once_in_the_unit_that_it_belongs_to(thing: dict[str, Any]) -> None:
    job = a_job_of(3, **thing)
    plan = assembly_stages(job)
    assert not plan.warnings and not plan.faults
    assert placed(job, plan) == Counter((part.mark, n) for part in job.parts for n in range(1, part.quantity + 1))
    units = {(piece.mark, piece.number): piece.unit for piece in list_pieces(job, make_plan(job, default_shop()))}
    for stage in plan.stages:
        for unit in stage.units:
            assert {units[mark, number_of_piece(job, mark, nth, unit)] for mark, nth in stage.pieces} == {unit}
    for part in job.parts:
        assert {number_of_piece(job, part.mark, 0, unit) for unit in (1, 2, 3)} <= set(range(1, part.quantity + 2))


@st.composite
def jobs_of_things(draw: st.DrawFn) -> Job:
    """One to four units of up to three kinds of things, some of whose openings were measured by themselves."""
    units, things = draw(st.integers(1, 4)), {}
    flag, few = st.booleans(), st.integers(1, 2)
    kinds: dict[str, dict[str, Any]] = {
        "drawer": DRAWER | {"lowered": draw(flag), "count": draw(few)},
        "frame": FRAME | {"lights": draw(few), "count": draw(few)},
        "carcase": CASE | {"bottom_up": draw(st.sampled_from([0, 50])), "count": draw(few)}
        | {"back_in": draw(st.sampled_from(["rebates", "grooves"]))},
        "mitred_frame": {"mark": "M", "width": 200, "height": 300, "count": draw(few)},
    }  # fmt: skip
    for kind in draw(st.lists(st.sampled_from(sorted(kinds)), min_size=1, max_size=3, unique=True)):
        own = draw(st.sets(st.integers(1, units * kinds[kind]["count"]), max_size=3))
        wide = kinds[kind]["width"]
        opening = [{"number": one, "width": wide - draw(few)} for one in sorted(own)]
        things[kind] = kinds[kind] | {"opening": opening}
    return a_job_of(units, **things)


@given(jobs_of_things())
@settings(max_examples=40)
def test_whatever_was_measured_by_itself_every_piece_is_put_together_once(job: Job) -> None:
    plan = assembly_stages(job)
    assert not plan.warnings and not plan.faults
    assert placed(job, plan) == Counter((part.mark, n) for part in job.parts for n in range(1, part.quantity + 1))
    assert [stage.number for stage in plan.stages] == list(range(1, len(plan.stages) + 1))
    for unit in range(1, job.units + 1):
        mine = plan.of_unit(unit)
        assert all(set(stage.brings) <= {one.number for one in mine if one.round < stage.round} for stage in mine)


def test_two_picture_frames_of_one_unit_that_were_measured_by_themselves_are_two_rings() -> None:
    own = [{"number": 1, "width": 199}, {"number": 2, "width": 197}]
    plan = assembly_stages(
        a_job_of(mitred_frame={"mark": "M", "width": 200, "height": 300, "count": 2, "opening": own})
    )
    assert titles(plan) == ["2 × M.1h, 2 × M.1v", "2 × M.2h, 2 × M.2v"] and not plan.warnings


def test_the_drawer_of_one_opening_is_a_stage_of_its_unit_and_the_others_are_one_of_theirs() -> None:
    plan = assembly_stages(a_job_of(3, drawer=DRAWER | {"opening": [NARROW]}, frame=FRAME))
    assert titles(plan) == ["2 × Fst, Ftr, Fbr, Fp", "2 × Ds, Df, Db", "2 × D.3s, D.3f, D.3b"]
    assert [stage.units for stage in plan.stages] == [(), (1, 2), (3,)]
    assert [stage.number for stage in plan.of_unit(3)] == [1, 3]
    assert [stage.opening for stage in plan.stages[1:]] == [424.6 * MM, 423.1 * MM]  # 448.5 − 25.4
    assert [(one.piece, one.units) for one in plan.afterwards] == [(("Dbo", 0), (1, 2)), (("D.3bo", 0), (3,))]


def test_two_drawers_of_one_unit_and_one_of_the_next_are_a_first_and_a_second_one() -> None:
    plan = assembly_stages(a_job_of(2, drawer=DRAWER | {"count": 2, "opening": [{"number": 4, "width": 440}]}))
    usual = [stage for stage in plan.stages if stage.pieces[0][0] == "Ds"]
    assert [stage.units for stage in usual] == [(1, 2), (1,)]
    assert [stage.pieces for stage in usual] == [
        (("Ds", 0), ("Ds", 1), ("Df", 0), ("Db", 0)),
        (("Ds", 2), ("Ds", 3), ("Df", 1), ("Db", 1)),
    ]
    assert {one.post for one in usual[1].closings} == {("Ds", 2), ("Ds", 3)}


def test_the_stages_of_a_thing_wait_for_each_other_and_for_nothing_else() -> None:
    job = a_job_of(2, drawer=DRAWER, frame=FRAME | {"lights": 2, "opening": [{"number": 2, "width": 498}]})
    plan = assembly_stages(job)
    waits = {stage.number: stage.brings for stage in plan.stages}
    assert waits == {1: (), 2: (), 3: (2,), 4: (), 5: (4,)}
    for stage in plan.stages:
        for number in stage.brings:
            assert set(plan.stages[number - 1].pieces) <= set(stage.pieces)


def test_what_is_held_to_other_parts_or_changed_in_number_is_told_of_instead() -> None:
    shelf = {"mark": "B", "sides": ["Ks"], "width": 764, "depth": 280, "at": [300]}
    case = a_job_of(2, carcase=CASE | {"opening": [{"number": 2, "width": 790}]}, shelf=shelf)
    plan = assembly_stages(case)
    assert "Ks, Kt, Kb" in [one.about for one in plan.warnings if one.text == NOT_BY_ITSELF]
    assert titles(plan) == ["2 × K.2s, 2 × K.2t"] and plan.stages[0].units == (2,)
    drawer = {"name": "x", "units": 3, "drawer": [DRAWER | {"opening": [NARROW]}]}
    changed = job_from_document(drawer | {"changed": [{"of": "Df", "quantity": 3}]}, "x")
    plan = assembly_stages(changed)
    assert [one.about for one in plan.warnings if one.text == NOT_BY_ITSELF] == ["Ds, Df, Db, Dbo"]
    assert titles(plan) == ["2 × D.3s, D.3f, D.3b"]


def test_corners_of_parts_that_do_not_come_out_even_are_told_of() -> None:
    one_more = job_from_document(
        {"name": "x", "units": 2, "frame": [FRAME], "changed": [{"of": "Ftr", "quantity": 3}]}, "x"
    )
    plan = assembly_stages(one_more)
    assert [one.about for one in plan.warnings if one.text == NOT_AS_MANY] == ["FN1"]


def test_the_sheet_says_which_units_have_a_stage_also_among_other_jobs() -> None:
    job = a_job_of(3, drawer=DRAWER | {"opening": [NARROW]}, frame=FRAME)
    told = told_as_json(job)
    assert [one.get("units") for one in told["stages"]] == [None, [1, 2], [3]]
    assert [one.get("units") for one in told["afterwards"]] == [[1, 2], [3]]
    (among,) = glue_ups_of([("3", job_for("3", job))], default_shop())
    assert among.stages[2].members[0] == ("#3·D.3s", 2)
    assert among.of_its_own() == glue_ups_of([("", job)], default_shop())[0]


def test_paper_has_boxes_for_the_units_that_have_a_stage_and_names_them() -> None:
    said = " ".join(page_words(glue_up_pdf(a_job_of(3, drawer=DRAWER | {"opening": [NARROW]})), 0).split())
    assert "Stage 1, units 1–2: 2 × Ds" in said and "Stage 2, unit 3: 2 × D.3s" in said
    assert "unit 3: D.3bo drawer D.3, bottom slides into" in said


def test_what_is_alike_in_number_after_all_is_no_thing_of_its_own() -> None:
    others = [{"number": 1, "width": 440}, {"number": 4, "width": 440}]
    plan = assembly_stages(a_job_of(2, drawer=DRAWER | {"count": 2, "opening": others}))
    assert [stage.units for stage in plan.stages] == [(), ()]


def test_a_panel_in_a_frame_of_one_unit_is_still_looked_at_as_it_moves() -> None:
    solid = {"panel_kind": "solid", "panel_material": "oak", "panel": 8, "opening": [{"number": 2, "width": 498}]}
    job = a_job_of(2, frame=FRAME | solid)
    without = replace(job, cuts=tuple(replace(one, opening_across=None) for one in job.cuts if isinstance(one, Groove)))
    assert {one.mark for one in moving_panels(without, Show.MM).panels} == {"Fp", "F.2p"}
