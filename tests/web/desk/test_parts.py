"""The part list as the bench answers it: checked while typing, saved faulty or not, two windows, lists brought in."""

import json
import re
import zipfile
from io import BytesIO

import pytest
from tests.conftest import ROOT

from stopwright.actions.jobs.editing import save_section
from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.shop.editing import bring_shop
from stopwright.errors import ChangedMeanwhile
from stopwright.intake.job_file import job_from_document
from stopwright.intake.shop_file import default_shop, shop_to_toml

IMPORTS = ROOT / "fixtures" / "imports"
SETTINGS = {"name": "Stools", "lengths": "mm", "units": "6", "flow": "station by station", "glue": "white glue"}
LEG = {"mark": "A", "name": "Leg", "quantity": "24", "length": "450", "width": "38", "thickness": "38"}


def check(floor, rows, **settings):
    answer = floor.bench.post("/jobs/1/parts/check", json={"rows": rows, "settings": SETTINGS | settings})
    assert answer.status_code == 200, answer.text
    return answer.json()


def save(floor, rows, base, **more):
    sent = {"rows": rows, "settings": SETTINGS, "base": base} | more
    return floor.bench.post("/jobs/1/parts/save", json=sent)


def version(floor):
    return floor.bench.get("/jobs/1/version").json()["version"]


def test_faults_come_with_their_row_and_field_and_a_next_step(floor):
    rows = [LEG, LEG | {"mark": "", "length": "17 3/4x", "quantity": "some", "kind": "shet"}, {"name": "Peg"}]
    faults = {(fault["row"], fault["field"]): fault for fault in check(floor, rows)["faults"]}
    assert {(1, "length"), (1, "quantity"), (1, "kind"), (2, "length"), (2, "quantity")} <= set(faults)
    assert "'sheet'" in faults[1, "kind"]["next_step"]
    assert faults[2, "width"]["next_step"] == "fill it in"
    assert all(fault["what"] and fault["next_step"] for fault in faults.values())
    assert not any(row == 0 for row, _ in faults)


def test_cells_are_read_back_in_both_units_and_empty_ones_say_what_they_stand_for(floor):
    readings = check(floor, [LEG | {"length": "45 cm", "width": "1 1/2 in"}, {"name": "Seat", "kind": "sheet"}])[
        "readings"
    ]
    assert readings[0]["length"].startswith("450 mm, ")
    assert readings[0]["width"] == "38.1 mm, 1 1/2 in"
    assert "thickness" not in readings[0]  # 38 is read as it stands
    assert (readings[1]["mark"], readings[1]["grain"], readings[1]["hand"]) == ("B", "any", "same")


def test_what_is_wrong_elsewhere_in_the_job_is_said_too(floor):
    answer = check(floor, [LEG | {"mark": "X"}], units="none")
    assert any("post" in line["words"] for line in answer["elsewhere"]) or answer["elsewhere"] == []
    assert {fault["field"] for fault in answer["faults"]} == {"units"}
    lines = check(floor, [LEG | {"mark": "X"}])["elsewhere"]
    assert any("names part" in line["words"] and line["mend"] == "/jobs/1/joints?at=joint.0#entry" for line in lines)


