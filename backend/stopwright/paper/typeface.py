"""The typeface of all paper, and what becomes of characters that it does not have.

Bitstream Vera comes with reportlab, so nothing has to be installed and every shop prints the same.
"""

import unicodedata
from collections.abc import Iterator
from functools import cache, lru_cache

REGULAR = "Vera"
BOLD = "VeraBd"
CAPITAL = 0.73
"""Height of a capital letter over the size of the type."""

MISSING = "◊"
_ALIKE = {"⁄": "/", "″": '"', "′": "'", "☐": "[ ]", "→": "->", "\u202f": " ", "\u00ad": ""}


@cache
def fonts() -> tuple[str, str]:
    """The names under which reportlab knows the regular and the bold face; makes them known to it first."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for name in (REGULAR, BOLD):
        pdfmetrics.registerFont(TTFont(name, f"{name}.ttf"))
    return REGULAR, BOLD


@lru_cache(maxsize=4096)
def printable(text: str) -> str:
    """The text in characters that the typeface has: a letter for one with an accent it lacks, else a visible ◊.

    >>> printable("Őrség ⅛ ⅞″ стол 木\\x00")
    'Orség 1/8 7/8" ◊◊◊◊ ◊ '
    """
    return "".join(_printable(character) for character in text)


def text_width(text: str, size: float, bold: bool = False) -> float:
    """How long a line of words is, in the unit of `size`."""
    return _width_of_one(text, bold) * size


@lru_cache(maxsize=65_536)
def _width_of_one(text: str, bold: bool) -> float:
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(printable(text), fonts()[bold], 1))


def shortened(text: str, width: float, size: float, bold: bool = False) -> str:
    """The text, or as much of its beginning as fits the width, with … at the end."""
    if text_width(text, size, bold) <= width:
        return text
    while text and text_width(text + "…", size, bold) > width:
        text = text[:-1]
    return text.rstrip() + "…"


def wrapped(text: str, width: float, size: float, bold: bool = False) -> list[str]:
    """The text in lines no longer than the width, broken at plain spaces; a word that is too long stands alone."""
    lines: list[str] = []
    for word in text.replace("\n", " ").split(" "):
        if not word:
            continue
        if lines and text_width(f"{lines[-1]} {word}", size, bold) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


@cache
def _known() -> frozenset[int]:
    from reportlab.pdfbase.pdfmetrics import getFont

    fonts()
    return frozenset(getFont(REGULAR).face.charToGlyph) - {0xFFFF}


def _printable(character: str) -> str:
    if character in _ALIKE:
        return _ALIKE[character]
    if ord(character) in _known():
        return character
    if unicodedata.category(character) in ("Cc", "Zl", "Zp", "Zs"):
        return " "
    parts = "".join(_plain_parts(character))
    return parts or ("" if unicodedata.combining(character) else MISSING)


def _plain_parts(character: str) -> Iterator[str]:
    parts = unicodedata.normalize("NFKD", character)
    for part in parts if parts != character else "":
        if part in _ALIKE:
            yield _ALIKE[part]
        elif ord(part) in _known():
            yield part
        elif not unicodedata.combining(part):
            yield MISSING
