"""The page of the shop: every entry kept, faults by field, conflict told, stops and stations, file, first questions."""

import re

import pytest
from tests.web.conftest import Shopfloor

from stopwright.actions.shop.editing import check_shop, shop_as_typed
from stopwright.actions.shop.first_set_up import QUESTIONS, first_answers, typed_from
from stopwright.actions.shop.keeping import current_shop, shop_state
from stopwright.intake.shop_file import default_shop, shop_from_document, shop_in, shop_to_toml
from stopwright.intake.typed_shop import shop_tables, typed_shop
from stopwright.lengths import INCH, MM
from stopwright.model.day import Clamps, Day
from stopwright.model.gear import Blade, SlotBits
from stopwright.store.events import Event

HTML = {"accept": "text/html"}
NASTY = """<script>alert(1)</script>"'&"""


def pairs(node, name=""):
    """Every field of a typed shop with its name in the form."""
    if isinstance(node, dict):
        found = (pair for key, value in node.items() for pair in pairs(value, f"{name}.{key}" if name else key))
    elif isinstance(node, list) and name.endswith((".work", ".loses")):
        found = ([name, value] for value in node)
    elif isinstance(node, list):
        found = (pair for number, value in enumerate(node) for pair in pairs(value, f"{name}.{number}"))
    else:
        return [[name, node]]
    return list(found)


def send(floor, changes=None, save=True, base=None):
    fields = dict_of(pairs(shop_as_typed(floor.store, default_shop()).typed), changes or {})
    version = shop_state(floor.store).version if base is None else base
    return floor.bench.post("/shop", json={"base": version, "fields": fields, "save": save})


def dict_of(fields, changes):
    return [[name, changes.get(name, value)] for name, value in fields]


def shop(floor):
    return current_shop(floor.store, default_shop())


def test_the_form_holds_every_field_of_the_shop_and_changes_none(floor: Shopfloor):
    page = floor.bench.get("/shop", headers=HTML).text
    names = set(re.findall(r'name="([a-z_0-9.]+)"', page))
    wanted = {name for name, value in pairs(typed_shop(default_shop())) if value not in ("", "0")}
    assert wanted - names == set()
    assert send(floor).json()["faults"] == []
    assert shop(floor) == default_shop()


def test_an_entry_is_kept_and_planned_with(floor):
    answer = send(floor, {"station.2.kerf": "1/8 in", "station.2.axis.1.holds": "3", "spacers": ""})
    assert answer.json() | {"version": 0} == {"version": 0, "saved": True, "faults": [], "again": False}
    saw = shop(floor).station_for("rip")
    assert (saw.of(Blade).kerf, saw.axis("length").holds, shop(floor).spacers) == (INCH // 8, 3, False)


def test_faults_stand_beside_their_fields_and_nothing_is_saved(floor):
    wrong = {
        "station.2.kerf": "x",
        "station.2.axis.1.low": "9 m",
        "glue.0.open_minutes": "0",
        "tenon.spares": "many",
        "limits.slot_length_warn": "some",
        "station.3.bits": "6; q",
    }
    answer = send(floor, wrong).json()
    assert {fault["field"] for fault in answer["faults"]} == set(wrong) and answer["saved"] is False
    assert shop_state(floor.store).saved is None
    page = floor.bench.get("/shop", headers=HTML).text
    for name in wrong:
        assert f'data-fault="{name}"' in page


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"station.1.name": "saw"}, "station"),
        ({"station.2.axis.1.name": "rip fence"}, "station.2.axis.1"),
        ({"station.2.axis.1.sets": "width"}, "station.2.axis.1"),
        ({"tenon.fit": "-1"}, "tenon.fit"),
        ({"lengths": "cubits"}, "lengths"),
    ],
)
def test_contradictions_have_a_place_on_the_page(floor, changes, field):
    said = [fault["field"] for fault in send(floor, changes, save=False).json()["faults"]]
    page = floor.bench.get("/shop", headers=HTML).text
    assert said and all(f'data-fault="{name}"' in page for name in said), said
    assert any(name.startswith(field) for name in said)


