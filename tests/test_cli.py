"""The commands: what they print, how they end, and that bad input is told and never a traceback."""

import io
import json
import subprocess
import sys
from pathlib import Path

import pytest

from stopwright.cli import BAD_INPUT, BROKEN_OFF, DONE, RULE_BROKEN, main
from stopwright.store.log import Store

FIXTURES = Path(__file__).parent.parent / "fixtures"
STOOLS = FIXTURES / "bakery-stools"

FULL = Path("/dev/full")

Shown = pytest.CaptureFixture[str]


def test_plan_prints_settings_first_and_ends_well(capsys: Shown) -> None:
    assert main(["plan", str(STOOLS)]) == DONE
    printed = capsys.readouterr().out
    assert printed.startswith("Six bakery stools: ")
    assert "fewer is not possible" in printed.splitlines()[0]


def test_a_job_file_a_folder_and_a_bare_part_list_can_be_planned(capsys: Shown) -> None:
    for job in (STOOLS, STOOLS / "job.toml", STOOLS / "parts.csv"):
        assert main(["plan", str(job), "--json"]) == DONE
        assert json.loads(capsys.readouterr().out)["runs"]


def test_the_json_has_every_documented_key_and_lengths_as_nm_and_text(capsys: Shown) -> None:
    main(["plan", str(STOOLS), "--json"])
    sheet = json.loads(capsys.readouterr().out)
    assert sheet["version"] == 2 and sheet["job"] == "Six bakery stools" and sheet["lengths"] == "mm"
    assert set(sheet["settings"]) == {"made", "least_possible", "proven", "minutes"}
    assert {"boards_used", "least_possible", "proven", "layouts", "offcuts"} <= set(sheet["stock"])
    works = {"joint", "plane", "rip", "square", "crosscut", "mitre", "mould", "mortise"}
    for number, run in enumerate(sheet["runs"], start=1):
        assert run["number"] == number and run["work"] in works
        assert {"id", "station", "machine", "stops", "spacer", "takes", "gives", "pieces", "after", "cautions"} <= set(
            run
        )
        for stop in run["stops"]:
            assert {"axis", "sets", "target", "reading", "residual", "move"} <= set(stop)
            assert stop["move"] in ("set", "stands")
        for lot in (*run["takes"], *run["gives"]):
            assert set(lot) == {"lot", "form", "count", "of", "size", "becomes"}
            assert all(size["nm"] > 0 and size["text"] for size in lot["size"].values())
    widest = next(run for run in sheet["runs"] if run["work"] == "rip")
    assert widest["stops"][0]["target"] == {"nm": 360_000_000, "text": "360 mm"}
    mortise = next(run for run in sheet["runs"] if run["work"] == "mortise")
    assert {"slotted", "down", "reference", "at"} <= set(mortise["pieces"][0])
    made = sum(stop["move"] == "set" for run in sheet["runs"] for stop in run["stops"])
    assert made == sheet["settings"]["made"]
    assert {"joint", "thickness", "width", "length", "count", "spares"} <= set(sheet["tenons"][0])


def test_bad_input_is_told_line_by_line_on_stderr(tmp_path: Path, capsys: Shown) -> None:
    bad = tmp_path / "parts.csv"
    bad.write_text("name,quantity,length,width,thickness\nLeg,four,450,38,38\nRail,2,abc,60,22\n")
    assert main(["plan", str(bad)]) == BAD_INPUT
    out, err = capsys.readouterr()
    assert not out
    lines = err.splitlines()
    assert [line.split(": ")[0] for line in lines] == [f"{bad}:2", f"{bad}:3"]
    assert [line.split(": ")[1] for line in lines] == ["quantity", "length"]
    assert all("; " in line for line in lines)


def test_a_broken_rule_of_the_shop_is_printed_first_and_ends_with_one(tmp_path: Path, capsys: Shown) -> None:
    long = tmp_path / "parts.csv"
    long.write_text("name,quantity,length,width,thickness\nBeam,1,2900,60,22\n")
    assert main(["plan", str(long)]) == RULE_BROKEN
    printed = capsys.readouterr().out
    assert printed.index("FAULTS") < printed.index("saw, crosscut")
    assert main(["check", str(long)]) == RULE_BROKEN
    assert "fault: A: " in capsys.readouterr().out


