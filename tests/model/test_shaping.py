"""Mitres and mouldings that contradict themselves are refused, every field at once."""

from fractions import Fraction
from typing import Any

import pytest
from tests.builders import a_job, a_part

from stopwright.errors import Inconsistent
from stopwright.model.joints import RailEnds, Side
from stopwright.model.shaping import Mitre, MitrePoints, Moulding, Pass

ONE = Pass("cove 12", 8, 12)


@pytest.mark.parametrize(
    ("fields", "at_fault"),
    [
        ({"part": "", "sides": 4}, "part"),
        ({}, "sides"),
        ({"sides": 4, "angle": Fraction(45)}, "sides"),
        ({"sides": 2}, "sides"),
        ({"angle": Fraction(0)}, "angle"),
        ({"angle": Fraction(85)}, "angle"),
        ({"sides": 4, "opening": 0}, "opening"),
        ({"sides": 4, "opening": 200, "ends": RailEnds.MARKED}, "opening"),
        ({"sides": 4, "opening": 200, "points": MitrePoints.PARALLEL}, "opening"),
        ({"sides": 4, "rebate_to_edge": -1}, "rebate_to_edge"),
    ],
)
def test_a_mitre_that_cannot_be_is_refused(fields: dict[str, Any], at_fault: str) -> None:
    with pytest.raises(Inconsistent) as refused:
        Mitre(**({"part": "F"} | fields))
    assert at_fault in [problem.field for problem in refused.value.problems]


@pytest.mark.parametrize(
    ("fields", "at_fault"),
    [
        ({"mark": ""}, "mark"),
        ({"parts": ()}, "parts"),
        ({"parts": ("F", "F")}, "parts"),
        ({"passes": ()}, "pass"),
        ({"edges": ()}, "edges"),
        ({"edges": (Side.FACE,)}, "edges"),
        ({"edges": (Side.EDGE, Side.EDGE)}, "edges"),
    ],
)
def test_a_moulding_that_cannot_be_is_refused(fields: dict[str, Any], at_fault: str) -> None:
    with pytest.raises(Inconsistent) as refused:
        Moulding(**({"mark": "P1", "parts": ("F",), "passes": (ONE,)} | fields))
    assert at_fault in [problem.field for problem in refused.value.problems]


def test_a_pass_needs_a_cutter_and_no_negative_lengths() -> None:
    with pytest.raises(Inconsistent, match="cutter"):
        Pass("", 8, 12)
    with pytest.raises(Inconsistent, match="height"):
        Pass("cove 12", -1, 12)


def test_a_job_refuses_mitres_and_mouldings_of_parts_that_are_not_there() -> None:
    with pytest.raises(Inconsistent, match="names part X, which is not there"):
        a_job(mitres=(Mitre("X", sides=4),))
    with pytest.raises(Inconsistent, match="moulding P1 names part X"):
        a_job(mouldings=(Moulding("P1", ("X",), (ONE,)),))


def test_a_job_refuses_a_part_mitred_twice_and_a_moulding_mark_used_twice() -> None:
    with pytest.raises(Inconsistent, match="part A is mitred 2 times"):
        a_job(a_part("A"), mitres=(Mitre("A", sides=4), Mitre("A", sides=6)))
    with pytest.raises(Inconsistent, match="moulding P1 stands 2 times"):
        a_job(a_part("A"), mouldings=(Moulding("P1", ("A",), (ONE,)), Moulding("P1", ("A",), (ONE,))))
