"""What is typed for a thing to make, made from the fields of its kind: what is asked first, and what is as usual."""

from collections.abc import Sequence
from dataclasses import fields
from typing import NamedTuple

from stopwright.intake.keys import keys_of
from stopwright.lengths import Show, format_length
from stopwright.model.things import Opening
from stopwright.plan.making.known import THINGS
from stopwright.web.desk.cut_entries import entry_of
from stopwright.web.desk.entry_fields import Entry


class ThingEntries(NamedTuple):
    """The entries of a kind of thing; `measured` are those of one opening as it was measured."""

    first: tuple[Entry, ...]
    usual: tuple[Entry, ...]
    measured: tuple[Entry, ...]


def thing_entries(table: str, parts: Sequence[tuple[str, str]], show: Show) -> ThingEntries:
    """The entries of a kind of thing, in the order of its fields, those that are asked first in their own."""
    kind = THINGS[table]
    keys = {key.field: (name, key) for name, key in keys_of(kind).items()}
    entries = {}
    for field in fields(kind):
        if field.name != "openings":
            usually = _usually(field.default, show)
            entries[field.name] = entry_of(*keys[field.name], field.metadata["words"], parts, usually)
    first = tuple(entries.pop(name) for name in kind.first)
    named = ("number", *kind.measured, *kind.measured_dry)
    of_openings = {field.name: field.metadata["words"] for field in fields(Opening)}
    asked = ((name, key) for name, key in keys_of(Opening).items() if name in named)
    measured = tuple(entry_of(name, key, of_openings[name], ()) for name, key in asked) if kind.measured else ()
    return ThingEntries(first, tuple(entries.values()), measured)


def _usually(value: object, show: Show) -> str:
    """What an empty field stands for, where that is a figure; no count is as great as the least length."""
    if isinstance(value, bool) or not isinstance(value, int):
        return ""
    return f"empty: {value if 0 < value < 1000 else format_length(value, show)}"
