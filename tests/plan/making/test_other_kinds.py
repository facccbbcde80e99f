"""Carcase, shelf, face frame, mitred frame and glued panel; the arithmetic stands beside each figure."""

import pytest
from tests.builders import mm
from tests.plan.making.made import a_thing, cut, made, refusals, sizes

from stopwright.errors import Inconsistent
from stopwright.lengths import MM
from stopwright.model.joints import Side
from stopwright.model.parts import Hand, Kind, Made
from stopwright.model.things import Changed, Opening
from stopwright.plan.making.carcase import BackIn

CASE = {"width": 800, "height": 720, "depth": 400, "joint_depth": 6}


def test_a_case_flush_at_its_ends_has_rebates_there_and_a_back_over_bottom_and_top() -> None:
    found = made(a_thing("carcase", **CASE))
    assert sizes(found) == {
        "Ks": (720, 400, 18),
        "Kt": (776, 393, 18),  # 800 − 36 + 12; 400 − 6 − 1
        "Kb": (719, 781, 6),  # 764 + 2 × 9 − 1
    }
    ends = [(one.edge, one.width / MM, one.depth / MM) for one in (cut(found, "KR1"), cut(found, "KR2"))]
    assert ends == [(Side.MARKED_END, 18, 6), (Side.OTHER_END, 18, 6)]
    back = cut(found, "KR3")
    assert (back.edge, back.width, back.depth) == (Side.FAR_EDGE, mm(7), mm(9))


def test_bottom_and_top_within_the_sides_lie_in_housings_measured_from_the_bottom() -> None:
    housing = cut(made(a_thing("carcase", **CASE, bottom_up=80, top_down=20)), "KH1")
    assert (housing.at, housing.fits) == ((mm(80), mm(682)), "Kt")  # 720 − 20 − 18
    assert [made(a_thing("carcase", **CASE, bottom_up=up)).parts[0].hand for up in (0, 80)] == [Hand.SAME, Hand.PAIRS]
    one = made(a_thing("carcase", **CASE, bottom_up=80))
    assert cut(one, "KH1").at == (mm(80),)
    assert cut(one, "KR1").edge is Side.OTHER_END


def test_a_case_without_a_back_is_as_deep_as_its_sides() -> None:
    assert sizes(made(a_thing("carcase", **CASE, back=0))) == {"Ks": (720, 400, 18), "Kt": (776, 400, 18)}


def test_shelves_are_as_long_as_the_inside_and_what_is_let_in() -> None:
    found = made(
        a_thing("shelf", sides=("Ks",), width=764, depth=380, at=(mm(300), mm(600)), housing_depth=6, stopped=15)
    )
    assert sizes(found) == {"B": (776, 380, 18)}
    assert found.parts[0].quantity == 2
    housing = cut(found, "BH1")
    assert (housing.parts, housing.at, housing.fits, housing.stopped) == (("Ks",), (mm(300), mm(600)), "B", mm(15))
    assert housing.opening == mm(764)
    assert found.lots[0].notes == ("Notch the front corners of each shelf, 16 mm by 6 mm",)


def test_a_housing_widened_by_hand_still_knows_the_shelf_between_its_sides() -> None:
    shelf = a_thing("shelf", sides=("Ks",), width=764, depth=380, at=(mm(300),), housing_depth=6)
    found = made(shelf, changes=(Changed(of="BH1", width=mm(18.4)),))
    housing = cut(found, "BH1")
    assert (found.stray, housing.width, housing.fits, housing.opening) == ((), mm(18.4), "B", mm(764))


def test_a_face_frame_has_openings_of_its_own_heights_and_the_last_is_what_is_left() -> None:
    frame = a_thing("face_frame", width=800, height=720, heights=(mm(100), mm(130), mm(150)), middle=30)
    found = made(frame)
    assert sizes(found)["Vtr"] == sizes(found)["Vbr"] == (720, 40, 20)
    assert sizes(found)["Vmr"] == (720, 30, 20)
    drops = [joint.drop / MM for joint in found.joints]
    assert drops == [0, 140, 300, 480, 680]  # 40 + 100, + 30 + 130, + 30 + 150; 720 − 40
    assert found.lots[0].notes == ("The last opening is 170 mm high: 720 − 40 − 40 − 3 × 30 − 380",)


def test_equal_openings_share_one_joint() -> None:
    found = made(a_thing("face_frame", width=800, height=720, rows=3))
    assert [(joint.repeat, (joint.spacing or 0) / MM) for joint in found.joints] == [
        (1, 0),
        (2, 226.666666),  # (720 − 4 × 40) / 3 + 40
        (1, 0),
    ]


