"""What a piece needs of the wood beyond its finished length."""

from tests.builders import a_part, a_shop, mm
from tests.plan.joint_builders import a_frame, a_joint

from stopwright.model.job import Job
from stopwright.model.shaping import MeasuredTo, Mitre
from stopwright.plan.joinery.worked_length import worked_length


def test_a_post_is_longer_by_its_horn_and_its_rail_is_not() -> None:
    job = a_frame(a_joint(horn=25))
    assert [worked_length(job, part, a_shop()) for part in job.parts] == [mm(725), mm(400)]


def test_a_frame_with_a_rebate_needs_its_long_points_and_the_allowance_of_a_blank() -> None:
    # 200 + 1.5875 + 2 × 12, and 25 over, for it is crosscut by mark
    job = Job(
        "frame", (a_part("F", 4, (200, 20, 15)),), mitres=(Mitre("F", sides=4, opening=mm(200), rebate_to_edge=mm(12)),)
    )
    assert worked_length(job, job.parts[0], a_shop()) == mm(250.5875)


def test_a_plain_part_needs_its_own_length() -> None:
    job = Job("plain", (a_part("A", 4, (450, 60, 22)),))
    assert worked_length(job, job.parts[0], a_shop()) == mm(450)


def test_what_is_mitred_to_its_short_points_needs_its_long_ones() -> None:
    # 60° off square: 200 + 2 × 20 × tan 60° = 269.282, and 25 over
    mitre = Mitre("F", sides=3, length=MeasuredTo.SHORT_POINT)
    job = Job("triangle", (a_part("F", 3, (200, 20, 15)),), mitres=(mitre,))
    assert worked_length(job, job.parts[0], a_shop()) == mm(225) + 2 * round(mm(20) * 3**0.5)