def test_the_day_and_the_clamps_are_kept_and_written_to_the_file(floor):
    floor.bench.post("/shop/clamps")
    floor.bench.post("/shop/clamps")
    typed = {"day.begin": "07:30", "day.end": "16:30", "day.breaks": "10:00-10:15; 12:30-13:00", "bench_places": "2"}
    answer = send(floor, typed | {"clamps.0.opening": "1 m", "clamps.0.count": "6"}).json()
    assert answer["faults"] == [] and answer["saved"]
    made = shop(floor)
    assert made.day == Day("07:30", "16:30", ("10:00-10:15", "12:30-13:00"))
    assert (made.clamps, made.bench_places) == ((Clamps(1000 * MM, 6), Clamps(600 * MM, 4)), 2)
    assert read_again(floor.bench.get("/shop/file").text) == made
    take_out(floor, "clamps/1")
    assert shop(floor).clamps == (Clamps(1000 * MM, 6),)
    page = floor.bench.get("/shop", headers=HTML).text
    assert 'name="day.breaks" value="10:00-10:15; 12:30-13:00"' in page


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"day.begin": "16:30", "day.end": "07:30"}, "day.end", "is not after its beginning"),
        ({"day.begin": "07:30"}, "day.end", "is missing"),
        ({"day.begin": "07:30", "day.end": "16:30", "day.breaks": "9:00-9:30; 9:15-10:00"}, "day.breaks", "overlap"),
        ({"bench_places": "-1"}, "bench_places", "is not from 0"),
        ({"clamps.0.count": "-3"}, "clamps.0.count", "is not from 1"),
        ({"clamps.0.opening": "0"}, "clamps.0.opening", "is 0"),
    ],
)
def test_a_day_that_cannot_be_is_told_beside_its_field_and_nothing_is_lost(floor, changes, field, said):
    floor.bench.post("/shop/clamps")
    before = shop(floor)
    answer = send(floor, changes).json()
    assert [fault["field"] for fault in answer["faults"]] == [field] and said in answer["faults"][0]["text"]
    assert f'data-fault="{field}"' in floor.bench.get("/shop", headers=HTML).text
    assert shop(floor) == before


def read_again(text):
    return shop_in(text.encode(), "shop.toml")


def test_the_second_of_two_windows_is_told(floor):
    assert send(floor, {"name": "Ours"}, base=0).status_code == 200
    late = send(floor, {"name": "Mine"}, base=0)
    assert late.status_code == 409 and late.json()["version"] == shop_state(floor.store).version
    assert shop(floor).name == "Ours"


