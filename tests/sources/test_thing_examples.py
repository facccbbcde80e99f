"""Sizes that follow from openings, as published. How sure each is stands beside it."""

import pytest
from tests.plan.making.made import a_thing, cut, made

from stopwright.lengths import INCH
from stopwright.plan.making.drawer import Guide
from stopwright.plan.making.expand import Expanded


def inches(**measures: float) -> dict[str, float]:
    return {name: value * 25.4 for name, value in measures.items()}


def inch_sizes(found: Expanded) -> dict[str, tuple[float, ...]]:
    return {part.mark: tuple(one / INCH for one in part.size) for part in found.parts}


@pytest.mark.parametrize(
    ("guide", "side", "less"),
    [
        (Guide.SIDE, 1 / 2, 1),  # eaglewoodworking.com, measuring instructions: half an inch in on each side (S)
        (Guide.HIDDEN, 5 / 8, 3 / 8),  # quikdrawers.com and eaglewoodworking.com: 5/8 sides (S)
        (Guide.HIDDEN, 1 / 2, 5 / 8),  # the same, 1/2 sides (S)
    ],
)
def test_a_box_is_as_much_narrower_than_its_opening_as_makers_say(guide: Guide, side: float, less: float) -> None:
    drawer = a_thing("drawer", **inches(width=18, height=6, depth=16, sides=side, housing_depth=0.2), guide=guide)
    front = inch_sizes(made(drawer))["Df"][0]
    box = front - 2 * 0.2 + 2 * side
    assert box == pytest.approx(18 - less)


def test_a_box_is_as_much_lower_than_its_opening_as_makers_say() -> None:
    # eaglewoodworking.com: H − 1/2 on side slides, H − 13/16 on hidden ones (S)
    measures = inches(width=18, height=6, depth=16)
    assert inch_sizes(made(a_thing("drawer", **measures)))["Ds"][1] == 5.5
    assert inch_sizes(made(a_thing("drawer", **measures, guide=Guide.HIDDEN)))["Ds"][1] == 5.1875


def test_a_bottom_of_eleven_inches_for_a_front_of_twelve() -> None:
    # furnituremaking.us, making the drawers: fronts 12 over sides of 3/4, groove 1/4 deep, bottom 11 (S)
    measures = inches(width=13, height=6, depth=16, sides=0.75, groove_depth=0.25, groove_up=0.375)
    assert inch_sizes(made(a_thing("drawer", **measures, bottom_play=0)))["Dbo"][0] == 11


def test_a_drawer_joint_from_one_bit_begins_a_quarter_from_the_end() -> None:
    # ShopNotes 85: 1/2 stock, 1/4 bit, housing 1/4 from the end (S)
    found = made(a_thing("drawer", **inches(width=18, height=6, depth=16, sides=0.5), corner_play=0))
    assert cut(found, "DH1").at[0] == INCH // 4
    assert cut(found, "DH1").width == cut(found, "DH1").depth == cut(found, "DR1").depth == INCH // 4


@pytest.mark.parametrize(
    ("width", "stile", "rail"),
    [
        (14, 2.5, 9.75),  # precisionbits.com, building frame and panel doors: 14 − 5 + 2 · 3/8 (S)
        (27, 3.5, 20.75),  # instructables.com, a DIY guide to frame and panel doors (S)
    ],
)
def test_rails_of_published_doors(width: float, stile: float, rail: float) -> None:
    measures = inches(width=width, height=30, stiles=stile, groove_depth=0.375, thickness=0.75, panel=0.25)
    assert inch_sizes(made(a_thing("frame", **measures, relief=0)))["Ftr"][0] == rail


def test_four_uprights_of_sixty_leave_lights_of_three_hundred_and_twenty() -> None:
    # calculated (K): 1200 − 4 × 60 in three
    panel = made(a_thing("frame", width=1200, height=600, stiles=60, lights=3, groove_depth=10, panel_gap=0)).parts[-1]
    assert panel.width == (320 + 2 * 10) * 1_000_000


def test_shelves_of_a_published_cabinet() -> None:
    # E. W. Foster, Carpentry and Woodwork (public domain): outside 25 1/8, ends 1/2, shelves 24 5/8, housings 1/4 (S)
    measures = inches(width=25.125 - 2 * 0.5, depth=11, housing_depth=0.25, side_thickness=0.5, thickness=0.5)
    (shelf,) = made(a_thing("shelf", sides=("A",), at=(INCH,), **measures)).parts
    assert shelf.length == INCH * 197 // 8


def test_a_case_of_eight_hundred_has_shelves_of_seven_hundred_and_seventy_six() -> None:
    # calculated (K): sides 18, housings 6, inside 764
    (_, top, _) = made(a_thing("carcase", width=800, height=900, depth=300, joint_depth=6)).parts
    assert top.length == 776_000_000


def test_the_long_points_of_a_picture_frame() -> None:
    # a framer's rule, as in test_mitre_tables: opening 200, 12 from rebate to edge, ease 1/16 in
    (wide, _) = made(a_thing("mitred_frame", width=200, height=200, side=18, rebate=6)).parts
    assert wide.length == 225_587_500
