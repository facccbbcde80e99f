"""Job files, folders and bare lists to jobs, and jobs back to their files."""

import shutil
import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from stopwright.errors import BadInput
from stopwright.intake.job_file import job_from_document, job_to_document, job_to_toml, open_job, read_job
from stopwright.lengths import INCH, MM
from stopwright.model.job import Flow
from stopwright.model.joints import RailEnds, Side
from stopwright.model.parts import Grain, Kind
from stopwright.model.stock import StockKind
from stopwright.plan.operations.known import CUTS

FIXTURES = Path(__file__).parents[2] / "fixtures"
LEG: dict[str, Any] = {"mark": "A", "name": "Leg", "quantity": 4, "length": 450, "width": 38, "thickness": 38}
RAIL: dict[str, Any] = {"mark": "B", "name": "Rail", "per_unit": 4, "length": "244", "width": 60, "thickness": 22.5}
JOINT: dict[str, Any] = {
    "mark": "J1", "post": "A", "rail": "B", "side": "far edge", "slot_from": 14, "slot_to": 46, "bit": 8,
    "depth_post": 19, "depth_rail": 25,
}  # fmt: skip


def document(**more: object) -> dict[str, Any]:
    return {"name": "Stools", "units": 2, "part": [LEG, RAIL], **more}


def faults_of(of: object, base: Path | None = None) -> list[tuple[int, str]]:
    with pytest.raises(BadInput) as error:
        job_from_document(of, "stools", base)  # type: ignore[arg-type]
    return [(fault.row, fault.column) for fault in error.value.faults]


def test_the_bakery_stools_are_read_whole() -> None:
    job = read_job(FIXTURES / "bakery-stools")
    assert (job.name, job.units, job.flow, job.glue) == ("Six bakery stools", 6, Flow.STATION_BY_STATION, "white glue")
    assert [(part.mark, part.quantity) for part in job.parts] == [("A", 24), ("B", 24), ("C", 12), ("D", 6)]
    assert job.part("D").kind is Kind.SHEET
    assert [joint.side for joint in job.joints] == [Side.FAR_EDGE, Side.BACK, Side.FAR_EDGE]
    assert job.joints[2].drop == 320 * MM
    assert {wood.kind for wood in job.stock} >= {StockKind.BOARD, StockKind.SHEET}


def test_the_drawers_are_read_in_inches() -> None:
    job = read_job(FIXTURES / "library-drawers" / "job.toml")
    assert job.part("A").length == 17 * INCH + 3 * INCH // 4
    assert job.stock[0].width == 11 * INCH // 2
    assert job.stock[1].quantity is None  # as many as are needed can be bought


def test_a_bare_part_list_is_a_job_named_for_its_file(tmp_path: Path) -> None:
    path = tmp_path / "garden_bench-two.csv"
    shutil.copy(FIXTURES / "bakery-stools" / "parts.csv", path)
    job = read_job(path)
    assert (job.name, job.lengths, len(job.parts), job.joints) == ("Garden bench two", "mm", 4, ())


