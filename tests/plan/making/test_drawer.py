"""A drawer from its opening; the arithmetic stands beside each figure."""

from dataclasses import replace

import pytest
from tests.builders import mm
from tests.plan.making.made import a_thing, cut, made, refusals, sizes

from stopwright.lengths import MM
from stopwright.model.parts import Grain, Hand, Kind, Made
from stopwright.model.things import Changed, Opening
from stopwright.plan.making.drawer import Guide
from stopwright.plan.making.drawer_corners import Corner

OPENING = {"width": 450, "height": 132.7, "depth": 400, "front": 16}


def test_the_box_on_side_slides_follows_from_the_opening() -> None:
    found = made(a_thing("drawer", **OPENING))
    assert sizes(found) == {
        "Ds": (400, 120, 12),  # 132.7 − 12.7 high
        "Df": (412.6, 120, 16),  # 450 − 25.4 = 424.6; less two sides 400.6; and two tongues of 6
        "Db": (412.6, 103.8, 12),  # above the groove: 120 − 10 − 6.2
        "Dbo": (411.6, 389, 6),  # 400.6 + 2 × 6 − 1 across, 400 − 16 + 6 − 1 from front to back
    }
    housing, groove = cut(found, "DH1"), cut(found, "DG1")
    assert (housing.parts, housing.at, housing.width, housing.depth) == (("Ds",), (mm(10), mm(388)), mm(6), mm(6))
    assert (groove.parts, groove.at, groove.depth, groove.fits) == (("Ds", "Df"), mm(10), mm(6), "Dbo")
    assert [cut(found, f"DR{number}").depth / MM for number in (1, 2, 3, 4)] == [10.1, 10.1, 6.1, 6.1]


def test_hidden_slides_want_an_inside_whatever_the_sides_are() -> None:
    for side in (12, 16):
        found = sizes(made(a_thing("drawer", **OPENING, guide=Guide.HIDDEN, sides=side, housing_depth=6)))
        assert found["Df"][0] - 2 * 6 == pytest.approx(450 - 41.275)


def test_wood_on_wood_leaves_a_little_and_a_front_may_stand_before_the_box() -> None:
    found = sizes(made(a_thing("drawer", **OPENING, guide=Guide.WOOD, applied=18, applied_gap=2)))
    assert found["Df"][0] == pytest.approx(450 - 0.75 - 24 + 12)
    assert found["Da"] == (446, 128.7, 18)


def test_a_back_at_full_height_is_grooved_too_and_the_bottom_ends_in_it() -> None:
    found = made(a_thing("drawer", **OPENING, lowered=False))
    assert sizes(found)["Db"][1] == 120
    assert sizes(found)["Dbo"][1] == 383  # 400 − 16 − 12 + 2 × 6 − 1
    assert cut(found, "DG1").parts == ("Ds", "Df", "Db")


def test_a_comb_goes_round_and_what_its_fingers_stand_out_is_added() -> None:
    found = made(a_thing("drawer", width=450, height=132.7, depth=400, corner=Corner.COMB, lowered=False, cutter=8))
    assert sizes(found)["Df"] == pytest.approx((425.2, 120, 12))  # 424.6 + 2 × 0.3
    assert [part.quantity for part in found.parts if part.mark == "Df"] == [2]
    assert cut(found, "DC1").parts == ("Ds", "Df")
    assert found.lots[0].notes == ("Whole fingers at both edges: a box 119.2 mm or 135.1 mm high",)  # 7 × 15.9 + 7.9


def test_loose_tenons_hold_front_and_back_between_the_sides_clear_of_the_bottom() -> None:
    found = made(a_thing("drawer", **OPENING | {"front": 18, "sides": 15}, corner=Corner.LOOSE))
    assert sizes(found) == {
        "Ds": (400, 120, 15),
        "Df": (394.6, 120, 18),  # 424.6 − 2 × 15
        "Db": (394.6, 103.8, 15),
        "Dbo": (408.6, 388.5, 6),  # 394.6 + 2 × 7.5 − 1, 400 − 18 + 7.5 − 1
    }
    front, back = cut(found, "DE1"), cut(found, "DE2")
    # from 16.2 + 10 to 120 − 10 are 83.8, more than five bits of 6: three slots with 10 between, each (83.8 − 20) / 3
    assert (front.parts, front.at, front.below, front.start, front.count) == (("Ds", "Df"), 0, 0, mm(26.2), 3)
    assert (front.length / MM, front.pitch / MM) == (pytest.approx(21.2667, abs=1e-4), pytest.approx(31.2667, abs=1e-4))
    # the back stands 16.2 higher, so the slots of its sides lie beside those of the front
    assert (back.parts, back.at, back.below, back.start) == (("Ds", "Db"), mm(385), mm(16.2), mm(10))
    assert (front.depth, front.end_depth, back.length) == (mm(10), mm(20), front.length)  # 15 − 5
    assert {part.mark: part.hand for part in found.parts}["Ds"] is Hand.PAIRS


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"bit": 8}, "bit: the bit would be 8 mm, half of front or back is 6 mm; write at most 6 mm"),
        (
            {"side_depth": 8},
            "side_depth: a slot in a side would be 8 mm, what leaves wood behind it is 7 mm; write at most 7 mm",
        ),
        (
            {"end_depth": 200},
            "end_depth: a slot in an end would be 200 mm, what leaves wood between both ends is 197.8 mm; "
            "write at most 197.8 mm",
        ),
    ],
)
def test_loose_tenons_that_the_wood_does_not_hold_are_refused(more: dict[str, float], said: str) -> None:
    assert refusals(made(a_thing("drawer", **OPENING, corner=Corner.LOOSE, **more))) == [said]


