"""What the joints ask for, measured from each part's own references."""

from tests.builders import a_part, mm
from tests.plan.joint_builders import a_frame, a_joint

from stopwright.model.joints import RailEnds, Side
from stopwright.plan.joinery.slots import ends_in_doubt, slots_of


def spans(job, mark: str) -> list[tuple[str, float, float, float]]:
    return [(str(s.side), s.start / mm(1), s.end / mm(1), s.centre / mm(1)) for s in slots_of(job, mark)]


def test_drop_and_horn_shift_the_slot_in_the_post_and_not_in_the_rail() -> None:
    job = a_frame(a_joint(drop=10, horn=25, setback=3))
    assert spans(job, "A") == [("far edge", 25 + 10 + 20, 25 + 10 + 80, 3 + 20 / 2)]
    assert spans(job, "B") == [("marked end", 20, 80, 10), ("other end", 20, 80, 10)]


def test_the_longest_horn_of_a_post_counts_for_all_its_joints() -> None:
    job = a_frame(a_joint("J1", horn=25), a_joint("J2", "back", rail="C"), parts=(a_part("C", 2, (300, 100, 20)),))
    assert [slot.start for slot in slots_of(job, "A")] == [mm(45), mm(45)]


def test_several_slots_lie_a_pitch_apart_and_slats_a_spacing() -> None:
    job = a_frame(a_joint(slot_from=5, slot_to=15, count=2, pitch=30, repeat=2, spacing=110, rail="B"))
    assert [span[1:3] for span in spans(job, "A")] == [(5, 15), (35, 45), (115, 125), (145, 155)]
    assert [span[1:3] for span in spans(job, "B")] == [(5, 15), (35, 45)] * 2


def test_joints_alike_share_the_rails_and_their_slot_is_one() -> None:
    job = a_frame(a_joint("J1", "far edge"), a_joint("J2", "back"), rails=4)
    assert [slot.joints for slot in slots_of(job, "B")] == [("J1", "J2"), ("J1", "J2")]
    assert ends_in_doubt(job, "B") == ()


def test_unlike_joints_of_one_rail_must_name_their_ends() -> None:
    unlike = (a_joint("J1", "far edge"), a_joint("J2", "back", depth_rail=30))
    assert ends_in_doubt(a_frame(*unlike), "B") == ("J1", "J2")
    assert slots_of(a_frame(*unlike), "B") == ()
    named = (a_joint("J1", ends=RailEnds.MARKED), a_joint("J2", "back", depth_rail=30, ends=RailEnds.OTHER))
    assert [(slot.side, slot.depth) for slot in slots_of(a_frame(*named), "B")] == [
        (Side.MARKED_END, mm(35)),
        (Side.OTHER_END, mm(30)),
    ]


def test_an_offset_measures_the_centre_line_from_the_face_side_of_the_rail() -> None:
    job = a_frame(a_joint(offset=7, setback=3))
    assert {slot.centre for slot in slots_of(job, "B")} == {mm(7)}
    assert {slot.centre for slot in slots_of(job, "A")} == {mm(10)}


def test_two_slots_side_by_side_lie_on_either_side_of_the_middle_of_the_rail() -> None:
    job = a_frame(a_joint(apart=18, setback=3), rail=(400, 100, 45), post=(700, 70, 70))
    assert [slot.centre for slot in slots_of(job, "B")] == [mm(13.5), mm(31.5)] * 2
    assert [slot.centre for slot in slots_of(job, "A")] == [mm(16.5), mm(34.5)]