def test_a_job_in_another_unit_keeps_every_length_it_has(floor):
    joint = {"mark": "J1", "post": "A", "rail": "B", "side": "edge", "slot_from": "12.5", "slot_to": "1 1/2 in"}
    board = {"kind": "board", "length": "2400", "width": "150", "thickness": "45"}
    whole = {
        "lengths": "mm",
        "part": [LEG, LEG | {"mark": "B", "length": "414.3", "width": "1 1/2 in", "tolerance": "0.3"}],
        "joint": [joint | {"bit": 8, "depth_post": 20, "depth_rail": 20}],
        "stock": [board | {"zone": [{"start": "1", "end": "2"}]}],
        "mitre": [{"part": "A", "angle": 45}],
        "housing": [{"mark": "H1", "parts": ["A"], "side": "face", "at": [72, "3 in"], "width": 6.5, "depth": 6}],
    }
    save_section(floor.store, "1", whole, version(floor), "bench")
    before = job_document(floor.store, "1").document
    rows = floor.bench.get("/jobs/1/parts/now").json()["rows"]
    answer = save(floor, rows, version(floor), settings=SETTINGS | {"lengths": "in"}).json()
    after = job_document(floor.store, "1").document
    assert after["lengths"] == "in"
    row = answer["rows"][1]
    assert (row["length"], row["width"], row["tolerance"]) == ("414.3 mm", "1 1/2 in", "0.3 mm")
    assert answer["rows"] == floor.bench.get("/jobs/1/parts/now").json()["rows"]
    assert after["stock"][0]["zone"] == [{"start": "1 mm", "end": "2 mm"}]
    assert (after["joint"][0]["slot_from"], after["joint"][0]["bit"]) == ("12.5 mm", "8 mm")
    (housing,) = after["housing"]
    assert (housing["at"], housing["width"]) == (["72 mm", "3 in"], "6.5 mm") and after["mitre"] == before["mitre"]
    # and back: what says its unit stays as it is, a new bare number is one of inches until then
    again = save(floor, [*answer["rows"], LEG | {"mark": "C", "length": "2"}], version(floor)).json()
    assert [row["length"] for row in again["rows"]] == ["450 mm", "414.3 mm", "2 in"]
    assert "rows" not in save(floor, again["rows"], version(floor)).json()


def test_a_draft_is_saved_as_it_was_typed_faulty_or_not(floor):
    rows = [LEG | {"length": "abc"}, LEG | {"mark": "B", "quantity": "4 pcs", "tolerance": "± 0.5"}]
    answer = save(floor, rows, version(floor))
    assert answer.status_code == 200 and answer.json()["faults"]
    saved = job_document(floor.store, "1").document
    assert saved["part"][0]["length"] == "abc"
    assert (saved["part"][1]["quantity"], saved["part"][1]["tolerance"]) == (4, "0.5")
    assert saved["units"] == 6 and len(saved["joint"]) == 3 and len(saved["stock"]) == 4
    assert floor.bench.get("/jobs/1/parts/now").json()["rows"][0]["length"] == "abc"
    assert floor.bench.get("/jobs/1/runs").status_code == 422


def test_saving_what_stands_there_already_writes_nothing(floor):
    before = floor.store.last_seq
    now = floor.bench.get("/jobs/1/parts/now").json()
    sent = {"rows": now["rows"], "settings": now["settings"], "base": now["version"]}
    assert floor.bench.post("/jobs/1/parts/save", json=sent).json()["version"] == now["version"]
    assert floor.store.last_seq == before


def test_the_same_saving_twice_is_one(floor):
    base = version(floor)
    first = save(floor, [LEG], base, id="abcdefgh-1").json()
    again = save(floor, [LEG | {"name": "Other"}], base, id="abcdefgh-1").json()
    assert first["version"] == again["version"] and version(floor) == first["version"]


def test_the_second_of_two_windows_is_told_and_nothing_of_the_first_is_overwritten(floor):
    base = version(floor)
    assert save(floor, [LEG], base).status_code == 200
    answer = save(floor, [LEG | {"name": "Other leg"}], base)
    assert answer.status_code == 409 and answer.json()["error"]["next_step"]
    assert job_document(floor.store, "1").document["part"][0]["name"] == "Leg"
    assert save(floor, [LEG | {"name": "Other leg"}], version(floor)).status_code == 200


def test_windows_on_different_sections_do_not_disturb_each_other(floor):
    base = version(floor)
    save_section(floor.store, "1", {"joint": None}, base, "bench")
    assert save(floor, [LEG], base).status_code == 200
    saved = job_document(floor.store, "1").document
    assert "joint" not in saved and len(saved["part"]) == 1
    with pytest.raises(ChangedMeanwhile):
        save_section(floor.store, "1", {"joint": []}, base, "bench")


def test_joints_follow_a_part_that_is_given_another_mark(floor):
    now = floor.bench.get("/jobs/1/parts/now").json()
    rows = [row | {"mark": {"A": "B", "B": "A"}.get(row["mark"], row["mark"])} for row in now["rows"]]
    sent = {"rows": rows, "settings": now["settings"], "base": now["version"], "marks": {"A": "B", "B": "A"}}
    assert floor.bench.post("/jobs/1/parts/save", json=sent).json()["elsewhere"] == []
    joints = job_document(floor.store, "1").document["joint"]
    assert [(joint["post"], joint["rail"]) for joint in joints] == [("B", "A"), ("B", "A"), ("B", "C")]


