"""Bad values in every field of every kind of cut: a sentence beside the field, and what was typed is kept.

The kinds and their fields are found where the program finds them, so that a new one is tried here without a new line.
"""

from collections.abc import Iterator
from dataclasses import fields
from enum import StrEnum
from fractions import Fraction
from typing import Any, get_args, get_origin

import pytest
from tests.conftest import ROOT

from stopwright.actions.jobs.keeping import create_job, job_document
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.keys import Key, is_length, keys_of
from stopwright.plan.operations.known import CUTS

LENGTHS = ("ten", "-3", "1/128 in", "999999")
SEVERAL = ("ten; 3", "5; -3")
WHOLE = ("many", "2.5", "1000000000000")
NUMBERS = ("steep", "1/0", "-5")
NO_CHOICE = ("roof",)
NO_PART = ("Q",)
NO_WORDS = ("x" * 2001,)
FIELDS = [(kind, name) for kind in CUTS for name in keys_of(CUTS[kind])]


@pytest.fixture
def stools(floor):
    document = job_to_document(read_job(ROOT / "fixtures" / "bakery-stools"))
    del document["joint"]
    return create_job(floor.store, document, "bench")


def bad_values(kind: str, name: str, key: Key) -> tuple[str, ...]:
    """What nobody can mean in this field, by what it holds; the station is known to the plan only."""
    words = next(one for one in fields(CUTS[kind]) if one.name == key.field).metadata["words"]
    inner = get_args(key.kind)[0] if get_origin(key.kind) is tuple else key.kind
    if words.names_parts or name == "parts":
        return NO_PART
    if is_length(inner):
        return SEVERAL if inner is not key.kind else LENGTHS
    if inner in (int, Fraction):
        return WHOLE if inner is int else NUMBERS
    if inner is str:
        return NO_WORDS
    assert issubclass(inner, StrEnum), f"{kind}, {name}: say here what nobody can mean"
    return NO_CHOICE


def typed(row: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """A row as the form sends it."""
    for name, value in row.items():
        for one in value if isinstance(value, list) else (value,):
            yield name, str(one)


@pytest.mark.parametrize(("kind", "name"), FIELDS, ids=lambda one: one)
def test_a_bad_value_is_said_beside_its_field_and_nothing_is_lost(floor, stools, kind, name):
    key = keys_of(CUTS[kind])[name]
    floor.bench.post(f"/jobs/{stools}/joints/{kind}/add")
    begun = dict(job_document(floor.store, stools).document[kind][0])
    for value in bad_values(kind, name, key):
        saved = job_document(floor.store, stools)
        sent = {"base": saved.version, "fields": list(typed(begun | {name: value})), "save": True}
        answer = floor.bench.post(f"/jobs/{stools}/joints/{kind}/0", json=sent)
        assert answer.status_code == 200, value
        said = [fault["text"] for fault in answer.json()["faults"] if fault["field"] == name]
        assert said and all("; " in one for one in said), (value, answer.json()["faults"])
        kept = job_document(floor.store, stools).document[kind][0]
        together = "; ".join(kept[name]) if isinstance(kept[name], list) else str(kept[name])
        assert together == value
        assert {field: kept[field] for field in begun if field != name} == {
            field: value for field, value in begun.items() if field != name
        }


@pytest.mark.parametrize("kind", CUTS)
def test_an_empty_form_says_what_is_missing_beside_every_field_that_is_needed(floor, stools, kind):
    floor.bench.post(f"/jobs/{stools}/joints/{kind}/add")
    version = job_document(floor.store, stools).version
    sent = {"base": version, "fields": [("mark", "")], "save": True}
    faults = floor.bench.post(f"/jobs/{stools}/joints/{kind}/0", json=sent).json()["faults"]
    needed = {name for name, key in keys_of(CUTS[kind]).items() if key.needed}
    assert {fault["field"] for fault in faults} >= needed and "mark" in needed
