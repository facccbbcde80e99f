"""Things to make in a job file: read, worked out, written back without what follows from them."""

import tomllib
from dataclasses import MISSING, fields

import pytest
from tests.builders import mm

from stopwright.errors import BadInput
from stopwright.intake.document_shape import refuse_odd
from stopwright.intake.draft import read_draft
from stopwright.intake.job_file import job_from_document, job_to_document, job_to_toml
from stopwright.intake.said_units import units_said
from stopwright.model.job import Job
from stopwright.model.parts import MadePart
from stopwright.plan.making.known import THINGS

CHEST = """
name = "Chest"
units = 2

[[part]]
mark = "A"
name = "Knob"
quantity = 4
length = 40
width = 20
thickness = 20

[[drawer]]
mark = "D"
width = 450
height = 132.7
depth = 400
front = 16

[[drawer.opening]]
number = 2
width = [448.5, 449]

[[frame]]
mark = "F"
width = 500
height = 700
corner = "loose tenons"

[[groove]]
mark = "Df"
parts = "Ds"
side = "back"
from = "edge"
at = 40
width = 6
depth = 4

[[changed]]
of = "Df"
length = 410
note = "knot at the middle"

[[changed]]
of = "DH1"
at = [11, 387]
depth = 5
"""


def read(text: str) -> Job:
    return job_from_document(tomllib.loads(text), "job.toml")


def faults(text: str) -> list[str]:
    with pytest.raises(BadInput) as error:
        read(text)
    return [str(fault) for fault in error.value.faults]


def test_its_parts_cuts_and_joints_stand_behind_the_jobs_own() -> None:
    job = read(CHEST)
    assert [part.mark for part in job.parts][:6] == ["A", "Ds", "Df", "Db", "Dbo", "D.2s"]
    assert [part.thing for part in job.parts if isinstance(part, MadePart)][::4] == ["D", "D", "F"]
    assert [cut.mark for cut in job.cuts][:2] == ["Df", "DH1"]
    assert [joint.mark for joint in job.joints] == ["FJ1", "FJ2"]
    assert job.part("D.2f").length == mm(411.1)


def test_what_was_changed_by_hand_stands_in_place_of_what_follows() -> None:
    job = read(CHEST)
    assert (job.part("Df").length, job.part("Df").note) == (mm(410), "knot at the middle")
    housing = next(cut for cut in job.cuts if cut.mark == "DH1")
    assert (housing.at, housing.depth) == ((mm(11), mm(387)), mm(5))  # type: ignore[attr-defined]


def test_it_is_written_as_it_was_read_and_nothing_of_what_follows() -> None:
    job = read(CHEST)
    document = job_to_document(job)
    assert [row["mark"] for row in document["part"]] == ["A"]
    assert "joint" not in document and "housing" not in document
    assert job_from_document(document, "again") == job
    assert read(job_to_toml(job)) == job
    refuse_odd(document, "job.json")
    refuse_odd(tomllib.loads(CHEST), "job.json")


@pytest.mark.parametrize("kind", THINGS)
def test_every_kind_can_be_read_with_nothing_but_what_it_must_be_told(kind: str) -> None:
    table: dict[str, object] = {"mark": THINGS[kind].letter}
    for field in fields(THINGS[kind]):
        if field.name != "mark" and field.default is MISSING:
            table[field.name] = "Z" if field.metadata["words"].names_parts else 400
    side = {"mark": "Z", "name": "Side", "quantity": 2, "length": 900, "width": 300, "thickness": 18}
    job = job_from_document({"name": "One thing", "part": [side], kind: [table]}, "job")
    assert len(job.parts) > 1
    assert job_from_document(job_to_document(job), "again") == job


def test_lengths_keep_their_size_when_a_bare_number_comes_to_mean_another_unit() -> None:
    before = read(CHEST)
    after = job_from_document({**units_said(tomllib.loads(CHEST), "mm"), "lengths": "in"}, "job")
    assert after.parts == before.parts
    assert after.cuts == before.cuts


def test_a_thing_that_cannot_be_read_is_said_once_and_names_no_part_as_missing() -> None:
    (fault,) = faults(CHEST.replace("width = 450", "width = 20", 1))
    assert "drawer width" in fault and "make the opening width more than 49.4 mm" in fault
    said = faults(CHEST.replace("depth = 400", ""))
    assert len(said) == 1 and "drawer depth: is missing" in said[0]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[[drawer]]\nmark = "D"\nwidth = 450\nheight = 90\ndepth = 300\n' * 2, "thing D stands 2 times"),
        ('[[drawer]]\nmark = "D D"\nwidth = 450\nheight = 90\ndepth = 300', "'D D' is not a short mark"),
        (
            '[[part]]\nmark = "Df"\nname = "x"\nquantity = 1\nlength = 1\nwidth = 1\nthickness = 1\n'
            '[[drawer]]\nmark = "D"\nwidth = 450\nheight = 90\ndepth = 300',
            "its part Df would have a mark that is used already",
        ),
        ("[drawer]\nmark = 1", "is not a list of tables"),
        ("drawer = 5", "is not a list of tables"),
        (
            '[[drawer]]\nmark = "D"\nwidth = 450\nheight = 90\ndepth = 300\n[[drawer.opening]]\nnumber = 3\nwidth = 9',
            "there is no opening 3, only 1 in the batch",
        ),
        (
            '[[drawer]]\nmark = "D"\nwidth = 450\nheight = 90\ndepth = 300\n[[drawer.opening]]\ndepth = 9',
            "a drawer has no depth that is measured",
        ),
        (
            '[[drawer]]\nmark = "D"\nwidth = 450\nheight = 90\ndepth = 300\n[[changed]]\nof = "DG1"\nquantity = 9',
            "groove DG1 has no quantity",
        ),
        (
            '[[drawer]]\nmark = "D"\nwidth = 450\nheight = 90\ndepth = 300\n[[changed]]\nof = "Ds"',
            "changes nothing",
        ),
        (
            '[[drawer]]\nmark = "D"\nwidth = 450\nheight = 90\ndepth = 300\n'
            '[[changed]]\nof = "DG1"\nat = [9, 12]',
            "groove DG1 has one place",
        ),
        (
            '[[drawer]]\nmark = "D"\nwidth = 450\nheight = 90\ndepth = 300\ncorner = "comb"',
            "a back above the bottom has no fingers",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_says_what_and_what_to_do(text: str, said: str) -> None:
    assert said in " ".join(faults(f'name = "x"\n{text}'))


def test_a_draft_says_it_at_the_row_of_its_table() -> None:
    document = tomllib.loads(CHEST)
    document["drawer"][0]["width"] = 20
    (fault,) = read_draft(document).faults
    assert (fault.table, fault.row, fault.field) == ("drawer", 0, "width")
