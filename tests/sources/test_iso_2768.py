"""ISO 2768-1:1989, table 1, general tolerances for linear sizes (C: two secondary copies agree)."""

import pytest
from tests.builders import mm

from stopwright.plan.stations.tolerances import general_tolerance

RANGES_UP_TO = (3, 6, 30, 120, 400, 1000, 2000, 4000)
TABLE = {
    "f": (0.05, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5, None),
    "m": (0.1, 0.1, 0.2, 0.3, 0.5, 0.8, 1.2, 2),
    "c": (0.2, 0.3, 0.5, 0.8, 1.2, 2, 3, 4),
    "v": (None, 0.5, 1, 1.5, 2.5, 4, 6, 8),
}


@pytest.mark.parametrize("tolerance_class", TABLE)
def test_a_size_on_an_edge_belongs_to_the_lower_range(tolerance_class: str) -> None:
    row = TABLE[tolerance_class]
    for number, (edge, allowed) in enumerate(zip(RANGES_UP_TO, row, strict=True)):
        nm = None if allowed is None else mm(allowed)
        assert general_tolerance(mm(edge), tolerance_class) == nm
        if number + 1 < len(row):
            above = row[number + 1]
            assert general_tolerance(mm(edge) + 1, tolerance_class) == (None if above is None else mm(above))


def test_beyond_four_metres_the_standard_gives_no_figure() -> None:
    assert general_tolerance(mm(4000) + 1) is None