def test_cuts_follow_a_part_that_is_given_another_mark_and_its_faults_have_a_place(floor):
    groove = {"mark": "G1", "parts": ["A", "B"], "side": "face", "from": "edge", "at": 8, "fits": "C", "depth": 6}
    save_section(floor.store, "1", {"groove": [groove, groove | {"mark": "G2", "depth": "deep"}]}, version(floor), "b")
    now = floor.bench.get("/jobs/1/parts/now").json()
    rows = [row | {"mark": {"A": "X", "C": "Y"}.get(row["mark"], row["mark"])} for row in now["rows"]]
    sent = {"rows": rows, "settings": now["settings"], "base": now["version"], "marks": {"A": "X", "C": "Y"}}
    (place,) = floor.bench.post("/jobs/1/parts/save", json=sent).json()["elsewhere"]
    assert place["where"] == "Groove G2 (line 2)" and "'deep' is not a length" in place["words"]
    assert floor.bench.get(place["mend"]).status_code == 200
    kept = job_document(floor.store, "1").document["groove"][0]
    assert (kept["parts"], kept["fits"]) == (["X", "B"], "Y")


def test_a_version_that_never_was_is_not_gone_on_from(floor):
    assert save(floor, [LEG], 999).status_code == 404


@pytest.mark.parametrize("sent", [{}, {"rows": 3}, {"rows": [3]}, {"rows": [], "more": 1}, {"rows": [], "base": "x"}])
def test_what_is_no_draft_is_refused(floor, sent):
    assert floor.bench.post("/jobs/1/parts/save", json=sent).status_code == 422


@pytest.mark.parametrize("value", [None, [], {}, 3, 1.5, True, "\x00", "x" * 5000, "\ud800"])
def test_no_value_in_a_cell_breaks_the_check(floor, value):
    rows = [LEG | dict.fromkeys(("length", "quantity", "kind", "mark"), value), {"strange": value}]
    sent, headers = json.dumps({"rows": rows}), {"content-type": "application/json"}
    for what in ("check", "save"):
        answer = floor.bench.post(f"/jobs/1/parts/{what}", content=sent, headers=headers)
        assert answer.status_code in (200, 404, 422)


def looked_at(floor, path="/import", **sent):
    answer = floor.bench.post(path, **sent)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


WILD = [file for file in sorted(IMPORTS.iterdir()) if file.name != "columns-of-another-house.csv"]


@pytest.mark.parametrize("file", WILD, ids=lambda file: file.name)
def test_lists_from_the_wild_become_jobs(floor, file):
    place = looked_at(floor, files={"file": (file.name, file.read_bytes())})
    page = floor.bench.get(place).text
    assert "Import it" in page
    answer = floor.bench.post(place, data={"name": file.stem, "units": "2", "lengths": "mm"})
    job = answer.headers["location"].split("/")[2]
    parts = job_document(floor.store, job).document["part"]
    assert parts and all(part["quantity"] and part["length"] for part in parts)
    assert job_document(floor.store, job).name == file.stem


def test_what_is_left_out_is_shown_before_anything_is_taken_over(floor):
    place = looked_at(
        floor, data={"rows": "Cut list\nName\tQty\tL\tW\tT\tColour\nLeg\t4\t450\t38\t38\tred\nTotal\t4\t\t\t\t\n"}
    )
    page = floor.bench.get(place).text
    assert "Colour" in page and "is a total" in page and "Cut list" in page
    assert set(floor.store.newest(("job saved",))) == {"1"}


