"""The fields of the model as keys of a table, and a thing of the model written as such a table.

A field that is a tuple of things, such as `axes: tuple[Axis, ...]`, is the list of tables named for the thing:
`axis`. A new field or a new thing of the model is therefore read and written without a line here.
"""

import dataclasses
import re
import types
from collections.abc import Iterable
from enum import StrEnum
from fractions import Fraction
from functools import cache
from typing import Annotated, Any, NamedTuple, Union, get_args, get_origin, get_type_hints

from stopwright.lengths import format_exact
from stopwright.model.gear import Gear

Document = dict[str, Any]
"""A job or a shop as plain dicts, lists, texts and numbers: the shape of its TOML file."""


class Key(NamedTuple):
    """What a key of a table is read into: field, kind of value, and whether it may be left out or be nothing."""

    field: str
    kind: Any
    needed: bool
    may_be_none: bool


def keys_of(kind: Any) -> dict[str, Key]:
    """Key in the file -> field of a dataclass of the model, in its order.

    >>> from stopwright.model.stations import Station
    >>> list(keys_of(Station))[:3], keys_of(Station)["axis"].field
    (['name', 'work', 'axis'], 'axes')
    """
    return _keys_of(kind)


@cache
def _keys_of(kind: Any) -> dict[str, Key]:
    hints = get_type_hints(kind, include_extras=True)
    keys = {}
    for field in dataclasses.fields(kind):
        choices = [one for one in get_args(hints[field.name]) if one is not types.NoneType]
        may_be_none = get_origin(hints[field.name]) in (Union, types.UnionType)
        inner = choices[0] if may_be_none else hints[field.name]
        name = field.name.rstrip("_")  # a key may be a word that Python keeps for itself
        if get_origin(inner) is tuple and dataclasses.is_dataclass(get_args(inner)[0]):
            name = re.sub(r"(?<!^)(?=[A-Z])", "_", get_args(inner)[0].__name__).lower()
        has_default = field.default is not dataclasses.MISSING or field.default_factory is not dataclasses.MISSING
        keys[name] = Key(field.name, inner, not (has_default or may_be_none), may_be_none and not has_default)
    return keys


def document_of(thing: Any, unit: str, leave_out: Iterable[str] = ()) -> Document:
    """A thing of the model as a table that reads back equal; what is at its default is left out.

    >>> from stopwright.model.stations import Allowance
    >>> document_of(Allowance(length=25_400_000), "in")
    {'length': '1'}
    """
    document: Document = {}
    for name, key in keys_of(type(thing)).items():
        value = getattr(thing, key.field)
        if holds_gear(key):
            for gear in value:
                document |= document_of(gear, unit)
        elif value is not None and key.field not in leave_out and not _is_default(thing, key.field, value):
            document[name] = _plain(value, key.kind, unit)
    return document


def holds_gear(key: Key) -> bool:
    """Whether a field holds gear, whose own keys stand in the table of the thing that has it."""
    return get_origin(key.kind) is tuple and get_args(key.kind)[0] is Gear


def is_length(annotation: Any) -> bool:
    """Whether a field of this kind holds a length."""
    return get_origin(annotation) is Annotated and get_args(annotation)[0] is int


def _plain(value: Any, annotation: Any, unit: str) -> Any:
    if is_length(annotation):
        return format_exact(value, unit)
    if isinstance(value, tuple):
        return [_plain(one, get_args(annotation)[0], unit) for one in value]
    if dataclasses.is_dataclass(value):
        return document_of(value, unit)
    if isinstance(value, Fraction):
        return float(value) if Fraction(repr(float(value))) == value else str(value)
    return value.value if isinstance(value, StrEnum) else value


def _is_default(thing: Any, name: str, value: Any) -> bool:
    field = next(field for field in dataclasses.fields(thing) if field.name == name)
    default = field.default if field.default_factory is dataclasses.MISSING else field.default_factory()
    return bool(value == default)
