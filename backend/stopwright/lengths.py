"""Text to whole nanometres and back; the only importer of pint, which is loaded when a unit is first read.

One inch is exactly 25.4 mm (NIST SP 811, appendix B.8), so 1/64 in is 396 875 nm and every mark of a
workshop scale is a whole number. What is not whole, such as 1/128 in, is refused in words.
"""

import re
from enum import StrEnum
from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Annotated, TypeAlias

from stopwright.errors import StopwrightError

if TYPE_CHECKING:
    from pint import UnitRegistry

Nm: TypeAlias = Annotated[int, "nm"]
"""A length in whole nanometres; the mark tells a reader of fields that this int is a length."""

SignedNm: TypeAlias = Annotated[int, "nm, signed"]
"""As Nm, where less than 0 has a meaning too: a correction, the zero of a scale."""

MM: Nm = 1_000_000
INCH: Nm = 25_400_000
GREATEST: Nm = 100_000 * MM
LONGEST_TEXT = 60

_BARE = {"mm": MM, "in": INCH}
"""What a bare number of a job counts; for a unit that is written, pint is asked."""

NEXT_STEP = "write for example 450, 12,5 mm, 45 cm, 17 3/4 in or 1' 5 3/4\""

_UNITS = {
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "in": "inch",
    "inch": "inch",
    "inches": "inch",
    '"': "inch",
    "ft": "foot",
    "foot": "foot",
    "feet": "foot",
    "'": "foot",
}
# NIST SP 811, appendix B.8. The registry that ships with pint holds a thousand units and takes a quarter of a second.
_DEFINITIONS = (
    "meter = [length]",
    "nanometer = 1e-9 * meter",
    "millimeter = 1e-3 * meter",
    "centimeter = 1e-2 * meter",
    "inch = 254e-4 * meter",
    "foot = 12 * inch",
)
_ALIKE = str.maketrans(
    {
        "″": '"',
        "”": '"',
        "“": '"',
        "′": "'",
        "’": "'",
        "‘": "'",
        "⁄": "/",
        "−": "-",
        "–": "-",
        "\u00a0": " ",
        "\u202f": " ",
    }
)
_VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_NUMBER = (
    r"(?:(?P<whole>\d+)(?:\s+|\s*-\s*)(?P<over>\d+)/(?P<under>\d+)"
    r"|(?P<top>\d+)/(?P<bottom>\d+)"
    r"|(?P<decimal>\d+(?:[.,]\d*)?|[.,]\d+))"
)
_ONE = re.compile(rf"{_NUMBER}\s*(?P<unit>mm|cm|m|inches|inch|in|feet|foot|ft|''|\"|')?\.?", re.IGNORECASE | re.ASCII)
_FEET_AND_INCHES = re.compile(r"(?P<feet>\d+)\s*(?:ft\.?|feet|foot|')\s*-?\s*(?P<rest>\S.*)", re.IGNORECASE | re.ASCII)


class Show(StrEnum):
    """How lengths are shown: the finest mark that the shop reads."""

    MM = "mm"
    SIXTEENTHS = "1/16 in"
    THIRTY_SECONDS = "1/32 in"
    SIXTY_FOURTHS = "1/64 in"
    THOUSANDTHS = "0.001 in"

    @property
    def mark(self) -> Nm:
        """Distance between two marks as shown, in nm."""
        return {
            "mm": MM // 100,
            "1/16 in": INCH // 16,
            "1/32 in": INCH // 32,
            "1/64 in": INCH // 64,
            "0.001 in": INCH // 1000,
        }[self]

    @property
    def unit(self) -> str:
        """The unit of a bare number beside it: "mm" or "in"."""
        return "mm" if self is Show.MM else "in"


def show_in(unit: str) -> Show:
    """How lengths are shown where only a unit is known, no shop: millimetres, or inches to the finest mark of a rule.

    >>> show_in("mm"), show_in("in")
    (<Show.MM: 'mm'>, <Show.SIXTY_FOURTHS: '1/64 in'>)
    """
    return Show.SIXTY_FOURTHS if unit == "in" else Show.MM


