"""A shop as it is typed into a form: every field as text, and back to the document of a shop file."""

import dataclasses
import re
from collections.abc import Iterable, Mapping, Sequence
from enum import StrEnum
from typing import Any, get_args, get_origin

from stopwright.errors import Fault
from stopwright.intake.draft import whole_number
from stopwright.intake.keys import Document, holds_gear, is_length, keys_of
from stopwright.lengths import format_exact
from stopwright.model.gear import Gear
from stopwright.model.names import OneOf
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.known import GEAR, gear_for

_BETWEEN = re.compile(r"\s*;\s*|,\s+|\n")
_LISTS = ("station", "glue", "machine", "clamps")


def typed_shop(shop: Shop, units_written: bool = False) -> Document:
    """Every field of a shop as text, ticks as "yes" or "", works as a list; `shop_tables` reads it back.

    With `units_written` every length names its unit, so that a bare number may come to mean another.

    >>> from stopwright.intake.shop_file import default_shop
    >>> typed = typed_shop(default_shop())
    >>> typed["station"][2]["axis"][1]["clearance"], typed["station"][3]["bits"], typed["tenon"]["spares"]
    ('60', '6; 8; 10; 12; 15', '1 in 20, at least 2')
    """
    typed: Document = _typed(shop, shop.lengths, units_written)
    typed["tenon"]["spares"] = f"1 in {shop.tenon.spare_one_in}, at least {shop.tenon.spares_at_least}"
    return typed


def shop_tables(typed: Mapping[str, Any]) -> Document:
    """The document of a typed shop: numbers and ticks read where they can be, empty fields left out."""
    document = _tables(Shop, typed)
    known = [one["name"] for one in document.get("station", []) if isinstance(one, dict) and one.get("name")]
    for machine in document.get("machine", []):
        for table in (machine, *machine.get("share", [])) if isinstance(machine, dict) else ():
            if "stations" in table:
                table["stations"] = _whole_names(table["stations"], known)
    return document


def field_of(fault: Fault) -> str:
    """The name of the field that a fault of a shop's document is about.

    >>> field_of(Fault("shop", 3, "station axis 2 low", "does not lie below high", "write …"))
    'station.2.axis.1.low'
    >>> field_of(Fault("shop", 1, "tenon fit", "must not be negative", "write 0"))
    'tenon.fit'
    """
    words = fault.column.split()
    steps = [str(int(word) - 1) if word.isdecimal() else word for word in words]
    if steps[0] in _LISTS:
        steps.insert(1, str(fault.row - 1))
    if len(steps) > 2 and steps[-1].isdecimal() and steps[-2] not in ("axis", "change", "share"):
        steps.pop()
    return ".".join(steps)


def _typed(thing: Any, unit: str, written: bool) -> Document:
    typed: Document = {}
    for name, key in keys_of(type(thing)).items():
        if holds_gear(key):
            for gear in _whole_gear(thing):
                typed |= _typed(gear, unit, written)
        elif name not in ("spare_one_in", "spares_at_least"):
            typed[name] = _text(getattr(thing, key.field), key.kind, unit, written)
    return typed


def _whole_gear(station: Station) -> list[Gear]:
    """The gear of a station, and what its works need as it usually is."""
    there = {type(one) for one in station.gear}
    return [*station.gear, *(kind() for kind in gear_for(station.work) if kind not in there)]


def _text(value: Any, kind: Any, unit: str, written: bool) -> Any:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else ""
    if is_length(kind):
        text = format_exact(value, unit)
        return f"{text} {unit}" if written and value and not text.endswith("mm") else text
    if dataclasses.is_dataclass(value):
        return _typed(value, unit, written)
    if isinstance(value, tuple):
        inner = get_args(kind)[0]
        texts = [_text(one, inner, unit, written) for one in value]
        return texts if _is_table(inner) or _is_choice(inner) else "; ".join(texts)
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    return value.value if isinstance(value, StrEnum) else str(value)


def _tables(kind: Any, typed: Mapping[str, Any]) -> Document:
    keys = keys_of(kind)
    if any(map(holds_gear, keys.values())):
        keys = {name: key for one in gear_for(GEAR) for name, key in keys_of(one).items()} | keys
    document: Document = {}
    for name, value in typed.items():
        read = _read(keys[name].kind, value) if name in keys else _plain(value)
        if read not in ("", None):
            document[name] = read
    return document


def _read(kind: Any, value: Any) -> Any:
    if get_origin(kind) is tuple:
        return _several(get_args(kind)[0], value)
    if dataclasses.is_dataclass(kind) and isinstance(value, Mapping):
        return _tables(kind, value)
    value = _plain(value)
    if kind is bool:
        return value == "yes" if value in ("yes", "") else value
    if kind is int:
        is_plain = isinstance(value, str) and re.fullmatch(r"-?[0-9]{1,9}", value, re.ASCII)
        return int(value) if is_plain else whole_number(value)
    return _number(value) if kind is float else value


def _several(inner: Any, value: Any) -> Any:
    if _is_table(inner):
        tables = value if isinstance(value, Sequence) and not isinstance(value, str) else []
        return [_tables(inner, one) if isinstance(one, Mapping) else one for one in tables]
    if isinstance(value, str):
        return [one for one in _BETWEEN.split(value.strip()) if one]
    return value


def _whole_names(parts: Any, known: Iterable[str]) -> Any:
    """Names put together again that were parted because they hold what stands between names."""
    if not isinstance(parts, list):
        return parts
    split = {tuple(one for one in _BETWEEN.split(name) if one): name for name in known}
    names: list[Any] = []
    rest = [*parts]
    while rest:
        longest = max((key for key in split if key == tuple(rest[: len(key)])), key=len, default=(rest[0],))
        names.append(split.get(longest, rest[0]))
        rest = rest[len(longest) :]
    return names


def _plain(value: Any) -> Any:
    return " ".join(value.split()) if isinstance(value, str) else value


def _number(text: Any) -> Any:
    if isinstance(text, str) and re.fullmatch(r"-?[0-9]{1,9}(?:[.,][0-9]{1,9})?", text, re.ASCII):
        return float(text.replace(",", "."))
    return text


def _is_table(kind: Any) -> bool:
    return dataclasses.is_dataclass(kind)


def _is_choice(kind: Any) -> bool:
    return any(isinstance(one, OneOf) for one in get_args(kind)) or (
        isinstance(kind, type) and issubclass(kind, StrEnum)
    )
