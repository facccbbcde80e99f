"""The operations that there are: every file of this package that defines one."""

from collections.abc import Iterable, Iterator
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from stopwright.model.cuts import Cut
from stopwright.model.gear import Gear
from stopwright.plan import operations
from stopwright.plan.operations import caution, operation, roles
from stopwright.plan.operations.caution import Caution
from stopwright.plan.operations.operation import Operation, Role

_HELP = {one.__name__.rsplit(".", 1)[-1] for one in (caution, operation, roles)} | {"known"}


def _found() -> Iterator[Operation]:
    for module in iter_modules(operations.__path__):
        if module.name not in _HELP:
            yield import_module(f"{operations.__name__}.{module.name}").OPERATION


OPERATIONS: dict[str, Operation] = {one.work: one for one in sorted(_found(), key=lambda one: (one.stage, one.work))}
"""By the name of the work, in the order in which a piece usually meets them."""

ROLES: dict[str, Role] = {role.name: role for one in OPERATIONS.values() for role in one.roles}
"""What axes of stations can set, by name."""

GEAR: dict[str, tuple[type[Gear], ...]] = {one.work: one.gear for one in OPERATIONS.values()}
"""What must be known of a station besides its stops, by the work that it does."""


def gear_for(works: Iterable[str]) -> list[type[Gear]]:
    """The kinds of gear that a station needs which does these works, each once; of a work that is not known none."""
    return list(dict.fromkeys(kind for work in works for kind in GEAR.get(work, ())))


CUTS: dict[str, Any] = {kind.kind: kind for one in OPERATIONS.values() for kind in one.asked if issubclass(kind, Cut)}
"""What a job file may ask for besides joints, mitres and mouldings, by the name of its table."""

CAUTIONS: tuple[Caution, ...] = tuple(dict.fromkeys(caution for one in OPERATIONS.values() for caution in one.cautions))
"""Every caution once."""

if sum(1 for _ in _found()) > len(OPERATIONS):
    raise ImportError("two operations have the same name")