def test_a_file_that_is_not_there_is_one_sentence(capsys: Shown) -> None:
    assert main(["plan", "no-such-file.csv"]) == BAD_INPUT
    assert "no-such-file.csv" in capsys.readouterr().err


LONG = "x" * 300
"""A name longer than any file's may be."""


@pytest.mark.parametrize(
    ("command", "said"),
    [
        (["plan", LONG], "cannot be read: File name too long; check the name"),
        (["check", LONG + ".toml"], "cannot be read: File name too long; check the name"),
        (["serve", "--data", "{here}", "--port", "99999"], "there is no port 99999; name one from 1 to 65535"),
        (["demo", "--data", "{here}", "--port", "-1"], "there is no port -1; name one from 1 to 65535"),
        (["labels", str(STOOLS), "-o", "{here}/x.pdf", "--number", "0"], "there is no job 0: their numbers are 1 to"),
        (["labels", str(STOOLS), "-o", "{here}/x.pdf", "--address", ""], "'' is not an address; write it as"),
        (["labels", str(STOOLS), "-o", "{here}/x.pdf", "--address", "our bench"], "'our bench' is not an address"),
        (["labels", str(STOOLS), "-o", "{here}/x.pdf", "--sheet", "99x99 ٣x٣ 30x30 2,2 2,2"], "not a sheet of labels"),
        (["backup", "{kept}/" + LONG, "--data", "{kept}"], "File name too long; check the file and its folder"),
    ],
)
def test_what_cannot_be_meant_is_one_sentence_with_what_to_do(
    command: list[str], said: str, tmp_path: Path, capsys: Shown
) -> None:
    Store.open(tmp_path / "shop.sqlite").close()
    assert main([word.format(here=tmp_path / "here", kept=tmp_path) for word in command]) == BAD_INPUT
    told = capsys.readouterr()
    assert said in told.err and len(told.err.splitlines()) == 1
    assert not (tmp_path / "here" / "x.pdf").exists()


@pytest.mark.skipif(not FULL.exists(), reason="this system has no disk that is always full")
@pytest.mark.parametrize("more", [[], ["--json"]])
def test_where_nothing_can_be_written_it_says_so(more: list[str]) -> None:
    with FULL.open("w") as full:
        command = [sys.executable, "-m", "stopwright", "plan", str(STOOLS), *more]
        ran = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert ran.stderr == "what it says cannot be written (No space left on device); write it to another place\n"
    assert ran.returncode == BAD_INPUT


@pytest.mark.parametrize("at", ["stopwright.cli._parser", "stopwright.actions.jobs.file_planning.plan_file"])
def test_a_command_that_is_broken_off_does_not_end_as_if_all_were_done(
    at: str, monkeypatch: pytest.MonkeyPatch, capsys: Shown
) -> None:
    def broken_off(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(at, broken_off)
    assert main(["plan", str(STOOLS)]) == BROKEN_OFF
    assert capsys.readouterr().err == "broken off\n"


def test_a_shop_file_replaces_the_default_shop(tmp_path: Path, capsys: Shown) -> None:
    shop = tmp_path / "shop.toml"
    shop.write_text(
        'name = "One saw"\nlengths = "mm"\n[[station]]\nname = "big saw"\nwork = ["rip", "square", "crosscut"]\n'
        '[[station.axis]]\nname = "fence"\nsets = "width"\nstep = 1\nlow = 5\nhigh = 1300\n'
        '[[station.axis]]\nname = "stop"\nsets = "length"\nstep = 1\nlow = 50\nhigh = 3200\n'
    )
    main(["plan", str(STOOLS / "parts.csv"), "--shop", str(shop), "--json"])
    sheet = json.loads(capsys.readouterr().out)
    assert {run["station"] for run in sheet["runs"]} == {"big saw"}


def test_labels_are_written_as_a_pdf(tmp_path: Path, capsys: Shown) -> None:
    out = tmp_path / "labels.pdf"
    assert main(["labels", str(STOOLS), "-o", str(out)]) == DONE
    assert out.read_bytes().startswith(b"%PDF")
    assert "66 labels" in capsys.readouterr().out
    assert main(["labels", str(STOOLS), "-o", str(out), "--sheet", "9 by 9"]) == BAD_INPUT
    assert main(["labels", str(STOOLS), "-o", str(tmp_path / "no" / "labels.pdf")]) == BAD_INPUT


@pytest.mark.parametrize("letters", ["ascii", "cp1252", "iso-8859-15", "utf-8"])
def test_a_sheet_is_printed_whole_where_its_signs_cannot_be(letters: str, monkeypatch: pytest.MonkeyPatch) -> None:
    out = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(out, letters))
    assert main(["plan", str(STOOLS)]) == DONE
    sheet = out.getvalue().decode(letters).replace("−", "-").replace("±", "+/-")
    assert "31 mm  -0.2 mm off, +/-0.3 mm allowed" in sheet
    assert "dust has a limit" in sheet, "to the end"