def test_what_a_list_leaves_out_is_handed_on(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text('name = "x"\npart_list = "parts.csv"\n')
    (tmp_path / "parts.csv").write_text("name,quantity,length,width,thickness,shelf\nLeg,4,450,38,38,7\n")
    read = open_job(tmp_path)
    assert [(fault.file, fault.row, fault.column) for fault in read.left_out] == [
        (str(tmp_path / "parts.csv"), 1, "shelf")
    ]


@pytest.mark.parametrize("name", ["bakery-stools", "library-drawers"])
def test_a_job_survives_its_document_and_its_file(name: str) -> None:
    job = read_job(FIXTURES / name)
    assert job_from_document(job_to_document(job), "x") == job
    assert job_from_document(tomllib.loads(job_to_toml(job)), "x") == job


def test_numbers_are_in_the_unit_of_the_job_and_texts_may_name_their_own() -> None:
    job = job_from_document(document(lengths="in", part=[LEG | {"length": 17.75, "width": "38.1 mm"}]), "x")
    assert job.parts[0].size[:2] == (17 * INCH + 3 * INCH // 4, 3 * INCH // 2)


def test_per_unit_times_units_is_the_quantity() -> None:
    assert job_from_document(document(), "x").part("B").quantity == 8
    assert faults_of(document(part=[LEG, RAIL | {"per_unit": 1.5}])) == [(2, "part per_unit")]
    assert faults_of(document(part=[LEG, RAIL | {"per_unit": "four"}])) == [(2, "part per_unit")]
    # 50 001 × 2 units are more than can be counted
    assert faults_of(document(part=[LEG, RAIL | {"per_unit": 50_001}])) == [(2, "part quantity")]
    assert faults_of(document(part=[LEG | {"per_unit": 4}])) == [(1, "part per_unit")]


def test_marks_of_parts_in_the_file_go_on_after_those_of_the_list(tmp_path: Path) -> None:
    (tmp_path / "parts.csv").write_text("name,quantity,length,width,thickness\nLeg,4,450,38,38\nRail,4,244,60,22\n")
    loose = {key: value for key, value in LEG.items() if key != "mark"}
    job = job_from_document(document(part_list="parts.csv", part=[loose, loose]), "x", tmp_path)
    assert [part.mark for part in job.parts] == ["A", "B", "C", "D"]
    assert faults_of(document(part_list="parts.csv", part=[LEG]), tmp_path) == [(1, "part mark")]


def test_a_sheet_part_lies_any_way_unless_it_is_said() -> None:
    sheet = LEG | {"kind": "sheet"}
    job = job_from_document(document(part=[sheet, sheet | {"mark": "B", "grain": "along"}]), "x")
    assert [part.grain for part in job.parts] == [Grain.ANY, Grain.ALONG]
    assert job_from_document(job_to_document(job), "x") == job


def test_mitres_mouldings_and_zones_are_read_by_their_names() -> None:
    job = job_from_document(
        document(
            joint=[JOINT | {"ends": "other end", "fit": 0.05}],
            mitre=[{"part": "B", "angle": "22.5", "opening": 200}],
            moulding=[
                {"mark": "P1", "parts": ["A", "B"], "edges": ["far edge"],
                 "pass": [{"cutter": "cove 12", "height": 8, "fence": 12}]},
            ],
            stock=[{"kind": "board", "length": 2400, "width": 150, "thickness": 27, "zone": [{"start": 5, "end": 60}]}],
        ),
        "x",
    )  # fmt: skip
    assert (job.joints[0].ends, job.joints[0].fit) == (RailEnds.OTHER, MM // 20)
    assert job.mitres[0].angle == Fraction(45, 2)
    assert job.mouldings[0].passes[0].fence == 12 * MM
    assert job.stock[0].zones[0].end == 60 * MM
    assert job_from_document(tomllib.loads(job_to_toml(job)), "x") == job


def test_every_fault_of_every_table_is_said_with_the_number_of_the_table() -> None:
    found = faults_of(
        document(
            units=0.5,
            part=[LEG, RAIL | {"length": -1, "hand": "pears"}],
            joint=[JOINT | {"side": "far egde"}, 7, {"mark": "J3"}],
            stock={"kind": "board"},
        )
    )
    assert set(found) >= {
        (1, "units"),
        (2, "part length"),
        (2, "part hand"),
        (1, "joint side"),
        (2, "joint"),
        (3, "joint post"),
        (3, "joint depth_rail"),
        (1, "stock"),
    }


def test_a_later_or_misspelt_table_is_a_fault_with_the_nearest_known() -> None:
    with pytest.raises(BadInput) as error:
        job_from_document(document(jiont=[JOINT], part=[LEG | {"lenght": 3}, RAIL]), "x")
    assert ["'joint'" in fault.next_step or "'length'" in fault.next_step for fault in error.value.faults] == [True] * 2


def test_a_joint_that_names_no_part_is_found_among_many() -> None:
    joints = [JOINT | {"mark": f"J{number}"} for number in range(1, 6)]
    joints[3] = joints[3] | {"rail": "Z"}
    assert faults_of(document(joint=joints)) == [(4, "joint rail")]


def test_two_joints_of_one_mark_are_a_fault_of_the_second() -> None:
    assert faults_of(document(joint=[JOINT, JOINT])) == [(2, "joint")]


@pytest.mark.parametrize(
    "name", ["../parts.csv", "/etc/hosts", "a/../../b.csv", "C:\\a.csv", "\\\\host\\a", "", "\0", 7, "~"]
)
def test_a_part_list_outside_the_folder_is_refused(name: object, tmp_path: Path) -> None:
    assert faults_of(document(part_list=name), tmp_path) == [(1, "part_list")]


def test_a_part_list_that_leads_outside_by_a_link_is_refused(tmp_path: Path) -> None:
    (tmp_path / "parts.csv").symlink_to(FIXTURES / "bakery-stools" / "parts.csv")
    assert faults_of(document(part_list="parts.csv"), tmp_path) == [(1, "part_list")]


def test_a_part_list_cannot_be_named_where_there_is_no_folder() -> None:
    assert faults_of(document(part_list="parts.csv")) == [(1, "part_list")]


@pytest.mark.parametrize("of", [None, [], 3, {}, {"name": "x"}, {"name": "x", "part": []}, {"name": "x", "part": "A"}])
def test_what_is_no_job_is_refused(of: object) -> None:
    assert faults_of(of)


def test_what_is_not_there_is_refused(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "nothing.csv", tmp_path / "nul\0l.toml"):
        with pytest.raises(BadInput):
            read_job(path)


def test_every_kind_of_cut_reads_back_equal_and_one_value_may_stand_for_a_list(tmp_path) -> None:
    part = 'mark = "{}"\nname = "p"\nquantity = 2\nlength = 400\nwidth = 60\nthickness = 22\n'
    text = 'name = "Cuts"\n' + "".join(f"[[part]]\n{part.format(mark)}" for mark in "AB")
    text += """
[[groove]]
mark = "G1"
parts = "A"
side = "face"
from = "edge"
at = 10
fits = "B"
play = 0.2
depth = 6
start = 0
end = 388
[[housing]]
mark = "H1"
parts = ["A"]
side = "face"
at = [300, 350]
width = 6
depth = 6
stopped = 15
stopped_at = "edge"
[[rebate]]
mark = "R1"
parts = ["A", "B"]
side = "back"
edge = "far edge"
width = 10
depth = 8
[[tenon]]
mark = "N1"
parts = ["B"]
ends = "both"
length = 35
thickness = 8
from_face = 7
shoulder_edge = 0
shoulder_far_edge = 0
[[lap]]
mark = "L1"
parts = ["A", "B"]
at = [10, 20]
[[bridle]]
mark = "B1"
parts = ["A", "B"]
thickness = 8
[[comb]]
mark = "C1"
parts = ["A", "B"]
cutter = 8
[[holes]]
mark = "S1"
parts = ["A"]
side = "face"
from = "edge"
at = 37
first = 72
pitch = 32
count = 3
diameter = 5
depth = 12
[[tongue]]
mark = "TG1"
parts = "A"
grooved = "B"
edge = "far edge"
at = 4
width = 4
depth = 6
[[template]]
mark = "V1"
parts = "A"
edges = "far edge"
cutter = "block"
height = 2
cutter_diameter = 80
follower = 83
[[spline]]
mark = "Q1"
parts = "B"
at = 6
fits = "A"
depth = 10
[[slot]]
mark = "M1"
parts = "A"
start = 12
length = 30
bit = 8
depth = 15
[[splay]]
mark = "Y1"
parts = "A"
sides = 4
slope = 62.5
[[splay]]
mark = "Y2"
parts = "B"
across = 3.5
through = 2
long_edge = "far edge"
points = "parallel"
[[taper]]
mark = "K1"
parts = ["A"]
sides = ["back", "far edge"]
begins = 120
leaves = 12
[[fastening]]
mark = "F1"
parts = "B"
top = "A"
at = [10, 50]
by = "buttons"
fixed = "far edge"
[[corner]]
mark = "E1"
parts = ["A", "B"]
side = "back"
at = 0
start = 12
length = 30
bit = 8
depth = 10
end_depth = 20
"""
    path = tmp_path / "job.toml"
    path.write_text(text)
    job = read_job(path)
    assert {cut.kind for cut in job.cuts} == set(CUTS)
    assert job_from_document(job_to_document(job), "again") == job


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ('[[groove]]\nmark = "G1"', "is missing"),
        ("[groove]", "is not a list of tables"),
        (
            '[[tongue]]\nmark = "TG1"\nparts = "A"\ngrooved = "Q"\nedge = "edge"\nat = 4\nwidth = 4\ndepth = 6',
            "names part Q, which is not there",
        ),
        ('[[taper]]\nmark = "K1"\nparts = "A"\nsides = "roof"\nbegins = 1\nleaves = 1', "not one of the choices"),
        ('[[rebate]]\nmark = "R1"\nparts = "Q"\nside = "back"\nedge = "edge"\nwidth = 1\ndepth = 1', "not there"),
        ('[[kerfing]]\nmark = "R1"', "'kerfing' is not known"),
    ],
)
def test_a_cut_that_cannot_be_read_says_where(table, said, tmp_path) -> None:
    path = tmp_path / "job.toml"
    part = '[[part]]\nname = "p"\nquantity = 2\nlength = 400\nwidth = 60\nthickness = 22\n'
    path.write_text(f'name = "Cuts"\n{part}{table}\n')
    with pytest.raises(BadInput) as error:
        read_job(path)
    assert said in " ".join(map(str, error.value.faults))
