"""Tables of a job or shop file to the model and back, led by the fields of the model and their annotations.

A field that is a tuple of things, such as `axes: tuple[Axis, ...]`, is the list of tables named for the thing:
`axis`. A new field or a new thing of the model is therefore read and written without a line here.
"""

import dataclasses
import difflib
import re
import types
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from enum import StrEnum
from fractions import Fraction
from functools import cache
from typing import Annotated, Any, NamedTuple, TypeVar, Union, get_args, get_origin, get_type_hints

from stopwright.errors import BadInput, Fault, Inconsistent, StopwrightError
from stopwright.intake.places import Path, column_at, row_at
from stopwright.lengths import SignedNm, format_exact, from_number, parse_length, parse_signed_length

Document = dict[str, Any]
"""A job or a shop as plain dicts, lists, texts and numbers: the shape of its TOML file."""

Thing = TypeVar("Thing")

GREATEST_NUMBER = 10**9
LONGEST_WORDS = 2000


class Key(NamedTuple):
    """What a key of a table is read into: field, kind of value, and whether it may be left out or be nothing."""

    field: str
    kind: Any
    needed: bool
    may_be_none: bool


@cache
def keys_of(kind: Any) -> dict[str, Key]:
    """Key in the file -> field of a dataclass of the model, in its order.

    >>> from stopwright.model.stations import Station
    >>> list(keys_of(Station))[:3], keys_of(Station)["axis"].field
    (['name', 'work', 'axis'], 'axes')
    """
    hints = get_type_hints(kind, include_extras=True)
    keys = {}
    for field in dataclasses.fields(kind):
        choices = [one for one in get_args(hints[field.name]) if one is not types.NoneType]
        may_be_none = get_origin(hints[field.name]) in (Union, types.UnionType)
        inner = choices[0] if may_be_none else hints[field.name]
        name = field.name
        if get_origin(inner) is tuple and dataclasses.is_dataclass(get_args(inner)[0]):
            name = re.sub(r"(?<!^)(?=[A-Z])", "_", get_args(inner)[0].__name__).lower()
        has_default = field.default is not dataclasses.MISSING or field.default_factory is not dataclasses.MISSING
        keys[name] = Key(field.name, inner, not (has_default or may_be_none), may_be_none and not has_default)
    return keys


def nearest_of(word: str, known: Iterable[str]) -> str:
    """The known word that is most like `word`, empty when none is.

    >>> nearest_of("lenght", ("length", "width"))
    'length'
    """
    return next(iter(difflib.get_close_matches(word.lower(), list(known), n=1, cutoff=0.6)), "")


def choose(word: str, kind: type[StrEnum]) -> StrEnum:
    """The member of `kind` that is written as `word`, upper and lower case alike; StopwrightError with the nearest.

    >>> from stopwright.model.parts import Grain
    >>> choose("Along", Grain).value
    'along'
    """
    wanted = " ".join(word.lower().split())
    for member in kind:
        if member.value == wanted:
            return member
    near = nearest_of(wanted, kind)
    step = f"write '{near}' if that is meant, or " if near else ""
    raise StopwrightError(
        f"'{shortened(word)}' is none of the choices", next_step=f"{step}choose from {', '.join(kind)}"
    )


def shortened(text: str, most: int = 60) -> str:
    """A text short enough to be repeated in a message."""
    return text if len(text) <= most else text[:most] + "…"


