"""Shop files to shops and back, and the default shop."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from stopwright.errors import BadInput
from stopwright.intake.shop_file import default_shop, read_shop, shop_from_document, shop_to_document, shop_to_toml
from stopwright.intake.typed_shop import shop_tables, typed_shop
from stopwright.lengths import INCH, MM, Show
from stopwright.model.gear import Blade, Cutters, Discs, Drills, EndStops, GroovingTools, Knives, SlotBits
from stopwright.model.stations import Axis, Shop
from stopwright.plan.operations.known import OPERATIONS, ROLES


def axis(work: str, sets: str) -> Axis:
    station = default_shop().station_for(work)
    assert station
    found = station.axis(sets)
    assert found
    return found


def faults_of(of: object) -> list[tuple[int, str]]:
    with pytest.raises(BadInput) as error:
        shop_from_document(of, "shop")  # type: ignore[arg-type]
    return [(fault.row, fault.column) for fault in error.value.faults]


def shop(**more: object) -> dict[str, Any]:
    return {"name": "Our shop", "station": [{"name": "saw", "work": ["rip"], "kerf": 3.2}], **more}


def test_the_default_shop_does_every_kind_of_work() -> None:
    not_done = {work for work in OPERATIONS if not default_shop().station_for(work)}
    # it costs proofs of the fewest boards; by hand nothing is set; few have a drum sander: who wants them says so
    assert not_done == {"break down", "calibrate", "sand", "finish"}
    there = {one.sets for station in default_shop().stations for one in station.axes}
    assert there == set(ROLES) - {"tool"}  # many saws may not carry a grooving head


def test_the_default_shop_holds_its_figures() -> None:
    saw, mortiser = default_shop().station_for("rip"), default_shop().station_for("mortise")
    assert saw and mortiser
    assert (saw.of(Blade).kerf, saw.of(Blade).trim) == (3_200_000, 5 * MM)
    stops = axis("crosscut", "length")
    assert (stops.holds, stops.clearance, stops.high) == (2, 60 * MM, 2600 * MM)
    assert (stops.step, stops.minutes, axis("rip", "width").high) == (MM // 2, 0.75, 1250 * MM)
    assert mortiser.of(SlotBits).bits == tuple(bit * MM for bit in (6, 8, 10, 12, 15))
    assert axis("mortise", "end stop left").low == -2600 * MM
    assert [axis("mortise", sets).minutes for sets in ("bit", "table height", "depth")] == [3, 1, 0.5]
    assert (default_shop().tenon.spare_one_in, default_shop().tenon.spares_at_least) == (20, 2)
    assert [glue.name for glue in default_shop().glues] == ["white glue", "hide glue"]


def test_a_shop_survives_its_document_and_its_file(tmp_path: Path) -> None:
    assert shop_from_document(shop_to_document(default_shop()), "x") == default_shop()
    assert shop_from_document(tomllib.loads(shop_to_toml(default_shop())), "x") == default_shop()
    (tmp_path / "shop.toml").write_text(shop_to_toml(default_shop()))
    assert read_shop(tmp_path / "shop.toml") == default_shop()


def test_a_shop_in_inches_is_read_in_inches() -> None:
    one = shop_from_document(
        shop(
            lengths="in",
            show="1/32 in",
            station=[
                {"name": "saw", "work": ["rip"], "kerf": "1/8", "blade": "rip 24",
                 "axis": [{"name": "fence", "sets": "width", "step": "1/32", "zero": "-1/64", "high": 50}]},
            ],
            tenon={"fit": "0.1 mm", "spares": "1 in 10"},
            limits={"slot_wall": "1/4"},
        ),
        "x",
    )  # fmt: skip
    saw = one.stations[0]
    assert (one.show, saw.of(Blade).kerf, saw.of(Blade).blade) == (Show.THIRTY_SECONDS, INCH // 8, "rip 24")
    assert (saw.axes[0].zero, saw.axes[0].high) == (-INCH // 64, 50 * INCH)
    assert (one.tenon.fit, one.tenon.spare_one_in, one.tenon.spares_at_least) == (MM // 10, 10, 0)
    assert one.limits.slot_wall == INCH // 4
    assert shop_from_document(shop_to_document(one), "x") == one


def test_a_station_that_no_work_needs_is_fine_and_an_axis_without_a_scale_too() -> None:
    one = shop_from_document(shop(station=[{"name": "spindle", "work": ["mould"], "cutters": ["cove"]}]), "x")
    assert (one.stations[0].of(Cutters).cutters, one.stations[0].axes) == (("cove",), ())


def test_every_contradiction_is_said_at_its_table() -> None:
    axes = [
        {"name": "a", "sets": "width", "low": 900, "high": 5},
        {"name": "b", "sets": "length", "holds": 3, "clearance": 60, "low": 0, "high": 100},
        {"name": "c", "sets": "angle", "minutes": -1},
    ]
    found = faults_of(
        shop(
            station=[{"name": "saw", "work": ["rip"], "axis": axes}, {"name": "mill", "work": ["drill"], "trim": -1}],
            tenon={"fit": -1, "spare": 3, "spares": 2},
            allowance={"length": True},
            limits={"slot_length_warn": 9},
            glue=[{"name": "white glue", "open_minutes": 0, "clamp_minutes": 45}],
        )
    )
    assert set(found) == {
        (1, "station axis 1 low"),
        (1, "station axis 2 clearance"),
        (1, "station axis 3 minutes"),
        (2, "station work 1"),
        (2, "station trim"),
        (1, "tenon fit"),
        (1, "tenon spare"),
        (1, "tenon spares"),
        (1, "allowance length"),
        (1, "limits slot_length_stop"),
        (1, "glue open_minutes"),
    }


def test_two_axes_that_set_the_same_are_a_fault_of_the_second() -> None:
    axes = [{"name": "a", "sets": "width"}, {"name": "b", "sets": "width"}]
    assert faults_of(shop(station=[{"name": "saw", "work": ["rip"], "axis": axes}])) == [(1, "station axis 2")]


@pytest.mark.parametrize("of", [None, [], {}, {"name": "x", "station": []}, shop(tenon=3), shop(glue={}), shop(kerf=3)])
def test_what_is_no_shop_is_refused(of: object) -> None:
    assert faults_of(of)


def test_both_shops_that_ship_have_the_same_stations_and_stops() -> None:
    def shape(shop: Shop) -> list[tuple[str, tuple[str, ...]]]:
        return [(station.name, tuple(axis.name for axis in station.axes)) for station in shop.stations]

    metric, imperial = default_shop(), default_shop("in")
    assert shape(metric) == shape(imperial)
    assert all(axis.step is None or axis.step % (INCH // 64) == 0 for one in imperial.stations for axis in one.axes)


def test_a_station_is_told_of_by_the_gear_that_its_works_need() -> None:
    saw, mortiser = (default_shop().station_for(work) for work in ("rip", "mortise"))
    assert saw and mortiser
    assert [type(one) for one in saw.gear] == [Blade, GroovingTools, Cutters, Discs]
    assert {type(one) for one in mortiser.gear} == {SlotBits, EndStops, Drills}


def test_what_a_station_tells_of_besides_its_work_is_kept() -> None:
    """Shops of earlier versions may have it: a saw that knows its cutters becomes a spindle later."""
    document = shop(station=[{"name": "saw", "work": ["rip"], "kerf": 3.2, "cutters": ["cove 12"], "greatest_cut": 1}])
    (saw,) = shop_from_document(document, "shop").stations
    assert (saw.of(Cutters).cutters, saw.of(Knives).greatest_cut) == (("cove 12",), MM)
    assert shop_from_document(shop_to_document(shop_from_document(document, "shop")), "shop").stations == (saw,)


def test_gear_at_fault_is_named_with_its_field() -> None:
    station = {"name": "all", "work": ["rip", "joint", "mortise"], "kerf": -1, "longest": 0, "bits": [8, 0], "reach": 0}
    assert [column for _, column in faults_of(shop(station=[station]))] == [
        "station kerf", "station longest", "station bits", "station reach"
    ]  # fmt: skip


def test_a_machine_is_typed_with_stations_whose_names_hold_what_stands_between_names() -> None:
    names = ["saw; left, by the door", "saw", "spindle; low"]
    machine = {"name": "combination", "stations": names[:2], "minutes": 5}
    machine["share"] = [{"axis": "stop", "stations": [names[1], names[0]]}]
    axis = {"name": "stop", "sets": "length"}
    stations = [{"name": name, "work": ["rip"], "axis": [dict(axis)]} for name in names]
    ours = shop_from_document(shop(station=stations, machine=[machine]), "shop")
    typed = typed_shop(ours)
    assert typed["machine"][0]["stations"] == "saw; left, by the door; saw"
    assert shop_from_document(shop_tables(typed), "shop") == ours
    typed["machine"][0]["stations"] = "saw;lathe"
    assert shop_tables(typed)["machine"][0]["stations"] == ["saw", "lathe"]
