"""Sections at the tool: to scale, with what the setting takes in what the cut takes in all."""

import re
from typing import Any

import pytest
from tests.builders import mm

from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Part
from stopwright.model.shaping import Mitre, MitrePoints, Moulding, Pass
from stopwright.plan.operations.bore import Holes
from stopwright.plan.operations.comb import Comb
from stopwright.plan.operations.groove import Groove, Housing
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.operations.rebate import Rebate
from stopwright.plan.operations.template import Template
from stopwright.plan.operations.tenon import Tenon
from stopwright.plan.pictures.canvas import Canvas, Circle, Path
from stopwright.plan.plan import make_plan

SHOP = default_shop()
SIDE = Part("A", "Side", 4, mm(400), mm(120), mm(18))


def drawn(cut, *parts: Part, **more: Any) -> list[tuple[Canvas, dict[str, tuple[float, float, float, float]]]]:
    """Each run of a cut with the boxes of its section, by kind: left, right, top, bottom."""
    job = Job("drawn", parts or (SIDE,), cuts=(cut,) if cut else (), **more)
    found = []
    for run in make_plan(job, SHOP).runs:
        if run.cuts or (more and OPERATIONS[run.work].asked):
            canvas = Canvas()
            OPERATIONS[run.work].picture(canvas, run, job, None)
            boxes = {shape.kind: _box(shape.way) for shape in canvas.drawn if isinstance(shape, Path)}
            found.append((canvas, boxes))
    return found


def _box(way: str) -> tuple[float, float, float, float]:
    """Of the boxes and outlines that a section is drawn with."""
    box = re.fullmatch(r"M([\d.]+) ([\d.]+)h([\d.]+)v([\d.]+)h-[\d.]+z", way)
    if box:
        x, y, wide, tall = map(float, box.groups())
        return x, x + wide, y, y + tall
    pairs = re.findall(r"(-?[\d.]+) (-?[\d.]+)", way)
    xs, ys = [float(x) for x, _ in pairs], [float(y) for _, y in pairs]
    return min(xs), max(xs), min(ys), max(ys)


def test_at_the_saw_groove_kerf_and_height_are_as_wide_and_deep_as_the_wood_is_thick():
    groove = Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(12), width=mm(6), depth=mm(6),
                    station="saw")  # fmt: skip
    for _, boxes in drawn(groove):
        _, right, top, bottom = boxes["wood"]
        scale = (bottom - top) / 18
        slot, tool = boxes["slot"], boxes["slot now"]
        assert (slot[1] - slot[0]) / scale == pytest.approx(6, abs=0.1)
        assert (slot[3] - slot[2]) / scale == pytest.approx(6, abs=0.1)
        assert (tool[1] - tool[0]) / scale == pytest.approx(3.2, abs=0.1)
        assert (right - slot[1]) / scale == pytest.approx(12, abs=0.1)  # near wall from the side at the fence
        assert slot[0] - 0.2 <= tool[0] and tool[1] <= slot[1] + 0.2


def test_at_the_spindle_the_tool_stands_at_its_height_as_wide_as_it_cuts():
    groove = Groove(mark="G1", parts=("A",), side=Side.EDGE, from_=Side.FACE, at=mm(5), width=mm(6), depth=mm(8),
                    station="spindle")  # fmt: skip
    ((_, boxes),) = drawn(groove)
    _, _, top, bottom = boxes["wood"]
    scale = (bottom - top) / 18
    tool, slot = boxes["slot now"], boxes["slot"]
    assert (tool[3] - tool[2]) / scale == pytest.approx(6, abs=0.1)
    assert (bottom - tool[3]) / scale == pytest.approx(5, abs=0.1)
    assert (slot[1] - slot[0]) / scale == pytest.approx(8, abs=0.1)


def test_a_cutter_of_unknown_width_is_drawn_over_its_height_at_a_groove_and_under_it_at_a_rebate():
    groove = Groove(mark="G1", parts=("A",), side=Side.EDGE, from_=Side.FACE, at=mm(5), width=mm(6), depth=mm(8),
                    start=mm(40), end=mm(300), station="spindle")  # fmt: skip
    rebate = Rebate(mark="R1", parts=("A",), side=Side.BACK, edge=Side.EDGE, width=mm(8), depth=mm(6),
                    station="spindle")  # fmt: skip
    for cut, low, high in ((groove, 5, 11), (rebate, 0, 6)):
        ((_, boxes),) = drawn(cut)
        _, _, top, bottom = boxes["wood"]
        scale, tool = (bottom - top) / 18, boxes["slot now"]
        assert (bottom - tool[3]) / scale == pytest.approx(low, abs=0.1)
        assert (bottom - tool[2]) / scale == pytest.approx(high, abs=0.1)


