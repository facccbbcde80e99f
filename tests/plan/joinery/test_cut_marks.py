"""Cuts on master piece and story stick: where each opens, measured from one reference, on screen and on paper."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.builders import mm
from tests.plan.any_cut import any_cut, job_of

from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.joints import Joint, Side
from stopwright.model.parts import Part
from stopwright.paper.master_drawing import cut_texts
from stopwright.paper.master_piece import master_piece_svg, master_pieces_pdf, stick_lines
from stopwright.plan.joinery.cut_marks import cut_marks
from stopwright.plan.joinery.master_piece import master_pieces, story_stick
from stopwright.plan.operations.bore import Holes
from stopwright.plan.operations.groove import Groove, Housing
from stopwright.plan.operations.known import CUTS
from stopwright.plan.operations.tenon import Tenon
from stopwright.plan.plan import make_plan

SHOP = default_shop()
SIDE = Part("A", "Side", 4, mm(800), mm(240), mm(18))
RAIL = Part("R", "Rail", 4, mm(400), mm(60), mm(22))
GROOVE = Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.FAR_EDGE, at=mm(10), width=mm(6), depth=mm(6))
HOUSING = Housing(mark="H1", parts=("A",), side=Side.FACE, at=(mm(300), mm(600)), width=mm(18), depth=mm(6))
HOLES = Holes(mark="S1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(37), first=mm(72), pitch=mm(32),
              count=3, diameter=mm(5), depth=mm(12))  # fmt: skip
TENON = Tenon(mark="N1", parts=("R",), length=mm(35), thickness=mm(8))


def masters(*cuts, parts=(SIDE, RAIL), joints=()):
    job = Job("case", parts, cuts=cuts, joints=joints)
    return master_pieces(job, SHOP, make_plan(job, SHOP).runs)


def test_every_cut_is_marked_on_the_side_that_it_opens_in():
    (side,) = masters(GROOVE, HOUSING, HOLES)
    assert cut_texts(side.cuts_on(Side.FACE), Show.MM) == [
        "groove G1: 0 to 800, 224 to 230 from the face edge, 6 deep",
        "housing H1: 300 to 318, 0 to 240 from the face edge, 6 deep",
        "housing H1: 600 to 618, 0 to 240 from the face edge, 6 deep",
        "holes S1: centres at 72, 104, 136, 37 from the face edge, 5 wide, 12 deep",
    ]
    assert cut_texts(side.cuts_on(Side.EDGE), Show.MM) == [
        "housing H1: 300 to 318, 0 to 6 from the face side, right through",
        "housing H1: 600 to 618, 0 to 6 from the face side, right through",
    ]
    assert not side.cuts_on(Side.BACK) and not side.cuts_on(Side.MARKED_END)  # the groove runs through
    assert side.runs == sum(
        any(pieces.down for pieces in run.pieces)
        for run in make_plan(Job("case", (SIDE, RAIL), cuts=(GROOVE, HOUSING, HOLES)), SHOP).runs
    )


def test_a_tenon_is_marked_on_the_ends_and_on_the_sides_beside_them():
    (rail,) = masters(TENON)
    assert cut_texts(rail.cuts_on(Side.OTHER_END), Show.MM) == [
        "tenon N1: 0 to 60, 0 to 7 from the face side, 35 deep",
        "tenon N1: 0 to 60, 15 to 22 from the face side, 35 deep",
    ]
    assert "tenon N1: 365 to 400, 0 to 60 from the face edge, 7 deep" in cut_texts(rail.cuts_on(Side.FACE), Show.MM)


def test_the_story_stick_has_a_line_where_each_cut_begins_and_ends_between_the_ends_of_the_piece():
    lines = stick_lines(story_stick(masters(GROOVE, HOUSING, HOLES, TENON)))
    assert lines[mm(300)] == "housing H1 begins A" and lines[mm(318)] == "housing H1 ends A"
    assert lines[mm(35)] == "tenon N1 ends R" and lines[mm(365)] == "tenon N1 begins R"
    assert [lines[mm(at)] for at in (72, 104, 136)] == ["centre in holes S1 A"] * 3
    assert not any("groove" in said for said in lines.values())


def test_cuts_stand_beside_the_slots_of_a_joint_and_on_paper():
    joint = Joint("J1", "A", "R", Side.FACE, mm(10), mm(50), mm(8), mm(8), mm(20))
    found = {one.part: one for one in masters(GROOVE, joints=(joint,))}
    assert found["A"].marks and found["A"].cuts
    pdf = master_pieces_pdf(found.values())
    assert pdf.startswith(b"%PDF")
    assert "G1" in master_piece_svg(found["A"])


def test_what_stands_over_a_horn_is_measured_with_it():
    joint = Joint("J1", "A", "R", Side.FACE, mm(10), mm(50), mm(8), mm(8), mm(20), horn=mm(25))
    job = Job("case", (SIDE, RAIL), cuts=(GROOVE,), joints=(joint,))
    assert max(mark.end for mark in cut_marks(job, SIDE)) == mm(825)


@pytest.mark.parametrize("kind", CUTS)
@settings(deadline=None, max_examples=8, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_every_kind_of_cut_can_be_marked_out_and_drawn_within_its_piece(kind, data):
    job = job_of((data.draw(any_cut(kind, "X1")),))
    for master in master_pieces(job, SHOP, ()):
        for cut in master.cuts:
            assert 0 <= cut.start < cut.end <= max(master.length, master.width)
            assert 0 <= cut.near < cut.far and (cut.depth is None or cut.depth > 0)
        assert "<svg" in master_piece_svg(master)