def _in_nanometres(named: str, unit: str) -> Fraction | int:
    return _nanometres_in(named or _UNITS[unit]) if named or unit not in _BARE else _BARE[unit]


@cache
def _nanometres_in(pint_unit: str) -> Fraction:
    return Fraction(_registry().Quantity(Fraction(1), pint_unit).to("nanometer").magnitude)


@cache
def _registry() -> "UnitRegistry[Fraction]":
    from pint import UnitRegistry

    registry: UnitRegistry[Fraction] = UnitRegistry(None, non_int_type=Fraction)
    for definition in _DEFINITIONS:
        registry.define(definition)
    return registry


@lru_cache(maxsize=4096)
def parse_length(text: str, unit: str = "mm") -> Nm:
    """The length that a person wrote, in nm; a bare number is in `unit` ("mm" or "in").

    Raises StopwrightError when it is no length, negative, no whole number of nanometres, or over 100 m.

    >>> parse_length("450"), parse_length("12,5 mm"), parse_length('17-3/4"'), parse_length("1' 5 3/4")
    (450000000, 12500000, 450850000, 450850000)
    >>> parse_length("1/128 in")
    Traceback (most recent call last):
        ...
    stopwright.errors.StopwrightError: '1/128 in' is finer than can be kept; use 1/64 in, or at most 5 decimals
    """
    plain = _plain(text)
    if plain.startswith("-"):
        raise StopwrightError(f"'{text}' is negative", next_step="write a length of 0 or more")
    feet = _FEET_AND_INCHES.fullmatch(plain)
    if feet:
        number, named = _one(feet["rest"], text)
        if named not in ("", "inch"):
            raise StopwrightError(f"'{text}' mixes feet with another unit", next_step=NEXT_STEP)
        number, named = int(feet["feet"]) * 12 + number, "inch"
    else:
        number, named = _one(plain, text)
    return _whole_nanometres(number * _in_nanometres(named, unit), text)


def parse_signed_length(text: str, unit: str = "mm") -> Nm:
    """As `parse_length`, but a leading minus is allowed: a correction or the zero of a scale.

    >>> parse_signed_length("-0,5")
    -500000
    """
    plain = _plain(text)
    return -parse_length(plain[1:].strip(), unit) if plain.startswith("-") else parse_length(plain.lstrip("+"), unit)


def from_number(number: int | float, unit: str = "mm") -> Nm:
    """The length of a bare number as a file or form holds it, in nm; decimals mean what they print.

    >>> from_number(12.7), from_number(0.75, "in")
    (12700000, 19050000)
    """
    if not abs(number) <= GREATEST:  # no number at all, or too long to be written out
        raise StopwrightError("this number is not a length", next_step=NEXT_STEP)
    return _whole_nanometres(Fraction(repr(number)) * _in_nanometres("", unit), repr(number))


def nearest(value: Nm, step: Nm) -> Nm:
    """The multiple of `step` nearest to `value`, in nm; on a tie the longer: it can be cut again.

    >>> nearest(3 * INCH // 32, INCH // 16) == INCH // 8  # 3/32 in lies halfway
    True
    """
    return (2 * value + step) // (2 * step) * step


def format_length(value: Nm, show: Show, with_unit: bool = True) -> str:
    """A length for people: mm to a hundredth, or the nearest mark in inches with what it is off by.

    The figure in brackets is true length minus shown mark, in inches, below zero too; it is left out when it is 0.

    >>> format_length(84_000_000, Show.MM), format_length(450_850_000, Show.SIXTEENTHS)
    ('84 mm', '17 3/4 in')
    >>> format_length(3_378_200, Show.SIXTY_FOURTHS)  # .1330 in
    '9/64 in (−0.0076)'
    >>> format_length(0, Show.MM)
    '0'
    """
    if value == 0 or (show is Show.MM and 2 * abs(value) < show.mark):
        return "0"
    size = abs(value)
    mark = nearest(size, show.mark)
    sign = "−" if value < 0 and mark else ""  # there is no −0
    tail = f" {show.unit}" if with_unit else ""
    if show is Show.MM:
        return sign + _decimal(mark, MM, 2) + tail
    figure = _decimal(mark, INCH, 3) if show is Show.THOUSANDTHS else _mixed(mark)
    return sign + figure + tail + _off_by((size - mark) if value > 0 else (mark - size))