def test_a_drawer_too_low_for_a_slot_says_how_high_its_opening_must_be() -> None:
    (said,) = refusals(made(a_thing("drawer", **OPENING | {"height": 50}, corner=Corner.LOOSE)))
    # 50 − 12.7 − 16.2 − 2 × 10 leaves 1.1, six are needed
    assert said.startswith("height: room for slots would be 1.1 mm") and said.endswith("more than 54.899999 mm")


def test_a_solid_bottom_is_glued_up_and_its_grain_runs_from_side_to_side() -> None:
    bottom = made(a_thing("drawer", **OPENING, bottom_kind=Kind.SOLID)).parts[-1]
    assert (bottom.made, bottom.grain, bottom.length > bottom.width) == (Made.PANEL, Grain.ALONG, True)


def test_sides_are_pairs_where_their_cuts_are_handed() -> None:
    def hand(**more: object) -> Hand:
        return made(a_thing("drawer", **(OPENING | more))).parts[0].hand

    assert hand() is Hand.PAIRS  # the front is thicker than the back
    assert hand(front=12) is Hand.SAME  # housings alike at both ends: turned end for end it is the other side


def test_what_follows_goes_by_the_thickness_that_was_measured() -> None:
    changes = (Changed(of="Dbo", measured=mm(5.6)), Changed(of="Ds", measured=mm(11.8)))
    found = sizes(made(a_thing("drawer", **OPENING, housing_depth=6), changes=changes))
    assert found["Db"][1] == pytest.approx(104.2)  # 120 − 10 − 5.8
    assert found["Df"][0] == pytest.approx(413)  # 424.6 − 2 × 11.8 + 2 × 6
    assert found["Ds"][2] == 12


def test_one_opening_of_the_batch_has_measures_of_its_own_and_the_smaller_reading_counts() -> None:
    drawer = a_thing("drawer", **OPENING)
    third = Opening(number=3, width=(mm(449), mm(448.5)))
    found = made(replace(drawer, openings=(third,)), units=4)
    assert sizes(found)["Df"][0] == 412.6
    assert sizes(found)["D.3f"][0] == pytest.approx(411.1)
    assert {part.mark: part.quantity for part in found.parts if part.mark[-1] in "fs"} == {
        "Ds": 6, "Df": 3, "D.3s": 2, "D.3f": 1,
    }  # fmt: skip
    of_all = Opening(width=(mm(449),), height=(mm(130),))
    found = made(replace(drawer, openings=(of_all, third)), units=4)
    assert sizes(found)["Df"][:2] == pytest.approx((411.6, 117.3))
    assert sizes(found)["D.3f"][:2] == pytest.approx((411.1, 117.3))


def test_an_opening_that_measures_as_the_others_makes_no_line_of_its_own() -> None:
    drawer = replace(a_thing("drawer", **OPENING), openings=(Opening(number=2, width=(mm(450),)),))
    assert [part.mark for part in made(drawer, units=3).parts] == ["Ds", "Df", "Db", "Dbo"]


@pytest.mark.parametrize(
    ("measures", "said"),
    [
        (
            {"width": 20},
            "width: inside of the box would be −29.4 mm: −5.4 − 2 × 12 (box − 2 × side); "
            "make the opening width more than 49.4 mm",
        ),
        (
            {"height": 25},
            "height: above the bottom would be −3.9 mm: 12.3 − 10 − 6.2 "
            "(height of the box − wood below the groove − groove); make the opening height more than 28.9 mm",
        ),
        ({"groove_depth": 8}, "groove_depth: the groove of the bottom would be 8 mm, half of the wood is 6 mm; "
                              "write at most 6 mm"),
        ({"housing_depth": 7}, "housing_depth: the housing of a corner would be 7 mm, half of the wood is 6 mm; "
                               "write at most 6 mm"),
        ({"depth": 0}, "depth: depth of the box is not above 0; measure the depth of the box"),
    ],
)  # fmt: skip
def test_nonsense_is_answered_with_the_number_that_would_do(measures: dict[str, float], said: str) -> None:
    assert refusals(made(a_thing("drawer", **(OPENING | measures)))) == [said]
    assert made(a_thing("drawer", **(OPENING | measures))).parts == ()


@pytest.mark.parametrize("measures", [{"width": 49.5}, {"height": 29}, {"groove_depth": 6}])
def test_and_that_number_does(measures: dict[str, float]) -> None:
    assert refusals(made(a_thing("drawer", **(OPENING | measures)))) == []
