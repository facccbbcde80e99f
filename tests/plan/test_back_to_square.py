"""Gauge and blade stand square for every run that does not turn them; setting them back is a setting that counts."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import mm, settings_made

from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Part
from stopwright.model.shaping import Mitre
from stopwright.plan.effort import Steps
from stopwright.plan.operations.groove import Groove, Housing
from stopwright.plan.operations.rebate import Rebate
from stopwright.plan.operations.splay import Splay
from stopwright.plan.operations.taper import Taper
from stopwright.plan.operations.tenon import Tenon
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Angle, Run, RunSheet

PARTS = (
    Part("A", "Leg", 4, mm(590), mm(45), mm(45)),
    Part("B", "Frame", 4, mm(300), mm(60), mm(22)),
    Part("C", "Rail", 4, mm(400), mm(60), mm(22)),
)
MITRE = Mitre("B", sides=4)
TENON = Tenon(mark="N1", parts=("C",), length=mm(35), thickness=mm(8))
SPLAY = Splay(mark="Y1", parts=("A",), across=Fraction(12), through=Fraction(7))
TAPER = Taper(mark="K1", parts=("A",), sides=(Side.BACK,), begins=mm(120), leaves=mm(22))
GROOVE = Groove(mark="G1", parts=("C",), side=Side.FACE, from_=Side.EDGE, at=mm(10), width=mm(6), depth=mm(6),
                station="saw")  # fmt: skip
REBATE = Rebate(mark="R1", parts=("C",), side=Side.BACK, edge=Side.EDGE, width=mm(10), depth=mm(8), station="saw")
HOUSING = Housing(mark="H1", parts=("A",), side=Side.FACE, at=(mm(100),), width=mm(6), depth=mm(5))


def planned(*cuts, mitres=(MITRE,)) -> RunSheet:
    return make_plan(Job("turned", PARTS, cuts=cuts, mitres=mitres), default_shop(), effort=Steps(200))


def turned(run: Run) -> dict[str, tuple[float, str]]:
    """By axis, the degrees that a run says and whether they are set."""
    found = {}
    for stop in run.stops:
        if isinstance(stop.target, Angle):
            found[stop.axis] = (float(stop.target.degrees), str(stop.move))
    return found


def not_square(sheet: RunSheet) -> list[int]:
    """Runs that find gauge or blade turned and say nothing of it, by going along the sheet with one's hands."""
    stands = {"mitre angle": 0.0, "blade tilt": 0.0}
    wrong = []
    for run in sheet.runs:
        if run.station == "saw":
            said = turned(run)
            for axis, (degrees, move) in said.items():
                if move == "set":
                    stands[axis] = degrees
                elif stands[axis] != degrees:
                    wrong.append(run.number)
            led_otherwise = any(stop.axis in ("rip fence", "sled block") for stop in run.stops)
            silent = [axis for axis in stands if axis not in said and not (axis == "mitre angle" and led_otherwise)]
            wrong += [run.number for axis in silent if stands[axis]]
    return wrong


def test_the_gauge_is_set_back_for_the_first_cut_against_it_and_counts():
    sheet = planned(TENON)
    mitres, tenons = ([run for run in sheet.runs if run.work == work] for work in ("mitre", "tenon"))
    assert [turned(run) for run in mitres] == [{"mitre angle": (45, "set")}, {"mitre angle": (45, "stands")}]
    assert turned(tenons[0]) == {"mitre angle": (0, "set")}
    assert sheet.settings.made == settings_made(sheet.runs)
    alone = planned(TENON, mitres=())
    only_mitres = planned()
    crosscuts_and_planing = planned(mitres=())
    assert (
        sheet.settings.made == alone.settings.made + only_mitres.settings.made - crosscuts_and_planing.settings.made + 1
    )
    assert sheet.settings.proven and sheet.settings.least_possible == sheet.settings.made


def test_the_blade_is_set_upright_for_the_taper_and_the_gauge_left_alone():
    (taper,) = [run for run in planned(SPLAY, TAPER, mitres=()).runs if run.work == "taper"]
    assert turned(taper) == {"blade tilt": (0, "set")}


def test_what_comes_before_anything_is_turned_says_nothing_of_it():
    runs = planned(TENON, SPLAY, mitres=()).runs
    assert not any(turned(run) for run in runs if run.work != "splay")
    assert not any(turned(run) for run in planned(TENON, mitres=()).runs)


def test_a_run_keeps_its_id_when_it_has_to_set_the_gauge_back():
    (with_mitres,), (without,) = (
        [run for run in sheet.runs if run.work == "tenon"] for sheet in (planned(TENON), planned(TENON, mitres=()))
    )
    assert len(with_mitres.stops) == len(without.stops) + 1
    assert with_mitres.id == without.id


def test_the_last_run_that_leaves_something_turned_is_told_to_set_it_back():
    said = [any("back when this run is done" in one for one in run.cautions) for run in planned(SPLAY).runs]
    assert said.count(True) == 1 and said[-1]
    assert not any("back when this run is done" in one for run in planned(mitres=()).runs for one in run.cautions)


@settings(max_examples=40, deadline=None)
@given(
    cuts=st.lists(st.sampled_from([TENON, SPLAY, TAPER, GROOVE, REBATE, HOUSING]), unique=True),
    mitres=st.sampled_from([(), (MITRE,), (MITRE, replace(MITRE, part="C", sides=6))]),
)
def test_no_run_finds_the_saw_turned(cuts, mitres):
    sheet = planned(*cuts, mitres=mitres)
    assert not_square(sheet) == []
    assert sheet.settings.least_possible <= sheet.settings.made
