"""One thing that is typed at the bench: its name in the document, its label, and what it is for in one line."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """How a field is typed."""

    LENGTH = "length"
    NUMBER = "number"
    TEXT = "text"
    CHOICE = "choice"
    TICK = "tick"
    SEVERAL = "several"


@dataclass(frozen=True, slots=True)
class Entry:
    """A field of a form. `choices` are (value, words); an empty value first where nothing need be chosen."""

    name: str
    label: str
    use: str
    kind: Kind = Kind.LENGTH
    choices: tuple[tuple[str, str], ...] = ()


def choices(values: Iterable[str], nothing: str = "", **words: str) -> tuple[tuple[str, str], ...]:
    """Choices from the words of the model; `nothing` says what an empty choice means, where there is one.

    >>> choices(["mm", "in"], "as the shop")
    (('', 'as the shop'), ('mm', 'mm'), ('in', 'in'))
    """
    known = tuple((str(value), words.get(str(value), str(value))) for value in values)
    return (("", nothing), *known) if nothing else known
