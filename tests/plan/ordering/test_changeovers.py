"""Machines that are several stations: visits in an order that saves changeovers, what is lost, shared and refused."""

from dataclasses import replace

import pytest
from tests.builders import mm

from stopwright.errors import BadInput
from stopwright.intake.shop_file import default_shop, shop_from_document, shop_to_document, shop_to_toml
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.machines import Change, Machine, Share
from stopwright.model.parts import Part
from stopwright.model.shaping import Moulding, Pass
from stopwright.model.stations import Shop
from stopwright.paper.run_sheet_text import run_sheet_text
from stopwright.plan.operations.groove import Groove
from stopwright.plan.operations.tenon import Tenon
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Move, RunSheet
from stopwright.plan.run_sheet_json import run_sheet_json

SIDE = Part("A", "Side", 4, mm(400), mm(120), mm(12))
RAIL = Part("C", "Rail", 4, mm(300), mm(60), mm(22))
GROOVE = Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(10), width=mm(6), depth=mm(6),
                station="spindle")  # fmt: skip
TENON = Tenon(mark="N1", parts=("C",), length=mm(35), thickness=mm(8))
LOSES = ("cutter", "spindle height", "spindle fence")
SAW_SIDE = Machine("saw side", ("saw", "spindle"), 5, (Change("spindle", "saw", 6, LOSES),))


def shop_with(*machines: Machine) -> Shop:
    return replace(default_shop(), machines=machines)


def planned(*machines: Machine, **more) -> RunSheet:
    return make_plan(Job("one machine", (SIDE, RAIL), cuts=(GROOVE, TENON), **more), shop_with(*machines))


def stations(sheet: RunSheet) -> list[str]:
    return list(dict.fromkeys(run.station for run in sheet.runs if run.station in ("saw", "spindle")))


def test_visits_that_need_not_wait_for_each_other_are_put_together():
    """The groove at the spindle comes before the tenons at the saw by its stage, but they are cut in other parts."""
    apart = [run.station for run in planned().runs]
    together = planned(SAW_SIDE)
    assert apart.index("spindle") < len(apart) - 1 and apart[-1] == "saw"
    assert together.runs[-1].station == "spindle"
    (machine,) = together.machines
    assert (len(machine.changes), machine.minutes, machine.least, machine.proven) == (1, 5, 5, True)


def test_a_changeover_stands_with_the_run_that_comes_after_it_and_its_minutes_count():
    sheet, apart = planned(SAW_SIDE), planned()
    changed = [run for run in sheet.runs if run.change]
    assert [(run.change.from_, run.change.to, run.station) for run in changed] == [("saw", "spindle", "spindle")]
    assert sum(run.minutes for run in sheet.runs) == pytest.approx(sum(run.minutes for run in apart.runs) + 5)


def twice_at_the_spindle(**more) -> Job:
    """A moulding while the stock is long and one when the length is cut: the saw stands between them."""
    long = Moulding("P1", ("C",), (Pass("cove 12", mm(8), mm(12)),), (Side.EDGE,))
    last = Moulding("P2", ("A",), (Pass("cove 12", mm(8), mm(12)),), (Side.EDGE, Side.MARKED_END))
    return Job("twice", (SIDE, RAIL), mouldings=(long, last), **more)


def spindle_moves(sheet: RunSheet) -> list[list[Move]]:
    return [[stop.move for stop in run.stops] for run in sheet.runs if run.work == "mould"]


def test_what_a_changeover_loses_is_set_again_and_what_it_does_not_lose_stands():
    kept = Machine("saw side", ("saw", "spindle"), 5)
    assert spindle_moves(make_plan(twice_at_the_spindle(), shop_with(kept)))[1] == [Move.STANDS] * 3
    assert spindle_moves(make_plan(twice_at_the_spindle(), shop_with(SAW_SIDE)))[1] == [Move.SET] * 3
    sheet = make_plan(twice_at_the_spindle(), shop_with(SAW_SIDE))
    assert not sheet.settings.proven and sheet.settings.made == sheet.settings.least_possible + 3


def test_a_stop_that_two_stations_share_moves_for_both():
    """The saw cuts a tenon at the very place where the borer's shared stop stands: it is set once."""
    shop = default_shop()
    shares = Machine("all in one", ("saw", "spindle"), 0, (), (Share("flip stops", ("saw", "spindle")),))
    spindle = next(one for one in shop.stations if one.name == "spindle")
    stops = next(axis for one in shop.stations for axis in one.axes if axis.name == "flip stops")
    front = replace(stops, sets="front stop", holds=1, clearance=0)
    axes = tuple(axis for axis in spindle.axes if axis.sets != "front stop")
    there = replace(spindle, axes=(*axes, front))
    shop = replace(shop, stations=tuple(there if one is spindle else one for one in shop.stations), machines=(shares,))
    groove = replace(GROOVE, end=mm(340), start=None)
    sheet = make_plan(Job("shared", (SIDE, RAIL), cuts=(groove,)), shop)
    used = [stop for run in sheet.runs for stop in run.stops if stop.axis == "flip stops"]
    assert [stop.sets for stop in used][-1] == "front stop"
    assert used[-1].move is Move.SET  # the saw left it elsewhere