def test_a_measured_zero_is_in_the_form_and_is_kept_by_the_next_saving(floor):
    body = {"station": "saw", "axis": "rip fence", "zero_nm": MM // 5}
    floor.store.append([Event("zero-0001", "", "zero accepted", "2026-03-01T07:30:00Z", "bench", body)])
    assert 'name="station.2.axis.0.zero" value="0.2"' in floor.bench.get("/shop", headers=HTML).text
    send(floor, {"name": "Ours"})
    assert shop(floor).station_for("rip").axis("width").zero == MM // 5


def take_out(floor, path, base=None):
    base = shop_state(floor.store).version if base is None else base
    return floor.bench.post(f"/shop/{path}/delete", data={"base": base})


def test_a_stale_page_takes_out_no_other_station_than_the_one_it_shows(floor):
    base = shop_state(floor.store).version
    take_out(floor, "stations/1")
    assert take_out(floor, "stations/1", base).status_code == 409
    assert len(shop(floor).stations) == len(default_shop().stations) - 1


def test_stations_stops_and_glues_are_added_taken_out_and_put_back(floor):
    before = shop(floor)
    floor.bench.post("/shop/stations", data={"work": "rip"})
    assert [station.name for station in shop(floor).stations][-1] == "saw 2"
    gone = take_out(floor, "stations/1")
    assert [station.name for station in shop(floor).stations][1] == "saw"
    floor.bench.post("/shop/put-back", data={"version": re.search(r"before=(\d+)", gone.headers["location"])[1]})
    assert shop(floor).stations[: len(before.stations)] == before.stations
    take_out(floor, "stations/2/axes/1")
    assert shop(floor).station_for("rip").axis("length") is None
    floor.bench.post("/shop/stations/2/axes", data={"sets": "length"})
    assert shop(floor).station_for("rip").axis("length").name == "length"
    floor.bench.post("/shop/glues")
    take_out(floor, "glues/0")
    assert [glue.name for glue in shop(floor).glues] == ["hide glue", "glue"]


@pytest.mark.parametrize("path", ["stations/77", "stations/2/axes/9", "glues/9"])
def test_what_is_not_there_cannot_be_taken_out(floor, path):
    assert take_out(floor, path).status_code == 404


def test_only_what_exists_can_be_added(floor):
    assert floor.bench.post("/shop/stations", data={"work": NASTY}).status_code == 422
    assert floor.bench.post("/shop/stations/2/axes", data={"sets": "rip"}).status_code == 422
    assert floor.bench.post("/shop/stations/2/axes", data={"sets": "width"}).status_code == 422  # it has one
    assert shop(floor) == default_shop()


def test_the_file_taken_away_is_the_file_that_is_brought(floor):
    send(floor, {"name": NASTY, "station.2.kerf": "2.8"})
    text = floor.bench.get("/shop/file").text
    assert text == shop_to_toml(shop(floor))
    mine = shop(floor)
    floor.bench.post("/shop/put-back", data={"version": 0})
    assert shop(floor) == default_shop()
    answer = floor.bench.post("/shop/file", files={"file": ("shop.toml", text.encode())})
    assert answer.status_code == 303 and shop(floor) == mine
    assert "<script>alert" not in floor.bench.get("/shop", headers=HTML).text
    bad = floor.bench.post("/shop/file", files={"file": ("mine.toml", b"name = 'x'\n[[station]]\nname = 'a'\nwok = 1")})
    assert bad.status_code == 422 and any("mine.toml:4" in fault for fault in bad.json()["error"]["faults"])


def test_phones_look_but_do_not_change_the_shop(floor):
    phone = floor.phone()
    phone.post(f"/pair/{floor.door.new_code()}", data={"name": "phone"})
    assert phone.get("/shop", headers=HTML).status_code == 200
    assert phone.post("/shop/stations/1/delete", data={"base": 0}).status_code == 403
    assert phone.post("/shop/set-up", data=first_answers()).status_code == 403


def test_eleven_questions_left_as_they_stand_make_the_shop_that_ships():
    assert len(QUESTIONS) == 11
    made = shop_from_document(shop_tables(typed_from(first_answers())), "shop")
    assert made.stations == default_shop().stations and made.limits == default_shop().limits
    assert made.tenon == default_shop().tenon and made.glues == default_shop().glues[:1]
    inches = shop_from_document(shop_tables(typed_from(first_answers("in"))), "shop")
    assert inches.stations == default_shop("in").stations and inches.limits == default_shop("in").limits


def test_eleven_answers_end_in_a_saved_shop_in_inches(floor):
    mine = {
        "name": "Ours", "lengths": "in", "show": "1/32 in", "saw.kerf": "1/8", "saw.length.holds": "1",
        "saw.width.step": "1/32", "planer.thickness.step": "", "mortiser.bits": "1/4; 3/8", "has.scales": "",
        "has.spindle": "", "glue.name": "fish glue", "glue.open_minutes": "6",
    }  # fmt: skip
    answer = floor.bench.post("/shop/set-up", data=first_answers() | mine)
    assert answer.headers["location"] == "/shop"
    made = shop(floor)
    saw, mortiser = made.station_for("rip"), made.station_for("mortise")
    assert (made.name, made.show, saw.of(Blade).kerf, saw.axis("length").holds) == ("Ours", "1/32 in", INCH // 8, 1)
    assert mortiser.of(SlotBits).bits == (INCH // 4, 3 * INCH // 8) and made.station_for("mould") is None
    assert mortiser.axis("table height").step is None and made.station_for("plane").axes[0].step is None
    assert made.glues[0].name == "fish glue" and saw.axis("width").high == 1250 * MM
    assert made.limits == default_shop("in").limits  # what is not asked is round in the unit of the shop
    assert floor.bench.get("/shop", headers=HTML).status_code == 200


def test_the_questions_are_asked_in_the_unit_that_is_chosen(floor):
    page = floor.bench.get("/shop/set-up?lengths=in", headers=HTML).text
    assert 'value="1/8 in"' in page and 'value="12 in"' in page and ' mm"' not in page
    assert "spindle.spindle height.step" in page and "planer.thickness.low" in page
    assert 'value="3.2 mm"' in floor.bench.get("/shop/set-up", headers=HTML).text


def test_a_wrong_answer_is_said_beside_it_and_nothing_is_lost(floor):
    answer = floor.bench.post("/shop/set-up", data=first_answers() | {"saw.kerf": NASTY, "name": "Ours"}, headers=HTML)
    assert answer.status_code == 422 and "is not a length" in answer.text and 'value="Ours"' in answer.text
    assert "<script>alert" not in answer.text and shop_state(floor.store).saved is None


def test_a_shop_without_mortiser_is_asked_no_more_about_it():
    typed = typed_from(first_answers() | {"has.mortiser": "", "mortiser.bits": "none at all"})
    assert check_shop(typed) == {}
    assert "mortiser" not in [station["name"] for station in typed["station"]]


def test_a_combination_machine_is_described_and_kept_with_all_else(floor):
    floor.bench.post("/shop/machines")
    (machine,) = shop(floor).machines
    assert len(machine.stations) == 2
    floor.bench.post("/shop/machines/0/changes")
    floor.bench.post("/shop/machines/0/shares")
    page = floor.bench.get("/shop", headers={"accept": "text/html"}).text
    for name in ("machine.0.name", "machine.0.stations", "machine.0.change.0.from", "machine.0.share.0.axis"):
        assert f'name="{name}"' in page
    assert send(floor, {"machine.0.change.0.minutes": "7"}).json()["faults"] == []
    assert shop(floor).machines[0].changes[0].minutes == 7 and len(shop(floor).machines[0].shares) == 1
    said = send(floor, {"machine.0.stations": "saw"}).json()["faults"]
    assert any("fewer than two" in fault["text"] for fault in said)
    for taken in ("changes/0", "shares/0"):
        floor.bench.post(f"/shop/machines/0/{taken}/delete", data={"base": shop_state(floor.store).version})
    assert shop(floor).machines[0].changes == () and shop(floor).machines[0].shares == ()
    floor.bench.post("/shop/machines/0/delete", data={"base": shop_state(floor.store).version})
    assert shop(floor).machines == ()


def test_what_a_changeover_may_lose_is_asked_of_stations_whose_names_hold_what_stands_between_names(floor):
    named = send(floor, {"station.4.name": "spindle; by the door, low"})
    assert named.json()["faults"] == []
    floor.bench.post("/shop/machines")
    assert send(floor, {"machine.0.stations": "saw; spindle; by the door, low"}).json()["faults"] == []
    assert shop(floor).machines[0].stations == ("saw", "spindle; by the door, low")
    floor.bench.post("/shop/machines/0/changes")
    page = floor.bench.get("/shop", headers=HTML).text
    assert 'name="machine.0.change.0.loses" value="spindle height"' in page


def test_stations_that_share_one_machine_are_asked_for_with_what_it_usually_loses(floor):
    mine = first_answers() | {f"in.{name}": "1" for name in ("saw", "spindle")} | {"in.minutes": "7"}
    mine |= {f"in.{name}": "2" for name in ("jointer", "planer")}
    assert floor.bench.post("/shop/set-up", data=mine).status_code == 303
    saw_side, planer_side = shop(floor).machines
    assert (saw_side.stations, saw_side.minutes) == (("saw", "spindle"), 7)
    assert saw_side.lost("spindle", "saw") == {"cutter", "spindle height", "spindle fence"}
    assert saw_side.lost("saw", "spindle") == {"blade height"}
    assert planer_side.lost("planer", "jointer") == {"thickness"} and planer_side.lost("jointer", "planer") == set()
    assert planer_side.between == {("jointer", "planer"): 7, ("planer", "jointer"): 7}


def test_a_machine_of_one_station_is_said_beside_it_and_a_station_that_is_not_there_is_in_none(floor):
    alone = floor.bench.post("/shop/set-up", data=first_answers() | {"in.saw": "1"}, headers=HTML)
    assert alone.status_code == 422 and "are fewer than two" in alone.text
    mine = first_answers() | {"in.saw": "1", "in.planer": "1", "in.spindle": "1", "has.spindle": ""}
    assert floor.bench.post("/shop/set-up", data=mine).status_code == 303
    assert shop(floor).machines[0].stations == ("planer", "saw")
