"""What is typed for a cut, made from the fields of its operation, and the heading it stands under."""

from collections.abc import Sequence
from dataclasses import fields
from fractions import Fraction
from typing import get_args, get_origin

from stopwright.intake.keys import Key, is_length, keys_of
from stopwright.model.cuts import FieldWords
from stopwright.plan.operations.known import CUTS
from stopwright.web.desk.entry_fields import Entry, Kind, choices
from stopwright.web.desk.joint_entries import EDGES, SIDES

NAMES = {str(side): words for side, words in {**SIDES, **EDGES}.items()}
"""Sides and ends as a person names them."""


def cut_groups() -> tuple[tuple[str, str, str, str], ...]:
    """For every kind of cut its list, heading, and what adds and deletes one."""
    return tuple((name, _several(name), f"Add {_one(name)}", f"Delete {_this(name)}") for name in sorted(CUTS))


def cut_entries(table: str, parts: Sequence[tuple[str, str]], stations: Sequence[str]) -> tuple[Entry, ...]:
    """The entries of a kind of cut, in the order of its fields, mark and station last; its parts are chosen apart."""
    keys = {key.field: (name, key) for name, key in keys_of(CUTS[table]).items()}
    entries = []
    for field in sorted(fields(CUTS[table]), key=lambda field: field.name in ("mark", "station")):
        name, key = keys[field.name]
        words = field.metadata["words"]
        if field.name == "station":
            entries.append(Entry(name, words.label, words.use, Kind.CHOICE, choices(stations, "the plan chooses")))
        elif field.name != "parts":
            entries.append(entry_of(name, key, words, parts))
    return tuple(entries)


def entry_of(name: str, key: Key, words: FieldWords, parts: Sequence[tuple[str, str]], usually: str = "") -> Entry:
    """The entry of one field; `usually` says what it stands for where it is left empty."""
    use = "; ".join(filter(None, (words.use, usually)))
    kind, chosen = Kind.CHOICE, tuple(parts)
    if words.names_parts:
        kind, chosen = (Kind.CHOICE, (("", "none"), *parts)) if key.kind is str else (Kind.SEVERAL, tuple(parts))
    elif get_origin(key.kind) is tuple:
        kind, chosen = _of_several(key.kind, words.among)
    elif is_length(key.kind):
        kind, chosen = Kind.LENGTH, ()
    elif key.kind in (int, Fraction):
        kind, chosen = Kind.NUMBER, ()
    elif key.kind is str:
        kind, chosen = Kind.TEXT, ()
    elif key.kind is bool:
        kind, chosen = Kind.TICK, ()
    else:
        chosen = choices(words.among or tuple(key.kind), **NAMES)
    return Entry(name, words.label, use, kind, chosen)


def several_at_once(table: str) -> tuple[str, ...]:
    """The fields of a cut of which several choices are ticked."""
    if table not in CUTS:
        return ()
    kinds = ((name, key.kind) for name, key in keys_of(CUTS[table]).items())
    return tuple(name for name, kind in kinds if get_origin(kind) is tuple and not is_length(get_args(kind)[0]))


def _of_several(kind: object, among: Sequence[str]) -> tuple[Kind, tuple[tuple[str, str], ...]]:
    if is_length(get_args(kind)[0]):
        return Kind.TEXT, ()
    return Kind.SEVERAL, choices(among, **NAMES)


def _several(name: str) -> str:
    words = name.capitalize()
    return words if words.endswith("s") else f"{words}s"


def _one(name: str) -> str:
    return name if name.endswith("s") else f"a {name}"


def _this(name: str) -> str:
    return f"these {name}" if name.endswith("s") else f"this {name}"
