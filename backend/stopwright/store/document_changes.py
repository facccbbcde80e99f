"""What an edit changed in a document: only that is written down, and the document is made from it again."""

import json
from collections.abc import Mapping, Sequence
from itertools import takewhile
from typing import Any

_FIELDS = frozenset({"set", "drop", "rows"})


def change_between(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, Any]:
    """What makes `after` of `before`: keys that are `set`, keys to `drop`, and in lists the `rows` that are others.

    Rows are exchanged from a place on: so many taken out there, these put in; places count in the list as it is by
    then. Texts are compared as JSON writes them, so that 1 and 1.0 differ.

    >>> old = {"name": "Stool", "part": [{"name": "Leg"}, {"name": "Rail"}, {"name": "Seat"}]}
    >>> new = {"name": "Stool", "part": [{"name": "Leg"}, {"name": "Top rail"}, {"name": "Seat"}]}
    >>> change_between(old, new)
    {'rows': {'part': [[1, 1, [{'name': 'Top rail'}]]]}}
    """
    values: dict[str, Any] = {}
    rows: dict[str, list[list[Any]]] = {}
    for key, value in after.items():
        stood = before.get(key)
        if key in before and _same(stood, value):
            continue
        if isinstance(stood, list) and isinstance(value, list) and stood:
            rows[key] = _exchanged(stood, value)
        else:
            values[key] = value
    gone = [key for key in before if key not in after]
    return {field: found for field, found in (("set", values), ("drop", gone), ("rows", rows)) if found}


def changed(before: Mapping[str, Any], change: Mapping[str, Any]) -> dict[str, Any]:
    """The document after the change; `before` stays as it is. Raises ValueError where the change does not fit it.

    >>> changed({"name": "Stool", "part": ["a", "b", "c"]}, {"rows": {"part": [[1, 1, ["x", "y"]]]}, "drop": ["name"]})
    {'part': ['a', 'x', 'y', 'c']}
    """
    after = {key: value for key, value in before.items() if key not in change.get("drop", ())}
    after |= change.get("set", {})
    for key, exchanges in change.get("rows", {}).items():
        rows = after.get(key)
        if not isinstance(rows, list):
            raise ValueError(f"{key!r} is no list")
        rows = list(rows)
        for at, taken, put in exchanges:
            if at + taken > len(rows):
                raise ValueError(f"{key!r} has no row {at + taken}")
            rows[at : at + taken] = put
        after[key] = rows
    return after


def a_change(value: Any) -> str:
    """Accepts what `change_between` makes."""
    good = isinstance(value, dict) and set(value) <= _FIELDS
    good = good and isinstance(value.get("set", {}), dict) and isinstance(value.get("rows", {}), dict)
    good = (
        good and isinstance(value.get("drop", []), list) and all(isinstance(key, str) for key in value.get("drop", []))
    )
    good = good and all(
        isinstance(rows, list) and all(map(_is_exchange, rows)) for rows in value.get("rows", {}).values()
    )
    return "" if good else "what was set, dropped and exchanged"


def _is_exchange(value: Any) -> bool:
    def whole(one: Any) -> bool:
        return isinstance(one, int) and not isinstance(one, bool) and one >= 0

    return (
        isinstance(value, list)
        and len(value) == 3
        and whole(value[0])
        and whole(value[1])
        and isinstance(value[2], list)
    )


def _same(one: Any, other: Any) -> bool:
    return one is other or _text(one) == _text(other)


def _text(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


def _exchanged(before: Sequence[Any], after: Sequence[Any]) -> list[list[Any]]:
    """The stretches of rows that differ: each for itself where none came or went, else the one from first to last."""
    alike = [_same(*pair) for pair in zip(before, after, strict=False)]
    if len(before) == len(after):
        starts = [at for at, same in enumerate(alike) if not same and (at == 0 or alike[at - 1])]
        lengths = [len(list(takewhile(lambda same: not same, alike[at:]))) for at in starts]
        return [[at, length, list(after[at : at + length])] for at, length in zip(starts, lengths, strict=True)]
    head = len(list(takewhile(bool, alike)))
    most = min(len(before), len(after)) - head
    tail = 0
    while tail < most and _same(before[-1 - tail], after[-1 - tail]):
        tail += 1
    return [[head, len(before) - head - tail, list(after[head : len(after) - tail])]]
