"""What parts, stops, joints and wood must not be, said at its field; what is just allowed is."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from tests.builders import a_board, a_part, a_saw, a_shop, mm
from tests.plan.joint_builders import a_joint

from stopwright.errors import Inconsistent
from stopwright.model.gear import Blade, Discs, Knives, Sander, SlotBits, Tables
from stopwright.model.job import Job
from stopwright.model.joints import MOST_SLOTS, Side
from stopwright.model.machines import Change, Machine, Share
from stopwright.model.moisture import Moisture
from stopwright.model.parts import GREATEST_QUANTITY, LONGEST_MARK, Hand, Kind, Made
from stopwright.model.shaping import Moulding, Pass
from stopwright.model.stations import Allowance, Axis, Glue, Limits, Station, TenonRules
from stopwright.model.stock import StockKind, Zone
from stopwright.model.things import Opening

PART = a_part("A", 2)
JOINT = a_joint()  # slot 20 to 80, bit 10
AXIS = Axis("stop", "length", low=0, high=mm(100))
STATION = Station("saw", ("rip",))
GLUE = Glue("white", 10, 60)
BOARD = a_board(3)
SHEET = a_board(1, (2440, 1220, 18), kind=StockKind.SHEET)
MACHINE = Machine("combination", ("saw", "spindle"), 5)
MOULDING = Moulding("M", ("A",), (Pass("round 4", mm(4), 0),))
SHARE = Share("flip stops", ("saw", "spindle"))


def test_until_a_job_says_otherwise_wood_is_worked_between_its_driest_and_wettest_indoors() -> None:
    assert Moisture() == Moisture(made_at=Fraction(10), driest=Fraction(8), wettest=Fraction(12))  # common practice


@pytest.mark.parametrize(
    ("sound", "changed", "fields"),
    [
        (PART, {"mark": " "}, ["mark"]),
        (PART, {"mark": "A" * LONGEST_MARK}, []),
        (PART, {"mark": "A" * (LONGEST_MARK + 1)}, ["mark"]),
        (PART, {"mark": "A~"}, ["mark"]),
        (PART, {"mark": "A\n"}, ["mark"]),
        (PART, {"name": ""}, ["name"]),
        (PART, {"quantity": 0}, ["quantity"]),
        (PART, {"quantity": 1}, []),
        (PART, {"quantity": GREATEST_QUANTITY}, []),
        (PART, {"quantity": GREATEST_QUANTITY + 1}, ["quantity"]),
        (PART, {"length": 0, "width": 0, "thickness": 0}, ["length", "width", "thickness"]),
        (PART, {"length": 1, "width": 1, "thickness": 1, "tolerance": 1, "strip": 1, "measured": 1}, []),
        (PART, {"tolerance": 0}, ["tolerance"]),
        (PART, {"strip": 0}, ["strip"]),
        (PART, {"measured": 0}, ["measured"]),
        (PART, {"made": Made.PANEL}, []),
        (PART, {"made": Made.PANEL, "kind": Kind.SHEET}, ["made"]),
        (PART, {"hand": Hand.PAIRS}, []),
        (JOINT, {"mark": ""}, ["mark"]),
        (JOINT, {"post": "", "rail": ""}, ["post", "rail", "rail"]),
        (JOINT, {"rail": "A"}, ["rail"]),
        (JOINT, {"side": Side.MARKED_END}, ["side"]),
        (JOINT, {"slot_to": mm(20)}, ["slot_to"]),
        (JOINT, {"slot_to": mm(20) + 1}, ["slot_to"]),
        (JOINT, {"slot_to": mm(30) - 1}, ["slot_to"]),
        (JOINT, {"slot_to": mm(30)}, []),
        (JOINT, {"bit": 0, "depth_post": 0, "depth_rail": 0}, ["bit", "depth_post", "depth_rail"]),
        (JOINT, {"bit": 1, "depth_post": 1, "depth_rail": 1}, []),
        (JOINT, {"slot_from": -1}, ["slot_from"]),
        (JOINT, {"setback": -1, "drop": -1, "horn": -1}, ["setback", "drop", "horn"]),
        (JOINT, {"fit": -1, "play": -1, "clearance": -1}, ["fit", "play", "clearance"]),
        (JOINT, {"setback": 0, "drop": 0, "horn": 0, "fit": 0, "play": 0, "clearance": 0}, []),
        (JOINT, {"offset": 0}, ["offset"]),
        (JOINT, {"offset": 1}, []),
        (JOINT, {"apart": mm(10)}, ["apart"]),
        (JOINT, {"apart": mm(10) + 1}, []),
        (JOINT, {"count": 0}, ["count"]),
        (JOINT, {"repeat": 0}, ["repeat"]),
        (JOINT, {"count": 2}, ["pitch"]),
        (JOINT, {"count": 2, "pitch": mm(60)}, ["pitch"]),
        (JOINT, {"count": 2, "pitch": mm(60) + 1}, []),
        (JOINT, {"repeat": 2}, ["spacing"]),
        (JOINT, {"repeat": 2, "spacing": 0}, ["spacing"]),
        (JOINT, {"repeat": 2, "spacing": 1}, []),
        (JOINT, {"repeat": MOST_SLOTS, "spacing": mm(90)}, []),
        (JOINT, {"repeat": MOST_SLOTS + 1, "spacing": mm(90)}, ["repeat"]),
        (JOINT, {"count": MOST_SLOTS + 1, "pitch": mm(90)}, ["count"]),
        (AXIS, {"name": ""}, ["name"]),
        (AXIS, {"holds": 0}, ["holds"]),
        (AXIS, {"holds": 12}, []),
        (AXIS, {"holds": 13}, ["holds"]),
        (AXIS, {"step": 0}, ["step"]),
        (AXIS, {"step": 1}, []),
        (AXIS, {"low": mm(100)}, ["low"]),
        (AXIS, {"low": mm(100) - 1}, []),
        (AXIS, {"holds": 3, "clearance": mm(50)}, []),
        (AXIS, {"holds": 3, "clearance": mm(50) + 1}, ["clearance"]),
        (AXIS, {"clearance": -1}, ["clearance"]),
        (AXIS, {"minutes": -0.1}, ["minutes"]),
        (AXIS, {"minutes": 0}, []),
        (STATION, {"name": ""}, ["name"]),
        (STATION, {"work": ()}, ["work"]),
        (STATION, {"axes": (AXIS, AXIS)}, ["axis", "axis"]),
        (STATION, {"axes": (AXIS, replace(AXIS, name="other"))}, ["axis"]),
        (STATION, {"minutes_between": -0.1}, ["minutes_between"]),
        (STATION, {"minutes_per_piece": -0.1}, ["minutes_between"]),
        (STATION, {"minutes_between": 0, "minutes_per_piece": 0}, []),
        (GLUE, {"name": ""}, ["name"]),
        (GLUE, {"open_minutes": 0}, ["open_minutes"]),
        (GLUE, {"clamp_minutes": -1}, ["clamp_minutes"]),
        (GLUE, {"clamp_minutes": 0}, []),
        (Allowance(), {"length": 0, "width": 0, "thickness": 0}, []),
        (Allowance(), {"length": -1, "width": -1, "thickness": -1}, ["length", "width", "thickness"]),
        (TenonRules(), {"spare_one_in": 0}, ["spare_one_in"]),
        (TenonRules(), {"spare_one_in": 1, "spares_at_least": 0}, []),
        (TenonRules(), {"spares_at_least": -1}, ["spares_at_least"]),
        (Limits(), {"slot_length_stop": 4.9}, ["slot_length_stop"]),
        (Limits(), {"slot_length_stop": 5}, []),
        (a_shop(), {"stations": ()}, ["station"]),
        (a_shop(), {"lengths": "cm"}, ["lengths"]),
        (a_shop(), {"block_minutes": -1}, ["block_minutes"]),
        (a_shop(), {"block_minutes": 0, "bench_places": 100}, []),
        (a_shop(), {"bench_places": 101}, ["bench_places"]),
        (a_shop(a_saw()), {"machines": (MACHINE,)}, ["machine"]),
        (BOARD, {"quantity": 0}, ["quantity"]),
        (BOARD, {"quantity": GREATEST_QUANTITY + 1}, ["quantity"]),
        (BOARD, {"quantity": GREATEST_QUANTITY}, []),
        (BOARD, {"quantity": None}, []),
        (BOARD, {"length": 0, "width": 0, "thickness": 0}, ["length", "width", "thickness"]),
        (BOARD, {"length": 1, "width": 1, "thickness": 1, "price": 0, "bow": 0}, []),
        (BOARD, {"zones": (Zone(0, BOARD.length, 0, BOARD.width),)}, []),
        (BOARD, {"zones": (Zone(0, BOARD.length + 1),)}, ["zones"]),
        (BOARD, {"zones": (Zone(-1, 5),)}, ["zones"]),
        (BOARD, {"zones": (Zone(5, 5),)}, ["zones"]),
        (BOARD, {"zones": (Zone(0, 5, -1),)}, ["zones"]),
        (BOARD, {"zones": (Zone(0, 5, 7, 7),)}, ["zones"]),
        (BOARD, {"zones": (Zone(0, 5, 0, BOARD.width + 1),)}, ["zones"]),
        (BOARD, {"sheet": True}, ["sheet"]),
        (BOARD, {"bow": -1}, ["bow"]),
        (BOARD, {"bow": 1, "planed": True}, []),
        (BOARD, {"price": -1}, ["price"]),
        (SHEET, {"bow": 1}, ["bow"]),
        (SHEET, {"planed": True}, ["planed"]),
        (Opening(width=(1,)), {"number": 0}, ["number"]),
        (Opening(width=(1,)), {"number": 1}, []),
        (Opening(width=(1,)), {"width": ()}, ["width"]),
        (Opening(width=(1,)), {"width": (mm(300), 0)}, ["width"]),
        (MACHINE, {"name": ""}, ["name"]),
        (MACHINE, {"stations": ("saw",)}, ["stations"]),
        (MACHINE, {"stations": ("saw", "saw")}, ["stations"]),
        (MACHINE, {"minutes": -1}, ["minutes"]),
        (MACHINE, {"minutes": 0, "shares": (SHARE,)}, []),
        (MACHINE, {"changes": (Change("saw", "planer", 5),)}, ["change"]),
        (MACHINE, {"changes": (Change("saw", "saw", 5),)}, ["change"]),
        (MACHINE, {"changes": (Change("saw", "spindle", 5), Change("saw", "spindle", 4))}, ["change", "change"]),
        (MACHINE, {"changes": (Change("saw", "spindle", 5), Change("spindle", "saw", 4))}, []),
        (MACHINE, {"shares": (replace(SHARE, stations=("saw", "planer")),)}, ["share"]),
        (Moisture(), {"driest": Moisture().wettest}, []),
        (Moisture(), {"driest": Moisture().wettest + 1}, ["wettest"]),
        (Blade(), {"kerf": 0, "trim": 0}, []),
        (Blade(), {"kerf": -1, "trim": -1}, ["kerf", "trim"]),
        (Knives(), {"greatest_cut": 0}, ["greatest_cut"]),
        (Knives(), {"greatest_cut": 1}, []),
        (Sander(), {"calibrating": 0}, ["calibrating"]),
        (Sander(), {"calibrating": mm(1)}, []),
        (Sander(), {"calibrating": mm(1) + 1}, ["calibrating"]),
        (Tables(), {"longest": 0}, ["longest"]),
        (Tables(), {"longest": 1}, []),
        (SlotBits(), {"bits": (0,), "reach": 0}, ["bits", "reach"]),
        (SlotBits(), {"bits": (1,), "reach": 1}, []),
        (Discs(), {"discs": (0,), "disc_reach": 0}, ["discs", "disc_reach"]),
        (Discs(), {"discs": (1,), "disc_reach": 1}, []),
        (MOULDING, {"parts": ()}, ["parts"]),
        (MOULDING, {"parts": ("A", "")}, ["parts"]),
        (MOULDING, {"parts": ("A", "A")}, ["parts"]),
        (Job("stool", (PART,)), {"parts": ()}, ["part"]),
        (Job("stool", (PART,)), {"parts": (PART, PART)}, ["mark"]),
        (Job("stool", (PART,)), {"lengths": "cm"}, ["lengths"]),
    ],
)
def test_a_limit_lies_where_it_is_said_to(sound: Any, changed: dict[str, Any], fields: list[str]) -> None:
    try:
        replace(sound, **changed)
        found = []
    except Inconsistent as error:
        assert all(problem.what and problem.next_step for problem in error.problems)
        found = [problem.field for problem in error.problems]
    assert found == fields
