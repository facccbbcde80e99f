"""Part lists: every fault at once, defaults, totals, marks and columns."""

import pytest

from stopwright.errors import BadInput, Fault
from stopwright.intake.part_list import PartList, parts_from_rows, read_part_list, rows_as_written
from stopwright.intake.rows import read_rows
from stopwright.lengths import INCH, MM, NEXT_STEP
from stopwright.model.parts import Grain, Hand, Kind, Part, free_marks

HEADER = "name,quantity,length,width,thickness"


def faults_of(text: str, **more: object) -> list[tuple[int, str]]:
    with pytest.raises(BadInput) as error:
        read_part_list(text, **more)  # type: ignore[arg-type]
    return [(fault.row, fault.column) for fault in error.value.faults]


def only(parts: PartList) -> Part:
    (part,) = parts.parts
    return part


def test_a_line_takes_its_defaults() -> None:
    part = only(read_part_list(f"{HEADER}\nLeg,24,450,38,38"))
    assert part == Part("A", "Leg", 24, 450 * MM, 38 * MM, 38 * MM)
    assert (part.kind, part.grain, part.hand, part.tolerance) == (Kind.SOLID, Grain.ALONG, Hand.SAME, None)


def test_the_grain_of_a_sheet_runs_any_way_unless_it_is_said() -> None:
    parts = read_part_list(f"{HEADER},kind,grain\nSeat,6,360,360,18,sheet,\nDoor,2,700,400,18,sheet,along").parts
    assert [part.grain for part in parts] == [Grain.ANY, Grain.ALONG]


def test_columns_stand_in_any_order_and_case() -> None:
    part = only(read_part_list(" THICKNESS , Width,LENGTH,Q u a n t i t y,Name,Hand\n18,38,450,24,Leg,PAIRS"))
    assert (part.size, part.quantity, part.hand) == ((450 * MM, 38 * MM, 18 * MM), 24, Hand.PAIRS)


def test_every_fault_of_every_row_is_said_at_once() -> None:
    text = f"{HEADER},hand,kind\nLeg,x,abc,-3,,same,sold\nRail,3,244,60,22,pairs,solid\n,1,1,1,1,,"
    assert faults_of(text) == [
        (2, "quantity"),
        (2, "length"),
        (2, "width"),
        (2, "thickness"),
        (2, "kind"),
        (3, "hand"),
        (4, "name"),
    ]


def test_a_fault_says_what_was_read_in_the_column_as_the_file_calls_it() -> None:
    with pytest.raises(BadInput) as error:
        read_part_list("Bezeichnung;Anzahl;Länge;Breite;Dicke\nBein;24;lang;38;38", name="liste.csv")
    fault = Fault("liste.csv", 2, "Länge", "'lang' is not a length", NEXT_STEP)
    assert error.value.faults == (fault,)


def test_marks_go_by_line_and_pass_over_those_that_are_used() -> None:
    parts = read_part_list(f"mark,{HEADER}\n,a,1,1,1,1\nA,b,1,1,1,1\n,c,1,1,1,1\n,d,1,1,1,1").parts
    assert [part.mark for part in parts] == ["B", "A", "C", "D"]
    assert free_marks([""] * 28)[-1] == "AB"
    assert free_marks(["", ""], taken=["A", "B"]) == ["C", "D"]


def test_per_unit_times_units_is_the_quantity() -> None:
    text = "name,per unit,length,width,thickness\nLeg,4,450,38,38"
    assert only(read_part_list(text, units=6)).quantity == 24
    both = "name,per unit,quantity,length,width,thickness\nLeg,4,24,450,38,38"
    assert faults_of(both) == [(2, "per unit")]


@pytest.mark.parametrize("cell", ["24", "24 pcs", "24 Stk.", "24x", "x 24", "24.0", "24,0", " 24 "])
def test_a_quantity_is_read_as_people_write_it(cell: str) -> None:
    assert only(read_part_list(f"name;quantity;length;width;thickness\nLeg;{cell};450;38;38")).quantity == 24


@pytest.mark.parametrize("cell", ["2.5", "1,000", "1.000", "-3", "0", "two", "1e3", "9" * 30])
def test_a_quantity_that_is_none_is_refused(cell: str) -> None:
    assert faults_of(f"name;quantity;length;width;thickness\nLeg;{cell};450;38;38") == [(2, "quantity")]


@pytest.mark.parametrize("cell", ["±0.5", "+/-0.5", "0.5", "+/− 0,5 mm"])
def test_a_tolerance_is_read_with_or_without_its_sign(cell: str) -> None:
    assert only(read_part_list(f"{HEADER.replace(',', ';')};tolerance\nLeg;2;450;38;38;{cell}")).tolerance == MM // 2


