"""What is written reads back equal, and nothing that is brought ends in a traceback."""

import csv
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stopwright.errors import BadInput
from stopwright.intake.job_file import job_from_document, job_to_document, job_to_toml, read_job
from stopwright.intake.part_list import read_part_list
from stopwright.intake.part_list_out import write_part_list_csv, write_part_list_xlsx
from stopwright.intake.shop_file import shop_from_document
from stopwright.intake.toml_text import document_in
from stopwright.lengths import INCH, MM
from stopwright.model.job import Flow, Job
from stopwright.model.joints import POST_SIDES, Joint
from stopwright.model.parts import Grain, Hand, Kind, Part
from stopwright.model.stock import Stock, StockKind, Zone

WORDS = st.text(
    st.characters(exclude_categories=["Cc", "Cs", "Cf", "Co", "Cn", "Zl", "Zp", "Zs"]), min_size=1, max_size=12
)
LENGTHS = st.integers(1, 90_000 * MM) | st.integers(1, 6000).map(lambda marks: marks * (INCH // 64))
UNITS = st.sampled_from(["mm", "in"])
SLOW = settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])


@st.composite
def part_lists(draw: st.DrawFn) -> list[Part]:
    marks = draw(st.lists(st.from_regex(r"[A-Z][A-Z0-9]{0,3}", fullmatch=True), min_size=1, max_size=5, unique=True))
    return [
        Part(
            mark,
            draw(WORDS.filter(lambda name: name.strip("-–—"))),
            2 * draw(st.integers(1, 500)),
            draw(LENGTHS),
            draw(LENGTHS),
            draw(LENGTHS),
            material=draw(st.just("") | st.sampled_from(["ash", "=1+1", "'=1", 'oak, "old"'])),
            kind=draw(st.sampled_from(Kind)),
            grain=draw(st.sampled_from(Grain)),
            hand=draw(st.sampled_from(Hand)),
            tolerance=draw(st.none() | LENGTHS),
            note=draw(st.just("") | st.just('3/4" deep; see, drawing')),
        )
        for mark in marks
    ]


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    parts = draw(part_lists())
    marks = [part.mark for part in parts]
    joints = tuple(
        Joint(f"J{number}", marks[0], marks[-1], draw(st.sampled_from(POST_SIDES)), slot_from, slot_from + 2 * bit, bit,
              draw(LENGTHS), draw(LENGTHS), setback=draw(LENGTHS), fit=draw(st.none() | LENGTHS))
        for number in range(draw(st.integers(0, 3)) if len(marks) > 1 else 0)
        for slot_from, bit in [(draw(st.integers(0, 500 * MM)), draw(st.integers(1, 30 * MM)))]
    )  # fmt: skip
    stock = tuple(
        Stock(kind, draw(st.none() | st.integers(1, 99)), 2 * MM + draw(LENGTHS), draw(LENGTHS), draw(LENGTHS),
              label=draw(WORDS), zones=(Zone(MM, 2 * MM),), price=draw(st.none() | st.floats(0, 1e6)))
        for kind in draw(st.lists(st.sampled_from(StockKind), max_size=3))
    )  # fmt: skip
    return Job(
        draw(WORDS), tuple(parts), draw(UNITS), draw(st.integers(1, 99)), draw(st.sampled_from(Flow)), joints, stock,
        glue=draw(st.just("") | WORDS),
    )  # fmt: skip


@SLOW
@given(jobs())
def test_a_job_reads_back_equal_from_its_document_and_its_file(job: Job) -> None:
    assert job_from_document(job_to_document(job), "x") == job
    assert job_from_document(tomllib.loads(job_to_toml(job)), "x") == job


@SLOW
@given(part_lists(), UNITS)
def test_a_part_list_reads_back_equal_from_csv(parts: list[Part], lengths: str) -> None:
    for read_in in ("mm", "in"):
        assert list(read_part_list(write_part_list_csv(parts, lengths), read_in).parts) == parts


@settings(SLOW, max_examples=15)
@given(part_lists(), UNITS)
def test_a_part_list_reads_back_equal_from_a_workbook(parts: list[Part], lengths: str) -> None:
    for read_in in ("mm", "in"):
        assert list(read_part_list(write_part_list_xlsx(parts, lengths), read_in, name="parts.xlsx").parts) == parts


