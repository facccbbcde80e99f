"""The page of things to make: one form for every kind, answered with every formula, kept, changed by hand."""

import html
import re

import pytest
from tests.builders import mm

from stopwright.actions.jobs.keeping import create_job, job_document
from stopwright.actions.jobs.planning import asked_for
from stopwright.intake.keys import keys_of
from stopwright.intake.shop_file import default_shop
from stopwright.plan.making.known import THINGS
from stopwright.plan.operations.groove import Housing

HTML = {"accept": "text/html"}
DRAWER = {"mark": "D", "width": "450", "height": "132.7", "depth": "400", "front": "16"}


@pytest.fixture
def chest(floor):
    return create_job(floor.store, {"name": "Chest", "units": 3, "drawer": [dict(DRAWER)]}, "bench")


def document(floor, job):
    return job_document(floor.store, job).document


def parts(floor, job):
    return {part.mark: part for part in asked_for(floor.store, job, default_shop()).job.parts}


def send(floor, job, fields, at="drawer/0", save=True):
    version = job_document(floor.store, job).version
    return floor.bench.post(
        f"/jobs/{job}/things/{at}", json={"base": version, "fields": list(fields.items()), "save": save}
    )


def change(floor, job, of, **typed):
    base = job_document(floor.store, job).version
    return floor.bench.post(
        f"/jobs/{job}/things/changed", data={"of": of, "base": base, "at_thing": "drawer.0"} | typed
    )


def words(text):
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


@pytest.mark.parametrize("kind", THINGS)
def test_every_kind_has_a_form_with_every_field_of_it(floor, kind):
    side = {"mark": "A", "name": "Side", "quantity": 2, "length": 700, "width": 300, "thickness": 18}
    job = create_job(floor.store, {"name": "New", "part": [side]}, "bench")
    answer = floor.bench.post(f"/jobs/{job}/things/{kind}/add", follow_redirects=False)
    page = floor.bench.get(answer.headers["location"], headers=HTML).text
    named = set(re.findall(r' name="([a-z_]+)"', page)) | {"opening"}
    assert named >= set(keys_of(THINGS[kind]))
    assert "None" not in re.sub(r"<script.*?</script>", "", page, flags=re.S)
    assert document(floor, job)[kind][0]["mark"] == f"{THINGS[kind].letter}1"


def test_what_follows_is_shown_while_typing_with_every_formula(floor, chest):
    answer = send(floor, chest, DRAWER | {"width": "460", "lowered": "yes"}, save=False).json()
    assert answer["faults"] == []
    said = words(answer["parts"]["thing_answer"])
    assert "opening width − side slides = 460 − 25.4 = 434.6 mm" in said
    assert "a box maker’s measuring instructions" in said
    assert document(floor, chest)["drawer"][0]["width"] == "450"  # asked, not kept
    send(floor, chest, DRAWER | {"width": "460", "lowered": "yes"})
    assert parts(floor, chest)["Df"].length == mm(422.6)


def test_an_opening_that_was_measured_by_itself_makes_lines_of_its_own(floor, chest):
    typed = DRAWER | {"lowered": "yes", "opening.0.number": "3", "opening.0.width": "449; 448.5", "opening.1.width": ""}
    assert send(floor, chest, typed).json()["faults"] == []
    assert document(floor, chest)["drawer"][0]["opening"] == [{"number": 3, "width": ["449", "448.5"]}]
    assert parts(floor, chest)["D.3f"].length == mm(411.1)
    said = words(floor.bench.get(f"/jobs/{chest}/things", headers=HTML).text)
    assert "Number 1, 2" in said and "Number 3" in said


def test_a_shelf_is_offered_every_part_but_its_own(floor, chest):
    floor.bench.post(f"/jobs/{chest}/things/shelf/add")
    send(floor, chest, {"mark": "B", "sides": "Ds", "width": "500", "depth": "200", "at": "300"}, "shelf/0")
    page = floor.bench.get(f"/jobs/{chest}/things?at=shelf.0", headers=HTML).text
    offered = re.findall(r'name="sides" value="([^"]+)"', page)
    assert "Ds" in offered and "B" not in offered
    assert parts(floor, chest)["B"].length == mm(512)  # 500 + 2 × 18 / 3


def test_a_copy_has_openings_of_its_own(floor, chest):
    send(floor, chest, DRAWER | {"lowered": "yes", "opening.0.number": "3", "opening.0.width": "448.5"})
    floor.bench.post(f"/jobs/{chest}/things/drawer/add", data={"like": "0"})
    first, copy = document(floor, chest)["drawer"]
    assert (copy["mark"], copy["width"], "opening" in copy) == ("D1", "450", False)
    assert "opening" in first