def format_difference(difference: SignedNm, show: Show) -> str:
    """A small difference of lengths: hundredths of a mm, or thousandths of an inch whatever marks the shop reads.

    >>> format_difference(-200_000, Show.MM), format_difference(250_000, Show.THIRTY_SECONDS)
    ('−0.2 mm', '0.01 in')
    """
    if show is Show.MM:
        return format_length(difference, show)
    return format_length(nearest(difference, INCH // 1000), Show.THOUSANDTHS)


def format_exact(value: Nm, unit: str) -> str:
    """A length written so that `parse_length` reads the same value again; for files and forms.

    >>> format_exact(450_850_000, "in"), format_exact(20_637_500, "mm"), format_exact(8_458_200, "in")
    ('17 3/4', '20.6375', '0.333')
    """
    if value < 0:
        return "-" + format_exact(-value, unit)
    if unit == "in" and value % (INCH // 64) == 0:
        return _mixed(value)
    fraction = Fraction(value, INCH if unit == "in" else MM)
    return _decimal(value, INCH if unit == "in" else MM, 6) if _is_short(fraction) else f"{_decimal(value, MM, 6)} mm"


def _plain(text: str) -> str:
    if len(text) > LONGEST_TEXT:
        raise StopwrightError(f"'{text[:20]}…' is not a length", next_step=NEXT_STEP)
    plain = text.translate(_ALIKE).strip()
    for sign, written in _VULGAR.items():
        plain = plain.replace(sign, f" {written}")
    return plain.strip()


def _one(plain: str, text: str) -> tuple[Fraction, str]:
    found = _ONE.fullmatch(plain)
    if not found:
        raise StopwrightError(f"'{text}' is not a length", next_step=NEXT_STEP)
    unit = (found["unit"] or "").lower().replace("''", '"')
    if found["decimal"]:
        decimal = found["decimal"]
        if re.fullmatch(r"[1-9]\d{0,2},\d{3}", decimal):
            raise StopwrightError(
                f"'{text}' can mean {decimal.replace(',', '')} or {decimal.replace(',', '.')}",
                next_step="write it without the comma",
            )
        return Fraction(decimal.replace(",", ".").rstrip(".") or "0"), _UNITS.get(unit, "")
    over, under = (found["over"], found["under"]) if found["over"] else (found["top"], found["bottom"])
    if int(under) == 0:
        raise StopwrightError(f"'{text}' divides by 0", next_step=NEXT_STEP)
    if found["whole"] and int(over) >= int(under):
        raise StopwrightError(
            f"'{text}' is not a mixed number", next_step="write the whole inches and a fraction below 1"
        )
    return int(found["whole"] or 0) + Fraction(int(over), int(under)), _UNITS.get(unit, "")


def _whole_nanometres(magnitude: Fraction, text: str) -> Nm:
    if abs(magnitude) > GREATEST:
        raise StopwrightError(f"'{text}' is longer than 100 m", next_step="check the unit")
    if magnitude.denominator != 1:
        raise StopwrightError(f"'{text}' is finer than can be kept", next_step="use 1/64 in, or at most 5 decimals")
    return int(magnitude)


def _decimal(value: Nm, unit: Nm, places: int) -> str:
    scaled = nearest(value * 10**places, unit) // unit
    whole, part = divmod(scaled, 10**places)
    return f"{whole}.{part:0{places}d}".rstrip("0").rstrip(".")


def _mixed(mark: Nm) -> str:
    whole, part = divmod(Fraction(mark, INCH), 1)
    fraction = f"{part.numerator}/{part.denominator}"
    if part == 0:
        return str(whole)
    return f"{whole} {fraction}" if whole else fraction


def _off_by(error: Nm) -> str:
    if error == 0:
        return ""
    sign = "+" if error > 0 else "−"
    figures = (_decimal(abs(error), INCH, places) for places in (4, 6, 8))
    return f" ({sign}{next(figure for figure in figures if figure != '0')})"


def _is_short(fraction: Fraction) -> bool:
    return (fraction * 10**6).denominator == 1
