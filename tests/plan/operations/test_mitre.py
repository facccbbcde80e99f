"""Mitre runs: which end first, which point touches the stop, and each angle and stop as seldom as can be."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

from tests.builders import a_jointer, a_part, a_planer, a_saw, a_shop, at_length, mm, settings_made
from tests.plan.alone import Alone, plan_mitres

from stopwright.model.job import Job
from stopwright.model.joints import RailEnds
from stopwright.model.parts import Kind
from stopwright.model.shaping import MeasuredTo, Mitre, MitrePoints, Moulding, Pass
from stopwright.model.stations import Axis, Station
from stopwright.plan.operations.mitre import kerf_along_fence, mitre_cut
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Angle, Move, Run

ANGLE = Axis("mitre gauge", "angle", minutes=1)
STOPS = Axis("flip stops", "length", 1, mm(0.5), minutes=0.75)


def plan(job: Job, *axes: Axis) -> Alone:
    shop = a_shop(Station("saw", ("mitre",), axes or (ANGLE, STOPS)))
    return plan_mitres(job, shop, shop.stations[0])


def a_picture_frame(**more: Any) -> Job:
    """Two sides of 250 and two of 200, 10 wide, mitred round a picture of 200 × 250 to the short points."""
    parts = a_part("F", 2, (250, 10, 10)), a_part("G", 2, (200, 10, 10))
    mitres = tuple(Mitre(part.mark, sides=4, length=MeasuredTo.SHORT_POINT) for part in parts)
    return Job("frame", parts, mitres=mitres, **more)


def rows(runs: tuple[Run, ...]) -> list[tuple[float, float | None, list[str]]]:
    found = []
    for run in runs:
        angle, *stop = run.stops
        assert isinstance(angle.target, Angle)
        place = at_length(stop[0].target) / mm(1) if stop else None
        found.append((float(angle.target.degrees), place, [pieces.mark for pieces in run.pieces]))
    return found


def test_first_ends_are_cut_without_a_stop_then_second_ends_long_before_short() -> None:
    sheet = plan(a_picture_frame())
    assert rows(sheet.runs) == [(45, None, ["F", "G"]), (45, 270, ["F"]), (45, 220, ["G"])]
    assert (settings_made(sheet.runs), sheet.least_possible, sheet.proven) == (3, 3, True)  # angle, two stops
    assert "turned over" in sheet.runs[1].note
    assert "long point touches the stop" in sheet.runs[1].note


def test_the_angle_is_set_once_and_stands_after() -> None:
    assert [run.stops[0].move for run in plan(a_picture_frame()).runs] == [Move.SET, Move.STANDS, Move.STANDS]


def test_a_profiled_piece_is_not_turned_over_so_the_first_end_is_cut_to_the_other_hand() -> None:
    profile = Moulding("P", ("F", "G"), (Pass("cove 12", mm(8), mm(12)),))
    for job in (
        a_picture_frame(mouldings=(profile,)),
        replace(a_picture_frame(), parts=tuple(replace(p, kind=Kind.MOULDING) for p in a_picture_frame().parts)),
    ):
        sheet = plan(job)
        assert rows(sheet.runs) == [(-45, None, ["F", "G"]), (45, 270, ["F"]), (45, 220, ["G"])]
        assert settings_made(sheet.runs) == 4


def test_a_frame_with_a_rebate_takes_its_stop_from_the_opening() -> None:
    # 200 + 1.5875 + 2 × 12
    mitre = Mitre("F", sides=4, opening=mm(200), rebate_to_edge=mm(12))
    job = Job("frame", (a_part("F", 4, (200, 20, 15)),), mitres=(mitre,))
    assert mitre_cut(job, mitre).stop == mm(225.5875)
    (warning,) = (w for w in plan(job).warnings if "opening" in w.text)
    assert (
        warning.text == "the opening wants 225.59 mm to the long point, the part list says 200 mm; 225.59 mm is planned"
    )
    right = replace(job, parts=(replace(job.parts[0], length=mm(225.5875)),))
    assert not [w for w in plan(right).warnings if "opening" in w.text]


def test_a_brace_with_parallel_mitres_is_slid_along_and_measured_on_one_edge() -> None:
    for measured, stop in ((MeasuredTo.LONG_POINT, 300 - 40), (MeasuredTo.SHORT_POINT, 300 + 40)):
        mitre = Mitre("K", angle=Fraction(45), points=MitrePoints.PARALLEL, length=measured)
        job = Job("brace", (a_part("K", 4, (300, 40, 20)),), mitres=(mitre,))
        assert rows(plan(job).runs) == [(45, None, ["K"]), (45, stop, ["K"])]


def test_a_corner_brace_has_its_long_points_on_one_edge() -> None:
    mitre = Mitre("K", angle=Fraction(45))
    job = Job("brace", (a_part("K", 4, (120, 40, 20)),), mitres=(mitre,))
    cut = mitre_cut(job, mitre)
    assert (cut.long_point, cut.short_point, cut.stop) == (mm(120), mm(40), mm(120))


def test_a_piece_mitred_at_one_end_is_one_run_with_the_square_end_at_the_stop() -> None:
    mitre = Mitre("K", angle=Fraction(45), ends=RailEnds.OTHER, length=MeasuredTo.SHORT_POINT)
    job = Job("one", (a_part("K", 4, (300, 40, 20)),), mitres=(mitre,))
    (run,) = plan(job).runs
    assert rows((run,)) == [(45, 340, ["K"])]
    assert "square marked end touches the stop" in run.note


def test_mitres_that_meet_are_a_fault() -> None:
    job = Job("brace", (a_part("K", 4, (60, 40, 20)),), mitres=(Mitre("K", angle=Fraction(45)),))
    (fault,) = plan(job).faults
    assert "the two mitres meet: 60 mm from long point to long point is too short" in fault.text


def test_one_mitre_that_runs_out_at_the_square_end_is_not_two_that_meet() -> None:
    mitre = Mitre("K", angle=Fraction(60), ends=RailEnds.OTHER)  # 40 × tan 60° = 69.3 is more than 60
    (fault,) = plan(Job("brace", (a_part("K", 4, (60, 40, 20)),), mitres=(mitre,))).faults
    assert "60 mm from long point to square end is too short" in fault.text and "meet" not in fault.text


def test_a_saw_without_an_angle_to_set_is_a_fault() -> None:
    (fault,) = plan(a_picture_frame(), STOPS).faults
    assert "no axis that sets the angle" in fault.text
    assert plan(Job("none", (a_part(),))) == Alone()


def test_frames_of_six_and_eight_sides_share_no_angle_and_two_frames_of_six_do() -> None:
    parts = tuple(a_part(mark, 6, (length, 40, 20)) for mark, length in (("F", 300), ("G", 250), ("H", 300)))
    job = Job("frames", parts, mitres=(Mitre("F", sides=6), Mitre("G", sides=6), Mitre("H", sides=8)))
    sheet = plan(job)
    assert settings_made(sheet.runs) == 2 + 2  # angles 30 and 22.5; the stop stays at 300 from one angle to the other
    assert sheet.proven


def test_the_kerf_takes_more_of_the_stick_the_steeper_the_cut() -> None:
    # cos 60° = 1/2, so a kerf of 3.2 takes 6.4 along the fence
    assert kerf_along_fence(mm(3.2), Fraction(60)) == mm(6.4)


def test_run_ids_are_unique() -> None:
    ids = [run.id for run in plan(a_picture_frame()).runs]
    assert len(set(ids)) == len(ids)


def test_a_whole_plan_holds_frames_of_two_angles() -> None:
    saw = a_saw(axes=(*a_saw().axes, ANGLE))
    saw = replace(saw, work=(*saw.work, "mitre"))
    parts = a_part("F", 6, (300, 40, 20)), a_part("G", 8, (250, 40, 20))
    job = Job("frames", parts, mitres=(Mitre("F", sides=6), Mitre("G", sides=8)))
    sheet = make_plan(job, a_shop(a_jointer(), a_planer(), saw))
    angles = [str(stop.target) for run in sheet.runs for stop in run.stops if isinstance(stop.target, Angle)]
    assert len(set(angles)) == 2