class Reading:
    """One document being read: its unit, where things stand in it, and every fault found so far."""

    def __init__(self, file: str, rows: Mapping[Path, int] | None = None, unit: str = "mm") -> None:
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
        self._refuse_unknown(table, {*keys, *also}, path)
        values: dict[str, Any] = {key.field: None for key in keys.values() if key.may_be_none}
        for name, key in keys.items():
            if key.field in given:
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

    def build(self, kind: type[Thing], values: Mapping[str, Any], path: Path) -> Thing | None:
        """The thing itself, or None after noting what contradicts itself in it."""
        try:
            return kind(**values)
        except Inconsistent as error:
            key_of = {key.field: name for name, key in keys_of(kind).items()}  # type: ignore[arg-type]
            for problem in error.problems:
                place = (*path, key_of.get(problem.field, problem.field))
                self.fault(place, problem.what, problem.next_step)
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
            return self._length(raw, signed=annotation is SignedNm)
        if get_origin(annotation) is tuple:
            return self._several(get_args(annotation)[0], raw, path)
        if dataclasses.is_dataclass(annotation):
            return self.table(annotation, raw, path)  # type: ignore[arg-type]
        if annotation is bool:
            if not isinstance(raw, bool):
                raise StopwrightError(f"'{_said(raw)}' is neither true nor false", next_step="write true or false")
            return raw
        if annotation in (int, float):
            return _number(raw, whole=annotation is int)
        if annotation is Fraction:
            return _fraction(raw)
        text = _words(raw)
        return choose(text, annotation) if issubclass(annotation, StrEnum) else text

    def _length(self, raw: object, signed: bool) -> int:
        if isinstance(raw, str):
            return (parse_signed_length if signed else parse_length)(raw, self.unit)
        number = _number(raw, whole=False)
        if number < 0 and not signed:
            raise StopwrightError(f"'{number}' is less than nothing", next_step="write a length of 0 or more")
        return from_number(raw if isinstance(raw, int) else number, self.unit)

    def _several(self, kind: Any, raw: object, path: Path) -> tuple[Any, ...]:
        if not isinstance(raw, Sequence) or isinstance(raw, str):
            if dataclasses.is_dataclass(kind):
                raise StopwrightError("is not a list of tables", next_step=f"write it as [[{path[-1]}]]")
            raise StopwrightError(f"'{_said(raw)}' is not a list", next_step="write it in brackets, such as [6, 8]")
        found = []
        for number, one in enumerate(raw):
            try:
                found.append(self._value(kind, one, (*path, number)))
            except StopwrightError as error:
                self.fault((*path, number), error.what, error.next_step)
        return tuple(found)


def document_of(thing: Any, unit: str, leave_out: Iterable[str] = ()) -> Document:
    """A thing of the model as a table that reads back equal; what is at its default is left out.

    >>> from stopwright.model.stations import Allowance
    >>> document_of(Allowance(length=25_400_000), "in")
    {'length': '1'}
    """
    document: Document = {}
    for name, key in keys_of(type(thing)).items():  # type: ignore[arg-type]
        value = getattr(thing, key.field)
        if value is not None and key.field not in leave_out and not _is_default(thing, key.field, value):
            document[name] = _plain(value, key.kind, unit)
    return document


def _plain(value: Any, annotation: Any, unit: str) -> Any:
    if get_origin(annotation) is Annotated:
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


def _number(raw: object, whole: bool) -> Any:
    kinds = (int,) if whole else (int, float)
    if isinstance(raw, bool) or not isinstance(raw, kinds):
        raise StopwrightError(
            f"'{_said(raw)}' is not a {'whole ' if whole else ''}number", next_step="write a number without quotes"
        )
    if not abs(raw) <= GREATEST_NUMBER:  # also true of what is no number at all
        raise StopwrightError("the number is out of all bounds", next_step="check it")
    return raw


def _fraction(raw: object) -> Fraction:
    if not isinstance(raw, str):
        return Fraction(repr(_number(raw, whole=False)))
    if not re.fullmatch(r"[0-9]{1,9}(?:[.,][0-9]{1,9}|/0*[1-9][0-9]{0,8})?", raw.strip()):
        raise StopwrightError(f"'{shortened(raw)}' is not a number", next_step="write for example 22.5 or 45/2")
    return Fraction(raw.strip().replace(",", "."))


def _words(raw: object) -> str:
    if isinstance(raw, int) and not isinstance(raw, bool) and abs(raw) <= GREATEST_NUMBER:
        return str(raw)  # a mark or a name that happens to be a number
    if not isinstance(raw, str):
        raise StopwrightError(f"'{_said(raw)}' is not a text", next_step="write it in quotes")
    if len(raw) > LONGEST_WORDS:
        raise StopwrightError(f"'{raw[:20]}…' is longer than {LONGEST_WORDS} characters", next_step="shorten it")
    if any(unicodedata.category(sign) in ("Cc", "Cs") and sign not in "\n\t" for sign in raw):
        raise StopwrightError("holds a character that cannot be printed", next_step="type it again")
    return raw


def _said(raw: object) -> str:
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, int) and abs(raw) > GREATEST_NUMBER:
        return "a huge number"
    if isinstance(raw, Mapping):
        return "a table"
    return "a list" if isinstance(raw, list) else shortened(str(raw))