def test_the_sheet_says_what_is_changed_and_that_no_order_takes_less():
    sheet = planned(SAW_SIDE)
    text = run_sheet_text(sheet, shop_with().show)
    assert "saw side: 1 changeover, 5 min; no order of these visits takes less" in text
    assert "Make the saw side ready: from saw to spindle, 5 min" in text
    (machine,) = run_sheet_json(sheet, shop_with().show)["machines"]
    (change,) = machine.pop("changes")
    assert machine == {"name": "saw side", "minutes": 5, "least": 5, "proven": True, "best": True}
    assert change == {
        "before": sheet.runs[-1].number, "from": "saw", "to": "spindle", "minutes": 5, "loses": [],
        "take_off": ["guard and riving knife"], "cover": ["the blade, lowered below the table"],
        "put_on": ["spindle fence and guard", "cutter"], "stands": [], "again": [],
    }  # fmt: skip


def test_a_shop_says_in_its_own_words_what_to_take_off_cover_and_put_on():
    own = Change("saw", "spindle", 5, (), ("the grey guard",), (), ("the long fence",))
    sheet = planned(Machine("saw side", ("saw", "spindle"), 5, (own,)))
    text = run_sheet_text(sheet, shop_with().show)
    assert "take off: the grey guard" in text and "put on: the long fence" in text and "cover or lower" not in text
    assert "Make it ready at standstill only, isolated from the mains. (at every changeover)" in text


def test_a_changeover_says_what_is_left_alone_for_a_later_run_and_what_is_set_again():
    kept = Machine("saw side", ("saw", "spindle"), 5)
    sheet = make_plan(twice_at_the_spindle(), shop_with(kept))
    to_saw = next(run.change for run in sheet.runs if run.change and run.change.to == "saw")
    last = sheet.runs[-1].number
    assert [(stop.axis, number) for stop, number in to_saw.stands if number == last] == [
        ("cutter", last), ("spindle height", last), ("spindle fence", last),
    ]  # fmt: skip
    assert to_saw.again == ()
    sheet = make_plan(twice_at_the_spindle(), shop_with(SAW_SIDE))
    to_saw = next(run.change for run in sheet.runs if run.change and run.change.to == "saw")
    assert (to_saw.again, [number for _, number in to_saw.stands if number == sheet.runs[-1].number]) == (LOSES, [])


def test_a_shop_with_machines_reads_back_equal():
    own = Change("saw", "spindle", 5, (), ("the grey guard",), ("the blade",), ("the long fence",))
    shop = shop_with(
        replace(SAW_SIDE, changes=(*SAW_SIDE.changes, own)),
        Machine("planer side", ("jointer", "planer"), 1, (), (Share("height", ("planer",)),)),
    )
    assert shop_from_document(shop_to_document(shop), "shop") == shop
    assert "[[machine]]" in shop_to_toml(shop)


@pytest.mark.parametrize(
    ("machine", "said"),
    [
        ({"name": "m", "stations": ["saw"]}, "fewer than two"),
        ({"name": "m", "stations": ["saw", "saw"]}, "names a station twice"),
        ({"name": "m", "stations": ["saw", "lathe"]}, "names lathe, which is not a station"),
        ({"name": "m", "stations": ["saw", "spindle"], "minutes": -1}, "negative"),
        ({"name": "m", "stations": ["saw", "spindle"], "change": [{"from": "saw", "to": "planer", "minutes": 1}]},
         "names planer, which is not one of its stations"),
        ({"name": "m", "stations": ["saw", "spindle"], "change": [{"from": "saw", "to": "saw", "minutes": 1}]},
         "from saw to itself"),
        ({"name": "m", "stations": ["saw", "spindle"],
          "change": [{"from": "saw", "to": "spindle", "minutes": 1}, {"from": "saw", "to": "spindle", "minutes": 2}]},
         "is given twice"),
        ({"name": "m", "stations": ["saw", "spindle"],
          "change": [{"from": "saw", "to": "spindle", "minutes": 1, "loses": ["luck"]}]},
         "'luck' is not one of the choices"),
        ({"name": "m", "stations": ["saw", "spindle", "planer"], "minutes": 1,
          "change": [{"from": "saw", "to": "spindle", "minutes": 5}]},
         "over planer it would take 2 minutes instead of 5"),
    ],
)  # fmt: skip
def test_a_machine_that_cannot_be_is_refused_in_words(machine, said):
    document = shop_to_document(default_shop()) | {"machine": [machine]}
    with pytest.raises(BadInput) as error:
        shop_from_document(document, "shop")
    assert said in " ".join(map(str, error.value.faults))


def test_a_station_in_two_machines_is_refused():
    machine = {"name": "m", "stations": ["saw", "spindle"]}
    document = shop_to_document(default_shop()) | {"machine": [machine, machine | {"name": "n"}]}
    with pytest.raises(BadInput, match="fault"):
        shop_from_document(document, "shop")
