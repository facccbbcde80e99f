"""Splayed ends as the sheet has them cut, against the planes that the job asks for, on both hands."""

import json
from fractions import Fraction
from math import asin, cos, degrees, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import mm
from tests.shop.slants import planes_of, wanted_plane

from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds, Side
from stopwright.model.parts import Hand, Part
from stopwright.model.shaping import MitrePoints
from stopwright.plan.effort import Steps
from stopwright.plan.operations.splay import Splay, box_angles
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet_json import run_sheet_json

LEG = Part("A", "Leg", 4, mm(450), mm(38), mm(32), hand=Hand.PAIRS)
OTHERS = {"edge": "far edge", "far edge": "edge", "face": "back", "back": "face"}
ENDS = {
    RailEnds.BOTH: ("marked end", "other end"),
    RailEnds.MARKED: ("marked end",),
    RailEnds.OTHER: ("other end",),
}


def planes_that_are_wrong(cut: Splay, part: Part = LEG) -> list[str]:
    shop = default_shop()
    sheet = make_plan(Job("splayed", (part,), cuts=(cut,)), shop, effort=Steps(20))
    assert not sheet.faults
    made = planes_of(json.loads(json.dumps(run_sheet_json(sheet, shop.show))), {part.mark: part.size})
    wrong = []
    for mirrored in (False, True):
        cut_here = dict(made[part.mark, mirrored])
        assert set(cut_here) == set(ENDS[cut.ends])
        for end, (normal, far) in cut_here.items():
            turned = end == "other end" and cut.ends is RailEnds.BOTH and cut.points is MitrePoints.PARALLEL
            long = (str(cut.long_edge), str(cut.long_face))
            long = (OTHERS[long[0]], OTHERS[long[1]]) if turned else long
            wanted, where = wanted_plane(end, part.size, float(cut.across or 0), float(cut.through or 0), long)
            # Settings are told to a hundredth of a degree: 0.005° over 38 mm is less than 0.01 mm.
            if np.abs(normal - wanted).max() > 2e-4 or abs(far - where) > mm(0.05):
                wrong.append(f"{end}, mirrored {mirrored}: {normal} {far / 1e6} instead of {wanted} {where / 1e6}")
    return wrong


@settings(max_examples=80, deadline=None)
@given(
    across=st.integers(0, 300).map(lambda tenths: Fraction(tenths, 10)),
    through=st.integers(0, 300).map(lambda tenths: Fraction(tenths, 10)),
    ends=st.sampled_from(RailEnds),
    points=st.sampled_from(MitrePoints),
    edge=st.sampled_from([Side.EDGE, Side.FAR_EDGE]),
    face=st.sampled_from([Side.FACE, Side.BACK]),
)
def test_every_splayed_end_is_cut_to_its_plane_on_both_hands(across, through, ends, points, edge, face):
    if across or through:
        cut = Splay(mark="Y1", parts=("A",), ends=ends, across=across, through=through, long_edge=edge, long_face=face,
                    points=points)  # fmt: skip
        assert planes_that_are_wrong(cut) == []


@pytest.mark.parametrize("name", ["angle", "tilt", "length"])
def test_a_wrong_setting_is_seen(name):
    cut = Splay(mark="Y1", parts=("A",), across=Fraction(12), through=Fraction(7))
    shop = default_shop()
    plain = json.loads(json.dumps(run_sheet_json(make_plan(Job("x", (LEG,), cuts=(cut,)), shop), shop.show)))
    right = planes_of(plain, {"A": LEG.size})
    for run in plain["runs"]:
        for stop in run["stops"]:
            if run["work"] == "splay" and stop["sets"] == name:
                target = stop["target"]
                stop["target"] = {"nm": target["nm"] + 10**6} if "nm" in target else {"deg": -target["deg"]}
    wrong = planes_of(plain, {"A": LEG.size})
    pairs = zip(right["A", False], wrong["A", False], strict=True)
    assert any(np.abs(a[0] - b[0]).max() > 0.01 or abs(a[1] - b[1]) > mm(0.5) for (_, a), (_, b) in pairs)


@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8, 12])
@pytest.mark.parametrize("slope", [5, 30, 45, 60, 85, 90])
def test_the_sides_of_a_box_meet_in_upright_planes_through_its_middle(sides, slope):
    """In space: the end of a leaning side lies in the upright plane halfway to the next side, whatever the slope."""
    half, lean = pi / sides, radians(slope)
    # The side's own axes in the room: along it, up its slope, out of it.
    axes = np.array([[0, 1, 0], [-cos(lean), 0, sin(lean)], [sin(lean), 0, cos(lean)]])
    n = axes @ np.array([-sin(half), cos(half), 0])
    gauge, tilt = box_angles(sides, Fraction(slope))
    assert degrees(np.arctan2(abs(n[1]), n[0])) == pytest.approx(float(gauge), abs=0.006)
    assert degrees(asin(abs(n[2]))) == pytest.approx(float(tilt), abs=0.006)
