"""The kinds of things that there are: every file of this package that defines one."""

from collections.abc import Iterator
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from stopwright.plan import making
from stopwright.plan.making.work import ThingKind

_ABOVE = {"known", "expand", "measure_first"}
"""Modules of this package that need the kinds themselves."""


def _found() -> Iterator[ThingKind[Any]]:
    for module in iter_modules(making.__path__):
        if module.name not in _ABOVE:
            kind = getattr(import_module(f"{making.__name__}.{module.name}"), "KIND", None)
            if kind is not None:
                yield kind


KINDS: dict[str, ThingKind[Any]] = {one.asked.kind: one for one in sorted(_found(), key=lambda one: one.asked.kind)}
"""By the name of the table in a job file."""

THINGS: dict[str, Any] = {name: one.asked for name, one in KINDS.items()}
"""What a job file may ask for, by the name of its table."""

if sum(1 for _ in _found()) > len(KINDS):
    raise ImportError("two kinds of things have the same name")
