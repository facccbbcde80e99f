"""The page of joints: rows typed, answered and kept; offers, conflicts, undo; names with markup; the master pieces."""

import html
import json
import re

import pytest
from tests.conftest import ROOT

from stopwright.actions.jobs.keeping import create_job, job_document, save_job
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop

HTML = {"accept": "text/html"}
NASTY = """<script>alert(1)</script>"'&"""
J1 = {
    "mark": "J1", "post": "A", "rail": "B", "side": "far edge", "setback": "3", "slot_from": "14", "slot_to": "46",
    "bit": "8", "depth_post": "19", "depth_rail": "25",
}  # fmt: skip


def stools() -> dict:
    return job_to_document(read_job(ROOT / "fixtures" / "bakery-stools"))


@pytest.fixture
def bare(floor):
    """The stools without their joints."""
    document = stools()
    del document["joint"]
    return create_job(floor.store, document, "bench")


def send(floor, job, fields, at="joint/0", save=True, base=None):
    version = job_document(floor.store, job).version if base is None else base
    pairs = [[name, value] for name, value in fields.items()] if isinstance(fields, dict) else fields
    return floor.bench.post(f"/jobs/{job}/joints/{at}", json={"base": version, "fields": pairs, "save": save})


def test_a_joint_typed_in_full_reads_as_the_same_joint_in_a_file(floor, bare):
    floor.bench.post(f"/jobs/{bare}/joints/joint/add")
    answer = send(floor, bare, J1 | {"drop": "", "count": "", "repeat": ""})
    assert answer.status_code == 200 and answer.json()["faults"] == []
    assert (
        plan_for(floor.store, bare, default_shop()).job.joints == read_job(ROOT / "fixtures/bakery-stools").joints[:1]
    )


def test_what_is_missing_is_said_beside_its_field_and_kept_as_it_is(floor, bare):
    floor.bench.post(f"/jobs/{bare}/joints/joint/add")
    answer = send(floor, bare, {"mark": "J1", "post": "A", "rail": "B", "side": "edge", "slot_from": "1/128 in"}).json()
    said = {fault["field"]: fault["text"] for fault in answer["faults"]}
    assert set(said) == {"slot_from", "slot_to", "bit", "depth_post", "depth_rail"}
    assert "finer than can be kept" in said["slot_from"]
    assert job_document(floor.store, bare).document["joint"][0]["slot_from"] == "1/128 in"
    assert "1/128 in" in floor.bench.get(f"/jobs/{bare}/joints", headers=HTML).text


def test_the_picture_follows_the_numbers(floor, bare):
    floor.bench.post(f"/jobs/{bare}/joints/joint/add")
    one = send(floor, bare, J1, save=False).json()["parts"]["joint_answer"]
    two = send(floor, bare, J1 | {"slot_to": "50"}, save=False).json()["parts"]["joint_answer"]
    assert re.findall(r"<path[^>]+>", one) != re.findall(r"<path[^>]+>", two)
    assert "comes from the left to its far edge" in one
    right = send(floor, bare, J1 | {"side": "edge"}, save=False).json()["parts"]["joint_answer"]
    assert "comes from the right to its face edge" in right


def test_a_draft_is_answered_but_not_kept(floor, bare):
    floor.bench.post(f"/jobs/{bare}/joints/joint/add")
    before = job_document(floor.store, bare)
    assert send(floor, bare, J1, save=False).json()["saved"] is False
    assert job_document(floor.store, bare) == before


def test_the_mortiser_is_told_height_travel_depth_and_stop(floor):
    text = words_of(send(floor, floor.job, J1, save=False))
    # height 3 + 22 / 2 = 14; travel 14 + 8 / 2 = 18 to 46 − 4 = 42
    for said in (
        "14 mm",
        "18 mm",
        "42 mm",
        "19 mm",
        "face side down, marked end at the right stop",
        "7.9 × 31.2 × 40.8",
    ):
        assert said in text, said


