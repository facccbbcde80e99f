"""Cuts along the grain that are made in the strip, before it is crosscut: where, and where not."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import a_board, a_job, a_part, mm
from tests.shop.facts import facts_of
from tests.shop.ledger import check_ledger
from tests.shop.test_cuts import faults_and_complaints

from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.model.cuts import Cut
from stopwright.model.job import Flow, Job
from stopwright.model.joints import Side
from stopwright.model.parts import Hand
from stopwright.model.shaping import Mitre
from stopwright.plan.operations.groove import Groove, Housing
from stopwright.plan.operations.rebate import Rebate
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Form, Run
from stopwright.plan.run_sheet_json import run_sheet_json

SHOP = default_shop()
GROOVE = Groove(mark="G1", parts=("A",), side=Side.EDGE, from_=Side.FACE, at=mm(7), width=mm(6.4), depth=mm(8))
RAIL = a_part("A", 8, (500, 55, 20))


def job_of(*cuts: Cut, parts: tuple[Any, ...] = (RAIL,), **more: Any) -> Job:
    return replace(a_job(*parts, stock=(a_board(4, (2400, 150, 27)),)), cuts=cuts, **more)


def runs_of(job: Job, work: str = "groove") -> list[Run]:
    return [run for run in make_plan(job, SHOP).runs if run.work == work]


def test_a_groove_from_end_to_end_is_cut_in_the_strips() -> None:
    """Two strips of four: two to feed instead of eight, and as many settings."""
    sheet = make_plan(job_of(GROOVE), SHOP)
    grooves = [run for run in sheet.runs if run.work == "groove"]
    assert [(lot.form, lot.count) for run in grooves for lot in run.takes] == [(Form.STRIP, 1)] * 4
    crosscut = next(run.number for run in sheet.runs if run.work == "crosscut")
    assert all(run.number < crosscut for run in grooves)
    assert all("while long, crosscut after: edge down, face side at the fence" in run.note for run in grooves)


def forms(job: Job, work: str = "groove") -> set[Form]:
    return {lot.form for run in runs_of(job, work) for lot in run.takes}


@pytest.mark.parametrize(
    ("job", "why"),
    [
        (job_of(replace(GROOVE, station="spindle", start=mm(30))), "stopped"),
        (job_of(GROOVE, parts=(replace(RAIL, hand=Hand.PAIRS),)), "half of them are mirrored"),
        (job_of(GROOVE, Housing(mark="H1", parts=("A",), side=Side.BACK, at=(mm(90),), width=mm(6), depth=mm(5))),
         "the housing comes first"),
        (job_of(GROOVE, parts=(RAIL, a_part("B", 8, (400, 55, 20)))), "other pieces lie in the strips"),
        (job_of(GROOVE, flow=Flow.PART_BY_PART), "pieces come off the saw at once"),
        (job_of(GROOVE, parts=(a_part("A", 3, (1500, 55, 20)),)), "as many strips as pieces"),
    ],
    ids=lambda one: one if isinstance(one, str) else "",
)  # fmt: skip
def test_a_groove_is_cut_in_the_pieces(job: Job, why: str) -> None:
    assert forms(job) == {Form.PIECE}, why


def test_the_rebate_of_a_frame_is_cut_before_the_mitres() -> None:
    sides = (a_part("A", 8, (440, 40, 20)), a_part("B", 8, (340, 40, 20)))
    rebate = Rebate(mark="R1", parts=("A", "B"), side=Side.BACK, edge=Side.FAR_EDGE, width=mm(6), depth=mm(8))
    job = job_of(rebate, parts=sides, mitres=(Mitre(part="A", sides=4), Mitre(part="B", sides=4)))
    assert forms(job, "rebate") == {Form.STRIP}
    sheet = make_plan(job, SHOP)
    last = max(run.number for run in sheet.runs if run.work == "rebate")
    assert last < min(run.number for run in sheet.runs if run.work in ("crosscut", "mitre"))


@settings(deadline=None, max_examples=40)
@given(st.data())
def test_strips_and_pieces_come_out_as_asked_for_and_the_books_add_up(data: st.DataObject) -> None:
    quantity = st.integers(2, 9)
    parts = [
        a_part("A", 2 * data.draw(quantity), (500, 55, 20), hand=data.draw(st.sampled_from(Hand))),
        a_part(
            "B", data.draw(quantity), (data.draw(st.sampled_from([320, 500])), data.draw(st.sampled_from([55, 70])), 20)
        ),
    ]
    marks = data.draw(st.sampled_from([("A",), ("A", "B"), ("B",)]))
    rebate = Rebate(mark="R1", parts=("A",), side=Side.BACK, edge=Side.FAR_EDGE, width=mm(8), depth=mm(7))
    cuts = data.draw(st.sampled_from([(), (rebate,)]))
    job = job_of(replace(GROOVE, parts=marks), *cuts, parts=tuple(parts), flow=data.draw(st.sampled_from(Flow)))
    faults, wrong = faults_and_complaints(job, SHOP)
    assert (faults, wrong) == ([], [])
    assert check_ledger(run_sheet_json(make_plan(job, SHOP), Show.MM), facts_of(job, SHOP)) == []
