"""Bad joints get one clear sentence each, with the numbers and the way out."""

from typing import Any

import pytest
from tests.builders import a_part, mm
from tests.plan.joint_builders import a_bench_shop, a_frame, a_joint, a_mortiser

from stopwright.model.job import Job
from stopwright.model.joints import RailEnds
from stopwright.plan.joinery.joint_advice import advice_for
from stopwright.plan.joinery.mortise_checks import check_joints

GOOD: dict[str, Any] = {"bit": 8, "slot_from": 20, "slot_to": 60, "setback": 12, "depth_post": 30}


def texts(job: Job, station: Any = None) -> tuple[list[str], list[str]]:
    shop = a_bench_shop(station)
    faults, warnings = check_joints(job, shop, shop.stations[0])
    return [f"{r.about}: {r.text}" for r in faults], [f"{r.about}: {r.text}" for r in warnings]


def one_joint(**changed: Any) -> Job:
    return a_frame(a_joint(**(GOOD | changed)), post=(700, 45, 45), hand="pairs", rail=(400, 100, 22))


def test_a_good_joint_gives_no_remark() -> None:
    assert texts(one_joint()) == ([], [])


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"bit": 9}, "J1: the mortiser has no bit of 9 mm; on hand: 6 mm, 8 mm, 10 mm, 12 mm, 15 mm"),
        (
            {"slot_from": 10, "slot_to": 90},
            "J1: the slot is 80 mm long, more than 6 × the bit (48 mm); make 2 slots of 32 mm with 16 mm between, "
            "the first from 10 mm to 42 mm, each 48 mm on from the one before",
        ),
        (
            {"depth_rail": 90},
            "J1: the mortiser reaches 80 mm deep, not the 90 mm wanted in the rail; make it shallower",
        ),
        (
            {"slot_from": 65, "slot_to": 105},
            "J1: the slot ends at 105 mm, rail B is only 100 mm wide; end it within the rail",
        ),
        (
            {"repeat": 2, "spacing": 90},
            "J1: 2 rails 100 mm wide would overlap at a spacing of 90 mm; write the distance from rail to rail",
        ),
        (
            {"depth_post": 46},
            "A: the slot of J1 (far edge) is 46 mm deep, the piece measures 45 mm there; make it shallower",
        ),
        (
            {"drop": 660},
            "A: the slot of J1 (far edge) ends 720 mm from the marked end, the piece is 700 mm long; "
            "change drop or spacing",
        ),
        (
            {"setback": 32},
            "A: the slot of J1 (far edge) has its centre line 43 mm from the reference side and breaks out of the "
            "piece, 45 mm there; change setback or bit",
        ),
    ],
)
def test_what_breaks_a_rule_is_a_fault(changed: dict[str, Any], fault: str) -> None:
    assert fault in texts(one_joint(**changed))[0]


