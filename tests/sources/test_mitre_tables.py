"""Published and calculated figures of mitres. S seen in the source, K calculated."""

from fractions import Fraction
from math import pi, sin, tan

import pytest
from tests.builders import a_part, mm

from stopwright.lengths import INCH
from stopwright.model.job import Job
from stopwright.model.shaping import MeasuredTo, Mitre, polygon_setting
from stopwright.plan.operations.mitre import frame_stop, kerf_along_fence, lead, long_point, mitre_cut

# S: 36, 30, 22.5 for 5, 6, 8 sides; the others K: 180/n
SETTINGS = {
    3: "60", 4: "45", 5: "36", 6: "30", 7: "25.7143", 8: "22.5", 9: "20", 10: "18", 11: "16.3636", 12: "15",
    13: "13.8462", 14: "12.8571", 15: "12", 16: "11.25",
}  # fmt: skip


@pytest.mark.parametrize(("sides", "degrees"), SETTINGS.items())
def test_the_saw_stands_at_180_by_the_number_of_sides(sides: int, degrees: str) -> None:
    assert f"{float(polygon_setting(sides)):.6g}" == degrees
    assert 2 * sides * polygon_setting(sides) == 360
    assert Mitre("F", sides=sides).degrees == polygon_setting(sides)


@pytest.mark.parametrize("sides", range(3, 17))
def test_a_closed_frame_closes(sides: int) -> None:
    # K: with an inner circle of radius r an outer side is 2 (r + w) tan(π/n) long, an inner one 2 r tan(π/n)
    r, w = 300, 40
    inner, outer = (round(mm(2 * radius * tan(pi / sides))) for radius in (r, r + w))
    assert abs(long_point(inner, mm(w), polygon_setting(sides)) - outer) <= 2
    # K: the corners lie on a circle of radius side / (2 sin(π/n))
    corner = outer / (2 * sin(pi / sides))
    assert abs(corner**2 - (outer / 2) ** 2 - mm(r + w) ** 2) < mm(r) * 10


def test_a_frame_round_20_by_25_cm_of_1_cm_stock_has_long_points_of_22_and_27() -> None:
    # K: 20 + 2 × 1 × tan 45° = 22. A published article prints 23 and 28, which is wrong
    parts = a_part("F", 2, (200, 10, 10)), a_part("G", 2, (250, 10, 10))
    mitres = tuple(Mitre(part.mark, sides=4, length=MeasuredTo.SHORT_POINT) for part in parts)
    job = Job("frame", parts, mitres=mitres)
    assert [mitre_cut(job, mitre).long_point for mitre in mitres] == [mm(220), mm(270)]
    assert 230_000_000 not in [mitre_cut(job, mitre).long_point for mitre in mitres]


def test_a_picture_frame_with_a_rebate() -> None:
    # S: stop = opening + 1/16 in + 2 × (rebate to outer edge); here 10 + 1/16 + 2 × 3/4 = 11 9/16 in
    assert frame_stop(10 * INCH, 3 * INCH // 4) == 11 * INCH + 9 * INCH // 16


def test_kerf_along_the_fence() -> None:
    # K: k / cos θ; 3.2 at 45° takes 4.525 mm, at 0° its own width
    assert kerf_along_fence(mm(3.2), Fraction(0)) == mm(3.2)
    assert round(kerf_along_fence(mm(3.2), Fraction(45)) / mm(1), 3) == 4.525


def test_a_square_mitre_leads_by_the_width() -> None:
    # K: tan 45° = 1
    assert lead(mm(38), Fraction(45)) == mm(38)
    assert round(lead(mm(100), Fraction(30)) / mm(1), 3) == 57.735