def test_a_mapping_is_remembered_for_lists_with_the_same_columns(floor):
    rows = "What\tHow often\tLong\tBroad\tThick\nLeg\t4\t450\t38\t38\n"
    place = looked_at(floor, data={"rows": rows})
    fields = dict(zip(range(5), ["name", "quantity", "length", "width", "thickness"], strict=True))
    mapped = {f"column-{place}": field for place, field in fields.items()}
    assert "to fix" in floor.bench.get(place).text
    assert "Import it" in floor.bench.get(place, params=mapped).text
    assert floor.bench.post(place, data=mapped | {"name": "x", "units": "1"}).status_code == 303
    again = floor.bench.get(looked_at(floor, data={"rows": rows.replace("Leg", "Rail")})).text
    assert "as you chose them last time" in again and "Import it" in again


def test_a_list_is_added_to_the_parts_of_a_job_or_put_in_their_place(floor):
    rows = "mark,name,qty,l,w,t\nE,Peg,12,60,10,10\n"
    place = looked_at(floor, "/jobs/1/import", data={"rows": rows})
    floor.bench.post(place, data={"how": "add"})
    assert [part["mark"] for part in job_document(floor.store, "1").document["part"]] == list("ABCDE")
    again = looked_at(floor, "/jobs/1/import", data={"rows": rows})
    assert "stands in another list of this job already" in floor.bench.get(again).text
    floor.bench.post(again, data={"how": "replace"})
    assert [part["mark"] for part in job_document(floor.store, "1").document["part"]] == ["E"]


def test_every_row_of_a_list_is_shown(floor):
    rows = "name,qty,l,w,t\n" + "".join(f"Slat {number},1,450,38,20\n" for number in range(400))
    page = floor.bench.get(looked_at(floor, data={"rows": rows})).text
    assert all(f">Slat {number}<" in page for number in range(400)) and "more rows" not in page


def test_a_shop_in_inches_reads_a_new_list_in_inches_and_a_cell_with_its_unit_as_it_says(floor):
    bring_shop(floor.store, shop_to_toml(default_shop("in")).encode(), "shop.toml", "bench")
    place = looked_at(floor, data={"rows": "name,qty,l,w,t\nLeg,4,17 3/4,38 mm,1\n"})
    assert re.search('value="in" checked', floor.bench.get(place).text)
    for unit, length in (("in", 450_850_000), ("mm", 450_850_000)):
        place = looked_at(floor, data={"rows": 'name\tqty\tl\tw\tt\nLeg\t4\t17 3/4"\t38 mm\t20\n'})
        taken = floor.bench.post(place, data={"name": "x", "units": "1", "lengths": unit})
        saved = job_document(floor.store, taken.headers["location"].split("/")[2])
        leg = job_from_document(saved.document, "x").parts[0]
        assert (leg.length, leg.width) == (length, 38_000_000)


def test_a_material_that_is_called_as_sheets_are_is_asked_about_and_so_is_its_grain(floor):
    rows = "name,qty,l,w,t,material\nSide,2,600,300,18,oak ply\nLeg,4,450,38,38,oak\n"

    def taken(**said):
        place = looked_at(floor, data={"rows": rows})
        page = floor.bench.get(place, params=said).text
        answer = floor.bench.post(place, data={"name": "x", "units": "1"} | said)
        saved = job_document(floor.store, answer.headers["location"].split("/")[2])
        return page, [(one.kind, one.grain) for one in job_from_document(saved.document, "x").parts]

    page, parts = taken()
    assert "oak ply: does it come as sheets?" in page and "grain of parts from sheets" not in page
    assert parts == [("solid", "along"), ("solid", "along")]
    page, parts = taken(sheets="yes", grain="across")
    assert "grain of parts from sheets" in page and parts == [("sheet", "across"), ("solid", "along")]
    assert taken(sheets="yes", grain="nonsense")[1][0] == ("sheet", "any")


def test_a_list_that_says_its_kinds_is_not_asked_about_them(floor):
    rows = "name,qty,l,w,t,material,kind,grain\nSide,2,600,300,18,oak ply,solid,along\n"
    assert "come as sheets" not in floor.bench.get(looked_at(floor, data={"rows": rows})).text


def test_a_list_of_many_faults_says_the_first_of_them(floor):
    parts = "[[part]]\n" * 3000
    page = floor.bench.post("/import", files={"file": ("job.toml", parts.encode())}, headers={"accept": "text/html"})
    assert page.status_code == 422 and page.text.count("<li>") < 100 and "more</li>" in page.text