@pytest.mark.parametrize(
    ("changed", "warning"),
    [
        (
            {"slot_to": 64},
            "J1: the slot is 44 mm long, more than 5 × the bit (40 mm); better a thicker bit or two slots",
        ),
        ({"bit": 15}, "J1: a bit of 15 mm is far from a third of the rail, 22 mm thick; 8 mm is nearer"),
        ({"apart": 10}, "J1: a bit of 8 mm is far from a third of half the rail, 22 mm thick; 6 mm is nearer"),
        (
            {"depth_rail": 41},
            "J1: 41 mm deep in the rail is more than 5 × the bit (40 mm); go in by steps, or take a thicker bit",
        ),
        (
            {"clearance": 0.5},
            "J1: 0.5 mm stays empty below each tenon end; 1.6 mm to 3.2 mm is usual, room for glue",
        ),
        ({"slot_from": 3, "slot_to": 43}, "J1: only 3 mm of wood between the slot and an edge of rail B; leave 5 mm"),
        ({"setback": 25}, "J1: rail B stands 2 mm out behind post A; reduce the setback"),
        (
            {"slot_from": 6, "slot_to": 46},
            "A: the slot of J1 (far edge) begins 6 mm from the marked end, 10 mm is needed; "
            "leave a horn of 4 mm or more and cut it off after glue-up",
        ),
        (
            {"drop": 635},
            "A: the slot of J1 (far edge) ends 5 mm from the other end, 10 mm is needed; "
            "make the post longer or move the slot",
        ),
        (
            {"depth_post": 41},
            "A: only 4 mm of wood is left behind the slot of J1 (far edge), 5 mm is needed; make it shallower",
        ),
        (
            {"setback": 0, "offset": 7},
            "A: only 3 mm of wood is left beside the slot of J1 (far edge), 5 mm is needed; "
            "change setback, offset or bit",
        ),
        (
            {"slot_to": 40, "count": 2, "pitch": 23},
            "A: only 3 mm of wood is left between the slot of J1 (far edge) and the slot of J1 (far edge), "
            "5 mm is needed; move one of them",
        ),
    ],
)
def test_what_had_better_not_be_is_a_warning(changed: dict[str, Any], warning: str) -> None:
    assert warning in texts(one_joint(**changed))[1]


def test_a_horn_takes_the_warning_away() -> None:
    near = one_joint(slot_from=6, slot_to=46)
    with_horn = one_joint(slot_from=6, slot_to=46, horn=4)
    assert any("leave a horn" in text for text in texts(near)[1])
    assert not any("leave a horn" in text for text in texts(with_horn)[1])


def neighbours(depth: float, **more: Any) -> Job:
    both = {"setback": 3, "depth_post": depth} | more
    return a_frame(a_joint("J1", "far edge", **both), a_joint("J2", "back", **both), rails=4)


def test_slots_that_meet_inside_a_post_are_a_fault_that_gives_the_greatest_clear_depth() -> None:
    # 45 − (3 + 10) − 10/2 = 27 (K)
    assert not any("meet" in text for text in texts(neighbours(27))[0])
    (fault,) = (text for text in texts(neighbours(28))[0] if "meet" in text)
    assert fault == (
        "A: the slot of J2 (back) and the slot of J1 (far edge) meet inside the piece; 1 mm of wood is left between "
        "them when the first is at most 26 mm deep; or mitre the tenon ends (mitred)"
    )


def test_where_no_depth_stays_clear_none_is_named() -> None:
    # 45 − (29 + 10) − 10/2 = 1, and 1 is to stay: no depth is left, and less than none is not told
    job = neighbours(28, setback=29)
    (fault,) = (text for text in texts(job)[0] if "meet" in text)
    assert fault.endswith("meet inside the piece; mitre the tenon ends (mitred)")
    shop = a_bench_shop()
    advice = [one.words for one in advice_for(job, job.joints[0], shop, shop.stations[0])]
    assert "Leave it that deep and mitre the tenons where they meet" in advice
    assert not any("deep into the post" in words for words in advice)


def test_a_slot_on_the_face_edge_stays_clear_up_to_the_near_wall_of_one_on_the_back() -> None:
    # the neighbour's centre line is measured from the face edge itself: 12 + 20/2 − 8/2 = 18 (K), less 1 that stays
    two = a_joint("J1", "edge", **GOOD), a_joint("J2", "back", **GOOD)
    (fault,) = (text for text in texts(a_frame(*two, rails=4, hand="pairs"))[0] if "meet" in text)
    assert "the second 17 mm deep" in fault


def test_mitred_tenon_ends_may_meet() -> None:
    assert not any("meet" in text for text in texts(neighbours(30, mitred=True))[0])


def test_slots_from_opposite_sides_that_meet_are_a_fault() -> None:
    two = a_joint("J1", "edge", **GOOD), a_joint("J2", "far edge", **GOOD)
    (fault,) = (text for text in texts(a_frame(*two, rails=4, hand="pairs"))[0] if "meet" in text)
    assert "60 mm deep together in 45 mm" in fault


