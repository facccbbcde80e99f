"""What is read in a process of its own: hostile files are answered in words, and nothing of them stays."""

import io
import time
import zipfile

import pytest

from stopwright.errors import BadInput, Fault, Inconsistent, Problem, StopwrightError
from stopwright.intake.apart import read_apart
from stopwright.intake.json_text import refuse_no_document
from stopwright.intake.rows import Table, read_rows
from stopwright.intake.toml_text import document_in

HEADER = "name,quantity,length,width,thickness\n"
MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"


def workbook(strings: str, rows: str) -> bytes:
    """A workbook of one sheet with these shared strings and rows."""
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    parts = {
        "[Content_Types].xml": f'<Types xmlns="{PACKAGE}/content-types"><Default Extension="rels" ContentType='
        f'"application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" '
        f'ContentType="{kind}.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType='
        f'"{kind}.worksheet+xml"/><Override PartName="/xl/sharedStrings.xml" ContentType="{kind}.sharedStrings+xml"/>'
        "</Types>",
        "_rels/.rels": f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="a" '
        f'Type="{OFFICE}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook {MAIN} xmlns:r="{OFFICE}"><sheets><sheet name="S" sheetId="1" r:id="a"/>'
        "</sheets></workbook>",
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="a" '
        f'Type="{OFFICE}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>',
        "xl/sharedStrings.xml": f"<sst {MAIN}>{strings}</sst>",
        "xl/worksheets/sheet1.xml": f"<worksheet {MAIN}><sheetData>{rows}</sheetData></worksheet>",
    }
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in parts.items():
            archive.writestr(name, text)
    return data.getvalue()


def dots(count: int) -> bytes:
    """A key of so many steps."""
    return b".".join([b"a"] * count)


def test_a_list_reads_apart_as_it_reads_here() -> None:
    text = HEADER + "Leg,4,450,38,38\n"
    assert read_apart(read_rows, text, "parts.csv", file="parts.csv") == read_rows(text, "parts.csv")


def test_faults_come_back_with_their_places() -> None:
    with pytest.raises(BadInput) as here:
        read_rows(b"", "parts.csv")
    with pytest.raises(BadInput) as apart:
        read_apart(read_rows, b"", "parts.csv", file="parts.csv")
    assert apart.value.faults == here.value.faults and str(apart.value) == str(here.value)


@pytest.mark.parametrize(
    "error",
    [
        StopwrightError("is wrong", "here", "do this"),
        BadInput([Fault("a.csv", 2, "length", "is wrong", "do this")]),
        Inconsistent("Leg", [Problem("length", "is 0", "write more")]),
    ],
)
def test_errors_are_the_same_in_another_process(error: StopwrightError) -> None:
    with pytest.raises(type(error)) as came:
        read_apart(fail, error, file="a.csv")
    assert str(came.value) == str(error) and vars(came.value) == vars(error)


def fail(error: Exception) -> None:
    raise error


def for_ever() -> None:
    while True:
        time.sleep(0.01)


def take(size: int) -> int:
    return len(bytearray(size))


def test_what_takes_too_long_is_ended_and_said() -> None:
    with pytest.raises(BadInput, match="1 fault") as ended:
        read_apart(for_ever, file="slow.csv", seconds=1.5)
    assert "takes more than 1.5 seconds" in ended.value.faults[0].what


def test_what_takes_too_much_memory_is_ended_and_said() -> None:
    assert read_apart(take, 50_000_000, file="small.csv", room=200_000_000) == 50_000_000
    with pytest.raises(BadInput) as ended:
        read_apart(take, 400_000_000, file="large.csv", room=200_000_000)
    assert "takes more than 200 MB" in ended.value.faults[0].what


def test_an_error_of_our_own_is_not_called_a_fault_of_the_file() -> None:
    with pytest.raises(RuntimeError, match="fail"):
        read_apart(fail, KeyError("x"), file="a.csv")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (dots(160_000) + b" = 1", "nests too deeply"),
        (dots(1_900_000) + b" = 1", "nests too deeply"),
        (b"[" + dots(160_000) + b"]", "nests too deeply"),
        (b"a = " + b"[" * 100_000, "nests too deeply"),
        (b"[[part]]\n" * 100_000, "more than 25000 tables"),
        (b"".join(b"[t%d]\n" % number for number in range(100_000)), "more than 25000 tables"),
        (b"a = 1\n" * 300_000, "more than 250000 keys"),
    ],
)
def test_a_job_file_of_too_much_is_refused_before_it_is_built(text: bytes, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        document_in(text, "job.toml")
    assert words in str(refused.value.faults[0])


def test_a_key_that_nests_where_no_count_sees_it_is_ended() -> None:
    with pytest.raises(BadInput) as ended:
        read_apart(document_in, b"a = {" + dots(160_000) + b" = 1}", "job.toml", file="job.toml")
    assert "takes more than" in ended.value.faults[0].what


def test_a_text_in_a_job_file_may_hold_dots() -> None:
    text = "name = '''\n" + "so" + "." * 60 + "\n'''\nnote = '" + "." * 60 + "'\n"
    assert document_in(text.encode(), "job.toml")[0]["note"] == "." * 60


@pytest.mark.parametrize(
    ("strings", "rows", "words"),
    [
        (
            "<si><t>" + "a b " * 2_250_000 + "</t></si>",
            "".join(f'<row r="{n}">' + '<c t="s"><v>0</v></c>' * 10 + "</row>" for n in range(1, 51)),
            "a cell of more than",
        ),
        ("<si><t>a</t></si>" * 400_000, "<row/>", "different texts"),
    ],
)
def test_a_workbook_of_too_much_text_is_refused(strings: str, rows: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        read_rows(workbook(strings, rows), "parts.xlsx")
    assert words in str(refused.value.faults[0])


def test_a_workbook_whose_texts_are_in_bounds_reads() -> None:
    cells = "".join(f'<c t="s"><v>{place}</v></c>' for place in range(5))
    strings = "".join(f"<si><t>{word}</t></si>" for word in HEADER.strip().split(","))
    row = "".join(f'<c t="inlineStr"><is><t>{word}</t></is></c>' for word in ("Leg", 4, 450, 38, 38))
    table = read_rows(workbook(strings, f"<row>{cells}</row><row>{row}</row>"), "parts.xlsx")
    assert isinstance(table, Table) and table.rows[0].cells == ("Leg", "4", "450", "38", "38")


@pytest.mark.parametrize("row", ['"' * 199, '",' * 120, '"",' * 80, "," * 150, '" ' * 120])
def test_lists_of_quotes_and_commas_are_counted_while_they_are_read(row: str) -> None:
    text = HEADER + f"{row}\n" * 15_000
    try:
        assert sum(len(one.cells) for one in read_rows(text).rows) <= 1_000_000
    except BadInput as refused:
        assert "more than" in str(refused.faults[0])


@pytest.mark.parametrize("text", ["[" * 1_000_000, "1" * 100_000, "[" + "[]," * 1_000_001 + "[]]", "{"])
def test_a_whole_job_that_is_none_is_refused_before_it_is_built(text: str) -> None:
    with pytest.raises(BadInput):
        refuse_no_document(text, "job.json")