@pytest.mark.parametrize("total", ["Total,48,,,", "SUM:,,16660,,", ",48,,,", "Gesamt,,,,", "Sous-total,48,16.6 m,,"])
def test_a_row_that_is_only_a_total_is_left_out_and_said(total: str) -> None:
    parts = read_part_list(f"{HEADER}\nLeg,24,450,38,38\nRail,24,244,60,22\n{total}")
    assert len(parts.parts) == 2
    assert [(fault.row, "is a total" in fault.what) for fault in parts.left_out] == [(4, True)]


def test_a_part_that_is_called_total_is_a_part() -> None:
    assert only(read_part_list(f"{HEADER}\nTotal stop,24,450,38,38")).name == "Total stop"
    assert faults_of(f"{HEADER}\nLeg,2,450,38,38\n,7,,,") == [(3, "row")]  # 7 is not the sum of what stands above


def test_a_repeated_header_is_left_out_and_said() -> None:
    parts = read_part_list(f"{HEADER}\nLeg,24,450,38,38\n{HEADER}\nRail,24,244,60,22")
    assert [part.mark for part in parts.parts] == ["A", "B"]
    assert [fault.row for fault in parts.left_out] == [3]


def test_an_unknown_column_is_left_out_and_said_with_the_nearest_known() -> None:
    parts = read_part_list("name,quantity,length,width,thickness,Materail,Shelf\nLeg,24,450,38,38,ash,3")
    assert [(fault.row, fault.column) for fault in parts.left_out] == [(1, "Materail"), (1, "Shelf")]
    assert "material" in parts.left_out[0].next_step


def test_a_mapping_goes_before_the_guess_and_is_given_back() -> None:
    text = "Part,Panel,Cut,Wide,Thick,Length\nLeg,24,450,38,38,999"
    told = {"Panel": "quantity", "Cut": "length", "Wide": "width", "Length": ""}
    parts = read_part_list(text, mapping=told)
    assert only(parts).length == 450 * MM
    assert parts.mapping == {
        "Part": "name", "Panel": "quantity", "Cut": "length", "Wide": "width", "Thick": "thickness",
    }  # fmt: skip
    assert [fault.column for fault in parts.left_out] == ["Length"]
    assert read_part_list(text, mapping={**parts.mapping, "Length": ""}).parts == parts.parts


def test_rows_without_a_header_are_read_by_the_mapping() -> None:
    table = read_rows("24\tLeg\t450\t38\t38\n12\tRail\t244\t60\t22")
    assert (table.header_row, table.columns[0], len(table.rows)) == (0, "column 1", 2)
    told = dict(zip(table.columns, ["quantity", "name", "length", "width", "thickness"], strict=True))
    assert [part.name for part in parts_from_rows(table, mapping=told).parts] == ["Leg", "Rail"]


def test_a_mapping_to_no_field_is_refused() -> None:
    assert (1, "name") in faults_of(f"{HEADER}\nLeg,24,450,38,38", mapping={"name": "title"})


def test_a_unit_in_the_header_or_below_it_goes_before_the_unit_of_the_job() -> None:
    part = only(read_part_list("name,qty,length (in),width [mm],thickness\nLeg,4,17 3/4,38,1", lengths="in"))
    assert part.size == (17 * INCH + 3 * INCH // 4, 38 * MM, INCH)
    below = read_part_list(f"{HEADER}\n,pcs,cm,mm,in\nLeg,24,45,38,1 1/2")
    assert only(below).size == (450 * MM, 38 * MM, 3 * INCH // 2)
    assert below.left_out[0].row == 2
    assert any("thickness is read in inches" in note for note in below.notes)


def test_a_column_that_counts_the_rows_is_the_mark_not_the_quantity() -> None:
    assert read_part_list("No.,Part,Length,Width,Thickness\n4,Leg,450,38,38\n2,Rail,244,60,22").parts[0].quantity == 4
    assert faults_of("No.,Part,Length,Width,Thickness\n1,Leg,450,38,38\n2,Rail,244,60,22") == [(1, "quantity")]


@pytest.mark.parametrize("cell", ["17½", ".75", "17 3/4", "± 1/64", "12,500"])
def test_a_bare_cell_of_a_list_in_inches_keeps_its_inches_in_a_job_in_mm(cell: str) -> None:
    table = read_rows(f"{HEADER.replace('length', 'length (in)')}\nLeg;some;{cell};38;38".replace(",", ";", 4))
    assert rows_as_written(table, "mm")[0]["length"] == f"{cell} in"


def test_the_limit_of_rows_is_kept() -> None:
    lines = "Leg,1,450,38,38\n" * 20_000
    assert len(read_rows(f"{HEADER}\n{lines}").rows) == 20_000
    assert faults_of(f"{HEADER}\n{lines}Leg,1,450,38,38") == [(20_002, "row")]


def test_nothing_is_half_read_when_one_row_is_at_fault() -> None:
    with pytest.raises(BadInput):
        read_part_list(f"{HEADER}\nLeg,24,450,38,38\nRail,24,244,60,wide")