def test_a_box_that_is_not_ticked_is_false(floor, chest):
    send(floor, chest, DRAWER)
    assert document(floor, chest)["drawer"][0]["lowered"] is False
    assert parts(floor, chest)["Db"].width == mm(120)


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"width": "20"}, "width", "make the opening width more than 49.4 mm"),
        ({"groove_depth": "8"}, "groove_depth", "write at most 6 mm"),
        ({"height": "20"}, "height", "make the opening height more than 28.9 mm"),
        ({"opening.0.width": "abc"}, "opening.0.width", "abc"),
    ],
)
def test_nonsense_is_said_at_its_entry_and_kept(floor, chest, typed, field, said):
    answer = send(floor, chest, DRAWER | {"lowered": "yes"} | typed).json()
    (fault,) = answer["faults"]
    assert fault["field"] == field
    assert said in fault["text"]
    page = words(floor.bench.get(f"/jobs/{chest}/sheet", headers=HTML).text)
    assert "in the way of a plan" in page


def test_a_line_changed_by_hand_says_so_stays_and_can_be_taken_back(floor, chest):
    change(floor, chest, "Df", length="410", note="from the short board")
    send(floor, chest, DRAWER | {"width": "460", "lowered": "yes"})
    part = parts(floor, chest)["Df"]
    assert (part.length, part.note) == (mm(410), "from the short board")
    said = words(floor.bench.get(f"/jobs/{chest}/things", headers=HTML).text)
    assert "Length changed by hand: 410 mm . The drawer says 422.6 mm" in said
    assert "changed by hand" in words(floor.bench.get(f"/jobs/{chest}/parts", headers=HTML).text)
    change(floor, chest, "Df", length="", note="")
    assert parts(floor, chest)["Df"].length == mm(422.6)
    assert "changed" not in document(floor, chest)


def test_a_cut_is_changed_by_hand_too(floor, chest):
    change(floor, chest, "DH1", at="11; 387", depth="5")
    cut = next(one for one in asked_for(floor.store, chest, default_shop()).job.cuts if one.mark == "DH1")
    assert isinstance(cut, Housing)
    assert (cut.at, cut.depth) == ((mm(11), mm(387)), mm(5))
    said = words(floor.bench.get(f"/jobs/{chest}/things", headers=HTML).text)
    assert "changed by hand: 11 mm . The drawer says 10 mm" in said


def test_a_change_that_cannot_be_read_is_kept_and_said_at_its_line(floor, chest):
    change(floor, chest, "Df", length="half a metre")
    said = words(floor.bench.get(f"/jobs/{chest}/things", headers=HTML).text)
    assert "half a metre" in said
    assert document(floor, chest)["changed"] == [{"of": "Df", "length": "half a metre"}]
    assert change(floor, chest, "Dx", length="4").status_code == 404


def test_what_names_its_parts_follows_when_a_thing_is_given_another_mark(floor, chest):
    change(floor, chest, "Df", length="410")
    groove = {"mark": "G1", "parts": "Ds", "side": "back", "from": "edge", "at": "40", "width": "6", "depth": "4"}
    floor.bench.post(f"/jobs/{chest}/joints/groove/add")
    base = job_document(floor.store, chest).version
    floor.bench.post(
        f"/jobs/{chest}/joints/groove/0", json={"base": base, "fields": list(groove.items()), "save": True}
    )
    send(floor, chest, DRAWER | {"mark": "E", "lowered": "yes"})
    saved = document(floor, chest)
    assert saved["groove"][0]["parts"] == ["Es"]
    assert saved["changed"] == [{"of": "Ef", "length": "410"}]
    assert parts(floor, chest)["Ef"].length == mm(410)


def test_a_thing_goes_with_its_changes_and_comes_back_with_them(floor, chest):
    change(floor, chest, "Df", length="410")
    base = job_document(floor.store, chest).version
    answer = floor.bench.post(f"/jobs/{chest}/things/drawer/0/delete", data={"base": base}, follow_redirects=False)
    assert "drawer" not in document(floor, chest) and "changed" not in document(floor, chest)
    table, version = answer.headers["location"].split("gone=")[1].split(".")
    floor.bench.post(f"/jobs/{chest}/things/put-back", data={"table": table, "version": version})
    assert parts(floor, chest)["Df"].length == mm(410)


def test_parts_that_things_make_stand_below_the_list_and_can_be_chosen_for_a_cut(floor, chest):
    said = words(floor.bench.get(f"/jobs/{chest}/parts", headers=HTML).text)
    assert "Dbo Drawer D, bottom 3 411.6 mm 389 mm 6 mm" in said
    floor.bench.post(f"/jobs/{chest}/joints/groove/add")
    assert "Ds Drawer D, side" in words(floor.bench.get(f"/jobs/{chest}/joints", headers=HTML).text)


def test_a_job_of_nothing_but_things_gets_its_run_sheet(floor, chest):
    page = words(floor.bench.get(f"/jobs/{chest}/sheet", headers=HTML).text)
    assert "No part yet" not in page
    assert floor.bench.get(f"/jobs/{chest}/pieces", headers=HTML).status_code == 200


def test_another_window_s_change_is_not_overwritten(floor, chest):
    base = job_document(floor.store, chest).version
    send(floor, chest, DRAWER | {"width": "460"})
    answer = floor.bench.post(
        f"/jobs/{chest}/things/drawer/0",
        json={"base": base, "fields": list((DRAWER | {"width": "470"}).items()), "save": True},
    )
    assert answer.status_code == 409
