"""The drawn scale of a run: the stop that moves told from one that stands, a first mitre, words inside the picture."""

import re
from fractions import Fraction

import pytest
from tests.builders import a_job, a_shop, mm

from stopwright.actions.jobs.joint_answers import CutPiece
from stopwright.lengths import Show
from stopwright.model.parts import Part
from stopwright.model.solid import Solid, box
from stopwright.plan.pictures.canvas import WIDE
from stopwright.plan.run_sheet import Angle, Move, Pieces, Position, Run, Stop
from stopwright.plan.stations.cut_before import CutBefore
from stopwright.web.drawings import draw_groups
from stopwright.web.drawings.cut_piece import draw_cut_piece
from stopwright.web.drawings.scale_rail import SetAt, draw_rail


def drawn(work: str, *stops: Stop, show: Show = Show.MM) -> str:
    run = Run(1, "saw", work, stops, (Pieces("A", "part A", 4),))
    (picture,) = draw_groups(run, a_job(), a_shop(), show, None, CutBefore((run,), a_job()))
    return picture


def a_stop(sets: str, target: Position, move: Move = Move.SET) -> Stop:
    return Stop("stop", sets, target, target, move)


@pytest.mark.parametrize(("work", "sets"), [("rip", "width"), ("crosscut", "length"), ("plane", "thickness")])
def test_a_stop_that_stands_is_drawn_otherwise_than_one_that_moves(work, sets):
    assert 'class="stop"' in drawn(work, a_stop(sets, mm(60)))
    standing = drawn(work, a_stop(sets, mm(60), Move.STANDS))
    assert 'class="stop stands"' in standing and 'class="stop"' not in standing


def test_a_first_mitre_has_a_picture_and_to_the_other_hand_it_is_the_mirror_image():
    def wood(degrees: int) -> tuple[float, list[float]]:
        picture = drawn("mitre", a_stop("angle", Angle(Fraction(degrees))))
        far, *cut = map(float, re.findall(r'class="wood" d="M(\S+) 26H(\S+)L(\S+) 60', picture)[0])
        return far, cut

    assert wood(45) == (40, [182, 148])  # the long edge lies at the fence: 182, and 34 shorter away from it
    assert wood(-45) == (320, [178, 212])
    assert "at the right of the turned blade" in drawn("mitre", a_stop("angle", Angle(Fraction(-45))))


@pytest.mark.parametrize("show", Show)
@pytest.mark.parametrize(("work", "sets"), [("rip", "width"), ("crosscut", "length"), ("plane", "thickness")])
def test_no_length_runs_out_of_the_picture_in_any_unit(work, sets, show):
    for target in (mm(17.05), mm(449.95), mm(1233.35)):
        picture = drawn(work, a_stop(sets, target), show=show)
        x, texts = re.findall(
            r'class="said length" x="(\S+)" y="\S+" text-anchor="middle" data-texts="([^"]+)"', picture
        )[0]
        half = 8.4 * max(map(len, texts.split("\n"))) / 2
        assert half - 0.1 <= float(x) <= WIDE - half + 0.1


def test_every_place_of_an_axis_is_inside_its_picture_and_the_farthest_near_its_right_end():
    rail = draw_rail("height", [SetAt(mm(21.2), 1), SetAt(mm(18), 2), SetAt(mm(5.9), 3)], Show.MM)
    wide = float(re.findall(r'viewBox="0 0 (\S+) ', rail)[0])
    stops = [float(x) for x in re.findall(r'class="stop" d="M(\S+) ', rail)]
    assert len(stops) == 3 and wide * 0.75 < max(stops) < wide
    assert all(float(x) <= wide for x in re.findall(r'<text [^>]*x="(\S+)"', rail))


def test_a_slanting_cut_is_drawn_as_a_wedge_and_a_straight_one_as_a_box():
    part = Part("A", "Leg", 4, mm(400), mm(40), mm(40))
    wedge = Solid("Y1", tuple((x, y, z) for y in (0, mm(40)) for z in (0, mm(40)) for x in (0, mm(10) if y else 0)))
    groove = box("G1", (0, mm(400)), (mm(10), mm(16)), (0, mm(6)))
    drawn = [str(draw_cut_piece(CutPiece(part, "face", (solid,)), Show.MM)) for solid in (wedge, groove)]
    corners = [[way.count(" ") for way in re.findall(r'class="slot" d="([^"]+)"', one)] for one in drawn]
    assert corners == [[4, 3], [4, 4]]  # on its end the whole section, along its length a triangle
