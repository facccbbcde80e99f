"""Any thing that is not refused can be planned: its cuts lie where they were asked for, and its wood adds up."""

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.plan.making.made import a_thing, made
from tests.shop.test_cuts import faults_and_complaints
from tests.shop.test_every_sheet import books

from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Kind
from stopwright.plan.making.drawer import Guide
from stopwright.plan.making.drawer_corners import Corner
from stopwright.plan.making.frame import FrameCorner

SHOP = default_shop()


@st.composite
def things(draw: st.DrawFn):
    kind = draw(st.sampled_from(["drawer", "frame", "carcase", "face_frame", "mitred_frame"]))
    size = {"width": draw(st.integers(120, 900)), "height": draw(st.integers(60, 900))}
    one_of = lambda *choices: draw(st.sampled_from(choices))  # noqa: E731
    match kind:
        case "drawer":
            size |= {"depth": draw(st.integers(150, 500)), "front": one_of(12, 16, 18), "lowered": one_of(True, False)}
            size |= {"corner": one_of(Corner.HOUSING, Corner.LOOSE), "sides": one_of(12, 15)}
            size |= {"guide": one_of(*Guide), "groove_up": one_of(8, 12), "housing_depth": one_of(4, 6)}
        case "frame":
            size |= {"corner": one_of(*FrameCorner), "lights": one_of(1, 2, 3), "rows": one_of(1, 2)}
            size |= {"bottom": one_of(60, 80), "gap": one_of(0, 2), "panel_full": one_of(None, 12)}
            size |= {"dry_fit": one_of(True, False)}
            size |= {"panel_kind": one_of(Kind.SHEET, Kind.SOLID), "panel_side": one_of(Side.FACE, Side.BACK)}
        case "carcase":
            size |= {"depth": draw(st.integers(150, 500)), "back": one_of(0, 6)}
            size |= {"bottom_up": one_of(0, 60), "top_down": one_of(0, 20)}
        case "face_frame":
            size |= {"rows": one_of(1, 2, 3), "lights": one_of(1, 2, 3)}
    return a_thing(kind, **size)


@settings(max_examples=60, deadline=None)
@given(things())
def test_any_thing_is_machined_as_it_was_worked_out_or_refused_with_what_would_do(thing) -> None:
    found = made(thing, units=2)
    if found.refused:
        assert found.parts == () and all(problem.next_step for _, problem in found.refused)
        return
    job = Job("things", found.parts, units=2, cuts=found.cuts, joints=found.joints, mitres=found.mitres)
    faults, wrong = faults_and_complaints(job, SHOP)
    assert (faults, wrong) == ([], [])
    assert books(job, SHOP) == []