def test_a_job_in_inches_is_answered_in_inches(floor):
    document = {
        "name": "Porch bench", "lengths": "in",
        "part": [
            {"mark": "A", "name": "Leg", "quantity": 4, "length": "17 3/4", "width": "1 3/4", "thickness": "1 3/4"},
            {"mark": "B", "name": "Rail", "quantity": 2, "length": "40", "width": "3", "thickness": "7/8"},
        ],
        "joint": [{}],
    }  # fmt: skip
    job = create_job(floor.store, document, "bench")
    joint = {
        "mark": "J1", "post": "A", "rail": "B", "side": "edge", "setback": "1/8", "slot_from": "1/2", "slot_to": "2",
        "bit": "3/8", "depth_post": "1", "depth_rail": "1 1/4",
    }  # fmt: skip
    text = words_of(send(floor, job, joint))
    assert "9/16 in" in text and "11/16 in to 1 13/16 in" in text  # 1/8 + 7/16; 1/2 + 3/16, 2 − 3/16
    assert " mm" not in text
    page = floor.bench.get(f"/jobs/{job}/joints", headers=HTML).text
    assert " mm" not in re.sub(r"<[^>]+>", " ", page)


def words_of(answer) -> str:
    return " ".join(re.sub(r"<[^>]+>|\s+", " ", answer.json()["parts"]["joint_answer"]).split())


def offers(answer) -> list[tuple[str, dict]]:
    found = re.findall(
        r"<span>([^<]+)</span> <button[^>]+data-sets=\"([^\"]+)\"", answer.json()["parts"]["joint_answer"]
    )
    return [(words, json.loads(html.unescape(sets))) for words, sets in found]


def test_an_offer_puts_right_what_it_speaks_of(floor):
    too_deep = J1 | {"depth_post": "26"}
    second = dict(stools()["joint"][1]) | {"depth_post": "26"}
    send(floor, floor.job, second, at="joint/1")
    answer = send(floor, floor.job, too_deep)
    assert "meet inside the piece" in answer.json()["parts"]["joint_answer"]
    words, sets = next(offer for offer in offers(answer) if "depth_post" in offer[1])
    assert sets == {"depth_post": "19"} and "19 mm" in words  # 38 − 14 − 8 / 2, less 1 that stays
    after = send(floor, floor.job, too_deep | sets)
    assert "meet inside the piece" not in after.json()["parts"]["joint_answer"]


def test_a_long_slot_is_offered_as_two(floor):
    answer = send(floor, floor.job, J1 | {"slot_from": "2", "slot_to": "58"}, save=False)
    sets = next(sets for _, sets in offers(answer) if "pitch" in sets)
    assert sets == {"slot_to": "22", "count": "2", "pitch": "36"}  # (56 − 16) / 2 = 20 each, 16 between


def test_usual_figures_fill_a_joint_that_has_none(floor, bare):
    floor.bench.post(f"/jobs/{bare}/joints/joint/add")
    start = {"mark": "J1", "post": "A", "rail": "B", "side": "edge"}
    ((_, sets),) = offers(send(floor, bare, start))
    assert send(floor, bare, start | sets).json()["faults"] == []


def test_slats_are_spaced_evenly_and_their_spacing_is_never_kept_by_itself(floor):
    asked = {"slats.from": "0", "slats.to": "450", "slats.count": "3"}
    said = send(floor, floor.job, J1 | asked).json()["parts"]["joint_slats"]
    sets = json.loads(html.unescape(re.search(r'data-sets="([^"]+)"', said)[1]))
    assert sets == {"drop": "67.5", "repeat": "3", "spacing": "127.5"}  # (450 − 3 × 60) / 4 = 67.5
    assert "slats" not in job_document(floor.store, floor.job).document["joint"][0]
    assert "do not fit" in send(floor, floor.job, J1 | asked | {"slats.to": "90"}).json()["parts"]["joint_slats"]