BYTES = (
    st.binary(max_size=300)
    | st.binary(max_size=200).map(lambda tail: b"PK\x03\x04" + tail)
    | st.text(max_size=200).flatmap(
        lambda text: st.sampled_from(["utf-8", "utf-16", "cp1252"]).map(lambda name: text.encode(name, "replace"))
    )
)
CELLS = st.text("0123456789/.,-\"' ½inmcxtotalé\t;|", max_size=10) | st.sampled_from(
    ["450", "Leg", "3-Apr", "pairs", ""]
)


@settings(deadline=None, max_examples=300)
@given(BYTES)
def test_any_bytes_are_a_part_list_or_refused_with_places(data: bytes) -> None:
    try:
        assert read_part_list(data, name="any").parts
    except BadInput as error:
        assert all(fault.row >= 1 and fault.column and fault.what and fault.next_step for fault in error.faults)


@settings(deadline=None, max_examples=150)
@given(st.lists(st.lists(CELLS, max_size=8), max_size=6), st.sampled_from(",;\t"))
def test_any_rows_below_a_header_are_parts_or_refused_with_places(rows: list[list[str]], delimiter: str) -> None:
    header = delimiter.join(["name", "quantity", "length", "width", "thickness", "hand"])
    text = "\n".join([header, *(delimiter.join(row) for row in rows)])
    try:
        assert read_part_list(text).parts
    except BadInput as error:
        assert all(1 <= fault.row <= len(rows) + 1 and fault.what and fault.next_step for fault in error.faults)


@settings(deadline=None, max_examples=200)
@given(st.binary(max_size=200) | st.text("abn=[]{}\"'.,#-\n 0123456789part", max_size=120).map(str.encode))
def test_any_bytes_are_a_document_or_refused_with_places(data: bytes) -> None:
    try:
        document, _ = document_in(data, "any.toml")
        job_from_document(document, "any.toml")
    except BadInput as error:
        assert all(fault.row >= 1 and fault.column and fault.next_step for fault in error.faults)


VALUES: Any = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8) | st.sampled_from(["450", "A", "mm"]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)
KEYS = st.sampled_from(
    ["name", "lengths", "units", "part", "joint", "stock", "mitre", "moulding", "part_list", "glue", "station", "tenon",
     "allowance", "limits", "show", "mark", "quantity", "length", "width", "thickness", "post", "rail", "side", "bit",
     "kind", "axis", "work", "sets", "zone", "pass", "angle", "spares", "per_unit"]
)  # fmt: skip
TABLES: Any = st.recursive(
    st.dictionaries(KEYS, VALUES, max_size=8),
    lambda inner: st.dictionaries(KEYS, VALUES | inner | st.lists(inner, max_size=3), max_size=8),
    max_leaves=6,
)


@settings(SLOW, max_examples=120)
@given(TABLES)
def test_any_document_is_a_job_or_a_shop_or_refused_with_places(document: dict[str, Any]) -> None:
    for read in (job_from_document, shop_from_document):
        try:
            read(document, "any")
        except BadInput as error:
            assert all(fault.row >= 1 and fault.column and fault.next_step for fault in error.faults)


def test_a_name_that_looks_like_a_formula_stays_a_name() -> None:
    parts = [Part("A", "=SUM(B1:B9)", 2, MM, MM, MM)]
    assert list(read_part_list(write_part_list_xlsx(parts), name="x").parts) == parts


def test_a_written_job_file_is_read_as_a_job_file(tmp_path: Path) -> None:
    job = Job("Bench", (Part("A", "Slat", 12, 1200 * MM, 45 * MM, 20 * MM),), "in")
    (tmp_path / "job.toml").write_text(job_to_toml(job), encoding="utf-8")
    assert read_job(tmp_path) == job


@pytest.mark.parametrize("name", ["=1+1", "+4", "-x", "@now", "'=1", "''@x", "'Leg'", "\t=1", "＝1"])
def test_no_cell_of_a_written_list_begins_like_a_formula_and_it_reads_back(name: str) -> None:
    parts = [Part(mark, name, 2, 450 * MM, 38 * MM, 38 * MM, note=name) for mark in ("-A", "=B")]
    text = write_part_list_csv(parts)
    cells = [cell for row in csv.reader(text.splitlines()) for cell in row]
    assert not [cell for cell in cells if cell[:1] in tuple("=+-@\t＝")]
    read = read_part_list(text).parts
    assert [(part.mark, part.name, part.note) for part in read] == [
        (mark, *[name.strip()] * 2) for mark in ("-A", "=B")
    ]
    same = read_part_list(write_part_list_xlsx(parts), name="parts.xlsx").parts
    assert "- " in name or [part.name for part in same] == [name.strip()] * 2