def test_a_drill_is_drawn_as_thick_as_it_is():
    holes = Holes(mark="S1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(40), first=mm(50), diameter=mm(8),
                  depth=mm(10))  # fmt: skip
    ((canvas, boxes),) = drawn(holes)
    scale = (boxes["wood"][3] - boxes["wood"][2]) / 120
    (bit,) = [shape for shape in canvas.drawn if isinstance(shape, Circle)]
    assert 2 * bit.radius / scale == pytest.approx(8, abs=0.1)


def test_a_long_piece_is_broken_between_stop_and_tool_so_that_the_cut_stays_large():
    far = Housing(mark="H1", parts=("A",), side=Side.FACE, at=(mm(300),), width=mm(6), depth=mm(6))
    for canvas, boxes in drawn(far):
        assert any(shape.kind == "break" for shape in canvas.drawn if isinstance(shape, Path))
        assert boxes["wood"][3] - boxes["wood"][2] > 25
    near = Housing(mark="H1", parts=("A",), side=Side.FACE, at=(mm(30),), width=mm(6), depth=mm(6))
    assert not any("break" in boxes for _, boxes in drawn(near))


def test_the_section_of_a_shoulder_shows_the_shoulder_not_the_cheek_beside_it():
    tenon = Tenon(mark="N1", parts=("A",), length=mm(35), thickness=mm(6), shoulder_edge=mm(10))
    shoulders = [boxes for canvas, boxes in drawn(tenon) if "face edge down" in canvas.label]
    assert shoulders
    for boxes in shoulders:
        scale = (boxes["slot now"][3] - boxes["slot now"][2] - 8) / 10  # the blade goes through the table
        assert (boxes["slot"][3] - boxes["slot"][2]) / scale == pytest.approx(10, abs=0.3)


def test_a_comb_is_drawn_with_its_fingers_as_wide_and_its_slots_as_deep_as_they_are():
    end = Part("B", "End", 4, mm(300), mm(120), mm(14))
    for canvas, boxes in drawn(Comb(mark="C1", parts=("A", "B"), cutter=mm(3.2)), SIDE, end):
        wide, deep = boxes["slot now"][1] - boxes["slot now"][0], boxes["slot now"][3] - boxes["slot now"][2] - 8
        scale = wide / 3.2
        assert deep / scale in (pytest.approx(14.3, abs=0.1), pytest.approx(18.3, abs=0.1))  # 0.3 proud of the mate
        peg = boxes["stop" if "stop" in boxes else "stop stands"]
        assert (boxes["slot now"][0] - peg[1]) / scale == pytest.approx(3.1, abs=0.1)  # a finger: 3.2 less 0.1 of play
        first = min(_box(shape.way)[0] for shape in canvas.drawn if isinstance(shape, Path) and shape.kind == "slot")
        assert (first - boxes["wood"][0]) / scale == pytest.approx(
            0 if "a slot first" in canvas.label else 3.1, abs=0.1
        )


def test_a_ring_larger_than_the_cutter_has_its_template_behind_the_edge_by_half_as_much():
    shaped = Template(mark="V1", parts=("A",), edges=(Side.EDGE,), cutter="cove 12", height=mm(4),
                      cutter_diameter=mm(80), follower=mm(86))  # fmt: skip
    ((_, boxes),) = drawn(shaped)
    left, _, top, bottom = boxes["wood"]
    scale = (bottom - top) / 18
    assert (bottom - boxes["knives"][3]) / scale == pytest.approx(4, abs=0.1)
    assert (boxes["fence"][0] - left) / scale == pytest.approx(3, abs=0.1)
    assert boxes["stop stands"][1] == boxes["fence"][0]  # the ring runs along the template


def test_at_a_moulding_fence_and_height_are_drawn_as_they_are_set():
    moulding = Moulding("P1", ("A",), (Pass("cove 12", mm(7), mm(12)),))
    ((_, boxes),) = drawn(None, mouldings=(moulding,))
    left, _, top, bottom = boxes["wood"]
    scale = (bottom - top) / 18
    reach = boxes["unseen now"]
    assert reach[0] == left and (reach[1] - left) / scale == pytest.approx(12, abs=0.1)
    assert (bottom - boxes["centre"][2]) / scale == pytest.approx(7, abs=0.1)


@pytest.mark.parametrize(("points", "turned"), [(MitrePoints.TRAPEZIUM, 1), (MitrePoints.PARALLEL, -1)])
def test_a_second_mitre_has_the_first_one_at_the_stop_leaning_its_way(points, turned):
    *_, (canvas, _) = drawn(None, mitres=(Mitre("A", sides=4, points=points),))
    wood = next(shape.way for shape in canvas.drawn if isinstance(shape, Path) and shape.kind == "wood")
    start, end, foot, foot_at_stop = map(float, re.fullmatch(r"M(\S+) 26H(\S+)L(\S+) \S+H(\S+)z", wood).groups())
    assert end - foot > 10
    assert foot_at_stop - start == pytest.approx(turned * (end - foot), abs=0.3)