def test_the_second_of_two_windows_is_told_and_loses_nothing(floor):
    base = job_document(floor.store, floor.job).version
    assert send(floor, floor.job, J1 | {"slot_to": "44"}, base=base).status_code == 200
    late = send(floor, floor.job, J1 | {"slot_to": "48"}, base=base)
    assert late.status_code == 409 and late.json()["version"] > base
    assert job_document(floor.store, floor.job).document["joint"][0]["slot_to"] == "44"
    again = send(floor, floor.job, J1 | {"slot_to": "48"}, base=late.json()["version"])
    assert again.status_code == 200


def test_parts_changed_in_another_window_do_not_stand_in_the_way(floor):
    saved = job_document(floor.store, floor.job)
    changed = {**saved.document, "name": "Seven stools"}
    save_job(floor.store, floor.job, changed, saved.version, "bench")
    assert send(floor, floor.job, J1 | {"slot_to": "44"}, base=saved.version).status_code == 200
    now = job_document(floor.store, floor.job).document
    assert (now["name"], now["joint"][0]["slot_to"]) == ("Seven stools", "44")


def test_a_deleted_joint_comes_back_whole(floor):
    before = job_document(floor.store, floor.job).document["joint"]
    base = job_document(floor.store, floor.job).version
    gone = floor.bench.post(f"/jobs/{floor.job}/joints/joint/1/delete", data={"base": base})
    assert len(job_document(floor.store, floor.job).document["joint"]) == 2
    table, version = re.search(r"gone=(\w+)\.(\d+)", gone.headers["location"]).groups()
    floor.bench.post(f"/jobs/{floor.job}/joints/put-back", data={"table": table, "version": version})
    assert job_document(floor.store, floor.job).document["joint"] == before


def test_a_stale_page_deletes_no_other_joint_than_the_one_it_shows(floor):
    base = job_document(floor.store, floor.job).version
    for row, expected in ((0, 303), (0, 303), (1, 409)):  # the same row again is the same wish again
        gone = floor.bench.post(f"/jobs/{floor.job}/joints/joint/{row}/delete", data={"base": base})
        assert gone.status_code == expected
    assert [joint["mark"] for joint in job_document(floor.store, floor.job).document["joint"]] == ["J2", "J3"]


def test_numbers_beyond_reason_are_refused_in_words(floor):
    for field in ("count", "repeat"):
        answer = send(floor, floor.job, J1 | {field: "1000000000", "pitch": "40", "spacing": "90"}).json()
        assert field in {fault["field"] for fault in answer["faults"]}
    for base in (-1, 2**70, 2**52):
        assert send(floor, floor.job, J1, base=base).status_code in (404, 422)


def test_a_copy_takes_a_free_mark(floor):
    floor.bench.post(f"/jobs/{floor.job}/joints/joint/add", data={"like": "0"})
    rows = job_document(floor.store, floor.job).document["joint"]
    assert rows[3] == rows[0] | {"mark": "J4"}


def test_mitres_and_mouldings_are_entered_and_answered(floor):
    floor.bench.post(f"/jobs/{floor.job}/joints/mitre/add")
    mitre = send(
        floor, floor.job, {"part": "B", "sides": "4", "angle": "", "length": "short point"}, at="mitre/0"
    ).json()
    assert mitre["faults"] == [] and "364 mm" in mitre["parts"]["joint_answer"]  # 244 + 2 × 60
    floor.bench.post(f"/jobs/{floor.job}/joints/moulding/add")
    fields = [["mark", "P1"], ["parts", "B"], ["parts", "C"], ["edges", "far edge"]]
    fields += [["pass.0.cutter", "cove 12"], ["pass.0.height", "8"], ["pass.0.fence", "12"], ["pass.1.cutter", ""]]
    moulding = send(floor, floor.job, fields, at="moulding/0").json()
    assert moulding["faults"] == [] and "run long, crosscut after" in moulding["parts"]["joint_answer"]
    job = plan_for(floor.store, floor.job, default_shop()).job
    assert job.mitres[0].sides == 4 and len(job.mouldings[0].passes) == 1
    wrong = send(floor, floor.job, [*fields, ["pass.1.height", "x"]], at="moulding/0").json()
    assert {"pass.1.cutter", "pass.1.height", "pass.1.fence"} == {fault["field"] for fault in wrong["faults"]}


