"""The cells of one row of a part list to the values of a part, in the words of the shop."""

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from stopwright.errors import StopwrightError
from stopwright.intake import keys
from stopwright.intake.scalars import LONGEST_WORDS, choose, shortened
from stopwright.lengths import parse_length
from stopwright.model.parts import Part

_QUANTITY = re.compile(
    r"[x×]?\s*(-?[0-9]{1,9})(?:[.,]0{0,2})?\s*(?:x|×|pcs?|pieces?|off|no|nos|ea|each|stk|stück|st|pièces?)?\.?", re.I
)
_MONTHS = "jan|feb|mar|mär|mrz|apr|may|mai|jun|jul|aug|sep|oct|okt|nov|dec|dez|janv|févr|avr|juin|juil|août|sept|déc"
_DATE = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?:[ T].*)?|[0-9]{1,2}[./-][0-9]{1,2}[./-][0-9]{2,4}"
    rf"|[0-9]{{1,2}}[-. ]+(?:{_MONTHS})[a-zäéû]*\.?(?:[-. ]+[0-9]{{2,4}})?|(?:{_MONTHS})[a-zäéû]*\.?[-. ]+[0-9]{{1,4}}",
    re.I,
)
_COMMA_DECIMAL = re.compile(r"[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})\s*(?:mm|cm|m)?")
_UNIT_SIGN = re.compile(r"[^\W\d_¼½¾⅛⅜⅝⅞]|[\"'″′”“’‘]")
_DOT_AND_THREE = re.compile(r"([1-9][0-9]{0,2})\.([0-9]{3})(\s*(?:mm|cm|m)?)")


_FORMULA = re.compile(r"'*[=+\-@＝＋－＠]")


@dataclass(frozen=True, slots=True)
class Habit:
    """How a list writes its numbers: unit of bare lengths by field, and whether a comma stands before decimals."""

    units: dict[str, str]
    decimal_comma: bool = False


def guarded(text: str) -> str:
    """A text as a cell that no spreadsheet takes for a formula: with ' before = + - @; `unguarded` takes it off.

    Space is written as it is read, so a tab never comes first.

    >>> guarded("=1+1"), guarded("'=1"), guarded("Leg"), guarded("'Leg'"), guarded("\\t@now")
    ("'=1+1", "''=1", 'Leg', "'Leg'", "'@now")
    """
    plain = " ".join(text.split())
    return f"'{plain}" if _FORMULA.match(plain) else plain


def unguarded(cell: str) -> str:
    """A cell without the ' that `guarded` or a person set before a formula's sign.

    >>> unguarded("'=1+1"), unguarded("''=1"), unguarded("'Leg'"), unguarded("=1")
    ('=1+1', "'=1", "'Leg'", '=1')
    """
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell


def writes_decimal_comma(cell: str) -> bool:
    """True when a cell can only be a number with a decimal comma.

    >>> writes_decimal_comma("12,5"), writes_decimal_comma("1,250"), writes_decimal_comma("12.5")
    (True, False, False)
    """
    return bool(_COMMA_DECIMAL.fullmatch(cell))


def is_length(field: str) -> bool:
    """True when a field of a part is a length."""
    return field in _KINDS and keys.is_length(_KINDS[field])


def read_cell(field: str, cell: str, habit: Habit) -> Any:
    """The value that a filled cell holds for a field of a part. Raises StopwrightError.

    >>> read_cell("quantity", "24 pcs", Habit({})), read_cell("length", '17 3/4"', Habit({}))
    (24, 450850000)
    """
    if len(cell) > LONGEST_WORDS:
        raise StopwrightError(f"'{cell[:20]}…' is longer than {LONGEST_WORDS} characters", next_step="shorten it")
    if is_length(field):
        return _length(field, cell, habit)
    if field in ("quantity", "per_unit"):
        return _quantity(cell)
    kind = _KINDS[field]
    if issubclass(kind, StrEnum):
        return kind(choose(cell, kind))
    return "".join(sign for sign in cell if sign.isprintable())


def with_unit(field: str, cell: str, habit: Habit, lengths: str) -> str:
    """The cell as it stands, with its unit where a bare length is in another than `lengths`.

    >>> with_unit("length", "17 3/4", Habit({"length": "in"}), "mm")
    '17 3/4 in'
    """
    unit = habit.units.get(field, lengths)
    is_bare = any(map(str.isnumeric, cell)) and not _UNIT_SIGN.search(cell)
    return f"{cell} {unit}" if unit != lengths and is_bare else cell


def _length(field: str, cell: str, habit: Habit) -> int:
    if _DATE.fullmatch(cell):
        raise StopwrightError(
            f"'{shortened(cell)}' is a date: a spreadsheet has probably turned a fraction such as 3/4 into it",
            next_step="format the column as text there and type the length again",
        )
    if field == "tolerance":
        cell = re.sub(r"^(?:±|\+\s*/\s*[-−–])\s*", "", cell)
    grouped = _DOT_AND_THREE.fullmatch(cell) if habit.decimal_comma else None
    if grouped:
        raise StopwrightError(
            f"'{cell}' can mean {grouped[1]}{grouped[2]} or {grouped[1]},{grouped[2]} in a list with decimal commas",
            next_step="write it without the dot",
        )
    return parse_length(cell, habit.units.get(field, "mm"))


def _quantity(cell: str) -> int:
    found = _QUANTITY.fullmatch(cell)
    if not found:
        raise StopwrightError(f"'{shortened(cell)}' is not a whole number", next_step="write how many, such as 24")
    if int(found[1]) < 1:
        raise StopwrightError(f"'{cell}' is less than 1", next_step="write how many, or take the row out")
    return int(found[1])


_KINDS = {key.field: key.kind for key in keys.keys_of(Part).values()}
