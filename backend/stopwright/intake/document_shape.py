"""The shape of a job's document: what stands at each key may be wrong, but it is of a sort that can be shown."""

import dataclasses
from collections.abc import Iterator, Mapping
from typing import Any, get_args, get_origin

from stopwright.errors import BadInput, Fault
from stopwright.intake.keys import keys_of
from stopwright.intake.things import CHANGED
from stopwright.model.job import Job
from stopwright.model.things import Changed
from stopwright.plan.making.known import THINGS
from stopwright.plan.operations.known import CUTS

_OF_A_JOB = {name: key.kind for name, key in keys_of(Job).items() if key.field not in ("cuts", "things", "changes")}
TABLES: Mapping[str, type] = {
    **{name: get_args(kind)[0] for name, kind in _OF_A_JOB.items() if get_origin(kind) is tuple},
    **CUTS,
    **THINGS,
    CHANGED: Changed,
}
"""The lists of tables."""
SINGLE: Mapping[str, type] = {
    n: kind for n, kind in _OF_A_JOB.items() if isinstance(kind, type) and dataclasses.is_dataclass(kind)
}
"""The tables that stand once."""
_NEXT_STEP = "upload the file as it was exported"


def refuse_odd(document: Mapping[str, Any], file: str) -> None:
    """Raises BadInput, naming every place, for a document that no editor of ours makes; its values may be faulty.

    >>> refuse_odd({"name": "Stool", "part": [{"name": "Leg", "length": "450 cubits"}]}, "job.json")
    >>> refuse_odd({"name": "Stool", "part": ["Leg"]}, "job.json")
    Traceback (most recent call last):
    stopwright.errors.BadInput: job.json: 1 fault in what was read; fix them and read it again
    """
    faults = [Fault(file, row, key, what, _NEXT_STEP) for row, key, what in _odd(document)]
    if faults:
        raise BadInput(faults)


def _odd(document: Mapping[str, Any]) -> Iterator[tuple[int, str, str]]:
    for key, value in document.items():
        if key in SINGLE:
            yield from ((1, name, what) for name, what in _odd_in(SINGLE[key], value, key))
        elif key not in TABLES:
            if not _is_plain(value):
                yield 1, key, "is neither a text nor a number"
        elif not isinstance(value, list):
            yield 1, key, "is not a list of tables"
        else:
            for row, table in enumerate(value, start=1):
                yield from ((row, name, what) for name, what in _odd_in(TABLES[key], table, key))
    if document.get("lengths", "mm") not in ("mm", "in"):
        yield 1, "lengths", "is neither 'mm' nor 'in'"


def _odd_in(kind: Any, table: object, name: str) -> Iterator[tuple[str, str]]:
    if not isinstance(table, Mapping):
        yield name, "is not a table"
        return
    keys = keys_of(kind)
    for key, value in table.items():
        wanted = keys[key].kind if key in keys else str
        several = get_origin(wanted) is tuple
        one = get_args(wanted)[0] if several else wanted
        for each in value if several and isinstance(value, list) else [value]:
            if dataclasses.is_dataclass(one) and isinstance(each, Mapping):
                yield from _odd_in(one, each, f"{name} {key}")
            elif not _is_plain(each):
                yield f"{name} {key}", "is neither a text nor a number"


def _is_plain(value: object) -> bool:
    return isinstance(value, str | int | float)
