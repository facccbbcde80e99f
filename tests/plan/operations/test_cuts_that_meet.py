"""What cuts ask of other parts: lengths that fit, halves that mirror each other, horns that are in the way."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.builders import mm

from stopwright.errors import Inconsistent
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import INCH, Show
from stopwright.model.job import Job
from stopwright.model.joints import Joint, RailEnds, Side
from stopwright.model.parts import Hand, Kind, Part
from stopwright.plan.joinery.hands import count_hands, is_handed, needs_pairs
from stopwright.plan.operations.bore import Holes
from stopwright.plan.operations.groove import Groove, Housing, ends_held
from stopwright.plan.operations.rebate import Rebate
from stopwright.plan.operations.splay import Splay
from stopwright.plan.operations.taper import Taper
from stopwright.plan.operations.tenon import Tenon
from stopwright.plan.plan import make_plan
from stopwright.plan.said_lengths import read_out

SIDE = Part("A", "Side", 4, mm(800), mm(240), mm(18))
SHELF = Part("B", "Shelf", 4, mm(776), mm(230), mm(18))
DIVIDER = Part("C", "Shelf", 2, mm(776), mm(220), mm(18))
HOUSING = Housing(mark="H1", parts=("A",), side=Side.FACE, at=(mm(24), mm(658)), fits="B", depth=mm(6), opening=mm(764))
THIRD = Housing(mark="H2", parts=("A",), side=Side.FACE, at=(mm(340),), fits="C", depth=mm(6))


def a_case(*cuts, parts=(SIDE, SHELF, DIVIDER)) -> Job:
    return Job("case", parts, cuts=cuts)


def warnings(job: Job) -> list[str]:
    return [f"{warning.about} {warning.text}" for warning in make_plan(job, default_shop()).warnings]


def test_a_shelf_as_long_as_the_opening_and_two_depths_is_not_asked_about():
    assert not [said for said in warnings(a_case(HOUSING, THIRD)) if "opening" in said or "between" in said]


def test_a_shelf_that_forgot_its_housings_is_asked_about_with_the_number_that_would_fit():
    short = replace(SHELF, length=mm(764))
    (said,) = [one for one in warnings(a_case(HOUSING, parts=(SIDE, short))) if "opening" in one]
    assert said == (
        "B is 764 mm long; an opening of 764 mm and 6 mm in each housing want 776 mm. "
        "Correct the length, or the opening"
    )  # fmt: skip


def test_two_shelves_between_the_same_sides_must_leave_the_same_room_without_any_opening():
    long = replace(DIVIDER, length=mm(778))
    cuts = (replace(HOUSING, opening=None), THIRD)
    (said,) = [one for one in warnings(a_case(*cuts, parts=(SIDE, SHELF, long))) if "leaves" in one]
    assert (
        said
        == "C B leaves 764 mm between the sides, this part 766 mm; 776 mm long it would fit. Correct one of the two"
    )


@pytest.mark.parametrize(("shelves", "ends"), [(4, 2), (8, 1), (3, 0), (16, 0)])
def test_ends_of_shelves_are_counted_against_housings(shelves, ends):
    job = a_case(HOUSING, parts=(SIDE, replace(SHELF, quantity=shelves)))
    assert ends_held(HOUSING, job) == ends
    tally = [said for said in warnings(job) if "correct a quantity or the places" in said]
    assert tally == ([] if ends else [f"B 8 housings of H1 for {2 * shelves} ends; correct a quantity or the places"])


def test_a_rail_is_asked_about_that_forgot_its_tenons():
    """Published: 14 in door, stiles 2 1/2, tenons 3/8: rail 14 − 5 + 2 · 3/8 = 9 3/4 (a maker's page on doors, S)."""
    tenon = Tenon(
        mark="N1", parts=("R",), length=INCH * 3 // 8, thickness=INCH // 4, opening=14 * INCH - 2 * INCH * 5 // 2
    )
    rail = Part("R", "Rail", 4, INCH * 39 // 4, 2 * INCH, INCH * 3 // 4)
    assert not [said for said in warnings(a_case(tenon, parts=(rail,))) if "opening" in said]
    forgot = replace(rail, length=9 * INCH)
    (said,) = [one for one in warnings(a_case(tenon, parts=(forgot,))) if "opening" in one]
    assert "an opening of 228.6 mm and 9.53 mm in each mortise want 247.65 mm" in said
    at_one_end = replace(tenon, ends=RailEnds.MARKED)
    assert not [
        one for one in warnings(a_case(at_one_end, parts=(replace(rail, length=INCH * 75 // 8),))) if "opening" in one
    ]


def test_a_published_cabinet_fits():
    """Outside 25 1/8, ends 1/2, shelves 24 5/8: housings 1/4 deep (E. W. Foster, Carpentry and Woodwork, S)."""
    opening = INCH * 201 // 8 - 2 * INCH // 2
    housing = replace(HOUSING, depth=INCH // 4, opening=opening)
    shelf = replace(SHELF, length=INCH * 197 // 8)
    assert not [said for said in warnings(a_case(housing, parts=(SIDE, shelf))) if "opening" in said]


PANEL = Part("P", "Panel", 2, mm(601), mm(381), mm(6), kind=Kind.SHEET)
STILE = Part("E", "Stile", 4, mm(696), mm(55), mm(20))
PANELLED = Groove(
    mark="G1", parts=("E",), side=Side.EDGE, from_=Side.FACE, at=mm(7), fits="P", depth=mm(8),
    opening=mm(586), opening_across=mm(366),
)  # fmt: skip


def about_the_panel(groove: Groove, panel: Part) -> list[str]:
    return [one for one in warnings(a_case(groove, parts=(STILE, panel))) if "an opening of" in one]


def test_a_panel_as_large_as_its_opening_and_two_grooves_less_a_little_is_not_asked_about():
    assert about_the_panel(PANELLED, PANEL) == []  # 586 + 2 · 8 − 1 and 366 + 2 · 8 − 1


def test_length_and_width_of_a_panel_are_asked_about_with_the_number_that_would_fit():
    assert about_the_panel(PANELLED, replace(PANEL, length=mm(586), width=mm(382))) == [
        "P is 586 mm long; an opening of 586 mm and 8 mm in each groove, less 1 mm of room, want 601 mm. "
        "Correct the length, or the opening",
        "P is 382 mm wide; an opening of 366 mm and 8 mm in each groove, less 1 mm of room, want 381 mm. "
        "Correct the width, or the opening",
    ]
    assert about_the_panel(replace(PANELLED, gap=0), replace(PANEL, length=mm(602), width=mm(382))) == []


def test_one_width_is_asked_for_across_solid_wood_only_where_the_gap_is_given():
    """What its movement leaves is a range, told by itself. At least 3 mm, 1/8 in, at each side at a middling moisture
    (a magazine's page on raised panels, S)."""
    solid = replace(PANEL, kind=Kind.SOLID)
    assert about_the_panel(PANELLED, solid) == []
    given = replace(PANELLED, opening=None, gap=mm(6))
    (said,) = about_the_panel(given, solid)
    assert "less 6 mm of room, want 376 mm" in said
    assert about_the_panel(given, replace(solid, width=mm(376))) == []


def test_published_sizes_of_panels_and_bottoms():
    """A bottom 11 in between fronts of 12 in over sides of 3/4, grooves 1/4 deep (a page on drawers, S).

    And the worked door: 500 × 700, stiles 60, rails 60 and 80, grooves 10: light 380 × 560 (geometry, K).
    """
    inside = 12 * INCH - 2 * INCH * 3 // 4
    bottom = replace(PANEL, length=11 * INCH)
    between_sides = replace(PANELLED, opening=inside, opening_across=None, depth=INCH // 4, gap=0)
    assert about_the_panel(between_sides, bottom) == []
    door = replace(PANELLED, opening=mm(700 - 60 - 80), opening_across=mm(500 - 2 * 60), depth=mm(10))
    assert about_the_panel(door, replace(PANEL, length=mm(560 + 20 - 1), width=mm(380 + 20 - 1))) == []


def test_a_panel_thicker_than_its_groove_is_asked_about_until_its_edges_are_rebated():
    groove = replace(PANELLED, width=mm(6.2))
    thick = replace(PANEL, thickness=mm(14))

    def asked(*rebates: Rebate) -> list[str]:
        job = Job("door", (STILE, thick), cuts=(groove, *rebates))
        return [text for text in warnings(job) if "wide. Rebate" in text]

    rebate = Rebate(mark="R1", parts=(thick.mark,), side=Side.FACE, edge=Side.EDGE, width=mm(11), depth=mm(5))
    (said,) = asked(rebate)
    assert said.endswith(
        "is 9 mm thick, and G1 is only 6.2 mm wide. Rebate its edges to less than that, or widen the slot"
    )
    assert list(groove.has_to_fit()) == [] and list(PANELLED.has_to_fit()) == [thick.mark]  # what is measured before
    behind = replace(rebate, mark="R2", side=Side.BACK, edge=Side.FAR_EDGE, depth=mm(3))
    assert asked(rebate, behind) == []  # 14 − 5 − 3


def test_a_panel_without_a_name_has_no_opening():
    with pytest.raises(Inconsistent) as error:
        replace(PANELLED, fits="", width=mm(6.2), gap=mm(1))
    assert [problem.field for problem in error.value.problems] == ["opening", "opening_across", "gap"]


def test_an_opening_without_what_goes_in_is_refused():
    with pytest.raises(Inconsistent) as error:
        replace(HOUSING, fits="", width=mm(18))
    assert [problem.field for problem in error.value.problems] == ["opening"]


BEYOND_THE_MIDDLE = Holes(
    mark="S1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(37), first=mm(72), pitch=mm(32), count=5,
    diameter=mm(5), depth=mm(6),
)  # fmt: skip


ASKEW = Tenon(mark="N1", parts=("A",), length=mm(30), thickness=mm(6), shoulder_edge=mm(9), from_face=mm(4))


@pytest.mark.parametrize(
    ("cuts", "handed"),
    [
        ((replace(HOUSING, opening=None),), False),  # through: the same end for end
        ((BEYOND_THE_MIDDLE,), True),
        (
            (Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(9), width=mm(6), depth=mm(6)),),
            False,
        ),
        (
            (
                Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(9), width=mm(6), depth=mm(6)),
                replace(HOUSING, opening=None),
            ),
            True,
        ),
        ((Taper(mark="K1", parts=("A",), sides=(Side.EDGE,), begins=mm(100), leaves=mm(200)),), False),
        (
            (
                Taper(mark="K1", parts=("A",), sides=(Side.EDGE,), begins=mm(100), leaves=mm(200)),
                Rebate(mark="R1", parts=("A",), side=Side.BACK, edge=Side.FAR_EDGE, width=mm(10), depth=mm(8)),
            ),
            True,
        ),
        ((Splay(mark="Y1", parts=("A",), across=Fraction(10)),), False),
        ((Splay(mark="Y1", parts=("A",), across=Fraction(10), through=Fraction(5), ends=RailEnds.MARKED),), True),
        ((Tenon(mark="N1", parts=("A",), length=mm(30), thickness=mm(6)),), False),
        ((ASKEW,), False),  # the two ends mirror each other
        ((replace(ASKEW, ends=RailEnds.MARKED),), True),
    ],
)
def test_what_differs_from_its_mirror_image_is_handed_and_nothing_else(cuts, handed):
    assert is_handed(a_case(*cuts), SIDE) is handed


def test_sides_that_hold_both_ends_of_a_shelf_are_mirror_images_where_they_are_handed_and_it_is_said():
    stopped = replace(HOUSING, opening=None)
    rebate = Rebate(mark="R1", parts=("A",), side=Side.FACE, edge=Side.FAR_EDGE, width=mm(10), depth=mm(8))
    job = a_case(stopped, rebate)
    assert count_hands(job, SIDE) == (2, 2)
    text = "A the cuts differ on the two hands, so half the pieces are mirror images and are counted so"
    assert f"{text}; set hand to pairs" in warnings(job)
    paired = a_case(stopped, rebate, parts=(replace(SIDE, hand=Hand.PAIRS), SHELF, DIVIDER))
    assert not [said for said in warnings(paired) if "set hand to pairs" in said]


def test_a_middle_wall_of_its_own_or_a_housing_for_one_end_makes_no_pairs():
    rebate = Rebate(mark="R1", parts=("A",), side=Side.FACE, edge=Side.FAR_EDGE, width=mm(10), depth=mm(8))
    at_one_end = a_case(replace(HOUSING, opening=None), rebate, parts=(SIDE, replace(SHELF, quantity=8)))
    assert not needs_pairs(at_one_end, SIDE)
    odd = replace(SIDE, quantity=3)
    at_three = a_case(replace(HOUSING, opening=None), rebate, parts=(odd, replace(SHELF, quantity=3)))
    assert not needs_pairs(at_three, odd)


def test_a_leg_whose_slots_are_alike_is_handed_by_its_taper():
    leg, rail = Part("L", "Leg", 4, mm(700), mm(45), mm(45)), Part("R", "Rail", 4, mm(400), mm(80), mm(20))
    sides = (Side.BACK, Side.FAR_EDGE)
    joints = tuple(
        Joint(f"J{number}", "L", "R", side, mm(10), mm(60), mm(8), mm(18), mm(18)) for number, side in enumerate(sides)
    )
    both = Taper(mark="K1", parts=("L",), sides=sides, begins=mm(120), leaves=mm(25))
    legs = Job("table", (leg, rail), joints=joints, cuts=(both,))
    assert count_hands(legs, leg) == (4, 0)
    assert count_hands(replace(legs, cuts=(replace(both, sides=(Side.BACK,)),)), leg) == (2, 2)


def test_a_cut_measured_from_an_end_that_keeps_a_horn_is_refused_and_one_along_the_edge_is_not():
    post, rail = Part("P", "Post", 4, mm(700), mm(45), mm(45)), Part("R", "Rail", 2, mm(400), mm(80), mm(20))
    joint = Joint("J1", "P", "R", Side.BACK, mm(10), mm(60), mm(8), mm(18), mm(18), horn=mm(20))
    groove = Groove(mark="G1", parts=("P",), side=Side.EDGE, from_=Side.FACE, at=mm(9), width=mm(6), depth=mm(6))
    housing = Housing(mark="H1", parts=("P",), side=Side.FACE, at=(mm(100),), width=mm(6), depth=mm(6))
    sheet = make_plan(Job("frame", (post, rail), joints=(joint,), cuts=(groove, housing)), default_shop())
    (fault,) = [one for one in sheet.faults if "horn" in one.text]
    assert fault.text == (
        "housing H1: a horn of 20 mm stays on its marked end until after glue-up; leave the horn out, or cut it by hand"
    )
    assert [run.note for run in sheet.runs if run.note.startswith("groove G1")]


@pytest.mark.parametrize("measured", [None, mm(17.4)])
def test_housings_are_as_wide_as_what_goes_in_was_measured(measured):
    thick = SHELF.thickness if measured is None else measured
    parts = (SIDE, replace(SHELF, measured=measured), DIVIDER)
    runs = [run for run in make_plan(a_case(HOUSING, parts=parts), default_shop()).runs if run.work == "groove"]
    stops = {stop.target for run in runs for stop in run.stops if stop.sets == "length"}
    far = thick + mm(0.1) - mm(3.2)  # play of what is glued in, less the kerf
    assert stops == {mm(24), mm(24) + far, mm(658), mm(658) + far}
    said = "measure B first" if measured is None else "for B as measured, 17.4 mm"
    assert all(read_out(run.note, Show.MM).count(said) == 1 for run in runs)


def test_a_measured_thickness_of_nothing_is_refused():
    with pytest.raises(Inconsistent) as error:
        replace(SHELF, measured=0)
    assert [problem.field for problem in error.value.problems] == ["measured"]