def test_names_with_markup_stay_names(floor):
    document = stools()
    document["name"] = NASTY
    for part in document["part"]:
        part["name"] = NASTY
    document["joint"][0] |= {"mark": NASTY, "side": NASTY, "slot_from": NASTY}
    document["mitre"] = [{"part": NASTY, "angle": NASTY}]
    document["moulding"] = [{"mark": NASTY, "parts": NASTY, "pass": NASTY, "edges": [NASTY]}]
    job = create_job(floor.store, document, "bench")
    for at in ("joint.0", "joint.1", "mitre.0", "moulding.0", NASTY):
        page = floor.bench.get(f"/jobs/{job}/joints", params={"at": at}, headers=HTML)
        assert page.status_code == 200 and "<script>alert" not in page.text, at
    answer = send(floor, job, J1 | {"mark": NASTY, "bit": NASTY}, at="joint/1").json()
    assert "<script>alert" not in "".join(answer["parts"].values())


@pytest.mark.parametrize("joint", [[], "x", [{}], [{"mark": 7, "post": {}, "count": "three"}], [None, 4]])
def test_a_job_with_any_joints_opens(floor, joint):
    job = create_job(floor.store, stools() | {"joint": joint, "part": joint if joint == "x" else stools()["part"]}, "b")
    assert floor.bench.get(f"/jobs/{job}/joints", headers=HTML).status_code == 200


def test_what_is_not_there_is_not_found_and_phones_change_nothing(floor):
    assert send(floor, floor.job, J1, at="joint/9").status_code == 404
    assert floor.bench.post(f"/jobs/{floor.job}/joints/part/add").status_code == 404
    phone = floor.phone()
    code = floor.door.new_code()
    phone.post(f"/pair/{code}", data={"name": "phone"})
    assert phone.post(f"/jobs/{floor.job}/joints/joint/0/delete", data={"base": 1}).status_code == 403


def test_master_pieces_stand_on_the_screen_and_on_paper(floor):
    first = floor.bench.get(f"/jobs/{floor.job}/master", headers=HTML)
    assert first.headers["location"].endswith("/master/A")
    page = floor.bench.get(f"/jobs/{floor.job}/master/A", headers=HTML).text
    assert "master piece A, Leg" in page and "328 mm" in page and "style=" not in page
    assert "marked end is at your right hand" in page
    for path in ("master-pieces.pdf?mark=A&page=Letter", "master-pieces.pdf", "story-stick.pdf"):
        assert floor.bench.get(f"/jobs/{floor.job}/{path}").content.startswith(b"%PDF"), path
    assert "story stick" in floor.bench.get(f"/jobs/{floor.job}/story-stick", headers=HTML).text
    assert floor.bench.get(f"/jobs/{floor.job}/master/D").status_code == 404


def test_the_page_of_a_master_piece_says_its_grooves_in_the_unit_that_is_shown(floor):
    job = create_job(floor.store, job_to_document(read_job(ROOT / "fixtures" / "honey-cabinets")), "bench")
    first = floor.bench.get(f"/jobs/{job}/master", headers=HTML).headers["location"]
    assert "on an end from the face edge, in mm" in floor.bench.get(first, headers=HTML).text
    inches = {"cookie": "show=1/32%20in"}
    assert "on an end from the face edge, in in" in floor.bench.get(first, headers=HTML | inches).text
