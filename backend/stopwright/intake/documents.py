"""Tables of a job or shop file to things of the model, with every fault collected at its place."""

import bisect
import dataclasses
from collections.abc import Collection, Iterable, Mapping, Sequence
from enum import StrEnum
from fractions import Fraction
from functools import partial
from types import MappingProxyType
from typing import Annotated, Any, TypeVar, get_args, get_origin

from stopwright.errors import BadInput, Fault, Inconsistent, Problem, StopwrightError
from stopwright.intake.keys import holds_gear, keys_of
from stopwright.intake.places import Path, column_at, row_at
from stopwright.intake.scalars import choose, fraction_in, nearest_of, number_in, said, shortened, words_in
from stopwright.lengths import SignedNm, from_number, parse_length, parse_signed_length
from stopwright.model.gear import Gear
from stopwright.model.names import OneOf

Thing = TypeVar("Thing")


class Reading:
    """One document being read: its unit, where things stand in it, and every fault found so far.

    `names` are the names that fields marked `OneOf` may hold, by their kind; `gear` is what a work needs, by its name.
    """

    def __init__(
        self,
        file: str,
        rows: Mapping[Path, int] | None = None,
        unit: str = "mm",
        names: Mapping[str, Collection[str]] = MappingProxyType({}),
        gear: Mapping[str, tuple[type[Gear], ...]] = MappingProxyType({}),
    ) -> None:
        self.names = names
        self.gear = gear
        self.file = file
        self.rows = rows
        self.unit = unit
        self.faults: list[Fault] = []

    def fault(self, path: Path, what: str, next_step: str) -> None:
        """Notes what is wrong at `path` and goes on."""
        self.faults.append(Fault(self.file, row_at(path, self.rows), column_at(path), what, next_step))

    def refuse_faults(self) -> None:
        """Raises BadInput with all faults found, in the order of the file, if there are any."""
        if self.faults:
            raise BadInput(sorted(self.faults, key=lambda fault: (fault.file != self.file, fault.row)))

    def table(self, kind: type[Thing], table: object, path: Path, **given: object) -> Thing | None:
        """The thing that a table describes, None after noting its faults; `given` fields are not looked for in it."""
        before = len(self.faults)
        values = self.values(kind, table, path, given)
        return None if len(self.faults) > before else self.build(kind, values | given, path)

    def values(
        self, kind: type, table: object, path: Path, given: Iterable[str] = (), also: Iterable[str] = ()
    ) -> dict[str, Any]:
        """Field -> value of a table; unknown and missing keys are noted. Keys in `also` are somebody else's to read."""
        keys = keys_of(kind)
        if not isinstance(table, Mapping):
            self.fault(path, "is not a table", f"write its keys below it: {', '.join(keys)}")
            return {}
        given, also = set(given), set(also)
        kinds = self._gear_of(table) if any(map(holds_gear, keys.values())) else ()
        also |= {name for one in kinds for name in keys_of(one)}
        self._refuse_unknown(table, {*keys, *also}, path)
        values: dict[str, Any] = {key.field: None for key in keys.values() if key.may_be_none}
        for name, key in keys.items():
            if key.field in given:
                continue
            if holds_gear(key):
                gear = (self.table(one, {k: table[k] for k in keys_of(one) if k in table}, path) for one in kinds)
                values[key.field] = tuple(one for one in gear if one is not None)
                continue
            if table.get(name) is None:
                if key.needed:
                    self.fault((*path, name), "is missing", f"write {name} = …")
                continue
            try:
                values[key.field] = self._value(key.kind, table[name], (*path, name))
            except StopwrightError as error:
                self.fault((*path, name), error.what, error.next_step)
        return values

    def _gear_of(self, table: Mapping[str, Any]) -> tuple[type[Gear], ...]:
        """The kinds of gear in the table of a station: what its works need, then what else it tells of."""
        works = table.get("work")
        named = [work for work in works if isinstance(work, str)] if isinstance(works, Sequence) else []
        kinds = dict.fromkeys(kind for work in named for kind in self.gear.get(work, ()))
        for kind in dict.fromkeys(kind for several in self.gear.values() for kind in several):
            known = {name for one in kinds for name in keys_of(one)}
            if set(keys_of(kind)) & set(table) - known:
                kinds[kind] = None
        return tuple(kinds)

    def build(self, kind: type[Thing], values: Mapping[str, Any], path: Path) -> Thing | None:
        """The thing itself, or None after noting what contradicts itself in it."""
        try:
            return kind(**values)
        except Inconsistent as error:
            for problem in error.problems:
                self.fault((*path, *_blamed(kind, values, problem)), problem.what, problem.next_step)
            return None

    def _refuse_unknown(self, table: Mapping[str, Any], known: set[str], path: Path) -> None:
        for key in table:
            if key not in known:
                near = nearest_of(str(key), sorted(known))
                step = f"write '{near}' if that is meant, or " if near else ""
                self.fault(
                    (*path, str(key)),
                    f"'{shortened(str(key))}' is not known",
                    f"{step}choose from {', '.join(sorted(known))}",
                )

    def _value(self, annotation: Any, raw: object, path: Path) -> Any:
        if get_origin(annotation) is Annotated:
            names = next((one for one in get_args(annotation) if isinstance(one, OneOf)), None)
            if names:
                return choose(words_in(raw), self.names.get(names.kind, ()))
            return self._length(raw, signed=annotation is SignedNm)
        if get_origin(annotation) is tuple:
            return self._several(get_args(annotation)[0], raw, path)
        if dataclasses.is_dataclass(annotation):
            return self.table(annotation, raw, path)  # type: ignore[arg-type]
        if annotation is bool:
            if not isinstance(raw, bool):
                raise StopwrightError(f"'{said(raw)}' is neither true nor false", next_step="write true or false")
            return raw
        if annotation in (int, float):
            return number_in(raw, whole=annotation is int)
        if annotation is Fraction:
            return fraction_in(raw)
        text = words_in(raw)
        return annotation(choose(text, annotation)) if issubclass(annotation, StrEnum) else text

    def _length(self, raw: object, signed: bool) -> int:
        if isinstance(raw, str):
            return (parse_signed_length if signed else parse_length)(raw, self.unit)
        number = number_in(raw, whole=False)
        if number < 0 and not signed:
            raise StopwrightError(f"'{raw}' is negative", next_step="write a length of 0 or more")
        return from_number(raw if isinstance(raw, int) else number, self.unit)

    def _several(self, kind: Any, raw: object, path: Path) -> tuple[Any, ...]:
        if not isinstance(raw, Sequence) or isinstance(raw, str):
            if dataclasses.is_dataclass(kind):
                raise StopwrightError("is not a list of tables", next_step=f"write it as [[{path[-1]}]]")
            raise StopwrightError(f"'{said(raw)}' is not a list", next_step=f"write it in brackets: [{_written(raw)}]")
        found = []
        for number, one in enumerate(raw):
            try:
                found.append(self._value(kind, one, (*path, number)))
            except StopwrightError as error:
                self.fault((*path, number), error.what, error.next_step)
        return tuple(found)


def _blamed(kind: Any, values: Mapping[str, Any], problem: Problem) -> Path:
    """Where in a table a problem lies: in the first thing of a list with which it appears, else at its own key."""
    own = problem.field
    for name, key in keys_of(kind).items():
        things = values.get(key.field)
        own = name if key.field == problem.field else own
        if not isinstance(things, tuple) or not things or not dataclasses.is_dataclass(things[0]):
            continue
        counts = range(len(things) + 1)
        first = bisect.bisect_left(counts, True, key=partial(_has, kind, values, key.field, problem))
        if 0 < first < len(counts):
            inside = (problem.field,) if problem.field in keys_of(type(things[0])) else ()
            return (name, first - 1, *inside)
    return (own,)


def _has(kind: Any, values: Mapping[str, Any], field: str, problem: Problem, count: int) -> bool:
    try:
        kind(**{**values, field: values[field][:count]})
    except Inconsistent as error:
        return problem in error.problems
    return False


def _written(raw: object) -> str:
    return f'"{shortened(raw)}"' if isinstance(raw, str) else said(raw)
