"""Lengths of a document that say their unit, so that they stay what they are when a bare number means another."""

import dataclasses
from collections.abc import Mapping
from typing import Any, get_args, get_origin

from stopwright.errors import StopwrightError
from stopwright.intake.keys import Document, is_length, keys_of
from stopwright.lengths import Nm, parse_length
from stopwright.model.job import Job
from stopwright.plan.making.known import THINGS
from stopwright.plan.operations.known import CUTS


def units_said(document: Mapping[str, Any], unit: str) -> Document:
    """A job's document with `unit` written behind every bare length; what is no length is left as it is.

    >>> units_said({"part": [{"name": "Leg", "length": "414.3", "width": 38, "thickness": '1 1/2"'}]}, "mm")
    {'part': [{'name': 'Leg', 'length': '414.3 mm', 'width': '38 mm', 'thickness': '1 1/2"'}]}
    """
    kinds = {name: key.kind for name, key in keys_of(Job).items()} | CUTS | THINGS
    return {key: _said(value, kinds[key], unit) if key in kinds else value for key, value in document.items()}


def _said(value: Any, kind: Any, unit: str) -> Any:
    one = get_args(kind)[0] if get_origin(kind) is tuple else kind
    if isinstance(value, list):
        return [_said(each, one, unit) for each in value]
    if is_length(one):
        return f"{value} {unit}" if _is_bare(value) else value
    if isinstance(one, type) and dataclasses.is_dataclass(one) and isinstance(value, Mapping):
        keys = keys_of(one)
        return {name: _said(each, keys[name].kind, unit) if name in keys else each for name, each in value.items()}
    return value


def _is_bare(value: Any) -> bool:
    """Whether a length means another in another unit."""
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        return False
    return _read(str(value), "mm") != _read(str(value), "in")


def _read(text: str, unit: str) -> Nm | None:
    try:
        return parse_length(text, unit)
    except StopwrightError:
        return None