def test_a_file_name_that_is_no_text_can_still_be_printed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    parts = tmp_path / "St\udcfchle.csv"  # ü in the letters of an old system
    try:
        parts.write_bytes((STOOLS / "parts.csv").read_bytes())
    except OSError:
        pytest.skip("this disk takes no such name")
    out = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(out, "utf-8"))
    assert main(["labels", str(parts), "-o", f"{parts}.pdf"]) == DONE
    assert main(["plan", str(parts), "--json"]) == DONE
    assert out.getvalue().decode().startswith(f"66 labels in {tmp_path}/St?hle.csv.pdf\n")


def test_one_part_one_piece_and_one_label_are_not_many(tmp_path: Path, capsys: Shown) -> None:
    (tmp_path / "one.csv").write_text("name,quantity,length,width,thickness\nShelf,1,450,60,22\n")
    assert main(["check", str(tmp_path / "one.csv")]) == 0
    assert capsys.readouterr().out.endswith("One: 1 part, 1 piece, 0 faults\n")
    assert main(["labels", str(tmp_path / "one.csv"), "-o", str(tmp_path / "one.pdf")]) == 0
    assert capsys.readouterr().out.startswith("1 label in ")
    assert main(["labels", str(tmp_path / "one.csv"), "-o", str(tmp_path / "no" / "one.pdf")]) == 2
    assert capsys.readouterr().err.endswith("; name another file\n")


SLOW_TO_LOAD = "pint numpy highspy openpyxl sqlite_utils fastapi uvicorn jinja2 reportlab PIL zxingcpp zeroconf qrcode"
LOADED_BY = f"""
import sys
from stopwright.cli import main
try:
    main(sys.argv[1:])
except SystemExit:
    pass
print([name for name in {SLOW_TO_LOAD.split()} if name in sys.modules], file=sys.stderr)
"""


def test_help_and_a_list_of_one_line_load_nothing_that_they_do_not_need(tmp_path: Path) -> None:
    one = tmp_path / "one.csv"
    one.write_text("name,quantity,length,width,thickness\nRail,4,400,50,20\n")
    unit = tmp_path / "unit.csv"
    unit.write_text("name,quantity,length,width,thickness\nRail,4,40 cm,50,20\n")
    loads = {("--help",): [], ("plan", str(one)): [], ("plan", str(unit)): ["pint"]}
    for command, loaded in loads.items():
        ran = subprocess.run([sys.executable, "-c", LOADED_BY, *command], capture_output=True, text=True, check=True)
        assert ran.stdout
        found = [name for name in SLOW_TO_LOAD.split() if f"'{name}'" in ran.stderr.splitlines()[-1]]
        assert [name for name in found if name != "numpy" or "pint" not in found] == loaded


def test_the_server_loads_before_it_is_up_nothing_that_only_some_pages_need() -> None:
    modules = "pint highspy openpyxl reportlab PIL zxingcpp zeroconf qrcode cryptography"
    look = f"import sys, stopwright.web.serving\nprint([one for one in {modules.split()} if one in sys.modules])"
    assert subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, check=True).stdout == "[]\n"
