"""What a figure of the program is: where its value stands, where it comes from, and how sure it is."""

from dataclasses import dataclass
from types import ModuleType
from typing import Any

from stopwright.lengths import Show, format_length

SURE = {
    "S": "seen in the source itself",
    "C": "seen in a secondary copy",
    "K": "calculated",
    "P": "common practice, no source",
    "M": "from memory",
}


def in_words(sure: str) -> str:
    """How sure a figure is, spelled out; several letters where its sources differ.

    >>> in_words("S/C")
    'seen in the source itself; seen in a secondary copy'
    """
    return "; ".join(SURE[letter] for letter in sure.split("/"))


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure or rule. `owner` and `name` say which constant, field or function holds it: it has no other value.

    In `words` the value stands for {0}, as the shop shows it where it is a length, and as it is where `plain`.
    """

    owner: Any
    name: str
    subject: str
    words: str
    source: str
    sure: str
    plain: bool = False

    @property
    def value(self) -> Any:
        """What the program calculates with."""
        return getattr(self.owner, self.name)

    @property
    def at(self) -> str:
        """Where in the program it stands."""
        if isinstance(self.owner, ModuleType):
            return f"{self.owner.__name__}.{self.name}"
        return f"{type(self.owner).__module__}.{type(self.owner).__name__}.{self.name}"

    def said(self, show: Show) -> str:
        """The figure in words, lengths as the shop shows them."""
        value = self.value
        if isinstance(value, int | float) and not self.plain:
            return self.words.format(format_length(round(value), show))
        return self.words.format(f"{value:g}" if isinstance(value, float) else value)


@dataclass(frozen=True, slots=True)
class Section:
    """Figures that belong together."""

    title: str
    figures: tuple[Figure, ...]
