"""What a piece needs of the wood beyond its finished length."""

from tests.builders import a_part, a_saw, a_shop, mm
from tests.plan.joint_builders import a_frame, a_joint

from stopwright.model.job import Job
from stopwright.model.joints import RailEnds
from stopwright.model.shaping import Mitre
from stopwright.model.stations import Work
from stopwright.plan.joinery.worked_length import worked_length


def test_a_post_is_longer_by_its_horn_and_its_rail_is_not() -> None:
    job = a_frame(a_joint(horn=25))
    assert [worked_length(job, part, a_shop()) for part in job.parts] == [mm(725), mm(400)]


def test_a_frame_with_a_rebate_needs_its_long_points() -> None:
    # 200 + 1.5875 + 2 × 12
    job = Job(
        "frame", (a_part("F", 4, (200, 20, 15)),), mitres=(Mitre("F", sides=4, opening=mm(200), rebate_to_edge=mm(12)),)
    )
    assert worked_length(job, job.parts[0], a_shop()) == mm(225.5875)


def test_a_plain_part_needs_its_own_length() -> None:
    job = Job("plain", (a_part("A", 4, (450, 60, 22)),))
    assert worked_length(job, job.parts[0], a_shop()) == mm(450)


def test_a_mitre_takes_its_kerf_along_the_fence() -> None:
    # 60° off square: 3.2 / cos 60° = 6.4, that is 3.2 more than a square cut takes
    job = Job("triangle", (a_part("F", 3, (200, 20, 15)),), mitres=(Mitre("F", sides=3),))
    assert worked_length(job, job.parts[0], a_shop(a_saw(work=(Work.RIP, Work.MITRE)))) == mm(203.2)


def test_a_piece_mitred_at_one_end_leaves_a_slanting_end_that_is_squared_again() -> None:
    # the mitre takes 3.2 / cos 60° = 6.4, squaring the next piece 3.2; of these a kerf counts between pieces anyhow
    job = Job("brace", (a_part("F", 3, (200, 20, 15)),), mitres=(Mitre("F", sides=3, ends=RailEnds.MARKED),))
    assert worked_length(job, job.parts[0], a_shop(a_saw(work=(Work.RIP, Work.MITRE)))) == mm(200 + 6.4)
