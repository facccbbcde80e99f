"""Lists as they come from the wild: encodings, delimiters, inch marks, title rows, workbooks, and traps."""

import io
import zipfile
from pathlib import Path

import openpyxl
import pytest

from stopwright.errors import BadInput
from stopwright.intake.part_list import PartList, read_part_list
from stopwright.intake.rows import read_rows
from stopwright.lengths import INCH, MM

IMPORTS = Path(__file__).parents[2] / "fixtures" / "imports"


def read(name: str) -> PartList:
    return read_part_list(IMPORTS / name)


def said(parts: PartList) -> list[int]:
    return [fault.row for fault in parts.left_out]


def refused(source: Path | bytes, name: str = "") -> str:
    with pytest.raises(BadInput) as error:
        read_part_list(source, name=name)
    (fault,) = error.value.faults
    return fault.what


def test_semicolons_decimal_commas_and_windows_1252() -> None:
    parts = read("semicolons-and-decimal-commas-windows-1252.csv")
    leg, rail = parts.parts
    assert (leg.mark, leg.name, leg.length, rail.thickness) == ("1", "Stuhlbein", 901 * MM // 2, 45 * MM // 2)
    assert parts.mapping["Stück"] == "quantity"
    assert said(parts) == [4]


def test_inch_marks_that_nobody_escaped() -> None:
    parts = read("inch-marks-unescaped.csv").parts
    sizes = [tuple(length * 64 // INCH for length in part.size) for part in parts]
    assert sizes == [
        (17 * 64 + 48, 4 * 64, 32),
        (11 * 64 + 16, 4 * 64, 48),
        (11 * 64 + 16, 3 * 64 + 16, 32),
        (17 * 64 + 16, 10 * 64 + 48, 16),
    ]
    assert all(length * 64 % INCH == 0 for part in parts for length in part.size)


def test_trailing_units_totals_and_a_column_of_no_use() -> None:
    parts = read("trailing-units-and-totals.csv")
    assert [(part.mark, part.quantity, part.size) for part in parts.parts] == [
        ("1", 24, (450 * MM, 38 * MM, 38 * MM)),
        ("2", 24, (244 * MM, 60 * MM, 22 * MM)),
    ]
    assert said(parts) == [1, 4, 5]


def test_a_workbook_with_merged_titles_a_blank_row_and_a_total() -> None:
    parts = read("merged-titles-and-total.xlsx")
    assert [(part.mark, part.quantity, part.thickness) for part in parts.parts] == [
        ("A", 24, 38 * MM),
        ("B", 24, 45 * MM // 2),
        ("C", 6, 18 * MM),
    ]
    assert said(parts) == [4, 9]
    assert [note.split(":")[1] for note in parts.notes] == ["1", "2"]


def test_title_rows_a_row_of_units_and_a_repeated_header() -> None:
    parts = read("units-row-and-title.csv")
    assert [part.thickness for part in parts.parts] == [3 * INCH // 2, 7 * INCH // 8]
    assert said(parts) == [5, 7]


@pytest.mark.parametrize(
    ("name", "part"),
    [
        ("utf-8-with-mark.csv", "Leg"),
        ("utf-16-from-a-spreadsheet.txt", "Bein"),
        ("says-its-separator.csv", "Leg"),
        ("french.csv", "Pied"),
        ("pasted-rows.txt", "Leg"),
    ],
)
def test_the_same_leg_comes_out_of_every_make(name: str, part: str) -> None:
    leg = read(name).parts[0]
    assert (leg.mark, leg.name, leg.quantity, leg.size) == ("A", part, 24, (450 * MM, 38 * MM, 38 * MM))


def test_rows_pasted_as_text_are_read() -> None:
    assert [part.name for part in read_part_list((IMPORTS / "pasted-rows.txt").read_text()).parts] == [
        "Leg",
        "Upper rail",
    ]


def test_columns_nobody_knows_are_found_and_can_be_mapped() -> None:
    path = IMPORTS / "columns-of-another-house.csv"
    table = read_rows(path)
    assert (table.header_row, table.columns, table.guess) == (
        1, ("Code", "What", "How many", "Along", "Across", "Through"), {},
    )  # fmt: skip
    fields = ["mark", "name", "quantity", "length", "width", "thickness"]
    parts = read_part_list(path, mapping=dict(zip(table.columns, fields, strict=True)))
    assert parts.parts[0].size == (450 * MM, 38 * MM, 38 * MM)


def test_a_note_of_two_lines_is_one_row_and_counts_as_two_lines() -> None:
    with pytest.raises(BadInput) as error:
        read_part_list('name,qty,l,w,t,note\nLeg,24,450,38,38,"two\nlines"\nRail,x,244,60,22,\n')
    assert [(fault.row, fault.column) for fault in error.value.faults] == [(4, "qty")]


def test_five_thousand_rows_are_read() -> None:
    lines = "".join(f"{number};Slat {number};2;{400 + number},5;38;18\r\n" for number in range(1, 5001))
    parts = read_part_list(("Pos;Name;Menge;Länge;Breite;Dicke\r\n" + lines).encode("cp1252"), name="slats.csv").parts
    assert (len(parts), parts[-1].mark, parts[-1].length) == (5000, "5000", 10_801 * MM // 2)


def test_a_file_of_200_mb_is_refused_without_being_read(tmp_path: Path) -> None:
    huge = tmp_path / "huge.csv"
    with huge.open("wb") as file:
        file.truncate(200_000_000)  # a hole on the disk: nothing is written
    assert refused(huge) == "is 200 MB large, the most is 20 MB"


def archive(**members: bytes) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in members.items():
            packed.writestr(name.replace("__", "/"), content)
    return data.getvalue()


def test_a_workbook_that_unpacks_to_gigabytes_is_refused() -> None:
    bomb = archive(**{"xl/worksheets/sheet1.xml": bytes(150_000_000)})
    assert len(bomb) < 200_000
    assert refused(bomb, "bomb.xlsx") == "would unpack to more than 100 MB"


def test_a_workbook_that_lies_about_its_size_is_refused() -> None:
    bomb = bytearray(archive(**{"xl/worksheets/sheet1.xml": bytes(150_000_000)}))
    true, lie = (150_000_000).to_bytes(4, "little"), (1000).to_bytes(4, "little")
    assert bomb.count(true) == 2
    assert "XLSX" in refused(bytes(bomb.replace(true, lie)), "bomb.xlsx")


def test_a_workbook_with_entities_is_refused() -> None:
    assert "definitions" in refused(archive(**{"xl/workbook.xml": b'<!DOCTYPE x [<!ENTITY a "b">]><x/>'}), "x.xlsx")


def test_other_makes_are_called_by_their_name() -> None:
    document = archive(mimetype=b"application/vnd.oasis.opendocument.spreadsheet", **{"content.xml": b"<x/>"})
    assert refused(document, "a.ods") == "is an OpenDocument file"
    assert refused(archive(readme=b"hello"), "a.zip") == "cannot be read as XLSX"


def test_a_cell_far_to_the_right_is_never_dropped_in_silence() -> None:
    book = openpyxl.Workbook()
    book.active["XFD3"] = "far away"
    data = io.BytesIO()
    book.save(data)
    assert refused(data.getvalue(), "wide.xlsx") == "has more than 200 columns"


def a_list_with(length: float) -> bytes:
    book = openpyxl.Workbook()
    book.active.append(["name", "quantity", "length", "width", "thickness"])
    book.active.append(["Leg", 24.000000000001, length, 38, 38])
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


@pytest.mark.parametrize(
    ("computed", "lengths", "read"),
    [
        (450.00000001, "mm", 450 * MM),
        (449.9999999, "mm", 450 * MM),
        (1000 / 3, "mm", 333_333_330),  # 333.33333
        (450.000001, "mm", 450_000_001),  # six decimals are whole nanometres, and stay
        (17 + 49 / 64 + 1e-9, "in", (17 * 64 + 49) * INCH // 64),
        (160 / 3, "in", 5_333_333 * INCH // 100_000),  # 53.33333; 53.333333 in would be no whole number
    ],
)
def test_a_length_that_a_formula_made_is_read_to_the_nanometre(computed, lengths, read) -> None:
    (part,) = read_part_list(a_list_with(computed), lengths, name="formula.xlsx").parts
    assert (part.length, part.quantity) == (read, 24)


def test_a_date_in_a_workbook_is_said_to_be_one() -> None:
    with pytest.raises(BadInput) as error:
        read_part_list(IMPORTS.parent / "bad" / "fraction-turned-into-a-date.xlsx")
    assert [(fault.row, fault.column, "is a date" in fault.what) for fault in error.value.faults] == [
        (2, "thickness", True)
    ]
