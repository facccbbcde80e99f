"""A slot is measured from a reference; what is mitred or moulded away is none."""

import pytest
from tests.builders import mm
from tests.plan.alone import plan_mortises
from tests.plan.joint_builders import a_bench_shop, a_frame, a_joint

from stopwright.model.joints import RailEnds, Side
from stopwright.model.shaping import Mitre, Moulding, Pass
from stopwright.plan.joinery.shaped_references import mitred_slots, moulded_slots

ROUND = (Pass("round 4", mm(4), 0),)


@pytest.mark.parametrize(
    ("part", "ends", "told"),
    [
        ("B", RailEnds.BOTH, ["B"]),  # the rail's own ends
        ("B", RailEnds.OTHER, ["B"]),
        ("A", RailEnds.MARKED, ["A"]),  # the post's slot is measured from its marked end
        ("A", RailEnds.OTHER, []),
    ],
)
def test_a_slot_in_a_mitred_end_or_measured_from_one_is_a_fault(part: str, ends: RailEnds, told: list[str]) -> None:
    job = a_frame(a_joint(), mitres=(Mitre(part, sides=4, ends=ends),))
    assert [fault.about for fault in mitred_slots(job)] == told


def test_a_slot_at_the_end_that_stays_square_is_none() -> None:
    job = a_frame(a_joint(ends=RailEnds.MARKED), mitres=(Mitre("B", sides=4, ends=RailEnds.OTHER),))
    assert not list(mitred_slots(job))


@pytest.mark.parametrize(
    ("part", "side", "edges", "told"),
    [
        ("B", "far edge", (Side.EDGE,), ["B"]),  # a rail's end has the face edge at the stop
        ("B", "far edge", (Side.FAR_EDGE,), []),
        ("A", "far edge", (Side.EDGE,), []),  # lies on its face side, marked end at the stop
        ("A", "back", (Side.EDGE,), ["A"]),  # lies on its face edge
        ("B", "far edge", (Side.EDGE, Side.MARKED_END), []),  # run when it is cut to length, after the mortiser
    ],
)
def test_a_moulded_face_edge_that_lies_at_a_stop_is_told_of(
    part: str, side: str, edges: tuple[Side, ...], told: list[str]
) -> None:
    job = a_frame(a_joint(side=side), mouldings=(Moulding("P1", (part,), ROUND, edges),))
    assert [warning.about for warning in moulded_slots(job)] == told


def test_the_plan_says_so() -> None:
    job = a_frame(a_joint(), mitres=(Mitre("B", sides=4),), mouldings=(Moulding("P1", ("B",), ROUND),))
    shop = a_bench_shop()
    plan = plan_mortises(job, shop, shop.stations[0])
    assert any("is mitred" in fault.text for fault in plan.faults)
    assert any("moulds its face edge" in warning.text for warning in plan.warnings)
