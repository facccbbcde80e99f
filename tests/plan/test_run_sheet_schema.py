"""Every run sheet as JSON keeps to the schema in the package; a sheet with a key gone or a wrong kind does not."""

import copy
import json
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from stopwright.cli import main

FIXTURES = Path(__file__).parents[2] / "fixtures"
SCHEMA = json.loads(files("stopwright.plan").joinpath("run_sheet.schema.json").read_text(encoding="utf-8"))
JOBS = sorted(path.parent.name for path in FIXTURES.glob("*/job.toml"))


def _sheet(job: str, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    main(["plan", str(FIXTURES / job), "--json"])
    sheet: dict[str, Any] = json.loads(capsys.readouterr().out)
    return sheet


def _faults(sheet: dict[str, Any]) -> list[str]:
    return [f"{fault.json_path}: {fault.message}" for fault in Draft202012Validator(SCHEMA).iter_errors(sheet)]


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("job", JOBS)
def test_the_sheet_of_every_whole_job_keeps_to_it(job: str, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = _sheet(job, capsys)
    assert sheet["runs"]
    assert _faults(sheet) == []


def _spoil(change: Callable[[dict[str, Any]], object], sheet: dict[str, Any]) -> dict[str, Any]:
    spoiled = copy.deepcopy(sheet)
    change(spoiled)
    return spoiled


def _mortise_run(sheet: dict[str, Any]) -> dict[str, Any]:
    return next(run for run in sheet["runs"] if run["work"] == "mortise")


SPOILED: dict[str, Callable[[dict[str, Any]], object]] = {
    "an older version": lambda sheet: sheet.update(version=1),
    "a run without an id": lambda sheet: sheet["runs"][0].pop("id"),
    "a run that takes nothing": lambda sheet: sheet["runs"][0]["takes"].clear(),
    "a form that is none": lambda sheet: sheet["runs"][0]["gives"][0].update(form="plank"),
    "a length as a float": lambda sheet: sheet["runs"][0]["gives"][0]["size"]["length"].update(nm=0.5),
    "a board of no width": lambda sheet: sheet["runs"][0]["takes"][0]["size"]["width"].update(nm=0),
    "a move that is none": lambda sheet: sheet["runs"][-1]["stops"][0].update(move="maybe"),
    "a slot on no side": lambda sheet: _mortise_run(sheet)["pieces"][0].pop("slotted"),
    "a glue-up that joins nothing": lambda sheet: sheet["glue_ups"][0]["stages"][0]["joined"].clear(),
    "a clamp that opens by words": lambda sheet: sheet["glue_ups"][0]["stages"][0]["clamps"].update(opening="wide"),
    "boards without a layout": lambda sheet: sheet["stock"]["boards"][0].pop("layout"),
}


@pytest.mark.parametrize("change", SPOILED.values(), ids=SPOILED.keys())
def test_a_spoiled_sheet_does_not(
    change: Callable[[dict[str, Any]], object], capsys: pytest.CaptureFixture[str]
) -> None:
    assert _faults(_spoil(change, _sheet("bakery-stools", capsys))) != []


def test_a_key_may_be_added(capsys: pytest.CaptureFixture[str]) -> None:
    assert _faults(_spoil(lambda sheet: sheet["runs"][0].update(more=1), _sheet("bakery-stools", capsys))) == []
