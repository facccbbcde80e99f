"""Jobs: what one must not be."""

import pytest
from tests.builders import a_part

from stopwright.errors import Inconsistent
from stopwright.model.job import Job
from stopwright.model.parts import GREATEST_QUANTITY, Hand


@pytest.mark.parametrize("units", [-1, 0, GREATEST_QUANTITY + 1, 10**9])
def test_a_job_makes_at_least_one_unit_and_not_more_than_can_be_counted_through(units: int) -> None:
    with pytest.raises(Inconsistent) as error:
        Job("Stools", (a_part(),), units=units)
    (problem,) = error.value.problems
    assert (problem.field, problem.what) == ("units", f"{units} is not from 1 to 100000")


def test_one_piece_makes_no_pair() -> None:
    with pytest.raises(Inconsistent) as error:
        a_part("A", 1, hand=Hand.PAIRS)
    assert str(error.value) == "part A: hand: an odd quantity (1) cannot make pairs; make it even, or hand 'same'"