def test_a_key_of_thousands_of_steps_is_refused_in_words(floor):
    deep = b".".join([b"a"] * 160_000) + b" = 1"
    for path in ("/import", "/shop/file"):
        answer = floor.bench.post(path, files={"file": ("deep.toml", deep)})
        assert answer.status_code == 422 and "nests too deeply" in answer.json()["error"]["faults"][0]


def test_a_list_is_not_added_over_what_another_window_changed_meanwhile(floor):
    place = looked_at(floor, "/jobs/1/import", data={"rows": "mark,name,qty,l,w,t\nE,Peg,12,60,10,10\n"})
    base = version(floor)
    save(floor, [LEG], base)
    assert floor.bench.post(place, data={"how": "replace", "base": str(base)}).status_code == 409


def test_a_faulty_list_can_be_taken_as_it_stands_with_no_row_lost(floor):
    rows = "name,qty,length (in),w,t\nLeg,some,17 3/4,38,38\nRail,4,abc,60,22\nTotal,4,,,\n"
    place = looked_at(floor, data={"rows": rows})
    page = floor.bench.get(place).text
    assert "2 things to fix" in page and "as it is" in page
    assert floor.bench.post(place, data={"name": "x", "units": "1"}).status_code == 422
    taken = floor.bench.post(place, data={"name": "x", "units": "1", "take": "as written"})
    parts = job_document(floor.store, taken.headers["location"].split("/")[2]).document["part"]
    assert [part["name"] for part in parts] == ["Leg", "Rail"]
    assert parts[0]["length"] == "17 3/4 in" and parts[0]["quantity"] == "some" and parts[1]["length"] == "abc"


def test_traps_and_giants_are_refused_with_a_sentence(floor):
    bomb = BytesIO()
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet1.xml", b"0" * 150_000_000)
    answer = floor.bench.post("/import", files={"file": ("bomb.xlsx", bomb.getvalue())})
    assert answer.status_code == 422 and "would unpack to more than 100 MB" in answer.json()["error"]["faults"][0]
    giant = floor.bench.post("/import", content=b"", headers={"content-length": "200000000"})
    assert giant.status_code == 413 and giant.json()["error"]["what"]
    assert floor.bench.post("/import", data={"rows": ""}).status_code == 422
    assert floor.bench.get("/import/nowhere").status_code == 404


def test_what_was_pasted_or_typed_stands_there_again_when_it_cannot_be_taken(floor):
    page = {"accept": "text/html"}
    refused = floor.bench.post("/import", data={"rows": ",,,"}, headers=page)
    assert refused.status_code == 422 and ">,,,</textarea>" in refused.text and "holds no rows" in refused.text
    place = looked_at(floor, data={"rows": "name,qty,l,w,t\nLeg,4,450,38,38\n"})
    before = floor.bench.get("/").text.count("Trestle")
    again = floor.bench.post(place, data={"name": "Trestle", "units": "two", "lengths": "in"}, headers=page)
    assert again.status_code == 422 and "&#39;two&#39; is not a number of units" in again.text
    assert 'value="Trestle"' in again.text and 'value="two"' in again.text and 'value="in" checked' in again.text
    assert floor.bench.get("/").text.count("Trestle") == before == 0


def test_columns_that_nothing_is_known_of_are_asked_for_one_by_one(floor):
    file = IMPORTS / "columns-of-another-house.csv"
    page = floor.bench.get(looked_at(floor, files={"file": (file.name, file.read_bytes())})).text
    assert "which column is Name, Quantity, Length, Width, Thickness." in page and page.count("<select") == len(
        file.read_text().split("\n")[0].split(",")
    )


def test_markup_in_a_list_is_harmless_on_every_page(floor):
    nasty = "<script>alert(1)</script>"
    place = looked_at(floor, data={"rows": f"name,qty,l,w,t,{nasty}\n{nasty},4,450,38,38,x\n"})
    assert nasty not in floor.bench.get(place).text
    answer = floor.bench.post(place, data={"name": nasty, "units": "1"})
    for page in (answer.headers["location"], "/"):
        text = floor.bench.get(page).text
        assert nasty not in text and "alert(1)" in text
