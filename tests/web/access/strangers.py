"""What tests of hard use share: the program with things in it to hit, and what every answer must be."""

from dataclasses import dataclass
from typing import Any

import httpx
from tests.web.conftest import Shopfloor

from stopwright.model.codes import encode

MARKUP = "<b id=x>\"'&"
"""Typed into everything; no page may show it as it stands."""
PAGE, DATA = "text/html", "application/json"
JOBS = ["1", "1", "1", "2", "77", "x", "²", "1\0", "-1", "9" * 30]
NUMBERS = [0, 1, 2, 3, 7, -1, 2**31, 2**63, 2**64, 10**400, "x", "1.0"]
REAL: dict[str, list[Any]] = {
    "job": JOBS,
    "number": NUMBERS,
    "row": NUMBERS,
    "station": ["saw", "mortiser", "planer", 0, 2],
    "axis": ["rip fence", "depth", "height"],
    "unit": [1, 6, *NUMBERS],
    "code": [encode(1, 0), encode(1, 5), encode(0, 1), encode(2, 0), "UUUUUUU", "x"],
    "table": ["joint", "mitre", "moulding", "part", "stock", ""],
    "what": ["list.csv", "list.xlsx", "job.toml", "csv", "xlsx", "toml", "run-sheet", "labels", "plan"],
    "mark": ["A", "B", "Z"],
    "flow": ["station by station", "part by part"],
    "like": ["0", "1", "99999"],
    "start": NUMBERS,
    "only": ["1,2", "", "5"],
    "sheet": ["A4", "Letter", "3x8"],
    "page": ["A4", "Letter"],
    "base": [0, 1, 2, 3, 2**53, 2**64],
    "version": [1, 2, 3, 2**64],
    "at": ["joint.0", "joint.1", "mitre.0", "joint.²"],
    "lengths": ["mm", "in"],
    "length": ["450", "17 3/4 in", "1e9", "-1"],
    "width": ["60", "1/128 in"],
    "thickness": ["22"],
    "kind": ["job saved", "stop made", "stop set", "piece cut", "piece spoiled", "piece measured", "reading noted",
             "run done", "undo", "piece scanned", "piece sorted", "dry fit ticked", "glue-up begun",
             "joint closed", "solid"],
    "name": ["Leg", MARKUP],
    "quantity": ["24", "6", "0", 3],
    "id": ["abcdefgh", "abcdefgi"],
    "sets": ["width", "length", "bit"],
    "work": ["rip", "mortise"],
    "device": ["bench", "x"],
}  # fmt: skip
"""Values that lead somewhere; for every other name, and now and then for these, anything is sent."""


@dataclass(frozen=True)
class Told:
    """One request as it was sent and the answer to it, so that a test can say what broke."""

    sent: str
    answer: httpx.Response


def expect_sense(told: Told) -> None:
    """Fails when the answer is a breakdown, a refusal in another shape, or a page with foreign markup in it."""
    answer, kind = told.answer, told.answer.headers.get("content-type", "")
    assert answer.status_code < 500, f"{told.sent} was answered {answer.status_code}"
    assert "content-security-policy" in answer.headers, told.sent
    if kind.startswith(PAGE):
        assert MARKUP[:8] not in answer.text, f"{told.sent} shows markup as it was typed"
    if answer.status_code < 400:
        return
    if kind.startswith(PAGE):
        assert 'lang="en"' in answer.text, told.sent
        return
    error = answer.json()["error"]
    assert {"what", "where", "next_step"} <= error.keys() and error["what"] and error["next_step"], told.sent


def with_real_values(node: Any) -> Any:
    """The description of the program's addresses and forms, in which names that we know have values that lead on."""
    if isinstance(node, list):
        return [with_real_values(one) for one in node]
    if not isinstance(node, dict):
        return node
    node = {key: with_real_values(value) for key, value in node.items()}
    for parameter in node.get("parameters", ()):
        parameter["schema"] = _or_real(parameter["name"], parameter["schema"])
    if isinstance(node.get("properties"), dict):
        node["properties"] = {name: _or_real(name, one) for name, one in node["properties"].items()}
    return node


def _or_real(name: str, schema: dict[str, Any]) -> dict[str, Any]:
    if name == "job":
        return {"enum": JOBS}
    return {"anyOf": [{"enum": REAL[name]}, schema]} if name in REAL else schema


def furnished(floor: Shopfloor) -> Shopfloor:
    """The program with a second job and an offcut in it, whose live lines end at once."""
    floor.bench.app.state.live.end()
    floor.bench.post("/jobs/1/copy")
    floor.bench.post("/shelf", data={"length": "600", "width": "120", "thickness": "27", "material": "ash"})
    return floor
