"""Single values of a document: numbers, words and choices, each refused in words when it is none."""

import difflib
import re
import unicodedata
from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from stopwright.errors import StopwrightError

GREATEST_NUMBER = 10**9
LONGEST_WORDS = 2000


def nearest_of(word: str, known: Iterable[str], likeness: float = 0.6) -> str:
    """The known word that is most like `word`, at least by `likeness` from 0 to 1; empty when none is.

    >>> nearest_of("lenght", ("length", "width"))
    'length'
    """
    return next(iter(difflib.get_close_matches(word.lower(), list(known), n=1, cutoff=likeness)), "")


def choose(word: str, known: Iterable[str]) -> str:
    """The known word that is written as `word`, upper and lower case alike; StopwrightError with the nearest.

    >>> choose("Along", ("any", "along"))
    'along'
    """
    wanted = " ".join(word.lower().split())
    known = [str(one) for one in known]
    if wanted in known:
        return wanted
    near = nearest_of(wanted, known)
    step = f"write '{near}' if that is meant, or " if near else ""
    raise StopwrightError(
        f"'{shortened(word)}' is not one of the choices", next_step=f"{step}choose from {', '.join(known)}"
    )


def shortened(text: str, most: int = 60) -> str:
    """A text short enough to be repeated in a message."""
    return text if len(text) <= most else text[:most] + "…"


def number_in(raw: object, whole: bool) -> Any:
    """A number as a file holds it, whole if asked for. Raises StopwrightError."""
    kinds = (int,) if whole else (int, float)
    if isinstance(raw, bool) or not isinstance(raw, kinds):
        raise StopwrightError(
            f"'{said(raw)}' is not a {'whole ' if whole else ''}number",
            next_step="write a number such as 6, in a file without quotes",
        )
    if not abs(raw) <= GREATEST_NUMBER:  # also true of what is no number at all
        raise StopwrightError("the number is out of all bounds", next_step="check it")
    return raw


def fraction_in(raw: object) -> Fraction:
    """A number exactly as written, such as degrees. Raises StopwrightError.

    >>> fraction_in(22.5), fraction_in("45/2")
    (Fraction(45, 2), Fraction(45, 2))
    """
    if not isinstance(raw, str):
        return Fraction(repr(number_in(raw, whole=False)))
    if not re.fullmatch(r"[0-9]{1,9}(?:[.,][0-9]{1,9}|/0*[1-9][0-9]{0,8})?", raw.strip()):
        raise StopwrightError(f"'{shortened(raw)}' is not a number", next_step="write for example 22.5 or 45/2")
    return Fraction(raw.strip().replace(",", "."))


def words_in(raw: object) -> str:
    """A text that can be stored and printed; a whole number is taken as its digits. Raises StopwrightError."""
    if isinstance(raw, int) and not isinstance(raw, bool) and abs(raw) <= GREATEST_NUMBER:
        return str(raw)  # a mark or a name that happens to be a number
    if not isinstance(raw, str):
        raise StopwrightError(f"'{said(raw)}' is not a text", next_step="write it in quotes")
    if len(raw) > LONGEST_WORDS:
        raise StopwrightError(f"'{raw[:20]}…' is longer than {LONGEST_WORDS} characters", next_step="shorten it")
    if any(unicodedata.category(sign) in ("Cc", "Cs") and sign not in "\n\t" for sign in raw):
        raise StopwrightError("contains a character that cannot be printed", next_step="type it again")
    return raw


def said(raw: object) -> str:
    """What was read, short enough for a message."""
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, int) and abs(raw) > GREATEST_NUMBER:
        return "a huge number"
    if isinstance(raw, Mapping):
        return "a table"
    return "a list" if isinstance(raw, list) else shortened(str(raw))