def test_a_short_rail_whose_two_slots_meet_is_a_fault_and_too_short_to_clamp() -> None:
    job = a_frame(a_joint(**GOOD | {"depth_rail": 35}), hand="pairs", rail=(70, 100, 22))
    faults, warnings = texts(job)
    assert not any("meet" in text for text in faults)  # 35 + 35 = 70 only touches
    assert "B: 70 mm is too short to clamp well, 100 mm is needed; slot it while it is longer, or hold it in a jig" in (
        warnings
    )
    longer = a_frame(a_joint(**GOOD | {"depth_rail": 36}), hand="pairs", rail=(70, 100, 22))
    assert any("72 mm deep together in 70 mm" in text for text in texts(longer)[0])


def test_two_joints_at_one_place_are_a_fault() -> None:
    job = a_frame(a_joint("J1", **GOOD), a_joint("J2", **GOOD), rails=4, hand="pairs")
    assert any("meet inside the piece; move one of them" in text for text in texts(job)[0])


def test_rail_ends_and_places_in_posts_are_counted() -> None:
    few = a_frame(a_joint(**GOOD), rails=3, hand="pairs", rail=(400, 100, 22))
    assert texts(few)[1] == ["J1: 6 ends of rail B for 4 places in posts; correct a quantity or repeat"]
    shared = a_frame(a_joint("J1", **GOOD), a_joint("J2", "back", **GOOD), rails=4, hand="pairs")
    assert not any("of rail" in text for text in texts(shared)[1])


def test_joints_at_one_named_end_share_the_rails_whose_slots_are_alike() -> None:
    named = GOOD | {"ends": RailEnds.MARKED}
    another = a_part("C", 4, (700, 45, 45))
    alike = a_frame(a_joint("J1", **named), a_joint("J2", post="C", **named), rails=8, parts=(another,))
    assert not any("of rail" in text for text in texts(alike)[1])
    # two unlike slots in every rail end, both into the same post
    lower = named | {"slot_from": 60, "slot_to": 95, "bit": 10}
    unlike = a_frame(a_joint("J1", **named), a_joint("J2", **lower), rails=4)
    assert not any("of rail" in text for text in texts(unlike)[1])
    one_too_many = a_frame(a_joint("J1", **named), a_joint("J2", **lower), rails=5)
    assert [text for text in texts(one_too_many)[1] if "of rail" in text] == [
        f"{mark}: 5 ends of rail B for 4 places in posts; correct a quantity or repeat" for mark in ("J1", "J2")
    ]


def test_ends_that_are_not_named_are_a_fault() -> None:
    job = a_frame(a_joint("J1", **GOOD), a_joint("J2", "back", **GOOD | {"depth_rail": 30}), rails=4, hand="pairs")
    assert any(text.startswith("B, J1, J2: the joints of this rail need different slots") for text in texts(job)[0])
    named = a_frame(
        a_joint("J1", ends=RailEnds.MARKED, **GOOD),
        a_joint("J2", "back", ends=RailEnds.OTHER, **GOOD | {"depth_rail": 30}),
        rails=4,
        hand="pairs",
    )
    assert not any("unlike slots" in text for text in texts(named)[0])


def test_pieces_that_do_not_make_pairs_are_said_to_be_so() -> None:
    (fault,) = texts(a_frame(a_joint(**GOOD | {"setback": 3}), posts=3, rails=2))[0]
    assert fault == "A: half the pieces must be mirror images, and an odd quantity (3) cannot make pairs; make it even"


def test_the_limits_are_the_shops_own() -> None:
    assert texts(one_joint(depth_rail=50), a_mortiser(reach=mm(45)))[0] == [
        "J1: the mortiser reaches 45 mm deep, not the 50 mm wanted in the rail; make it shallower"
    ]
    assert texts(one_joint(), a_mortiser(rollers=mm(500)))[1] == [
        "B: 400 mm is too short to clamp well, 500 mm is needed; slot it while it is longer, or hold it in a jig"
    ]