def test_a_picture_frame_goes_by_its_picture() -> None:
    found = made(a_thing("mitred_frame", width=200, height=300, side=18, rebate=6, thickness=20))
    assert sizes(found) == {"Mh": (225.5875, 18, 20), "Mv": (325.5875, 18, 20)}  # 200 + 1/16 in + 2 × 12
    assert [mitre.part for mitre in found.mitres] == ["Mh", "Mv"]
    rebate = cut(found, "MR1")
    assert (rebate.parts, rebate.side, rebate.edge) == (("Mh", "Mv"), Side.BACK, Side.FAR_EDGE)


def test_a_top_stands_over_what_it_covers() -> None:
    found = made(a_thing("glued_panel", depth=800, width=400, over_ends=20, over_edges=15, thickness=22, strip=90))
    assert sizes(found) == {"P": (840, 430, 22)}
    assert (found.parts[0].made, found.parts[0].strip, found.parts[0].kind) == (Made.PANEL, mm(90), Kind.SOLID)
    of_boards = made(a_thing("glued_panel", depth=800, width=400, thickness=22, as_boards=True))
    assert of_boards.parts[0].made is Made.BOARDS


def test_a_back_in_grooves_reaches_almost_to_their_bottoms_and_bottom_and_top_are_as_deep_as_the_sides() -> None:
    found = made(a_thing("carcase", **CASE, back_in=BackIn.GROOVES))
    # 720 − 2 × 18 + 2 × 6 − 1 high, 800 − 2 × 18 + 2 × 6 − 1 wide; as deep as bottom and top are let in
    assert sizes(found) == {"Ks": (720, 400, 18), "Kt": (776, 400, 18), "Kb": (695, 775, 6)}
    grooves = [cut(found, mark) for mark in ("KG1", "KG2")]
    assert [(one.side, one.at, one.depth, one.fits) for one in grooves] == [
        (Side.FACE, mm(10), mm(6), "Kb"),
        (Side.BACK, mm(10), mm(6), "Kb"),
    ]


@pytest.mark.parametrize(
    ("thing", "said"),
    [
        (
            a_thing("carcase", **(CASE | {"width": 30})),
            "width: inside would be −6 mm: 30 − 2 × 18 (outside − 2 × side); make the width more than 36 mm",
        ),
        (
            a_thing("carcase", **(CASE | {"joint_depth": 12})),
            "joint_depth: what is let into the sides would be 12 mm, half of the wood is 9 mm; write at most 9 mm",
        ),
        (
            a_thing("carcase", **CASE, back_in=BackIn.GROOVES, back_rebate=12),
            "back_rebate: the groove of the back would be 12 mm, half of the wood is 9 mm; write at most 9 mm",
        ),
        (
            a_thing("carcase", **CASE, back_in=BackIn.GROOVES, back_inset=0),
            "back_inset: wood behind the back is not above 0; measure the wood behind the back",
        ),
        (
            a_thing("carcase", **CASE, back_rebate=17),
            "back_rebate: the rebate of the back would be 17 mm, what leaves wood outside it is 15 mm; "
            "write at most 15 mm",
        ),
        (
            a_thing("shelf", sides=("A",), width=764, depth=380, at=(mm(300),), housing_depth=10),
            "housing_depth: the housing would be 10 mm, half of the wood is 9 mm; write at most 9 mm",
        ),
        (
            a_thing("shelf", sides=("B",), width=764, depth=380, at=(mm(300),)),
            "sides: a shelf cannot lie in itself; choose the parts between which it lies",
        ),
        (
            a_thing("face_frame", width=800, height=300, heights=(mm(100), mm(130))),
            "height: last opening would be −90 mm: 300 − 40 − 40 − 2 × 40 − 230 (height − stile − stile "
            "− 2 × stile − openings above); make the height more than 390 mm",
        ),
        (
            a_thing("face_frame", width=174, height=382, lights=3),
            "tenon_depth: a slot 20 mm deep in the end of a rail reaches that of its first upright; "
            "write at most 7.67 mm",
        ),
        (
            a_thing("mitred_frame", width=200, height=300, side=6, rebate=8),
            "side: outside the rebate would be −2 mm: 6 − 8 (side − rebate); make the side more than 8 mm",
        ),
    ],
)
def test_nonsense_is_answered_with_the_number_that_would_do(thing: object, said: str) -> None:
    assert refusals(made(thing)) == [said]


def test_the_shelves_of_one_line_of_sides_are_alike() -> None:
    with pytest.raises(Inconsistent) as error:
        a_thing("shelf", sides=("A",), width=1, depth=1, at=(1,), openings=(Opening(number=2, width=(mm(3),)),))
    assert "the sides of all of them are one line" in str(error.value)
