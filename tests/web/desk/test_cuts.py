"""Cuts on the page of joints: one form for every kind, made from its operation; touched, typed, answered, kept."""

import html
import re

import pytest
from tests.conftest import ROOT

from stopwright.actions.jobs.keeping import create_job, job_document
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.keys import keys_of
from stopwright.intake.shop_file import default_shop
from stopwright.plan.operations.groove import Groove
from stopwright.plan.operations.known import CUTS
from stopwright.plan.operations.taper import Taper

HTML = {"accept": "text/html"}


@pytest.fixture
def stools(floor):
    document = job_to_document(read_job(ROOT / "fixtures" / "bakery-stools"))
    del document["joint"]
    return create_job(floor.store, document, "bench")


def send(floor, job, fields, at, save=True):
    version = job_document(floor.store, job).version
    pairs = list(fields.items()) if isinstance(fields, dict) else fields
    return floor.bench.post(f"/jobs/{job}/joints/{at}", json={"base": version, "fields": pairs, "save": save})


@pytest.mark.parametrize("kind", CUTS)
def test_every_kind_of_cut_has_a_form_with_every_field_of_it(floor, stools, kind):
    answer = floor.bench.post(f"/jobs/{stools}/joints/{kind}/add", follow_redirects=False)
    page = floor.bench.get(answer.headers["location"], headers=HTML).text
    named = set(re.findall(r' name="([a-z_]+)"', page))
    assert named >= set(keys_of(CUTS[kind]))
    assert "None" not in re.sub(r"<script.*?</script>", "", page, flags=re.S)


def test_a_groove_takes_four_entries_and_the_numbers_at_the_machine_are_shown_while_typing(floor, stools):
    floor.bench.post(f"/jobs/{stools}/joints/groove/add")
    typed = {"parts": "A", "at": "10", "width": "6", "depth": "6"}
    begun = dict(job_document(floor.store, stools).document["groove"][0])
    answer = send(floor, stools, begun | typed, "groove/0", save=False).json()
    assert answer["faults"] == []
    said = html.unescape(re.sub(r"<[^>]+>", " ", answer["parts"]["joint_answer"]))
    assert "12.8 mm" in said and "6 mm" in said and "face side down, face edge at the fence" in said
    assert job_document(floor.store, stools).document["groove"][0] == begun  # asked, not kept
    send(floor, stools, begun | typed, "groove/0")
    (cut,) = plan_for(floor.store, stools, default_shop()).job.cuts
    assert isinstance(cut, Groove)
    assert (cut.parts, cut.at, cut.width, cut.depth) == (("A",), 10_000_000, 6_000_000, 6_000_000)


def test_a_side_is_chosen_on_the_picture_of_the_piece(floor, stools):
    floor.bench.post(f"/jobs/{stools}/joints/rebate/add")
    answer = send(floor, stools, {"mark": "R1", "parts": "A"}, "rebate/0").json()
    assert set(re.findall(r'data-side="([^"]+)"', answer["parts"]["joint_answer"])) == {
        "face", "back", "edge", "far edge"
    }  # fmt: skip


def test_several_places_are_typed_with_a_sign_between_them_and_read_back_so(floor, stools):
    floor.bench.post(f"/jobs/{stools}/joints/housing/add")
    fields = {"mark": "H1", "parts": "A", "side": "face", "at": "100; 200 ;300", "width": "6", "depth": "6"}
    assert send(floor, stools, fields, "housing/0").json()["faults"] == []
    assert job_document(floor.store, stools).document["housing"][0]["at"] == ["100", "200", "300"]
    page = floor.bench.get(f"/jobs/{stools}/joints?at=housing.0", headers=HTML).text
    assert 'value="100; 200; 300"' in page


def test_sides_are_ticked_and_the_taper_reads_them(floor, stools):
    floor.bench.post(f"/jobs/{stools}/joints/taper/add")
    fields = [
        ("mark", "K1"),
        ("parts", "A"),
        ("sides", "back"),
        ("sides", "far edge"),
        ("begins", "120"),
        ("leaves", "22"),
    ]
    assert send(floor, stools, fields, "taper/0").json()["faults"] == []
    (cut,) = plan_for(floor.store, stools, default_shop()).job.cuts
    assert isinstance(cut, Taper)
    assert [str(side) for side in cut.sides] == ["back", "far edge"]


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("side", "roof", "not one of the choices"),
        ("at", "ten", "ten"),
        ("width", "-3", "negative"),
        ("depth", "0", "not above 0"),
        ("fits", "Q", "which is not there"),
        ("start", "1/128 in", "finer than can be kept"),
        ("end", "999999", "100 m"),
        ("parts", "Q", "which is not there"),
        ("play", "x", "'x'"),
    ],
)
def test_a_bad_value_is_said_and_nothing_is_lost(floor, stools, field, value, said):
    floor.bench.post(f"/jobs/{stools}/joints/groove/add")
    good = {"mark": "G1", "parts": "A", "side": "face", "from": "edge", "at": "10", "width": "6", "depth": "6"}
    answer = send(floor, stools, good | {field: value}, "groove/0").json()
    assert any(said in fault["text"] for fault in answer["faults"]), answer["faults"]
    kept = job_document(floor.store, stools).document["groove"][0]
    assert kept[field] == ([value] if field == "parts" else value)


def test_a_cut_is_copied_under_a_free_mark(floor, stools):
    floor.bench.post(f"/jobs/{stools}/joints/groove/add")
    good = {"mark": "G1", "parts": "A", "side": "face", "from": "edge", "at": "10", "width": "6", "depth": "6"}
    send(floor, stools, good, "groove/0")
    floor.bench.post(f"/jobs/{stools}/joints/groove/add", data={"like": "0"})
    rows = job_document(floor.store, stools).document["groove"]
    assert [row["mark"] for row in rows] == ["G1", "G2"] and rows[1]["depth"] == "6"


def test_a_refused_cut_is_answered_with_its_reason(floor, stools):
    floor.bench.post(f"/jobs/{stools}/joints/groove/add")
    deep = {"mark": "G1", "parts": "A", "side": "face", "from": "edge", "at": "10", "width": "6", "depth": "30"}
    answer = send(floor, stools, deep, "groove/0").json()
    assert answer["faults"] == []
    assert "deeper than half of the wood" in answer["parts"]["joint_answer"]


def test_a_cut_square_to_a_mitre_is_answered_with_its_numbers_where_the_part_is_mitred(floor, stools):
    document = job_document(floor.store, stools).document
    slot = {"mark": "M1", "parts": ["B"], "start": "25", "length": "20", "bit": "6", "depth": "15"}
    spline = {"mark": "Q1", "parts": ["B"], "at": "8", "width": "4", "depth": "12"}
    job = create_job(
        floor.store, {**document, "mitre": [{"part": "B", "sides": 4}], "slot": [slot], "spline": [spline]}, "bench"
    )
    for kind, row, said in (("slot", slot, "in a jig at 45°"), ("spline", spline, "in a jig at 45°")):
        answer = send(floor, job, [(name, "".join(value)) for name, value in row.items()], f"{kind}/0").json()
        assert answer["faults"] == []
        assert said in answer["parts"]["joint_answer"] and "not mitred" not in answer["parts"]["joint_answer"]
